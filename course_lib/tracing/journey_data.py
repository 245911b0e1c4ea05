"""A journey as plain data, so that it can travel from one process to another, and back.

What a stage said of a packet travels as its name and what belongs to it. Of a packet that left the
fast path only the task is kept: its octets are in the step.
"""

__all__ = ["journey_as_data", "journey_from_data"]

from types import MappingProxyType
from typing import Any

from course_lib.forwarding.verdicts import HELD, Divert, Drop, Refuse, SlowPathTask, Verdict
from course_lib.headers.errors import Reason
from course_lib.ip.packets import OutgoingFrame, Packet
from course_lib.runner.plain_data import decode, encode
from course_lib.tracing.steps import Journey, JourneyEnd, JourneyStep, Octets


def journey_as_data(journey: Journey) -> Any:
    """Return a journey as what JSON can hold.

    >>> from course_lib.ferry.north_pier_alone import ARRIVALS, north_pier
    >>> from course_lib.tracing.journey import follow
    >>> journey = follow(north_pier(), 0.0, *ARRIVALS["plain"])
    >>> journey_from_data(journey_as_data(journey)) == journey
    True
    """
    steps = [(*step._replace(verdict=None), _said(step.verdict)) for step in journey.steps]
    plain = (*journey[:4], tuple(steps), *journey[5:7], dict(journey.counted), *journey[8:])
    return encode(_plain(plain))


def journey_from_data(data: Any) -> Journey:
    """Return the journey; raises `NotPlainError` for data that `journey_as_data` did not write."""
    name, stages, arrived_on, arrived, steps, end, sent, counted, *rest = decode(data)
    return Journey(
        name,
        stages,
        arrived_on,
        Octets(*arrived),
        tuple(_step(*step) for step in steps),
        JourneyEnd(*end),
        tuple(OutgoingFrame(*each) for each in sent),
        MappingProxyType(counted),
        *rest,
    )


def _step(*values: Any) -> JourneyStep:
    *told, said = values
    step = JourneyStep(*told)
    before, after = Octets(*step.before), Octets(*step.after)
    return step._replace(before=before, after=after, verdict=_verdict(said))


def _said(verdict: Verdict | None) -> tuple[Any, ...]:
    match verdict:
        case Drop(reason):
            return ("drop", str(reason))
        case Refuse(reason, rest):
            return ("refuse", str(reason), rest)
        case Divert(task, _):
            return ("divert", str(task))
        case OutgoingFrame(interface, frame):
            return ("send", interface, frame)
    return ("hold",) if verdict is HELD else ()


def _verdict(said: tuple[Any, ...]) -> Verdict | None:
    match said:
        case ("drop", reason):
            return Drop(Reason(reason))
        case ("refuse", reason, rest):
            return Refuse(Reason(reason), rest)
        case ("divert", task):
            return Divert(SlowPathTask(task), Packet(0.0, None, b""))
        case ("send", interface, frame):
            return OutgoingFrame(interface, frame)
        case ("hold",):
            return HELD
    return None


def _plain(value: Any) -> Any:
    """Make plain tuples of all kinds of tuples."""
    return tuple(map(_plain, value)) if isinstance(value, tuple) else value

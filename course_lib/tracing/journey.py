"""Follow one packet through a router: what each stage got, what it handed on, what was counted.

    journey = follow(router, now_s, "to Ticket Office", frame)
    print(journey.end.words, [step.stage for step in journey.steps])

The router receives the frame as always. While it does so, somebody stands at the door of every
stage (see `watched_stage`) and writes down a `JourneyStep`; so the journey is the router's own,
whatever is in its list. A stage that raises or returns nonsense leaves a step that says so.

The packet's steps on the fast path are *leg* 0. Behind them come those of all packets that the slow
path sent on because of it: the packet itself, its fragments, an error to its sender. Each of these
is a leg too, and begins with a step called "slow path". Packets that had waited since earlier, and
may go on because of this frame, are not followed; what they become is among the frames sent.
"""

__all__ = ["follow"]

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from course_lib.forwarding.router import Router
from course_lib.forwarding.verdicts import (
    Divert,
    Drop,
    Held,
    Refuse,
    SlowPathTask,
    Stage,
    Verdict,
    name_of,
)
from course_lib.headers.errors import PacketError, Reason
from course_lib.headers.ethernet import ETHERNET_OCTETS
from course_lib.headers.ipv4 import IPv4Header
from course_lib.ip.packets import OutgoingFrame, Packet
from course_lib.network.careful_calls import FrameHandler
from course_lib.prefixes.text import format_address
from course_lib.tracing.steps import SLOW_PATH, Journey, JourneyEnd, JourneyStep, Octets
from course_lib.tracing.watched_stage import end_watch, put_watch

_FAILED = "stage failed: "  # how the counters of failures begin
_OF_THIS_ONE = (f"dropped: {Reason.WAITING_TOO_MANY}", f"dropped: {Reason.STAGE_FAILED}")
_ITSELF = "the packet"
_NOTHING = Octets(b"", b"")
_LONGEST = 60  # letters of a strange value that are shown


def follow(
    router: Router, now_s: float, interface: str, frame: bytes, *, by: FrameHandler | None = None
) -> Journey:
    """Let the router receive a frame, and return what happened.

    Takes what `Router.receive` takes, and raises what it raises. by: who stands around the router,
    and hands it what comes in; frames that it lets go are those that count as sent.

    >>> from course_lib.ferry.north_pier_alone import ARRIVALS, north_pier
    >>> follow(north_pier(), 0.0, *ARRIVALS["no route"]).end
    JourneyEnd(kind='left the fast path', stage='decide', words='refused: no route')
    """
    frame = bytes(frame)
    names = tuple(name_of(stage) for stage in router.stages)
    recording = _Recording(router)
    try:
        sent = tuple((by or router).receive(now_s, interface, frame))
    finally:
        recording.finish()
    steps, complaints = tuple(recording.steps), tuple(recording.complaints)
    counted = MappingProxyType(_moved(recording.at_first, router.counters.by_name()))
    end = _end([step for step in steps if step.leg == 0], complaints)
    return Journey(
        router.name, names, interface, _cut(frame), steps, end, sent, counted, complaints,
        recording.waited,
    )  # fmt: skip


class _Recording:
    """Stands at the doors of the stages, until it is called off, and writes down the steps."""

    def __init__(self, router: Router) -> None:
        self.steps: list[JourneyStep] = []
        self.complaints: list[str] = []
        self.at_first = self._counted = router.counters.by_name()
        self.waited, _ = _waiting(router, 0)
        self._router = router
        self._is_open = True
        self._handed_on: Packet | None = None  # by the last stage
        self._diverted = _NOTHING  # as it left its path; what waits does not count
        self._leg_is_due = False  # the last step is the slow path's, and nothing came of it yet
        put_watch(router, self.visit)

    def finish(self) -> None:
        """Leave the doors of the stages."""
        self._settle()
        self._is_open = False
        end_watch(self._router, self.visit)

    def visit(self, stage: Stage, packet: Packet) -> Packet | Verdict:
        """Call a stage, and write down how it went."""
        if not self._is_open:  # a packet that waits keeps the doors of the stages before it
            return stage(packet)
        self._settle()
        if self.steps and packet is not self._handed_on:
            self._begin_leg(packet)
        result: Any = None
        try:
            result = stage(packet)
            return result  # type: ignore[no-any-return]  # the router looks what it is
        except PacketError as error:
            result = Drop(error.reason)
            raise
        finally:
            self._write(stage, packet, result)

    def _write(self, stage: Stage, packet: Packet, result: object) -> None:
        """Write a step; if the packet leaves its path here, begin the slow path's step too."""
        verdict = _proper(result)
        after = verdict.packet if isinstance(verdict, Divert) else result
        handed_over = self.steps[-1].after if self.steps else _NOTHING
        before, _ = _octets(packet, handed_over)  # a problem with it was told in the last step
        octets, problem = _octets(after, before)
        facts = _facts(packet, after) if isinstance(after, Packet) else ()
        leg, whose = (self.steps[-1].leg, self.steps[-1].whose) if self.steps else (0, _ITSELF)
        name = name_of(stage)
        self.steps.append(
            JourneyStep(name, leg, whose, before, octets, facts, verdict, (), problem)
        )
        self._handed_on = result if isinstance(result, Packet) else None
        if isinstance(verdict, Refuse | Divert):
            self._leave_path(verdict, octets)

    def _leave_path(self, verdict: Refuse | Divert, octets: Octets) -> None:
        waits = isinstance(verdict, Divert) and verdict.task is SlowPathTask.RESOLVE
        facts = (("task", str(verdict.task)),) if isinstance(verdict, Divert) else ()
        if isinstance(verdict, Divert) and not waits:
            self._diverted = octets
        self._leg_is_due = not waits
        self._settle()  # what was counted until now is not the slow path's
        whose = self.steps[-1].whose
        self._add_leg(JourneyStep(SLOW_PATH, 0, whose, octets, octets, facts))

    def _begin_leg(self, packet: Packet) -> None:
        """Write what the slow path has made of the packet that left its path, or of nothing."""
        octets, problem = _octets(packet, _NOTHING)
        if packet.arrived_on is None:
            whose, before = "a packet of the router's own", _NOTHING
        else:
            before = self._diverted
            is_part = len(octets.network) < len(before.network)
            whose = "a part of the packet" if is_part else _ITSELF
        waiting = self.steps[-1].waiting
        step = JourneyStep(SLOW_PATH, 0, whose, before, octets)
        comes_of_it = not self._is_refused() or packet.arrived_on is None
        begun = self.steps.pop() if self._leg_is_due and comes_of_it else step
        self._leg_is_due = False
        self._add_leg(
            begun._replace(
                whose=whose, before=before, after=octets, problem=problem, waiting=waiting
            )
        )

    def _is_refused(self) -> bool:
        """Return True if the last step is about a packet that does not go on, come what may."""
        return len(self.steps) > 1 and isinstance(self.steps[-2].verdict, Refuse)

    def _add_leg(self, step: JourneyStep) -> None:
        self.steps.append(step._replace(leg=max(each.leg for each in self.steps) + 1))

    def _settle(self) -> None:
        """Put what was counted since the last step to that step, and what was complained about."""
        now = self._router.counters.by_name()
        moved = _moved(self._counted, now)
        failures = sum(number for name, number in moved.items() if name.startswith(_FAILED))
        new = list(self._router.complaints)[-failures:] if failures else []
        self.complaints += new
        if not self.steps:
            return  # what was counted on arrival is put to the first step
        self._counted = now
        last = self.steps[-1]
        words = [each.removeprefix(f"stage {last.stage}: ") for each in new]
        waiting, uncounted = _waiting(self._router, self.waited)
        problem = "; ".join(filter(None, [last.problem, *words, uncounted]))
        self.steps[-1] = last._replace(problem=problem, waiting=waiting)
        for name, number in moved.items():
            self._count(name, number)

    def _count(self, name: str, number: int) -> None:
        """Put a counter to the last step, or to the slow path's if that went on counting."""
        step = self.steps[place := self._counting(name)]
        self.steps[place] = step._replace(counted=(*step.counted, (name, number)))

    def _counting(self, name: str) -> int:
        """Return the step that a counter belongs to.

        The slow path counts a packet as dropped when the word to its sender is on its way, so when
        that has ended: sent, dropped, or kept back until an address is known.
        """
        place, last = len(self.steps) - 1, self.steps[-1]
        leg, verdict = last.leg, last.verdict
        is_dropped = name.startswith("dropped") and name not in _OF_THIS_ONE
        if last.stage == SLOW_PATH:  # then only what it says of a packet before this one
            leg, verdict = self.steps[place - 1].leg, self.steps[place - 1].verdict
            waits = isinstance(verdict, Divert) and verdict.task is SlowPathTask.RESOLVE
            if not is_dropped or not (waits or isinstance(verdict, Refuse)):
                return place
        elif not isinstance(verdict, OutgoingFrame | Drop | Held) and not is_dropped:
            return place
        own = f"dropped: {verdict.reason}" if isinstance(verdict, Drop | Refuse) else "sent"
        if not leg or name == own:
            return place
        return next(n for n, step in enumerate(self.steps) if step.leg == leg)


def _end(steps: list[JourneyStep], complaints: tuple[str, ...]) -> JourneyEnd:
    """Say how the packet's way on the fast path ended; `steps` are those of leg 0."""
    if not steps:
        return JourneyEnd("lost", "(no stage)", "; ".join(complaints))
    last = steps[-1]
    match last.verdict:
        case OutgoingFrame(interface):
            return JourneyEnd("sent", last.stage, f'by the interface "{interface}"')
        case Drop(reason):
            return JourneyEnd("dropped", last.stage, str(reason))
        case Refuse(reason):
            return JourneyEnd("left the fast path", last.stage, f"refused: {reason}")
        case Divert(task):
            return JourneyEnd("left the fast path", last.stage, str(task))
        case Held():
            return JourneyEnd("kept back", last.stage, f"waits in {last.stage}")
    return JourneyEnd("lost", last.stage, last.problem)


def _proper(result: object) -> Verdict | None:
    """Return a verdict that the router will take for one, None for anything else."""
    match result:
        case Drop(Reason()) | Refuse(Reason(), int()) | Divert(SlowPathTask(), Packet()) | Held():
            return result
        case OutgoingFrame():
            return result
    return None


def _octets(thing: object, otherwise: Octets) -> tuple[Octets, str]:
    """Return the octets of a packet or frame; a stage may have put anything into it."""
    if not isinstance(thing, Packet | OutgoingFrame):
        return otherwise, ""
    try:
        octets = _cut(thing.frame)
        if isinstance(thing, Packet) and thing.header is not None:
            octets = Octets(octets.link, thing.header.build() + thing.payload)
    except Exception as error:  # told in the step, and in the figure
        return otherwise, f"its octets cannot be written: {type(error).__name__}: {error}"
    return octets, ""


def _cut(frame: bytes) -> Octets:
    return Octets(bytes(frame[:ETHERNET_OCTETS]), bytes(frame[ETHERNET_OCTETS:]))


def _facts(before: Packet, after: Packet) -> tuple[tuple[str, str], ...]:
    """Return what was found out, in words: everything but the octets and the time."""
    found = tuple(
        (name.replace("_", " "), _in_words(getattr(after, name)))
        for name in ("arrived_on", "leaves_on", "next_hop")
        if getattr(after, name) != getattr(before, name)
    )
    has_read = before.header is None and isinstance(after.header, IPv4Header)
    return (("read", "the header"), *found) if has_read else found


def _in_words(value: object) -> str:
    if isinstance(value, int) and 0 <= value < 1 << 32:
        return format_address(value)
    return value if isinstance(value, str) else f"{value!r:.{_LONGEST}}"


def _waiting(router: Router, otherwise: int) -> tuple[int, str]:
    """Return how many packets wait, and what is wrong; a stage that holds some may be faulty."""
    try:
        return router.waiting(), ""
    except Exception as error:  # told in the step
        return otherwise, f"nobody can count who waits: {type(error).__name__}: {error}"


def _moved(before: Mapping[str, int], now: Mapping[str, int]) -> dict[str, int]:
    changes = {name: number - before.get(name, 0) for name, number in now.items()}
    return {name: change for name, change in changes.items() if change}

"""Draw a packet's journey: stage below stage, with the frame that each one hands on.

On the left runs the way, a line from stage to stage. Beside each stage stands the frame as a strip
of octets, with what the stage changed in filled boxes; below it is told what was changed, found out
and counted. Where the way ends, a shape tells how: an arrow for sent, a cross for dropped or
lost, two bars for kept back, a bend for a packet that leaves the fast path. Stages that were not
reached have a dashed outline. Below the fast path follows what the slow path made of the packet,
with a double line for its way.
"""

__all__ = ["packet_journey"]

from collections.abc import Sequence

from course_lib.figures.drawing.letters import fitted, width_of, wrapped
from course_lib.figures.drawing.svg import Figure, drawing, element, escape, label
from course_lib.figures.headers.header_words import counted
from course_lib.figures.headers.octet_strip import is_ipv4, octet_ruler, octet_strip, strip_height
from course_lib.figures.tracing.journey_words import (
    alternative_text,
    last_lines,
    stages_left,
    step_lines,
    text_twin,
    title,
)
from course_lib.forwarding.verdicts import Divert, Drop, Held, Refuse
from course_lib.ip.packets import OutgoingFrame
from course_lib.tracing.steps import SLOW_PATH, Journey, JourneyStep

_WIDTH = 800.0  # pixels, as all that follows
_WAY, _BOX_WIDTH, _BOX_HEIGHT = 60.0, 98.0, 24.0  # the middle of the stages, and their size
_SMALL_BOX = 76.0  # of a stage that was not reached
_STRIP = 124.0  # where strips and words begin
_TOP, _LINE, _PAUSE = 76.0, 17.0, 13.0
_SIZE, _STRONG = 12.5, "ink strong"  # of words beside the way, some of which are bold
_ROOM = _WIDTH - _STRIP - 8  # for a line of them
_SHORT = 0.88 * _ROOM  # parts of a sentence that are not broken
_GLUE = "\xa0"  # a space at which no line is broken
_MOST_STEPS = 24
_LONGEST_NAME = 16


def packet_journey(journey: Journey, until: int | None = None) -> Figure:
    """Return the drawing of a journey, or of its first `until` steps.

    Of a very long journey the first 24 steps are drawn, and a line says how many more there are.

    >>> from course_lib.ferry.north_pier_alone import ARRIVALS, north_pier
    >>> from course_lib.tracing.journey import follow
    >>> print(packet_journey(follow(north_pier(), 0.0, *ARRIVALS["wrong checksum"])).title)
    North Pier: validate drops the packet: wrong checksum
    """
    heading, spoken = title(journey, until), alternative_text(journey, until)
    shown = journey.steps[:until]
    shapes = [*_title(heading), *_arrival(journey)]
    y = _TOP + strip_height(journey.arrived) + _LINE + _PAUSE
    for step in shown[:_MOST_STEPS]:
        shapes.append(_draw_step(step, y))
        y += _height(step)
    more = len(shown) - _MOST_STEPS
    notes = last_lines(journey, until) + ([f"{more} more steps are not drawn."] if more > 0 else [])
    missed = stages_left(journey, until)
    words = "not reached on the fast path" if _has_ended(journey, until) else "not reached yet"
    shapes.append(_stages_left(missed, words, y))
    y += _BOX_HEIGHT + 8 if missed else 0
    lines = [line for note in notes for line in wrapped(note, _ROOM, _SIZE)]
    shapes += [_words(line, y + 12 + _LINE * n) for n, line in enumerate(lines)]
    svg = drawing(heading, spoken, (_WIDTH, y + _LINE * len(lines) + 12), *shapes)
    return Figure(heading, svg, text_twin(journey, until), spoken)


def _title(heading: str) -> list[str]:
    """Write the title in one line, or smaller in two."""
    if width_of(heading, 16, _STRONG) <= _WIDTH - 28:
        return [label(heading, 14, 26, _STRONG, font_size=16)]
    lines = wrapped(heading, _WIDTH - 28, 14, _STRONG)[:2]
    return [label(line, 14, 20 + 17 * n, _STRONG, font_size=14) for n, line in enumerate(lines)]


def _arrival(journey: Journey) -> list[str]:
    """Draw the ruler, and the frame as it arrived."""
    y, height = _TOP, strip_height(journey.arrived)
    size = counted(sum(map(len, journey.arrived)), "octet")
    words = f'arrives on the interface "{journey.arrived_on}", {size}'
    end = y + height + _LINE + _PAUSE
    return [
        octet_ruler(_STRIP, y - 8, "IPv4 header" if is_ipv4(journey.arrived) else "what follows"),
        element("circle", cx=_WAY, cy=y + 11, r=8, class_="neither"),
        element("path", d=f"M{_WAY:g} {y + 19:g}V{end:g}", class_="axis"),
        octet_strip(journey.arrived, (), _STRIP, y),
        _words(words, y + height + 14),
    ]


def _draw_step(step: JourneyStep, y: float) -> str:
    """Draw a stage, the frame behind it, what there is to say, and the way to the next one."""
    has_strip, lines = _has_strip(step), _lines(step)
    below = y + (strip_height(step.after) if has_strip else 0) + 14
    is_strong = step.problem or step.verdict is not None
    parts = [
        element("title", escape(f"{step.stage}: {step.whose}")),
        _way(step, y),
        _stage(step.stage, _WAY, y, is_slow=step.stage == SLOW_PATH),
        octet_strip(step.after, () if step.is_new else step.changed, _STRIP, y)
        if has_strip
        else "",
        *(
            _words(line, below + n * _LINE, strong=bool(is_strong and n == 0))
            for n, line in enumerate(lines)
        ),
    ]
    return element("g", *parts)


def _has_strip(step: JourneyStep) -> bool:
    """The slow path's own step has octets to show only if a packet comes out of it."""
    return step.stage != SLOW_PATH or step.before != step.after


def _lines(step: JourneyStep) -> list[str]:
    return [line for words in step_lines(step) for line in _broken(words)]


def _broken(sentence: str) -> list[str]:
    """Break a sentence into lines, between its parts where they are short enough."""
    parts = [
        part.replace(" ", _GLUE) if width_of(part, _SIZE, _STRONG) < _SHORT else part
        for part in sentence.split("; ")
    ]
    lines = wrapped("; ".join(parts), _ROOM, _SIZE, _STRONG)
    return [line.replace(_GLUE, " ") for line in lines]


def _height(step: JourneyStep) -> float:
    strip = strip_height(step.after) if _has_strip(step) else 0
    words = _LINE * len(_lines(step)) + (2 if strip else -2)
    room_for_mark = 22 if step.verdict is not None or step.problem else 0
    return max(_BOX_HEIGHT + room_for_mark, strip + words) + _PAUSE


def _stage(name: str, middle: float, y: float, *, is_slow: bool = False) -> str:
    box = element(
        "rect", x=middle - _BOX_WIDTH / 2, y=y, width=_BOX_WIDTH, height=_BOX_HEIGHT, class_="box",
        rx=_BOX_HEIGHT / 2 if is_slow else 4,
    )  # fmt: skip
    return box + _stage_name(name, middle, y + 16.5, "ink strong", _BOX_WIDTH)


def _way(step: JourneyStep, y: float) -> str:
    """Draw what leads on from a stage: a line, or the shape of how the way ends."""
    top, bottom = y + _BOX_HEIGHT, y + _height(step)
    match step.verdict:
        case OutgoingFrame():
            return _path(f"M{_WAY:g} {top:g}v17m-6 -7l6 8l6 -8", "chosen")
        case Drop():
            return _cross(top)
        case Held():
            return _path(f"M{_WAY:g} {top:g}v6m-8 0h16m-16 6h16", "changed")
        case Refuse() | Divert():
            return _path(f"M{_WAY:g} {top:g}v7h-22v{bottom - top - 9:g}m-5 -7l5 7l5 -7", "changed")
    if step.problem and step.after == step.before and not step.facts:
        return _cross(top)
    shift = 2 if step.leg else 0
    if shift and step.stage == SLOW_PATH and step.before == step.after:
        return ""
    lines = f"M{_WAY - shift:g} {top:g}V{bottom:g}"
    return _path(lines + (f"M{_WAY + shift:g} {top:g}V{bottom:g}" if shift else ""), "axis")


def _cross(y: float) -> str:
    return _path(f"M{_WAY:g} {y:g}v10m-6 -6l12 12m-12 0l12 -12", "changed")


def _path(d: str, look: str) -> str:
    return element("path", d=d, class_=look)


def _words(line: str, y: float, *, strong: bool = False) -> str:
    return label(line, _STRIP, y, _STRONG if strong else "ink", font_size=_SIZE)


def _has_ended(journey: Journey, until: int | None) -> bool:
    """Return True if the last step on the fast path is among those that are shown."""
    return not any(step.leg == 0 for step in journey.steps[len(journey.steps[:until]) :])


def _stages_left(names: Sequence[str], words: str, y: float) -> str:
    """Draw the stages that the packet did not reach, side by side."""
    if not names:
        return ""
    start, step = _STRIP + width_of(words, _SIZE) + 8, _SMALL_BOX + 4
    room = int((_WIDTH - 8 - start) // step)
    drawn = [*names[: room - 1], "…"] if len(names) > room else names
    boxes = [
        element("rect", x=start + n * step, y=y, width=_SMALL_BOX, height=_BOX_HEIGHT, rx=4,
                class_="gap")
        + _stage_name(name, start + n * step + _SMALL_BOX / 2, y + 16.5, "quiet", _SMALL_BOX)
        for n, name in enumerate(drawn)
    ]  # fmt: skip
    return label(words, _STRIP, y + 16.5, "quiet", font_size=12.5) + "".join(boxes)


def _stage_name(name: str, middle: float, y: float, look: str, width: float) -> str:
    """Write a name into the box of a stage, squeezed or cut where it is too long."""
    name = name if len(name) < _LONGEST_NAME else f"{name[: _LONGEST_NAME - 1]}…"
    return fitted(name, middle, y, width - 10, 13, look)

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

from course_lib.figures.drawing.letters import width_of, wrapped
from course_lib.figures.drawing.svg import Figure, box, drawing, element, group, label, path
from course_lib.figures.headers.header_words import counted
from course_lib.figures.headers.octet_strip import is_ipv4, octet_ruler, octet_strip, strip_height
from course_lib.figures.tracing.journey_words import last_lines, step_lines, words_of
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
    until = len(journey.steps) if until is None else until
    words = words_of(journey, until)
    shapes, y = _arrival(journey)
    for step in journey.steps[: min(until, _MOST_STEPS)]:
        drawn, y = _draw_step(step, y)
        shapes.append(drawn)
    more, notes = len(journey.steps[:until]) - _MOST_STEPS, last_lines(journey, until)
    notes += [f"{more} more steps are not drawn."] if more > 0 else []
    if missed := journey.stages_left(until):
        has_ended = journey.has_ended(until)
        reached = "not reached on the fast path" if has_ended else "not reached yet"
        shapes.append(_stages_left(missed, reached, y))
        y += _BOX_HEIGHT + 8
    lines = [line for note in notes for line in wrapped(note, _ROOM, _SIZE)]
    shapes += [_words(line, y + 12 + _LINE * n) for n, line in enumerate(lines)]
    size = (_WIDTH, y + _LINE * len(lines) + 12)
    return drawing(words, size, *_title(words.title), *shapes)


def _title(heading: str) -> list[str]:
    """Write the title in one line, or smaller in two."""
    if width_of(heading, 16, _STRONG) <= _WIDTH - 28:
        return [label(heading, 14, 26, _STRONG, 16)]
    lines = wrapped(heading, _WIDTH - 28, 14, _STRONG)[:2]
    return [label(line, 14, 20 + 17 * n, _STRONG, 14) for n, line in enumerate(lines)]


def _arrival(journey: Journey) -> tuple[list[str], float]:
    """Draw the ruler, and the frame as it arrived; return where this ends, too."""
    y, height = _TOP, strip_height(journey.arrived)
    size = counted(sum(map(len, journey.arrived)), "octet")
    words = f'arrives on the interface "{journey.arrived_on}", {size}'
    end = y + height + _LINE + _PAUSE
    shapes = [
        octet_ruler(_STRIP, y - 8, "IPv4 header" if is_ipv4(journey.arrived) else "what follows"),
        element("circle", cx=_WAY, cy=y + 11, r=8, class_="neither"),
        path("axis", f"M{_WAY:g} {y + 19:g}V{end:g}"),
        octet_strip(journey.arrived, (), _STRIP, y),
        _words(words, y + height + 14),
    ]
    return shapes, end


def _draw_step(step: JourneyStep, y: float) -> tuple[str, float]:
    """Draw a stage, the frame behind it, what there is to say, and the way on to its end."""
    is_slow = step.stage == SLOW_PATH  # has octets to show only if a packet comes out of it
    has_strip = not is_slow or step.before != step.after
    strip = strip_height(step.after) if has_strip else 0
    lines = [line for words in step_lines(step) for line in _broken(words)]
    is_strong = bool(step.problem) or step.verdict is not None
    stage = _BOX_HEIGHT + (22 if is_strong else 0)
    end = y + max(stage, strip + _LINE * len(lines) + (2 if has_strip else -2)) + _PAUSE
    drawn = group(
        f"{step.stage}: {step.whose}",
        _way(step, y + _BOX_HEIGHT, end),
        box("box", _WAY - _BOX_WIDTH / 2, y, _BOX_WIDTH, _BOX_HEIGHT, 12 if is_slow else 4),
        _stage_name(step.stage, _WAY, y, _STRONG, _BOX_WIDTH),
        octet_strip(step.after, () if step.is_new else step.changed, _STRIP, y) if strip else "",
        *(
            _words(line, y + strip + 14 + n * _LINE, _STRONG if is_strong and n == 0 else "ink")
            for n, line in enumerate(lines)
        ),
    )
    return drawn, end


def _broken(sentence: str) -> list[str]:
    """Break a sentence into lines, between its parts where they are short enough."""
    parts = [
        part.replace(" ", _GLUE) if width_of(part, _SIZE, _STRONG) < _SHORT else part
        for part in sentence.split("; ")
    ]
    lines = wrapped("; ".join(parts), _ROOM, _SIZE, _STRONG)
    return [line.replace(_GLUE, " ") for line in lines]


def _way(step: JourneyStep, top: float, bottom: float) -> str:
    """Draw what leads on from a stage: a line, or the shape of how the way ends."""
    start, cross = f"M{_WAY:g} {top:g}", "v10m-6 -6l12 12m-12 0l12 -12"
    match step.verdict:
        case OutgoingFrame():
            return path("chosen", f"{start}v17m-6 -7l6 8l6 -8")
        case Drop():
            return path("changed", start + cross)
        case Held():
            return path("changed", f"{start}v6m-8 0h16m-16 6h16")
        case Refuse() | Divert():
            return path("changed", f"{start}v7h-22v{bottom - top - 9:g}m-5 -7l5 7l5 -7")
    if step.problem and step.after == step.before and not step.facts:
        return path("changed", start + cross)
    if step.leg and step.stage == SLOW_PATH and step.before == step.after:
        return ""
    places = (_WAY - 2, _WAY + 2) if step.leg else (_WAY,)
    return path("axis", "".join(f"M{x:g} {top:g}V{bottom:g}" for x in places))


def _words(line: str, y: float, look: str = "ink") -> str:
    return label(line, _STRIP, y, look, _SIZE)


def _stages_left(names: Sequence[str], words: str, y: float) -> str:
    """Draw the stages that the packet did not reach, side by side."""
    start, step = _STRIP + width_of(words, _SIZE) + 8, _SMALL_BOX + 4
    room = int((_WIDTH - 8 - start) // step)
    drawn = [*names[: room - 1], "…"] if len(names) > room else names
    boxes = [
        box("gap", start + n * step, y, _SMALL_BOX, _BOX_HEIGHT, 4)
        + _stage_name(name, start + n * step + _SMALL_BOX / 2, y, "quiet", _SMALL_BOX)
        for n, name in enumerate(drawn)
    ]
    return label(words, _STRIP, y + 16.5, "quiet", _SIZE) + "".join(boxes)


def _stage_name(name: str, middle: float, y: float, look: str, width: float) -> str:
    """Write a name into the box of a stage, squeezed or cut where it is too long."""
    name = name if len(name) < _LONGEST_NAME else f"{name[: _LONGEST_NAME - 1]}…"
    return label(name, middle, y + 16.5, look, 13, "middle", width - 10)

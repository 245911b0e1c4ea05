"""Say in words what the picture of a timeline shows, and what it leaves out."""

__all__ = ["MOST_LANES", "notes", "span_in_words", "words_of"]

import textwrap

from course_lib.figures.drawing.svg import Words
from course_lib.figures.headers.header_words import counted, listed
from course_lib.figures.tracing.timeline_lanes import Lane, Scene, Span

MOST_LANES = 24  # that are drawn
_LETTERS, _FEW = 124, 8  # letters in a line; packets that are told one by one


def words_of(scene: Scene) -> Words:
    """Return the title, a line for every span, lane by lane, and what is read out."""
    title, said = _title(scene), notes(scene)
    lines = [title, *said]
    for lane in scene.lanes:
        lines.append(f"{lane.signal}:")
        lines += [f"  {_twin_line(lane, span, scene)}" for span in lane.spans]
    return Words(title, "\n".join(lines), " ".join([f"{title}.", _packets_in_words(scene), *said]))


def _packets(scene: Scene) -> list[int]:
    return sorted({span.value for lane in scene.places for span in lane.spans})


def _title(scene: Scene) -> str:
    """Return the window, and how many of the packets are seen in it."""
    shown, there = len(_packets(scene)), scene.packets
    packets = counted(shown, "packet") if shown == there else f"{shown} of {there:,} packets"
    start, stop = scene.words(scene.window.start), scene.words(scene.window.stop)
    return f"From {start} to {stop}: {packets} in {counted(len(scene.places), 'stage')}"


def notes(scene: Scene) -> list[str]:
    """Say what is not drawn."""
    window, changes = scene.window, scene.timeline.changes
    shown = sum(1 for change in changes if window.start <= change.step < window.stop)
    said = [] if changes else ["Nothing was recorded."]
    if window.breaks:
        said.append("Between dashed lines idle time is cut out; its length stands above them.")
    if shown < len(changes):
        end = scene.words(scene.timeline.last_step)
        said.append(
            f"The window shows {shown:,} of {len(changes):,} changes; the last one is at {end}. "
            "start_s chooses another window."
        )
    still = ", ".join(_still_in_words(lane) for lane in scene.still)
    if still:
        said += textwrap.wrap(f"Unchanged here: {still}.", _LETTERS)
    if len(scene.lanes) > MOST_LANES:
        said.append(f"{len(scene.lanes) - MOST_LANES} more signals change and are not drawn.")
    return said


def _still_in_words(lane: Lane) -> str:
    return f"{lane.signal} {f'{lane.spans[0].value:,}' if lane.spans else 'without a value'}"


def _packets_in_words(scene: Scene) -> str:
    """Return which packets are seen, and in which stages."""
    numbers = [str(number) for number in _packets(scene)]
    if not numbers:
        return "No packet is in any stage."
    which = f"{numbers[0]} to {numbers[-1]}" if len(numbers) > _FEW else listed(numbers)
    return f"Packets {which} are seen in {listed([lane.signal for lane in scene.places])}."


def span_in_words(lane: Lane, span: Span, scene: Scene) -> str:
    """Return what a box or a piece of a line says."""
    signal = lane.signal
    what = f"packet {span.value} in {signal}" if lane.is_place else f"{signal} {span.value:,}"
    return f"{what} from {scene.words(span.start)} to {scene.words(span.stop)}"


def _twin_line(lane: Lane, span: Span, scene: Scene) -> str:
    what = f"packet {span.value}" if lane.is_place else f"{span.value:,}"
    return f"{what} from {scene.words(span.start)} to {scene.words(span.stop)}"

"""Say in words what the picture of a timeline shows, and what it leaves out."""

__all__ = ["MOST_LANES", "notes", "signal_in_words", "span_in_words", "words_of"]

import textwrap
from collections import Counter

from course_lib.figures.drawing.svg import Words
from course_lib.figures.headers.header_words import counted, listed
from course_lib.figures.tracing.timeline_lanes import Lane, Scene, Span

MOST_LANES = 24  # that are drawn
_LETTERS = 124  # in a line


def words_of(scene: Scene) -> Words:
    """Return the title, a line for every span, lane by lane, and what is read out."""
    title, said = _title(scene), notes(scene)
    lines = [title, *said]
    for lane in scene.lanes:
        lines.append(f"{signal_in_words(lane.signal)}:")
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
    value = f"{lane.spans[0].value:,}" if lane.spans else "without a value"
    return f"{signal_in_words(lane.signal)} {value}"


def signal_in_words(signal: str) -> str:
    """Return the name of a signal as people write it.

    >>> signal_in_words("table_changes")
    'table changes'
    """
    return signal.replace("_", " ")


def _packets_in_words(scene: Scene) -> str:
    """Return which packets are seen in which stages; those that go the same way together."""
    ways: dict[tuple[str, ...], list[int]] = {}
    for number in _packets(scene):
        seen = sorted(
            (span.start, signal_in_words(lane.signal))
            for lane in scene.places for span in lane.spans if span.value == number
        )  # fmt: skip
        ways.setdefault(tuple(stage for _, stage in seen), []).append(number)
    if not ways:
        return "No packet is in any stage."
    return " ".join(
        f"{_numbered(numbers)} {'is' if len(numbers) == 1 else 'are'} seen in "
        f"{listed(_told_once(stages))}."
        for stages, numbers in ways.items()
    )


def _numbered(numbers: list[int]) -> str:
    """Return packets with their numbers; of many that follow each other the first and the last."""
    if len(numbers) == 1:
        return f"Packet {numbers[0]}"
    follow = numbers == list(range(numbers[0], numbers[-1] + 1))
    if follow and len(numbers) > 2:
        return f"Packets {numbers[0]} to {numbers[-1]}"
    return f"Packets {listed([str(number) for number in numbers])}"


def _told_once(stages: tuple[str, ...]) -> list[str]:
    """Return each stage once, and how often where a packet is in it more than once."""
    times = Counter(stages)
    return [stage if times[stage] == 1 else f"{stage} ({times[stage]} times)" for stage in times]


def span_in_words(lane: Lane, span: Span, scene: Scene) -> str:
    """Return what a box or a piece of a line says."""
    signal = signal_in_words(lane.signal)
    what = f"packet {span.value} in {signal}" if lane.is_place else f"{signal} {span.value:,}"
    return f"{what} from {scene.words(span.start)} to {scene.words(span.stop)}"


def _twin_line(lane: Lane, span: Span, scene: Scene) -> str:
    what = f"packet {span.value}" if lane.is_place else f"{span.value:,}"
    return f"{what} from {scene.words(span.start)} to {scene.words(span.stop)}"

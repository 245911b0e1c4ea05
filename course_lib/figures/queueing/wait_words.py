"""Say in words what the picture of load and wait shows."""

__all__ = ["Ghost", "WaitView", "wait_words"]

from dataclasses import dataclass

from course_lib.experiments.intervals import Band
from course_lib.ferry.one_line import LineTraffic, expected_wait
from course_lib.figures.drawing.svg import Words
from course_lib.figures.headers.header_words import table
from course_lib.figures.queueing.wait_axes import ASKED_PERCENT, LOAD_TICKS, MOST, WAIT_TICKS
from course_lib.figures.queueing.work_window import WINDOW, Stretch, stretch_in_words

_HEAD = ("load %", "theory", "measured", "low", "high")
GHOST_LETTERS = "abc"


@dataclass(frozen=True, slots=True)
class Ghost:
    """A setting that was tried before, with what was measured of it, by rising load."""

    traffic: LineTraffic
    measured: tuple[Band, ...] = ()


@dataclass(frozen=True, slots=True)
class WaitView:
    """All that the picture shows.

    While the reader is asked, nothing of theory is there. `guess` is None where it does not belong
    to the setting. `band` is what was measured after `packets` of them; it has no width as long as
    `is_coarse`. `measured` are other loads of the same setting.
    """

    traffic: LineTraffic
    percent: int
    band: Band
    packets: int
    stretch: Stretch
    is_asked: bool = False
    is_coarse: bool = True
    guess: int | None = None
    measured: tuple[Band, ...] = ()
    ghosts: tuple[Ghost, ...] = ()

    @property
    def sentences(self) -> tuple[str, str, str]:
        """Return theory, measure, and of what: the lines that stand in the picture."""
        wait, is_bound = expected_wait(self.traffic, self.percent / 100)
        theory = "" if self.is_asked else f"theory {'at most ' if is_bound else ''}{wait:.2f}"
        measured = f"measured {self.band.mean:.2f}"
        if self.is_coarse:
            return theory, measured, f"coarse: {self.packets:,} packets"
        half = (self.band.high - self.band.low) / 2
        return theory, f"{measured} ± {half:.2f}", f"95 % interval, {self.packets:,} packets"


def wait_words(view: WaitView) -> Words:
    """Return title, all numbers, and sentences to hear."""
    traffic, percent = view.traffic, view.percent
    theory, measured, how = view.sentences
    setting = f"{traffic.kendall}: packets come {traffic.arrivals}, sizes {traffic.sizes}"
    title = f"{traffic.kendall}, load {percent} %: {measured}"
    if theory:
        title += f", {theory}"
    if view.is_asked:
        title = (
            f"Load {percent} %: packets wait {view.band.mean:.2f} packet times. "
            f"How long at {ASKED_PERCENT} %?"
        )
    guess = "" if view.guess is None else f"Your guess for {ASKED_PERCENT} %: {view.guess}."
    now = f"Load {percent} %: {', '.join(filter(None, (theory, measured)))}; {how}."
    window = f"In the last {WINDOW} packet times {stretch_in_words(view.stretch)}."
    about = f"{setting}. Waits in packet times."
    text = [title, about, now, guess, *_tables(view), window, _axes()]
    spoken = [
        "Mean wait against load; beside it, the work that waits for the line over time.",
        f"{setting}.", now, guess, window, "" if view.is_asked else _before(view),
    ]  # fmt: skip
    return Words(title, "\n".join(filter(None, text)), " ".join(filter(None, spoken)))


def _tables(view: WaitView) -> list[str]:
    if view.is_asked:
        return []
    lines = table([_HEAD, *(_row(view.traffic, one) for one in view.measured)])
    for letter, ghost in zip(GHOST_LETTERS, view.ghosts, strict=False):
        rows = (_row(ghost.traffic, one) for one in ghost.measured)
        lines += [_here(letter, ghost, view.percent), *table([_HEAD, *rows])]
    return lines


def _row(traffic: LineTraffic, band: Band) -> tuple[str, ...]:
    wait, is_bound = expected_wait(traffic, band.x)
    most = "≤ " if is_bound else ""
    ends = (f"{band.low:.2f}", f"{band.high:.2f}") if band.runs > 1 else ("coarse", "")
    return f"{100 * band.x:.0f}", f"{most}{wait:.2f}", f"{band.mean:.2f}", *ends


def ghost_name(letter: str, ghost: Ghost) -> str:
    """Return a setting of before with its letter.

    >>> ghost_name("a", Ghost(LineTraffic()))
    'a: at random, exponential'
    """
    return f"{letter}: {ghost.traffic.arrivals}, {ghost.traffic.sizes}"


def _before(view: WaitView) -> str:
    """Return the settings that stay as thin lines, with what theory says of them at this load."""
    told = [
        _here(letter, ghost, view.percent)
        for letter, ghost in zip(GHOST_LETTERS, view.ghosts, strict=False)
    ]
    return f"Thin lines are settings before: {'; '.join(told)}." if told else ""


def _here(letter: str, ghost: Ghost, percent: int) -> str:
    wait, is_bound = expected_wait(ghost.traffic, percent / 100)
    most = "at most " if is_bound else ""
    return f"{ghost_name(letter, ghost)}; by theory {most}{wait:.2f} at {percent} %"


def _axes() -> str:
    waits, loads = (", ".join(map(str, ticks)) for ticks in (WAIT_TICKS, LOAD_TICKS))
    return f"Axes: load {loads} %; wait {waits} packet times, longer ones at the edge of {MOST}."

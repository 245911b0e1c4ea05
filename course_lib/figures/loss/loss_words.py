"""Say in words what the picture of loss and rate shows."""

__all__ = ["LossView", "flow_name", "loss_words"]

from collections.abc import Iterable
from dataclasses import dataclass

from course_lib.experiments.intervals import Band
from course_lib.ferry.lossy_line import (
    LossyFlow,
    line_mbit_s,
    square_root_mbit_s,
    timeouts_mbit_s,
)
from course_lib.figures.drawing.svg import Words
from course_lib.figures.headers.header_words import table
from course_lib.figures.loss.aftermath import Aftermath, Stretch
from course_lib.figures.loss.rate_axes import ASKED, PERIOD_TICKS, RATE_TICKS
from course_lib.figures.loss.window_stretch import top_of

ACKED = {1: "each", 2: "every second"}
_HEAD = ("one lost in", "law", "with time-outs", "measured", "low", "high")


@dataclass(frozen=True, slots=True)
class LossView:
    """All that the picture shows, but for the moment.

    While the reader is asked, nothing of theory is there. `how` says where `band` comes from, which
    has no width if it is of a single run. `curve` are other periods of the same flow, `ghost` is a
    flow from before. Rates are in Mbit/s.
    """

    flow: LossyFlow
    band: Band
    how: str
    stretch: Stretch
    after: Aftermath | None = None
    is_asked: bool = False
    is_coarse: bool = True
    guess: float | None = None
    curve: tuple[Band, ...] = ()
    ghost: tuple[LossyFlow, tuple[Band, ...]] | None = None

    @property
    def sentences(self) -> tuple[str, str, str]:
        """Return law, equation with time-outs, and measure: lines that stand in the picture."""
        measured = f"measured {number(self.band.mean)}"
        if self.band.runs > 1:
            half = (self.band.high - self.band.low) / 2
            measured += f" ± {half:.{_digits(self.band.mean)}f}"
        if self.is_asked:
            return "", "", measured
        law, waits = square_root_mbit_s(self.flow), timeouts_mbit_s(self.flow)
        return f"square-root law {number(law)}", f"with time-outs {number(waits)}", measured


def number(rate: float) -> str:
    """Return a rate with as many digits as one can use.

    >>> number(24.494), number(1.97049), number(0.0304)
    ('24.5', '1.97', '0.030')
    """
    return f"{rate:.{_digits(rate)}f}"


def _digits(rate: float) -> int:
    return 1 if rate >= 10 else 2 if rate >= 0.1 else 3


def flow_name(flow: LossyFlow) -> str:
    """Return how a flow loses packets and acknowledges them.

    >>> flow_name(LossyFlow(100))
    'on a clock, each acknowledged'
    """
    return f"{flow.pattern}, {ACKED[flow.packets_per_ack]} acknowledged"


def loss_words(view: LossView, moment: str) -> Words:
    """Return title, all numbers, and sentences to hear; `moment` says what happens at present."""
    every = f"{view.flow.every:,}"
    law, waits, measured = view.sentences
    title = f"One packet in {every} is lost: {measured} Mbit/s"
    title += f" of {line_mbit_s():g}. And one in {ASKED}?" if view.is_asked else f", {law}"
    guess = "" if view.guess is None else f"Your guess for one in {ASKED}: {view.guess:g} Mbit/s."
    setting = (
        f"Packets are lost {flow_name(view.flow)}. Rates in Mbit/s; the line: {line_mbit_s():g}."
    )
    now = f"One in {every}: {', '.join(filter(None, (law, waits, measured)))}; {view.how}."
    ghost = []
    if view.ghost and not view.is_asked:
        ghost = [f"Before: lost {flow_name(view.ghost[0])}.", *_table(*view.ghost)]
    high = top_of(view.stretch, view.after)
    window = (
        f"Window over {view.stretch.end_s:g} s, axis 0 to {high:g} packets; it swings between "
        f"{min(view.stretch.windows):.1f} and {max(view.stretch.windows):.1f}."
    )
    axes = (
        f"Axes: one lost in {', '.join(f'{one:,}' for one in PERIOD_TICKS)}; "
        f"rate {', '.join(f'{one:g}' for one in RATE_TICKS)}."
    )
    rows = [] if view.is_asked else _table(view.flow, view.curve)
    text = [title, setting, now, guess, *rows, *ghost, window, moment, axes]
    spoken = [
        "Window over time; below it, rate against how seldom a packet is lost, on two logarithmic "
        "axes.", setting, now, guess, window, moment,
    ]  # fmt: skip
    return Words(title, "\n".join(filter(None, text)), " ".join(filter(None, spoken)))


def _table(flow: LossyFlow, bands: Iterable[Band]) -> list[str]:
    return table([_HEAD, *(_row(flow._replace(every=round(one.x)), one) for one in bands)])


def _row(flow: LossyFlow, band: Band) -> tuple[str, ...]:
    ends = (number(band.low), number(band.high)) if band.runs > 1 else ("one run", "")
    rates = (square_root_mbit_s(flow), timeouts_mbit_s(flow), band.mean)
    return (f"{flow.every:,}", *map(number, rates), *ends)

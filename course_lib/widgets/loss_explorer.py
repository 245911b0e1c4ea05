"""Drag how seldom a packet is lost and see what a flow gets; drag one packet out, and see why.

First the reader guesses the rate when one packet in a hundred is lost. Then a move runs the flow at
once: a coarse answer. When the hand rests, longer runs follow in other threads: the dot gets its
interval, and the other periods of the setting theirs. The setting before stays as broken rings.

By keyboard: Tab goes to the ladder, where arrows lead up and down and Space guesses; later to the
token of a packet and to the period, which arrows move, with Shift in leaps; and to the controls.

The picture is that of `course_lib.figures.loss.loss_scene`.
"""

__all__ = ["LossExplorer", "explore_loss"]

import time
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from typing import NamedTuple

from course_lib.experiments.intervals import Band, confidence_band
from course_lib.ferry.lossy_line import (
    PATTERNS,
    LossyFlow,
    line_mbit_s,
    lost_packets,
    rate_mbit_s,
    run_lossy,
)
from course_lib.figures.loss.aftermath import (
    Aftermath,
    Stretch,
    aftermath_of,
    packet_at,
    stretch_of,
)
from course_lib.figures.loss.loss_scene import loss_scenes
from course_lib.figures.loss.loss_words import ACKED, LossView, number
from course_lib.figures.loss.rate_axes import ASKED, FEWEST, LOWEST, MOST, every_at
from course_lib.tcp.simulation import TcpRun
from course_lib.widgets.touch.as_written import decimal_number, whole_number
from course_lib.widgets.touch.own_guess import OwnGuess
from course_lib.widgets.touch.touch_figure import (
    Action,
    Button,
    Choice,
    Control,
    Picture,
    TouchFigure,
    Work,
    Written,
)

_REST_S = 0.25  # the hand has come to rest
_AT_FIRST = 10_000
_WARM_UP_S, _COARSE_S = 20.0, 20.0
_SHOWN_S, _SAMPLES = ((200, 5.0), (5_000, 10.0), (30_000, 20.0), (MOST, 80.0)), 400
_SHARP_S, _SEEDS = 200.0, 5
_CURVE_S, _CURVE = 60.0, (5, 8, 20, 50, 200, 500, 2_000, 5_000, 20_000, 50_000)
_OFFERED = PATTERNS[:2]  # bursts are for the experiment

Steps = Iterator[Picture | Work]


def explore_loss(*, guess: float | None = None) -> "LossExplorer":
    """Show what a flow gets of a line that loses packets by itself.

    `guess` is the rate in Mbit/s that the reader expects when one packet in 100 is lost; left out,
    the figure asks. The first run of all prepares machine code, which takes some seconds, and says
    so. Raises `ValueError` for a guess that the line cannot carry.
    """
    if guess is not None and not LOWEST <= guess <= line_mbit_s():
        raise ValueError(f"a guess is a rate from {LOWEST} to {line_mbit_s():g}, not {guess!r}")
    return LossExplorer(guess)


class _Shown(NamedTuple):
    band: Band
    how: str
    stretch: Stretch


class LossExplorer(TouchFigure):
    """The live figure of loss and rate; `band` was measured, `after` is what one packet cost."""

    def __init__(self, guess: float | None) -> None:
        self.flow, self.seed, self.is_coarse = LossyFlow(_AT_FIRST), 0, True
        self.after: Aftermath | None = None
        self._known: dict[LossyFlow, dict[int, Band]] = {}
        self._pool = ThreadPoolExecutor(2)
        self._shown = _coarse_run(self.flow, self.seed)
        self.guess = OwnGuess.of(
            f"One packet in {_AT_FIRST:,} is lost, and about {self.band.mean:.0f} of "
            f"{line_mbit_s():g} Mbit/s are left. How many, if one in {ASKED} is? Press the ladder.",
            None if guess is None else f"{guess:g}",
        )
        actions: dict[str, Action] = {
            "guess": self._guessed,
            "answer": self._answered,
            "packet": self._dragged,
            "period": lambda notch: self._turned(every=every_at(int(notch)), moves=False),
            "written": lambda text: self._turned(every=whole_number(text, FEWEST, MOST)),
            "pattern": lambda text: self._turned(pattern=text),
            "acked": lambda text: self._turned(packets_per_ack=_ACKED_BY_NAME[text]),
            "again": self._again,
        }
        super().__init__(self._draw(), actions)

    @property
    def band(self) -> Band:
        """Return what was measured for the flow of now."""
        return self._shown.band

    def _guessed(self, text: str) -> Picture:
        rate = decimal_number(str(text), LOWEST, line_mbit_s())
        self.guess = self.guess.given_as(f"{rate:g}")
        return self._draw()

    def _answered(self, _: None) -> Steps:
        self.guess = self.guess.answered()
        return self._turned(every=ASKED)

    def _again(self, _: None) -> Steps:
        self.seed += 1
        return self._turned()

    def _turned(
        self,
        *,
        every: int | None = None,
        pattern: str | None = None,
        packets_per_ack: int | None = None,
        moves: bool = True,
    ) -> Steps:
        """Answer at once; then, if the hand rests, measure this period longer, and the others."""
        now = self.flow
        self.flow = LossyFlow(every or now.every, pattern or now.pattern,
                              packets_per_ack or now.packets_per_ack)  # fmt: skip
        flow, seed = self.flow, self.seed
        setting = _setting(flow)
        self._known[setting] = self._known.pop(setting, {})  # the setting of now is the last
        coarse = self._pool.submit(_coarse_run, flow, seed)
        yield coarse
        self._shown, self.is_coarse, self.after = coarse.result(), True, None
        yield self._draw(moves=moves)
        yield self._pool.submit(time.sleep, _REST_S)
        sharp = self._pool.submit(_sharp_band, flow, seed, _SHARP_S)
        yield sharp
        band = self._known[setting][flow.every] = sharp.result()
        self._shown, self.is_coarse = self._shown._replace(band=band, how=_how(band)), False
        yield self._draw()
        if missing := [one for one in _CURVE if one not in self._known[setting]]:
            rest = self._pool.submit(_curve, setting, missing, seed)
            yield rest
            self._known[setting] = rest.result() | self._known[setting]
            yield self._draw()

    def _dragged(self, place: int) -> Steps:
        """Lose a packet of the stretch besides; then, if the hand rests, play what follows."""
        flow, seed, before = self.flow, self.seed, self._shown.stretch
        self.after = None
        if place:
            run = self._pool.submit(_with_one_more, flow, seed, packet_at(before, int(place)))
            yield run
            self.after = aftermath_of(before, run.result(), int(place))
        yield self._draw(moves=False)
        if place:
            yield self._pool.submit(time.sleep, _REST_S)
            yield self._draw(plays=True)

    def _draw(self, *, moves: bool = True, plays: bool = False) -> Picture:
        scenes = loss_scenes(self._view())
        return Picture(
            scenes if plays else scenes[-1:], self._words(), self._controls(), moves, plays
        )

    def _view(self) -> LossView:
        setting, is_asked = _setting(self.flow), self.guess.is_open
        others = [one for one, bands in self._known.items() if one != setting and bands]
        is_of_question = setting == _setting(LossyFlow(ASKED))
        given = self.guess.given if is_of_question else None
        return LossView(
            self.flow, self.band, self._shown.how, self._shown.stretch, self.after,
            is_asked=is_asked, is_coarse=self.is_coarse,
            guess=None if given is None else float(given),
            curve=_by_period(self._known.get(setting, {}) | {self.flow.every: self.band}),
            ghost=(others[-1], _by_period(self._known[others[-1]])) if others else None,
        )  # fmt: skip

    def _words(self) -> tuple[str, ...]:
        if self.guess.is_open:
            return (self.guess.words(),)
        title = loss_scenes(self._view())[-1].words.title
        told = "Drag the packet at the left into the flow: it is lost besides."
        answer = self._known.get(_setting(self.flow), {}).get(ASKED)
        if self.after is not None:
            told = self.after.cost_words
        elif self.flow == LossyFlow(ASKED) and answer is not None:
            told = f"{self.guess.words(number(answer.mean))} {told}"
        return f"{title}.", told

    def _controls(self) -> tuple[Control, ...]:
        if self.guess.is_open:
            return self.guess.controls(5)
        return (
            Written("written", f"One in, {FEWEST} to {MOST:,}", f"{self.flow.every}", 6),
            Choice("pattern", "Lost", _OFFERED, self.flow.pattern),
            Choice(
                "acked", "Acknowledged", tuple(_ACKED_BY_NAME), ACKED[self.flow.packets_per_ack]
            ),
            Button("again", "Run again"),
        )


_ACKED_BY_NAME = {words: count for count, words in ACKED.items()}


def _setting(flow: LossyFlow) -> LossyFlow:
    """Return what all periods of a curve have in common."""
    return flow._replace(every=0)


def _coarse_run(flow: LossyFlow, seed: int) -> _Shown:
    """Return a rate and a stretch, both of one run."""
    length_s = max(_COARSE_S, _shown_s(flow))
    run = _run(flow, seed, length_s)
    rate = rate_mbit_s(run)
    band = Band(float(flow.every), rate, rate, rate, 1)
    return _Shown(band, f"coarse: one run of {length_s:g} s", _stretch(run, flow, seed))


def _run(flow: LossyFlow, seed: int, length_s: float, extra: Sequence[int] = ()) -> TcpRun:
    """Run a flow, with samples as its stretch needs them; `extra` packets are lost as well."""
    to_s, sample_s = _WARM_UP_S + length_s, _shown_s(flow) / _SAMPLES
    return run_lossy(
        flow, from_s=_WARM_UP_S, to_s=to_s, seed=seed, besides=extra, sample_s=sample_s
    )


def _stretch(run: TcpRun, flow: LossyFlow, seed: int, extra: Sequence[int] = ()) -> Stretch:
    """Return the window from the end of the warm-up on."""
    lost = lost_packets(flow.every, flow.pattern, int(run.trace.left[-1]) + 1, seed)
    return stretch_of(run, sorted({*lost, *extra}), _WARM_UP_S, _SAMPLES)


def _with_one_more(flow: LossyFlow, seed: int, packet: int) -> Stretch:
    """Return the stretch in which a packet is lost as well."""
    return _stretch(_run(flow, seed, _shown_s(flow), [packet]), flow, seed, [packet])


def _shown_s(flow: LossyFlow) -> float:
    return next(shown_s for most, shown_s in _SHOWN_S if flow.every <= most)


def _sharp_band(flow: LossyFlow, seed: int, length_s: float) -> Band:
    """Return the mean of several runs; on a clock all are alike, and one is enough."""
    seeds = range(seed, seed + _SEEDS) if flow.pattern != PATTERNS[0] else [seed]
    to_s = _WARM_UP_S + length_s
    rates = [rate_mbit_s(run_lossy(flow, from_s=_WARM_UP_S, to_s=to_s, seed=one)) for one in seeds]
    if len(rates) > 1:
        return confidence_band(flow.every, rates)
    return Band(float(flow.every), rates[0], rates[0], rates[0], 1)


def _how(band: Band) -> str:
    if band.runs > 1:
        return f"95 % interval of {band.runs} runs, {_SHARP_S:g} s each"
    return f"one run of {_SHARP_S:g} s: all are alike"


def _curve(setting: LossyFlow, periods: list[int], seed: int) -> dict[int, Band]:
    return {every: _sharp_band(setting._replace(every=every), seed, _CURVE_S) for every in periods}


def _by_period(bands: dict[int, Band]) -> tuple[Band, ...]:
    return tuple(bands[every] for every in sorted(bands))

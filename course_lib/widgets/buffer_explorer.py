"""Drag the wall of a buffer and see how full its line is, how long packets wait, and why.

First the reader guesses which buffer is enough, with the wall itself. Then a move runs a short
simulation at once: a coarse answer. When the hand rests, longer runs follow in other threads: the
curve of the setting grows, the size of now gets a confidence band, and a second of the run can be
played in slow motion. The curves of settings before stay as thin lines.

By keyboard: Tab goes to the wall, arrows move it, with Shift in leaps; Tab goes on to "in step",
which Space presses, and to the controls.

The picture is that of `course_lib.figures.tcp.buffer_scene`.
"""

__all__ = ["BufferExplorer", "explore_buffers"]

import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from functools import partial

from course_lib.ferry.shared_line import (
    POLICIES,
    Measured,
    Sharing,
    expected_use,
    measure_sharing,
)
from course_lib.figures.tcp.buffer_curves import curve_name
from course_lib.figures.tcp.buffer_scene import BufferView, buffer_scenes
from course_lib.figures.tcp.packet_axis import LARGEST
from course_lib.figures.tcp.saw_teeth import Teeth, teeth_of
from course_lib.figures.tcp.slow_second import Moment, slow_second
from course_lib.tcp.simulation import TcpRun
from course_lib.widgets.buffer_measures import (
    SHARP,
    CurvesSoFar,
    coarse_run,
    curve_run,
    sharp_run,
)
from course_lib.widgets.touch.as_written import whole_number
from course_lib.widgets.touch.own_guess import OwnGuess
from course_lib.widgets.touch.touch_figure import (
    Action,
    Choice,
    Control,
    Picture,
    TouchFigure,
    Work,
    Written,
)

_REST_S = 0.25  # the hand has come to rest
_AT_A_TIME = 5  # sizes by which a curve grows: with each single one it would flicker
_GOAL_PERCENT = 97
_FLOWS = (1, 2, 4, 9, 16, 25, 36, 49, 64)
_SPREADS = {"60 ms, in step": 0, "60 ± 5 ms": 5, "60 ± 15 ms": 15, "60 ± 30 ms": 30}

Steps = Iterator[Picture | Work]


def explore_buffers(
    flows: int = 25, spread_ms: int = 30, *, guess: int | None = None
) -> "BufferExplorer":
    """Show the line from Reed Pier to Lantern Pier, with a buffer whose wall can be dragged.

    `guess` is the buffer that the reader thinks is enough; left out, the figure asks. The first run
    of all prepares machine code, which takes some seconds, and says so. Raises `ValueError` for
    what is not on offer.
    """
    offered = tuple(_SPREADS.values())
    if flows not in _FLOWS or spread_ms not in offered or not 0 <= (guess or 0) <= LARGEST:
        raise ValueError(
            f"offered are {_FLOWS} flows, spreads of {offered} ms, and guesses from 0 to {LARGEST}"
        )
    return BufferExplorer(Sharing(flows, spread_ms), guess)


class BufferExplorer(TouchFigure):
    """The live figure of a buffer; `measured` is what it shows now, None while it asks."""

    def __init__(self, sharing: Sharing, guess: int | None) -> None:
        self.sharing = self._asked_of = sharing
        self.buffer = guess or 0
        self.measured: Measured | None = None
        self._apart_ms = sharing.spread_ms or max(_SPREADS.values())
        self._curves = CurvesSoFar()
        self._moments: tuple[Moment, ...] = ()
        self._teeth: Teeth | None = None
        self._pool = ThreadPoolExecutor(2)
        question = (
            f"{curve_name(sharing)}: how many packets must be able to wait, so that "
            f"{_GOAL_PERCENT} % of the line is used? Drag the wall of the buffer."
        )
        self.guess = OwnGuess.of(question, guess)
        actions: dict[str, Action] = {
            "guess": self._guessed,
            "answer": self._answered,
            "buffer": self._moved,
            "written": self._written,
            "flows": lambda text: self._turned(self.sharing._replace(flows=int(text))),
            "spread": lambda text: self._turned(self.sharing._replace(spread_ms=_SPREADS[text])),
            "policy": lambda text: self._turned(self.sharing._replace(policy=text)),
            "step": self._stepped,
        }
        super().__init__(self._draw(), actions)

    @property
    def is_coarse(self) -> bool:
        """Tell whether what is shown comes from a single run."""
        return self.measured is None or self.measured.utilisation.runs == 1

    def _guessed(self, size: int | str) -> Picture:
        number = whole_number(str(size), 0, LARGEST)
        self.guess = self.guess.given_as(str(number))
        self.buffer = number
        return self._draw(moves=isinstance(size, str))

    def _answered(self, _: None) -> Steps:
        self.guess = self.guess.answered()
        return self._measure()

    def _moved(self, size: int) -> Steps:
        self.buffer = size
        return self._measure(moves=False)

    def _written(self, text: str) -> Steps:
        self.buffer = whole_number(text, 0, LARGEST)
        return self._measure()

    def _stepped(self, how: str) -> Steps:
        spread_ms = 0 if how == "step" else self._apart_ms
        return self._turned(self.sharing._replace(spread_ms=spread_ms))

    def _turned(self, sharing: Sharing) -> Steps:
        self.sharing = sharing
        self._apart_ms = sharing.spread_ms or self._apart_ms
        return self._measure()

    def _measure(self, *, moves: bool = True) -> Steps:
        """Answer at once; then, if the hand rests, measure what is not known yet."""
        sharing, size = self.sharing, self.buffer
        coarse = self._pool.submit(coarse_run, sharing, size)
        yield coarse
        self._curves.turn_to(sharing)
        self._take(coarse.result())
        yield self._draw(moves=moves)
        yield self._pool.submit(time.sleep, _REST_S)
        calls = {size: partial(curve_run, sharing, size) for size in self._curves.missing(sharing)}
        works = {size: self._pool.submit(call) for size, call in calls.items()}
        seeds = range(SHARP.seeds) if self.is_coarse else ()
        sharper = [self._pool.submit(sharp_run, sharing, size, seed) for seed in seeds]
        try:
            for left, (one, work) in zip(reversed(range(len(works))), works.items(), strict=True):
                yield work
                self._curves.keep(sharing, measure_sharing(one, [work.result()]))
                if left % _AT_A_TIME == 0:
                    yield self._draw()
            yield from sharper
            if sharper:
                self.measured = measure_sharing(size, [work.result() for work in sharper])
                self._curves.keep(sharing, self.measured)
            yield self._draw(in_motion=True)
        finally:  # a newer question leaves the rest undone
            for work in (*works.values(), *sharper):
                work.cancel()

    def _take(self, run: TcpRun) -> None:
        """Show a run; if its size has been measured sharply before, with those numbers."""
        self._moments, self._teeth = slow_second(run), teeth_of(run)
        known = self._curves.at(self.sharing, self.buffer)
        is_sharp = known is not None and known.utilisation.runs > 1
        self.measured = known if is_sharp else measure_sharing(self.buffer, [run])

    def _draw(self, *, moves: bool = True, in_motion: bool = False) -> Picture:
        moments = self._moments if in_motion else self._moments[-1:]
        words, controls = (self._words(), self._controls())
        return Picture(buffer_scenes(self._view(), moments), words, controls, moves)

    def _view(self) -> BufferView:
        is_asked = self.sharing == self._asked_of and self.guess.given is not None
        guess = self.buffer if self.guess.is_open else int(self.guess.given or 0)
        return BufferView(
            self.sharing,
            _GOAL_PERCENT,
            guess=guess if is_asked else None,
            shown=self.measured,
            is_coarse=self.is_coarse,
            curve=self._curves.curve(self.sharing),
            ghosts=self._curves.ghosts(self.sharing),
            teeth=self._teeth,
            answer=self._curves.smallest(self.sharing, _GOAL_PERCENT / 100),
        )

    def _words(self) -> tuple[str, ...]:
        if self.measured is None:
            return (self.guess.words(),)
        lines = _in_words(self.sharing, self.measured)
        answer = self._curves.smallest(self._asked_of, _GOAL_PERCENT / 100)
        if self.sharing == self._asked_of and answer is not None:
            lines = (f"{lines[0]} {self.guess.words(str(answer))}", *lines[1:])
        return lines

    def _controls(self) -> tuple[Control, ...]:
        if self.measured is None:
            return self.guess.controls(5)
        flows, spread_ms, policy = self.sharing
        spread = next(name for name, spread in _SPREADS.items() if spread == spread_ms)
        return (
            Written("written", f"Buffer, 0 to {LARGEST}", f"{self.buffer}", 4),
            Choice("flows", "Flows", tuple(map(str, _FLOWS)), f"{flows}"),
            Choice("spread", "Round trips", tuple(_SPREADS), spread),
            Choice("policy", "Drops", POLICIES, policy),
        )


def _in_words(sharing: Sharing, measured: Measured) -> tuple[str, ...]:
    use, wait, slow, lost = measured
    around, theory, how = "", "", "Coarse: one short run so far."
    if use.runs > 1:
        around = f" ± {50 * (use.high - use.low):.2f}"
        how = f"From {use.runs} runs of {SHARP.to_s:g} s, with 95 % band."
    if sharing.policy == POLICIES[0]:
        theory = f" (theory of one flow, or in step: {100 * expected_use(use.x):.2f} %)"
    return (
        f"Buffer {use.x:.0f}: the line is used to {100 * use.mean:.2f}{around} %{theory}.",
        f"Packets wait {wait.mean:.1f} ms on average, 99 of 100 at most {slow.mean:.1f} ms; "
        f"{100 * lost.mean:.2f} % are lost. {how}",
    )

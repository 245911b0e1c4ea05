"""Drag the load of a line and see how long packets wait, and what variance costs.

First the reader guesses the wait at nine tenths of the load. Then a move runs a short simulation at
once: a coarse answer. When the hand rests, a run of a million packets follows in another thread,
and is played: the dot moves as the run goes on, and its interval grows narrow. What was measured
stays as small dots, settings before as thin lines.

By keyboard: Tab goes to the ladder, where arrows lead up and down and Space guesses; later to the
load, which arrows move, with Shift in leaps; and to the controls.

The picture is that of `course_lib.figures.queueing.wait_scene`.
"""

__all__ = ["WaitExplorer", "explore_waits"]

import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from typing import NamedTuple

from course_lib.experiments.intervals import Band
from course_lib.ferry.one_line import (
    ARRIVALS,
    SIZES,
    LineRun,
    LineTraffic,
    SoFar,
    expected_wait,
    progress,
    run_line,
)
from course_lib.figures.drawing.scene import Scene
from course_lib.figures.queueing.wait_axes import ASKED_PERCENT, GUESSES, LOADS
from course_lib.figures.queueing.wait_scene import wait_scene
from course_lib.figures.queueing.wait_words import Ghost, WaitView
from course_lib.figures.queueing.work_window import stretch_before
from course_lib.widgets.touch.as_written import whole_number
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
_COARSE, _LONG = 1_000, 50_000  # packets in a batch
_AT_FIRST = 50  # percent
_GHOSTS = 3
_ASKED = LineTraffic()
_QUESTION = (
    f"Packets come at random, sizes are exponential. At a load of {_AT_FIRST} % packets wait about "
    f"1 packet time. How long do they wait at {ASKED_PERCENT} %? Press the ladder."
)

Steps = Iterator[Picture | Work]


def explore_waits(*, guess: int | None = None) -> "WaitExplorer":
    """Show the mean wait before a line against its load.

    `guess` is how many packet times the reader thinks that packets wait at 90 %; left out, the
    figure asks. The first run of all prepares machine code, which takes some seconds, and says so.
    Raises `ValueError` for a guess that is not a whole number from 0 to 25.
    """
    if guess is not None and guess not in GUESSES:
        raise ValueError(f"a guess is a whole number from 0 to {GUESSES[-1]}, not {guess!r}")
    return WaitExplorer(guess)


class _Shown(NamedTuple):
    run: LineRun
    so_far: tuple[SoFar, ...]  # one of a coarse run
    is_coarse: bool


class WaitExplorer(TouchFigure):
    """The live figure of load and wait; `band` is what was measured for the load of now."""

    def __init__(self, guess: int | None) -> None:
        self.traffic, self.percent, self.seed = _ASKED, _AT_FIRST, 0
        self._known: dict[LineTraffic, dict[int, Band]] = {}
        self._pool = ThreadPoolExecutor(2)
        self.guess = OwnGuess.of(_QUESTION, guess)
        self._shown = _coarse_run(_ASKED, _AT_FIRST, self.seed)
        actions: dict[str, Action] = {
            "guess": self._guessed,
            "answer": self._answered,
            "load": lambda percent: self._measure(percent=int(percent), moves=False),
            "written": lambda text: self._measure(
                percent=whole_number(text, LOADS[0], LOADS[-1])
            ),
            "arrivals": lambda text: self._measure(self.traffic._replace(arrivals=text)),
            "sizes": lambda text: self._measure(self.traffic._replace(sizes=text)),
            "again": lambda _: self._measure(seed=self.seed + 1),
        }  # fmt: skip
        super().__init__(self._draw(), actions)

    @property
    def band(self) -> Band:
        """Return what the last packet shown has told."""
        return self._shown.so_far[-1].wait

    @property
    def is_coarse(self) -> bool:
        """Tell whether what is shown comes from a short run."""
        return self._shown.is_coarse

    def _guessed(self, wait: int | str) -> Picture:
        number = whole_number(str(wait), 0, GUESSES[-1])
        self.guess = self.guess.given_as(str(number))
        return self._draw()

    def _answered(self, _: None) -> Steps:
        self.guess = self.guess.answered()
        return self._measure(percent=ASKED_PERCENT)

    def _measure(
        self,
        traffic: LineTraffic | None = None,
        *,
        percent: int | None = None,
        seed: int | None = None,
        moves: bool = True,
    ) -> Steps:
        """Answer at once; then, if the hand rests, with a long run, step by step."""
        self.traffic = self.traffic if traffic is None else traffic
        self.percent = self.percent if percent is None else percent
        self.seed = self.seed if seed is None else seed
        now = (self.traffic, self.percent, self.seed)
        coarse = self._pool.submit(_coarse_run, *now)
        yield coarse
        self._known[self.traffic] = self._known.pop(self.traffic, {})  # the one of now is the last
        self._shown = coarse.result()
        yield self._draw(moves=moves)
        yield self._pool.submit(time.sleep, _REST_S)
        long = self._pool.submit(_long_run, *now)
        yield long
        self._shown = long.result()
        self._known[self.traffic][self.percent] = self.band
        yield self._draw(plays=True)

    def _draw(self, *, moves: bool = True, plays: bool = False) -> Picture:
        scenes = tuple(map(self._scene, self._shown.so_far))
        return Picture(scenes, self._words(), self._controls(), moves, plays)

    def _scene(self, so_far: SoFar) -> Scene:
        is_asked, run = self.guess.is_open, self._shown.run
        given = self.guess.given if self.traffic == _ASKED else None
        known = self._known.get(self.traffic, {})
        others = [(one, rows) for one, rows in self._known.items() if one != self.traffic and rows]
        return wait_scene(WaitView(
            self.traffic, self.percent, so_far.wait, so_far.packets,
            stretch_before(run, so_far.came),
            is_asked=is_asked, is_coarse=self.is_coarse,
            guess=None if given is None else int(given),
            measured=_by_load(known | {self.percent: so_far.wait}),
            ghosts=tuple(Ghost(one, _by_load(rows)) for one, rows in others[-_GHOSTS:]),
        ))  # fmt: skip

    def _words(self) -> tuple[str, ...]:
        if self.guess.is_open:
            return (self.guess.words(),)
        title = self._scene(self._shown.so_far[-1]).words.title
        how = "A short run so far." if self.is_coarse else f"Run {self.seed + 1}, step by step."
        if self.traffic == _ASKED:
            answer = expected_wait(_ASKED, ASKED_PERCENT / 100).wait
            how = f"{how} At {ASKED_PERCENT} %: {self.guess.words(f'{answer:.3g}')}"
        return f"{title}.", how

    def _controls(self) -> tuple[Control, ...]:
        if self.guess.is_open:
            return self.guess.controls(4)
        low, high = LOADS[0], LOADS[-1]
        return (
            Written("written", f"Load, {low} to {high} %", f"{self.percent}", 4),
            Choice("arrivals", "Packets come", ARRIVALS, self.traffic.arrivals),
            Choice("sizes", "Sizes", SIZES, self.traffic.sizes),
            Button("again", "Run again"),
        )


def _coarse_run(traffic: LineTraffic, percent: int, seed: int) -> _Shown:
    run = run_line(traffic, percent / 100, _COARSE, seed)
    last = progress(run)[-1]
    mean = last.wait.mean
    return _Shown(run, (last._replace(wait=Band(last.wait.x, mean, mean, mean, 1)),), True)


def _long_run(traffic: LineTraffic, percent: int, seed: int) -> _Shown:
    run = run_line(traffic, percent / 100, _LONG, seed)
    return _Shown(run, tuple(progress(run)), False)


def _by_load(bands: dict[int, Band]) -> tuple[Band, ...]:
    return tuple(bands[percent] for percent in sorted(bands))

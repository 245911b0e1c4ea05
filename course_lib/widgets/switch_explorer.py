"""Watch a switch slot by slot, and see what share of its outputs is busy.

First the reader guesses how much a switch with one line at each input carries. Then its slots are
played: requests, grants, what crosses, what has to stay. At the end long runs of ever larger
switches fill the curve below. A list offers other ways to wait and to choose; what was measured
before stays as thin lines.

By keyboard: Tab goes to the ladder, where arrows lead up and down and Space guesses; later to the
list, and to what plays the steps.

The picture is that of `course_lib.figures.switching.switch_scene`.
"""

__all__ = ["SwitchExplorer", "explore_switch"]

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from itertools import pairwise

from course_lib.experiments.intervals import Band
from course_lib.ferry.one_switch import (
    MEASURED_PORTS,
    ONE_LINE,
    PORTS,
    SWITCHES,
    expected_share,
    measure_saturation,
    watch_slots,
)
from course_lib.figures.switching.saturation_axes import GUESSES
from course_lib.figures.switching.switch_scene import switch_scene
from course_lib.figures.switching.switch_view import CROSS, Ghost, SwitchView, phases_of
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
)

_SLOTS, _LONG = 8, 20_000  # that are watched, and that are measured
_MOST = GUESSES[-1]
_QUESTION = (
    f"All {PORTS} lines are full, and only the first cell of each may cross. What share of the "
    f"{PORTS} outputs is busy, on average? Press the ladder below."
)

Steps = Iterator[Picture | Work]


def explore_switch(*, guess: int | None = None) -> "SwitchExplorer":
    """Show a switch of four ports slot by slot, and what switches of 1 to 16 ports carry.

    `guess` is how many percent of four outputs the reader thinks to be busy; left out, the figure
    asks. The first long run prepares machine code, which takes some seconds, and says so.
    Raises `ValueError` for a guess that is not a whole number from 0 to 100.
    """
    if guess is not None and (type(guess) is not int or not 0 <= guess <= _MOST):
        raise ValueError(f"a guess is a whole number from 0 to {_MOST}, not {guess!r}")
    return SwitchExplorer(guess)


class SwitchExplorer(TouchFigure):
    """The live figure of the crossbar; `measured` is what the switch of now carries."""

    def __init__(self, guess: int | None) -> None:
        self.switch, self.seed = ONE_LINE, 0
        self.measured: dict[str, tuple[Band, ...]] = {}
        self._pool = ThreadPoolExecutor(1)
        self.guess = OwnGuess.of(_QUESTION, guess)
        actions: dict[str, Action] = {
            "guess": self._guessed,
            "answer": self._answered,
            "switch": lambda switch: self._run(switch, self.seed),
            "again": lambda _: self._run(self.switch, self.seed + 1),
        }
        super().__init__(self._first(), actions)

    def _guessed(self, share: int | str) -> Picture:
        self.guess = self.guess.given_as(str(whole_number(str(share), 0, _MOST)))
        return self._first()

    def _answered(self, _: None) -> Steps:
        self.guess = self.guess.answered()
        return self._run(self.switch, self.seed)

    def _run(self, switch: str, seed: int) -> Steps:
        """Show the first slot at once; play all of them when the long runs are done."""
        self.switch, self.seed = switch, seed
        yield self._first()
        long = self._pool.submit(_all_sizes, switch, seed)
        yield long
        self.measured.pop(switch, None)  # the one of now is the last
        self.measured[switch] = long.result()
        scenes = [switch_scene(view) for view in self._views()]
        yield Picture(tuple(scenes), self._words(), self._controls(), plays=True)

    def _first(self) -> Picture:
        view = self._watched()[0]
        return Picture((switch_scene(view),), self._words(), self._controls())

    def _watched(self) -> list[SwitchView]:
        """Return the phases of the first slots."""
        watched = watch_slots(self.switch, _SLOTS + 1, self.seed)
        ghosts = [Ghost(switch, bands) for switch, bands in self.measured.items()
                  if switch != self.switch]  # fmt: skip
        guess = self.guess.given if self.switch == ONE_LINE else None
        views, crossed = [], list[int]()
        for number, (slot, after) in enumerate(pairwise(watched), start=1):
            for phase in phases_of(self.switch):
                moved = after if phase == CROSS else slot
                crossed += [slot.crossed] if phase == CROSS else []
                views.append(SwitchView(
                    self.switch, slot, number, phase, tuple(crossed),
                    (moved.output_pointers, moved.input_pointers), ghosts=tuple(ghosts),
                    is_asked=self.guess.is_open, guess=None if guess is None else int(guess),
                ))  # fmt: skip
        return views

    def _views(self) -> Iterator[SwitchView]:
        """Yield the slots one by one; then, with the last of them, one measure after the other."""
        watched, measured = self._watched(), self.measured[self.switch]
        yield from watched
        for count in range(1, len(measured) + 1):
            yield replace(watched[-1], measured=measured[:count], slots_measured=_LONG)

    def _words(self) -> tuple[str, ...]:
        if self.guess.is_open:
            return (self.guess.words(),)
        answer = 100 * expected_share(ONE_LINE, PORTS)
        told = f"One line at each input, {PORTS} ports: {self.guess.words(f'{answer:.1f}')}"
        name = self.switch[0].upper() + self.switch[1:]
        return f"{name}; all inputs stay full.", told

    def _controls(self) -> tuple[Control, ...]:
        if self.guess.is_open:
            return self.guess.controls(4)
        return Choice("switch", "Cells wait in", SWITCHES, self.switch), Button(
            "again", "Run again"
        )


def _all_sizes(switch: str, seed: int) -> tuple[Band, ...]:
    return tuple(measure_saturation(switch, ports, _LONG, seed) for ports in MEASURED_PORTS)

"""Cut or mend a line, and watch two routing protocols find the way again.

First the reader guesses for how long packets are lost with distance vector. Then the change is
played: messages travel as dots, tables change, and below it lies what was lost. Each change runs
the network anew, in another thread.

By keyboard: Tab goes to the maps, arrows lead from line to line and from router to router, Space
cuts, mends, or shows a table. While the figure asks, Tab goes to the flag, which arrows move.

The picture is that of `course_lib.figures.routing.routes_scene`.
"""

__all__ = ["RouteExplorer", "explore_routes"]

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor

from course_lib.ferry.changed_line import (
    DESTINATIONS,
    DISTANCE_VECTOR,
    TOLD_BACK,
    WAYS,
    Change,
    Story,
    follow_change,
)
from course_lib.figures.routing.loss_axis import guess_s, time_words
from course_lib.figures.routing.routes_scene import RoutesView, routes_scenes
from course_lib.widgets.touch.own_guess import OwnGuess
from course_lib.widgets.touch.touch_figure import (
    Action,
    Choice,
    Control,
    Picture,
    TouchFigure,
    Work,
)

_ASKED = Change("Gull Rock - Lantern Pier")
_QUESTION = (
    f"The line {_ASKED.line} will be cut, with a way round it left. For how long after that will "
    f"packets to the {_ASKED.destination} be lost, with distance vector? Drag the flag."
)
_HINT = (
    "Press a line to cut or mend it, a router to see its table. “Told back” is what distance "
    "vector tells a neighbour of routes that lead to it."
)

Steps = Iterator[Picture | Work]


def explore_routes() -> "RouteExplorer":
    """Show the ferry network twice, before a line is cut, and after a guess what happens."""
    return RouteExplorer()


class RouteExplorer(TouchFigure):
    """The live figure of routes; `stories` tell what each protocol made of the `change` of now."""

    def __init__(self) -> None:
        self.change, self.router = _ASKED, "North Pier"
        self._tenths: int | None = None
        self._pool = ThreadPoolExecutor(1)
        self.guess = OwnGuess(_QUESTION)
        self.stories = _stories(_ASKED)
        actions: dict[str, Action] = {
            "guess": self._guessed,
            "answer": self._answered,
            "line": self._pressed,
            "place": self._chosen,
            "destination": lambda host: self._run(self.change._replace(destination=host)),
            "told back": lambda told: self._run(self.change._replace(told_back=told)),
        }
        super().__init__(self._draw(), actions)

    def _guessed(self, tenths: int) -> Picture:
        self.guess = self.guess.given_as(time_words(guess_s(tenths)))
        self._tenths = tenths
        return self._draw(moves=False)

    def _answered(self, _: None) -> Picture:
        self.guess = self.guess.answered()
        return self._draw(plays=True)

    def _pressed(self, line: str) -> Steps:
        return self._run(self.change._replace(line=line, cut_before=self.change.cut_after))

    def _chosen(self, place: str) -> Picture:
        self.router = place
        return self._draw()

    def _run(self, change: Change) -> Steps:
        """Run both networks through a change, and play it."""
        work = self._pool.submit(_stories, change)
        yield work
        self.stories, self.change = work.result(), change
        yield self._draw(plays=True)

    def _draw(self, *, moves: bool = True, plays: bool = False) -> Picture:
        given = self._tenths if self.change == _ASKED else None
        view = RoutesView(self.change, self.stories, self.router, given, self.guess.is_open)
        return Picture(routes_scenes(view), self._words(), self._controls(), moves, plays)

    def _words(self) -> tuple[str, ...]:
        if self.guess.is_open:
            return (self.guess.words(),)
        lost_s = self.stories[DISTANCE_VECTOR].lost_s
        if self.change != _ASKED or not lost_s:
            return (_HINT,)
        return (f"{self.guess.words(time_words(lost_s[-1]))} {_HINT}",)

    def _controls(self) -> tuple[Control, ...]:
        if self.guess.is_open:
            return self.guess.controls(letters=0)
        change = self.change
        return (
            Choice("destination", "Packets to", tuple(DESTINATIONS), change.destination),
            Choice("told back", "Told back", tuple(TOLD_BACK), change.told_back),
        )


def _stories(change: Change) -> dict[str, Story]:
    return {way: follow_change(change, way) for way in WAYS}

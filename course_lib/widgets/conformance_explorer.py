"""Guess how many clauses a router keeps, watch the board fill up, and press any clause to read it.

The board fills while the clauses are tried. A press on a mark tells what is sent, what has to come
by which clause, and, once that was tried, what came and what differs.

By keyboard: Tab goes to the marks, arrows lead from one to the next, Space chooses; Tab goes on to
the field and the button.

The picture is that of `course_lib.figures.conformance.board_scene`.
"""

__all__ = ["ConformanceExplorer", "watch_conformance"]

from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from itertools import islice

from course_lib.conformance.all_clauses import SCENARIOS
from course_lib.conformance.bench import RouteGiven
from course_lib.conformance.board import (
    Board,
    Outcome,
    Play,
    Result,
    played_results,
    results_of,
    untried,
)
from course_lib.conformance.playing import MakeRouter
from course_lib.figures.conformance.board_scene import board_scene
from course_lib.forwarding.router import Router
from course_lib.ip.packets import Interface
from course_lib.live.carrying.recipes import Recipe
from course_lib.live.live_board import LiveBoard
from course_lib.live.private_network.refusals import NoAbilityError
from course_lib.widgets.touch.as_written import RefusedError, whole_number
from course_lib.widgets.touch.own_guess import OwnGuess
from course_lib.widgets.touch.touch_figure import (
    Action,
    Button,
    Control,
    Picture,
    TouchFigure,
    Work,
)

_AT_A_TIME = 8  # clauses between two pictures
_QUESTION = f"How many of the {len(SCENARIOS)} clauses does this router not keep?"


def library_router(interfaces: Sequence[Interface], routes: Sequence[RouteGiven]) -> Router:
    """Return the library's router, for who wants to see the board before there is one's own."""
    router = Router("North Pier", interfaces)
    for route in routes:
        router.add_route(*route)
    return router


def watch_conformance(
    make_router: MakeRouter = library_router,
    *,
    guess: int | None = None,
    play: Play | None = None,
    live: Recipe | None = None,
) -> "ConformanceExplorer":
    """Show a board of clauses that fills up while a router is tried.

    make_router: called as `make_router(interfaces, routes)` for every clause, as by
        `conformance_board`; left out, the library's router is tried.
    guess: how many clauses the reader thinks are not kept; left out, the figure asks.
    play: how a router is reached that is no object here.
    live: a recipe, such as `my_recipe("make_mine")`: then the router is tried as a process between
        real kernels, in a private network of its own, and `make_router` is not called.

    Raises `ValueError` for a guess that is not possible.
    """
    if not 0 <= (guess or 0) <= len(SCENARIOS):
        raise ValueError(f"guess must be 0 to {len(SCENARIOS)}, not {guess}")
    return ConformanceExplorer(make_router, guess, play, live)


class ConformanceExplorer(TouchFigure):
    """The live figure of a board; `board` is what it shows now."""

    def __init__(
        self,
        make_router: MakeRouter,
        guess: int | None,
        play: Play | None = None,
        live: Recipe | None = None,
    ) -> None:
        self.board = untried()
        self._make_router, self._play, self._live = make_router, play, live
        self._shown = SCENARIOS[0].name
        self._is_chosen = False  # what is shown was pressed, so a failure does not replace it
        self._pool = ThreadPoolExecutor(1)
        self.guess = OwnGuess.of(_QUESTION, guess)
        actions: dict[str, Action] = {
            "clause": self._pressed,
            "guess": self._guessed,
            "answer": self._answered,
            "again": lambda _: self._fill(),
        }
        super().__init__(self._draw(), actions)

    def _pressed(self, name: str) -> Picture:
        self._shown, self._is_chosen = name, True
        return self._draw()

    def _guessed(self, text: str) -> Picture:
        self.guess = self.guess.given_as(str(whole_number(text, 0, len(SCENARIOS))))
        return self._draw()

    def _answered(self, _: None) -> Iterator[Picture | Work]:
        self.guess = self.guess.answered()
        return self._fill()

    def _fill(self) -> Iterator[Picture | Work]:
        """Try all clauses, and show every few of them what is known by then."""
        known: list[Result] = []
        self._is_chosen = False
        trying = self._trying()
        while len(known) < len(SCENARIOS):
            if self._play is None and self._live is None:
                known += islice(trying, _AT_A_TIME)
            else:
                work = self._pool.submit(partial(next, trying))
                yield work
                try:
                    known.append(work.result())
                except NoAbilityError as refused:
                    raise RefusedError(f"There is no private network here: {refused}.") from None
            self.board = Board((*known, *untried().results[len(known) :]))
            self._turn_to_failure()
            yield self._draw()

    def _trying(self) -> Iterator[Result]:
        if self._live is not None:
            return self._lively(self._live)
        if self._play is not None:
            return played_results(self._play, SCENARIOS)
        return results_of(self._make_router, SCENARIOS)

    def _lively(self, recipe: Recipe) -> Iterator[Result]:
        """Try a router's process; its network is there as long as results are asked for."""
        with LiveBoard(recipe) as board:
            yield from played_results(board.play, SCENARIOS)

    def _turn_to_failure(self) -> None:
        """Show the first clause that failed, unless the reader has chosen one."""
        failed = self.board.names(Outcome.FAILED)
        if failed and not self._is_chosen:
            self._shown = failed[0]

    def _draw(self) -> Picture:
        scene = board_scene(self.board, self.board[self._shown], can_be_pressed=True)
        return Picture((scene,), (self._words(),), self._controls())

    def _words(self) -> str:
        if self.guess.is_open:
            return self.guess.words()
        board, total = self.board, len(SCENARIOS)
        tried = total - board.count(Outcome.NOT_TRIED)
        if tried < total:
            return f"{tried} of {total} clauses are tried."
        broken = board.count(Outcome.FAILED) + board.count(Outcome.NOT_REACHED)
        return f"{self.guess.words(str(broken))} Press a mark to read its clause."

    def _controls(self) -> tuple[Control, ...]:
        return self.guess.controls(4) or (Button("again", "Try all again"),)

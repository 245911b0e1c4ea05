"""The board: what became of every clause, with a router that somebody built.

    board = conformance_board(make_router)
    print(board)                       # a line for each clause
    print(board["time to live lowered"])   # what was sent, what had to come, what came

A clause is *passed* or *failed*. It is *not reached* if the router already fails at something that
this clause rests on: then the result would say nothing about the clause itself.
"""

__all__ = [
    "Board",
    "Outcome",
    "Play",
    "Result",
    "board_of",
    "conformance_board",
    "played_results",
    "results_of",
    "untried",
]

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

from course_lib.conformance.all_clauses import SCENARIOS
from course_lib.conformance.given import Given
from course_lib.conformance.playing import MakeRouter, play_on_object
from course_lib.conformance.scenario import Exchange, Scenario
from course_lib.conformance.seen import Sent, frame_in_words
from course_lib.network.simulation import CALL_LIMIT_S
from course_lib.runner.time_limit import CallLimit

Play = Callable[[Scenario], Exchange | str]
"""Tries a scenario; a text in place of an exchange says why this router cannot be asked."""

_MOST_LINES = 6  # of frames that were sent, and of those that came


class Outcome(StrEnum):
    """What became of a clause."""

    PASSED = "passed"
    FAILED = "failed"
    NOT_REACHED = "not reached"
    NOT_TRIED = "not tried"


_ENDED = {
    Outcome.FAILED: "failed",
    Outcome.NOT_REACHED: "was not reached",
    Outcome.NOT_TRIED: "was not tried",
}


class Result(NamedTuple):
    """What became of one clause; `why` says what is wrong, or why it was not tried."""

    scenario: Scenario
    outcome: Outcome
    why: str = ""
    came: tuple[Sent, ...] = ()

    def lines(self, most: int = _MOST_LINES) -> list[str]:
        """Return the clause and its outcome, what was sent, what had to come, and what came.

        most: so many frames are told of what was sent, and of what came.
        """
        scenario = self.scenario
        lines = [f"{scenario.name}: {self.outcome}", f"{scenario.clause}: {scenario.rule}."]
        lines += _listed("sent", scenario.given, most)
        lines.append(f"had to come: {scenario.expected.words}")
        if self.outcome in (Outcome.PASSED, Outcome.FAILED):
            lines += _listed("came", self.came, most)
        if self.why:
            name = "what is wrong" if self.outcome is Outcome.FAILED else "why"
            lines.append(f"{name}: {self.why}")
        return lines

    def __str__(self) -> str:
        return "\n".join(self.lines())


@dataclass(frozen=True)
class Board:
    """All results, in the order of the clauses. `board["..."]` is the result of one clause."""

    results: tuple[Result, ...]

    def __getitem__(self, name: str) -> Result:
        """Return the result of the clause with this name; raises `KeyError` if there is none."""
        for each in self.results:
            if each.scenario.name == name:
                return each
        raise KeyError(f"there is no clause {name!r}: print the board to see their names")

    @property
    def core(self) -> "Board":
        """The clauses that are for every router."""
        return Board(tuple(each for each in self.results if each.scenario.is_core))

    @property
    def extras(self) -> "Board":
        """The clauses that a router of this course may leave out."""
        return Board(tuple(each for each in self.results if not each.scenario.is_core))

    def names(self, outcome: Outcome) -> tuple[str, ...]:
        """Return the names of the clauses with this outcome."""
        return tuple(each.scenario.name for each in self.results if each.outcome == outcome)

    def counts(self) -> dict[Outcome, int]:
        """Return how many clauses have each outcome."""
        counted = Counter(each.outcome for each in self.results)
        return {outcome: counted[outcome] for outcome in Outcome}

    def count(self, outcome: Outcome) -> int:
        """Return how many clauses have this outcome."""
        return self.counts()[outcome]

    def __str__(self) -> str:
        width = max((len(each.scenario.name) for each in self.results), default=0)
        heading = ", ".join(f"{number} {outcome}" for outcome, number in self.counts().items())
        rows = [
            f"{each.outcome:<11}  {each.scenario.name:<{width}}  {each.scenario.clause}"
            f"{'' if each.scenario.is_core else ' (extra)'}"
            for each in self.results
        ]
        return "\n".join([f"{len(self.results)} clauses: {heading}", *rows])


def conformance_board(make_router: MakeRouter, scenarios: Sequence[Scenario] = SCENARIOS) -> Board:
    """Try all clauses with routers of one make.

    make_router: called as `make_router(interfaces, routes)` for every clause; returns a router
    with `receive`, `tick` and `next_tick_s`. A route is (prefix, next hop or None, interface).

    >>> from course_lib.forwarding.router import Router
    >>> def make_router(interfaces, routes):
    ...     router = Router("North Pier", interfaces)
    ...     for route in routes:
    ...         router.add_route(*route)
    ...     return router
    >>> conformance_board(make_router).count(Outcome.FAILED)
    0
    """
    return Board(tuple(results_of(make_router, scenarios)))


def results_of(make_router: MakeRouter, scenarios: Sequence[Scenario]) -> Iterator[Result]:
    """Yield one result after the other, as soon as it is there."""

    def play(scenario: Scenario) -> Exchange:
        # The limit takes hold of signals, so it must not stay while somebody else runs.
        with CallLimit(CALL_LIMIT_S) as limit:
            return play_on_object(make_router, scenario, limit)

    return played_results(play, scenarios)


def board_of(play: Play, scenarios: Sequence[Scenario] = SCENARIOS) -> Board:
    """Try all clauses with a router that is reached by `play`, in whatever way."""
    return Board(tuple(played_results(play, scenarios)))


def played_results(play: Play, scenarios: Sequence[Scenario]) -> Iterator[Result]:
    """Yield one result after the other, of a router that is reached by `play`."""
    known: dict[str, Result] = {}
    for scenario in scenarios:
        known[scenario.name] = _tried(scenario, play, known)
        yield known[scenario.name]


def untried(scenarios: Sequence[Scenario] = SCENARIOS) -> Board:
    """Return a board on which nothing has been tried yet."""
    return Board(tuple(Result(each, Outcome.NOT_TRIED) for each in scenarios))


def _tried(scenario: Scenario, play: Play, known: dict[str, Result]) -> Result:
    """Try one clause, if all that it rests on is there."""
    for need in scenario.needs:
        if need in known and known[need].outcome is not Outcome.PASSED:
            why = f"it rests on “{need}”, which {_ENDED[known[need].outcome]}"
            return Result(scenario, Outcome.NOT_REACHED, why)
    exchange = play(scenario)
    if isinstance(exchange, str):
        return Result(scenario, Outcome.NOT_TRIED, exchange)
    problem = exchange.trouble or scenario.expected.problem(exchange.seen(scenario))
    if not problem:
        return Result(scenario, Outcome.PASSED, came=exchange.sent)
    hint = f" (the router complains: {exchange.complaint})" if exchange.complaint else ""
    return Result(scenario, Outcome.FAILED, problem + hint, exchange.sent)


def _listed(name: str, frames: Sequence[Sent | Given], most: int) -> list[str]:
    """Return a line for each frame; of very many the first few, and how many more there are."""
    lines = [f"{at_s:.4g} s, {link}: {frame_in_words(octets)}" for at_s, link, octets in frames]
    more = [f"and {len(lines) - most} more"] if len(lines) > most else []
    return [f"{name}: {line}" for line in [*lines[:most], *more] or ["nothing"]]

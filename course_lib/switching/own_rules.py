"""Put your own matching into the switch.

A rule is a plain function; `matching` tells what it is given and what it fills in:

    def lowest_first(requests, settings, memory, matched):
        for i in range(len(matched)):
            for output in range(len(matched)):
                if requests[i, output] > 0 and output not in matched:
                    matched[i] = output
                    break

    simulate_switch(cells, Waiting.VIRTUAL, own_matching(lowest_first))

As in `queueing.own_rules` it runs as machine code if it can be compiled, and otherwise in plain
Python; then a line is printed that says why. An error in it, or a loop without an end, stops the
run with a `RuleError` that tells the line and what the rule was asked. A matching that sends what
is not there, or two cells to one output, stops the run with a ValueError.
"""

__all__ = ["own_matching"]

from collections.abc import Sequence
from typing import Any

from course_lib.engine.machine_types import Counts, CountTable
from course_lib.engine.own_functions import Tell, as_rule, tell_of
from course_lib.engine.rules import RuleKind
from course_lib.switching.matching import Matching, MatchRule


def own_matching(
    rule: MatchRule,
    *,
    settings: Sequence[int] = (),
    memory: Sequence[int] = (),
    tell: Tell = print,
) -> Matching:
    """Return a matching by your own function, which fills in `matched`.

    `tell` gets the line about a rule that cannot be compiled. Raises TypeError for something that
    is not a function of four arguments, and for settings or memory that are not whole numbers.
    """
    own = as_rule(rule, MATCH)
    matching = Matching(own, _row("settings", settings), _row("memory", memory))
    tell_of([own], tell)
    return matching


def _no_problem(answer: Any, requests: CountTable) -> str:
    return ""  # the switch itself looks at what was filled in


def _asked(requests: CountTable) -> str:
    return f"It was asked with these numbers of cells waiting: {requests.tolist()}"


def _guard(rule: Any, begin: Any) -> Any:
    def match(requests: CountTable, settings: Counts, memory: Counts, matched: Counts) -> None:
        begin()
        rule(requests, settings, memory, matched)

    return match


def _row(name: str, values: Sequence[int]) -> tuple[int, ...]:
    if not all(isinstance(value, int) for value in values):
        raise TypeError(f"{name} must be a row of whole numbers, not {values!r}")
    return tuple(values)


MATCH = RuleKind(
    "matching rule",
    ("requests", "settings", "memory", "matched"),
    MatchRule,
    _no_problem,
    _asked,
    _guard,
)

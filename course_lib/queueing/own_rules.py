"""Put your own drop policy or scheduler into the loops of this package.

A rule is a plain function; `drop_policies` and `schedulers` tell what it is given and what it has
to answer:

    def drop_large(view, settings, memory):
        return view.others >= 20 and view.octets > settings[0]

    mine = own_policy(drop_large, settings=(1000,))
    simulate(packets, 1e6, drop=mine)

It runs as machine code if it can be compiled, and otherwise, with the whole loop, in plain Python;
then a line is printed that says why. What can be compiled:
numbers, the rows it is given, `math`, loops, and functions of the same file or notebook that keep
to that.

Either way a rule that raises an error, gives an answer that cannot be meant, or never comes to an
end, stops the run with a `RuleError`: it tells the line and what the rule was asked about.

Machine code differs from Python in few things: whole numbers have 64 bits, `math.sqrt` and
`math.log` answer "not a number" where Python raises an error, and values outside the function are
taken as they are when `own_policy` is called.
"""

__all__ = ["RuleError", "own_policy", "own_scheduler"]

import math
from collections.abc import Sequence
from numbers import Real
from typing import Any

import numpy as np

from course_lib.engine.machine_types import Numbers
from course_lib.engine.own_functions import Tell, as_rule, tell_of
from course_lib.engine.rules import NonsenseError, RuleError, RuleKind
from course_lib.queueing.checks import whole
from course_lib.queueing.drop_policies import DropPolicy, DropRule, PacketView, keep
from course_lib.queueing.schedulers import ChoiceRule, Heads, Scheduler


def own_policy(
    on_arrival: DropRule = keep,
    at_head: DropRule = keep,
    *,
    settings: Sequence[float] = (),
    memory: Sequence[float] = (),
    tell: Tell = print,
) -> DropPolicy:
    """Return a drop policy of your own functions, which answer True for "drop it".

    `tell` gets the line about a rule that cannot be compiled. Raises TypeError for something that
    is not a function of three arguments: a `PacketView`, the settings and the memory.
    """
    rules = [_rule(function, DROP) for function in (on_arrival, at_head)]
    rows = _row("settings", settings), _row("memory", memory)
    policy = DropPolicy(rules[0], rules[1], *rows)
    tell_of(rules, tell)
    return policy


def own_scheduler(
    choose: ChoiceRule,
    queues: int,
    *,
    settings: Sequence[float] = (),
    memory: Sequence[float] = (),
    tell: Tell = print,
) -> Scheduler:
    """Return a scheduler of your own function, which answers with the number of a queue.

    As `own_policy`; the function is given `Heads` with an entry for each of the `queues`.
    """
    rule = _rule(choose, CHOICE)
    rows = _row("settings", settings), _row("memory", memory)
    scheduler = Scheduler(rule, whole(1, "queues", queues), *rows)
    tell_of([rule], tell)
    return scheduler


def _drop_problem(answer: Any, view: PacketView) -> str:
    if isinstance(answer, Real | np.bool_) and answer in (0, 1):
        return ""
    return "The answer has to be True (drop the packet) or False (keep it)."


def _drop_asked(view: PacketView) -> str:
    values = (f"{name}={value:.9g}" for name, value in zip(view._fields, view, strict=True))
    return f"It was asked about a packet with {', '.join(values)}"


def _drop_guard(rule: Any, begin: Any) -> Any:
    def ask(view: PacketView, settings: Numbers, memory: Numbers) -> bool:
        begin()
        answer = rule(view, settings, memory)
        if answer != 0 and answer != 1:
            raise NonsenseError
        return bool(answer == 1)

    return ask


def _choice_problem(answer: Any, heads: Heads) -> str:
    is_number = isinstance(answer, Real | np.bool_) and math.isfinite(answer)
    if is_number and answer in np.flatnonzero(heads.waiting):
        return ""
    return "The answer has to be the number of a queue in which a packet waits."


def _choice_asked(heads: Heads) -> str:
    waiting = ", ".join(f"{count} in queue {queue}" for queue, count in enumerate(heads.waiting))
    return f"It was asked with these numbers of packets waiting: {waiting}"


def _choice_guard(rule: Any, begin: Any) -> Any:
    def ask(heads: Heads, settings: Numbers, memory: Numbers) -> int:
        begin()
        answer = rule(heads, settings, memory)
        if not 0 <= answer < len(heads.waiting) or answer != int(answer):
            raise NonsenseError
        if heads.waiting[int(answer)] == 0:
            raise NonsenseError
        return int(answer)

    return ask


DROP = RuleKind(
    "drop rule",
    ("view", "settings", "memory"),
    DropRule,
    _drop_problem,
    _drop_asked,
    _drop_guard,
)
CHOICE = RuleKind(
    "scheduler's rule",
    ("heads", "settings", "memory"),
    ChoiceRule,
    _choice_problem,
    _choice_asked,
    _choice_guard,
)


def _rule(function: Any, kind: RuleKind) -> Any:
    """Return the function as a rule; rules of this package stay as they are."""
    return function if function is keep else as_rule(function, kind)


def _row(name: str, values: Sequence[float]) -> tuple[float, ...]:
    try:
        return tuple(float(value) for value in values)
    except (TypeError, ValueError):
        raise TypeError(f"{name} must be a row of numbers, not {values!r}") from None

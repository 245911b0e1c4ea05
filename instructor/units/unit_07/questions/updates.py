"""Questions of exercise 7.1: what becomes of a table when a neighbour speaks.

Under "better or worse" every offer is below 16 and every entry counts; under "infinity" every entry
counts, and 16 stands in an offer or in the table. What one aspect asks for must not fall with
another, so each happening is asked for alone, and then among others.
"""

__all__ = ["UPDATES", "update_questions"]

import random
from collections.abc import Callable, Mapping

from course_lib.exercises.registry import Expected
from instructor.units.items import Question

NEWS, INFINITY, NOTHING = "better or worse", "infinity", "what does not count"
INFINITE = 16
PIERS = ("Reed Pier", "Heron Pier", "Tern Pier", "Wren Pier", "Swift Pier", "Teal Pier")
NEIGHBOURS = ("Gull", "Plover", "Curlew", "Lantern")

RULES = "RFC 2453, section 3.9.2"
# RFC 2453, section 3.4.2: A and C reach the target by way of D; the line from B to D has failed.
COUNTING = "RFC 2453, section 3.4.2, in its table of metrics"

Route = tuple[int, str | None]
Table = dict[str, Route]
Update = list[tuple[str, int]]
Happening = tuple[Route | None, int | None]  # the route before, and the metric that is told


def _ask(
    aspect: str, table: Table, neighbour: str, cost: int, update: Update, source: str = RULES
) -> Question:
    return Question(aspect, (table, neighbour, cost, update), source)


def _printed(value: Table, table: Table, neighbour: str, cost: int, metric: int) -> Question:
    update = [("target", metric)]
    return Question(NEWS, (table, neighbour, cost, update), COUNTING, Expected(value=value))


UPDATES = (
    _ask(NEWS, {"Reed Pier": (5, "Gull")}, "Gull", 1, [("Reed Pier", 9)]),
    _ask(NEWS, {"Reed Pier": (5, "Gull")}, "Plover", 1, [("Reed Pier", 9)]),
    # Counting up: C hears 3 from A, its next hop by now; and 4 again, until it takes D at 11.
    _printed({"target": (4, "A")}, {"target": (3, "A")}, "A", 1, 3),
    _printed({"target": (11, "D")}, {"target": (12, "A")}, "D", 10, 1),
    _printed({"target": (11, "A")}, {"target": (11, "A")}, "D", 10, 1),
    _ask(NEWS, {"Reed Pier": (7, "Gull")}, "Gull", 3, [("Reed Pier", 4)]),  # the same
    _ask(NEWS, {"Reed Pier": (6, "Gull")}, "Gull", 3, [("Reed Pier", 4)]),
    _ask(NEWS, {}, "Gull", 2, [("Heron Pier", 3), ("Reed Pier", 1)]),
    _ask(NEWS, {"Reed Pier": (9, "Gull"), "Quay": (1, None)}, "Gull", 3, [("Reed Pier", 4)]),
    _ask(NEWS, {"Reed Pier": (9, "Plover"), "Quay": (1, None)}, "Gull", 3, [("Reed Pier", 4)]),
    _ask(NEWS, {"Reed Pier": (7, "Plover")}, "Gull", 3, [("Reed Pier", 4)]),  # the same
    _ask(NEWS, {"Reed Pier": (6, "Plover")}, "Gull", 4, [("Reed Pier", 4)]),  # tempting
    _ask(NEWS, {"Reed Pier": (6, "Plover"), "Quay": (2, None)}, "Gull", 5, [("Reed Pier", 3)]),
    _ask(NEWS, {"Reed Pier": (4, "Gull"), "Tern Pier": (6, "Gull")}, "Gull", 2,
         [("Tern Pier", 4)]),
    _ask(NEWS, {"Reed Pier": (4, "Plover"), "Tern Pier": (6, "Gull")}, "Gull", 2,
         [("Wren Pier", 1)]),
    _ask(NEWS, {"Reed Pier": (2, "Plover"), "Tern Pier": (6, "Gull"), "Wren Pier": (9, "Plover")},
         "Gull", 3, [("Wren Pier", 2), ("Tern Pier", 8), ("Reed Pier", 2), ("Heron Pier", 11)]),
    _ask(INFINITY, {"Reed Pier": (5, "Gull")}, "Gull", 1, [("Reed Pier", 16)]),
    _ask(INFINITY, {"Reed Pier": (5, "Gull"), "Quay": (1, None)}, "Gull", 4, [("Reed Pier", 14)]),
    _ask(INFINITY, {"Reed Pier": (15, "Gull")}, "Gull", 1, [("Reed Pier", 15)]),
    _ask(INFINITY, {"Reed Pier": (5, "Gull")}, "Plover", 1, [("Reed Pier", 16)]),
    _ask(INFINITY, {"Reed Pier": (9, "Gull")}, "Plover", 9, [("Reed Pier", 12)]),
    _ask(INFINITY, {"Reed Pier": (16, "Gull")}, "Plover", 3, [("Reed Pier", 16)]),
    _ask(INFINITY, {"Reed Pier": (16, "Gull")}, "Plover", 3, [("Reed Pier", 12)]),
    _ask(INFINITY, {"Reed Pier": (16, "Gull")}, "Plover", 2, [("Reed Pier", 4)]),
    _ask(INFINITY, {"Reed Pier": (16, "Gull")}, "Gull", 2, [("Reed Pier", 4)]),
    _ask(INFINITY, {"Reed Pier": (16, "Gull"), "Tern Pier": (7, "Gull")}, "Gull", 1,
         [("Reed Pier", 16), ("Tern Pier", 16)]),
    _ask(INFINITY, {"Quay": (1, None)}, "Gull", 1, [("Wren Pier", 16)]),
    _ask(INFINITY, {}, "Gull", 2, [("Wren Pier", 14)]),
    _ask(INFINITY, {}, "Gull", 7, [("Wren Pier", 15), ("Tern Pier", 8)]),
    _ask(NOTHING, {"Reed Pier": (5, "Gull")}, "Gull", 1, [("Reed Pier", 17)]),
    _ask(NOTHING, {"Reed Pier": (5, "Gull"), "Tern Pier": (8, "Plover")}, "Gull", 2,
         [("Reed Pier", 0), ("Tern Pier", 3)]),
    _ask(NOTHING, {"Reed Pier": (9, "Plover"), "Tern Pier": (8, "Plover")}, "Gull", 2,
         [("Tern Pier", 3), ("Reed Pier", -4)]),
    _ask(NOTHING, {"Tern Pier": (8, "Plover")}, "Gull", 1, [("Wren Pier", 0), ("Tern Pier", 3)]),
    _ask(NOTHING, {"Reed Pier": (2, "Gull"), "Tern Pier": (8, "Plover")}, "Gull", 2,
         [("Tern Pier", 3), ("Reed Pier", 0)]),
    _ask(NOTHING, {"Reed Pier": (9, "Plover")}, "Gull", 2, [("Reed Pier", 0)]),
    _ask(NOTHING, {"Quay": (9, None)}, "Gull", 1, [("Quay", 4)]),
    _ask(NOTHING, {"Quay": (5, None), "Tern Pier": (8, "Plover")}, "Gull", 1,
         [("Quay", 2), ("Tern Pier", 6)]),
    _ask(NOTHING, {"Quay": (1, None), "Tern Pier": (9, "Plover")}, "Gull", 1,
         [("Quay", 16), ("Tern Pier", 2)]),
    _ask(NOTHING, {"Quay": (1, None), "Tern Pier": (9, "Plover")}, "Gull", 3,
         [("Tern Pier", 1), ("Quay", 2)]),
    _ask(NOTHING, {"Reed Pier": (7, "Gull"), "Tern Pier": (9, "Plover")}, "Gull", 1,
         [("Tern Pier", 4), ("Reed Pier", 255)]),
)  # fmt: skip


def update_questions(rng: random.Random) -> list[Question]:
    """Draw a table and an update for each happening alone, and for four together."""
    questions = []
    for aspect, happenings in HAPPENINGS.items():
        names = list(happenings)
        aside = [BESIDE] if aspect == NOTHING else []
        questions += [_drawn(rng, aspect, [happenings[name]]) for name in names]
        some = rng.sample(names, 4)
        questions.append(_drawn(rng, aspect, [*(happenings[name] for name in some), *aside]))
    return [*questions, *(_drawn(rng, NOTHING, [_zero_and_the_same, BESIDE]) for _ in range(2))]


Draw = Callable[[random.Random, str, str, int], Happening]


def _drawn(rng: random.Random, aspect: str, draws: list[Draw]) -> Question:
    neighbour, other = rng.sample(NEIGHBOURS, 2)
    cost = rng.randint(2, 5)
    piers = rng.sample(PIERS, len(draws) + 1)
    table: Table = {piers.pop(): (rng.randint(2, 9), other)}
    update: Update = []
    for pier, draw in zip(piers, draws, strict=True):
        route, metric = draw(rng, neighbour, other, cost)
        if route is not None:
            table[pier] = route
        if metric is not None:
            update.append((pier, metric))
    rng.shuffle(update)
    rows = list(table.items())
    rng.shuffle(rows)
    return Question(aspect, (dict(rows), neighbour, cost, update), RULES)


def _from_us_worse(rng: random.Random, us: str, other: str, cost: int) -> Happening:
    metric = rng.randint(5, 9)
    return (metric + cost - rng.randint(1, 4), us), metric


def _from_us_better(rng: random.Random, us: str, other: str, cost: int) -> Happening:
    metric = rng.randint(1, 5)
    return (metric + cost + rng.randint(1, 4), us), metric


def _from_us_the_same(rng: random.Random, us: str, other: str, cost: int) -> Happening:
    metric = rng.randint(1, 9)
    return (metric + cost, us), metric


def _smaller(rng: random.Random, us: str, other: str, cost: int) -> Happening:
    metric = rng.randint(1, 5)
    return (metric + cost + rng.randint(1, 4), other), metric


def _larger(rng: random.Random, us: str, other: str, cost: int) -> Happening:
    ours = rng.randint(2, 5)
    return (ours, other), ours + rng.randint(1, 4)


def _equal(rng: random.Random, us: str, other: str, cost: int) -> Happening:
    metric = rng.randint(1, 8)
    return (metric + cost, other), metric


def _tempting(rng: random.Random, us: str, other: str, cost: int) -> Happening:
    """Tell a metric that is smaller, but only without the cost of the line."""
    metric = rng.randint(1, 8)
    return (metric + cost - 1, other), metric


def _new(rng: random.Random, us: str, other: str, cost: int) -> Happening:
    return None, rng.randint(1, 9)


def _silent(rng: random.Random, us: str, other: str, cost: int) -> Happening:
    return (rng.randint(3, 9), us), None


def _lost(rng: random.Random, us: str, other: str, cost: int) -> Happening:
    return (rng.randint(3, 9), us), INFINITE


def _too_far(rng: random.Random, us: str, other: str, cost: int) -> Happening:
    """Tell a metric below 16 that is 16 or more with the cost of the line."""
    return (rng.randint(5, 12), us), rng.randint(INFINITE + 1 - cost, 15)


def _lost_elsewhere(rng: random.Random, us: str, other: str, cost: int) -> Happening:
    return (rng.randint(3, 9), other), INFINITE


def _both_lost(rng: random.Random, us: str, other: str, cost: int) -> Happening:
    return (INFINITE, other), INFINITE


def _found_elsewhere(rng: random.Random, us: str, other: str, cost: int) -> Happening:
    return (INFINITE, other), rng.randint(1, 9)


def _found_again(rng: random.Random, us: str, other: str, cost: int) -> Happening:
    return (INFINITE, us), rng.randint(1, 9)


def _new_but_lost(rng: random.Random, us: str, other: str, cost: int) -> Happening:
    return None, INFINITE


def _new_but_too_far(rng: random.Random, us: str, other: str, cost: int) -> Happening:
    return None, rng.randint(INFINITE - cost, 15)


def _new_and_zero(rng: random.Random, us: str, other: str, cost: int) -> Happening:
    return None, rng.choice((0, 0, -1))


def _zero_from_us(rng: random.Random, us: str, other: str, cost: int) -> Happening:
    return (cost + rng.randint(1, 5), us), 0


def _zero_and_the_same(rng: random.Random, us: str, other: str, cost: int) -> Happening:
    """Tell 0 where that would change nothing."""
    return (cost, us), 0


def _below_zero(rng: random.Random, us: str, other: str, cost: int) -> Happening:
    return (cost + rng.randint(3, 9), other), -rng.randint(1, 3)


def _above_from_us(rng: random.Random, us: str, other: str, cost: int) -> Happening:
    return (rng.randint(3, 9), us), rng.choice((17, 17, 20, 255))


def _own_but_nearer(rng: random.Random, us: str, other: str, cost: int) -> Happening:
    metric = rng.randint(1, 4)
    return (metric + cost + rng.randint(1, 4), None), metric


def _own_and_farther(rng: random.Random, us: str, other: str, cost: int) -> Happening:
    return (1, None), rng.randint(2, 9)


def _own_and_lost(rng: random.Random, us: str, other: str, cost: int) -> Happening:
    return (rng.randint(1, 3), None), INFINITE


BESIDE = _smaller  # so that something counts beside what does not
HAPPENINGS: Mapping[str, Mapping[str, Draw]] = {
    NEWS: {
        "worse from our next hop": _from_us_worse,
        "better from our next hop": _from_us_better,
        "the same from our next hop": _from_us_the_same,
        "smaller than by another": _smaller,
        "larger than by another": _larger,
        "as by another": _equal,
        "smaller but for the line": _tempting,
        "new": _new,
        "not named": _silent,
    },
    INFINITY: {
        "lost": _lost,
        "too far": _too_far,
        "lost elsewhere": _lost_elsewhere,
        "both lost": _both_lost,
        "found elsewhere": _found_elsewhere,
        "found again": _found_again,
        "new but lost": _new_but_lost,
        "new but too far": _new_but_too_far,
    },
    NOTHING: {
        "new and zero": _new_and_zero,
        "zero from our next hop": _zero_from_us,
        "below zero": _below_zero,
        "above from our next hop": _above_from_us,
        "own but nearer": _own_but_nearer,
        "own and farther": _own_and_farther,
        "own and lost": _own_and_lost,
    },
}

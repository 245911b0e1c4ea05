"""Questions of exercise 7.2: which neighbour is told what.

Regular updates ask for split horizon and for poisoned reverse, all in one message. Without either
they ask for messages, and there the next hops are mostly not among those who are told. Triggered
updates fit into one message each.
"""

__all__ = ["CHANGED", "HORIZONS", "MESSAGES", "POISONED", "SPLIT", "horizon_questions"]

import random
from collections.abc import Sequence

from instructor.units.items import Question

SPLIT, POISONED = "split horizon", "poisoned reverse"
CHANGED, MESSAGES = "only what has changed", "messages"
OFF = "off"
PIERS = (
    "Bell Pier", "Dock Pier", "Fern Pier", "Heron Pier", "Kelp Pier", "Moor Pier", "Reed Pier",
    "Sand Pier", "Tern Pier", "Wren Pier",
)  # fmt: skip
NEIGHBOURS = ("Curlew", "Gull", "Lantern", "Plover")
ELSEWHERE = "Skua"  # a neighbour that nobody asks about

REMEDIES = "RFC 2453, section 3.4.3"
TRIGGERED = "RFC 2453, section 3.4.4"
FORMAT = "RFC 2453, section 3.6: so many entries in a message"

Route = tuple[int, str | None]
Table = dict[str, Route]


def _regular(
    way: str, table: Table, neighbours: list[str], most: int = 25, aspect: str = ""
) -> Question:
    source = REMEDIES if not aspect else FORMAT
    return Question(aspect or way, (table, neighbours, way, None, most), source)


def _triggered(way: str, table: Table, neighbours: list[str], changed: list[str]) -> Question:
    return Question(CHANGED, (table, neighbours, way, changed, 25), TRIGGERED)


def _messages(table: Table, neighbours: list[str], most: int) -> Question:
    return _regular(OFF, table, neighbours, most, MESSAGES)


QUAY: Table = {"Quay": (1, None), "Reed Pier": (3, "Gull")}
FOUR: Table = {
    "Bell Pier": (2, "Gull"), "Dock Pier": (4, "Plover"), "Fern Pier": (16, "Gull"),
    "Heron Pier": (1, None),
}  # fmt: skip
BY_GULL: Table = {"Kelp Pier": (5, "Gull"), "Moor Pier": (9, "Gull")}
FAR: Table = {pier: (place + 2, ELSEWHERE) for place, pier in enumerate(PIERS)}


def _some(number: int) -> Table:
    return dict(list(FAR.items())[:number])


HORIZONS = (
    *(
        _regular(way, table, neighbours)
        for way in (SPLIT, POISONED)
        for table, neighbours in (
            (QUAY, ["Gull", "Plover"]),
            (FOUR, ["Plover", "Gull"]),
            (FOUR, ["Curlew", "Gull", "Plover"]),
            (BY_GULL, ["Gull", "Plover"]),
            ({**BY_GULL, "Reed Pier": (16, "Plover")}, ["Gull", "Plover"]),
        )
    ),
    _regular(SPLIT, BY_GULL, ["Gull"]),
    _triggered(OFF, FOUR, ["Gull", "Curlew"], ["Dock Pier"]),
    _triggered(OFF, _some(4), ["Gull"], ["Bell Pier", "Heron Pier"]),
    _triggered(OFF, _some(3), ["Gull"], ["Fern Pier", "Bell Pier", "Dock Pier"]),
    _triggered(OFF, FOUR, ["Plover"], ["Heron Pier", "Fern Pier"]),
    _triggered(OFF, _some(3), ["Gull", "Plover"], []),
    _triggered(SPLIT, FOUR, ["Gull", "Plover"], []),
    _triggered(SPLIT, BY_GULL, ["Gull", "Plover"], ["Kelp Pier", "Moor Pier"]),
    _triggered(POISONED, BY_GULL, ["Gull", "Plover"], ["Kelp Pier", "Moor Pier"]),
    _triggered(POISONED, FOUR, ["Gull", "Plover"], ["Fern Pier", "Bell Pier"]),
    _messages(_some(1), ["Gull"], 1),
    _messages(_some(1), ["Gull", "Plover"], 2),
    _messages({"Reed Pier": (7, "Gull")}, ["Gull"], 25),
    _messages(BY_GULL, ["Gull", "Plover"], 25),
    _messages(_some(2), ["Plover", "Gull"], 5),
    _messages(dict(reversed(_some(3).items())), ["Curlew"], 3),
    _messages({"Kelp Pier": (2, ELSEWHERE), "Quay": (1, None)}, ["Gull"], 2),
    _messages({"Kelp Pier": (2, ELSEWHERE), "Moor Pier": (16, ELSEWHERE)}, ["Gull"], 4),
    _messages({}, ["Gull", "Curlew"], 4),
    _messages(_some(3), ["Curlew", "Gull"], 2),
    _messages(_some(4), ["Gull"], 3),
    _messages(_some(5), ["Curlew", "Gull"], 2),
    _messages(_some(7), ["Gull", "Plover"], 3),
    _messages(_some(10), ["Plover"], 3),
    _messages(_some(4), ["Gull"], 2),
    _messages(_some(6), ["Curlew", "Plover"], 3),
)


def horizon_questions(rng: random.Random) -> list[Question]:
    """Draw tables for each remedy, for triggered updates, and for messages of all lengths."""
    questions = []
    for way in (SPLIT, POISONED):
        questions += [_remedy(rng, way, names) for names in (2, 3, 3)]
        questions.append(_all_by_one(rng, way))
    questions += [
        _some_changed(rng),
        _some_changed(rng),
        _all_changed(rng),
        _nothing_changed(rng),
        _changed_with_a_remedy(rng, SPLIT),
        _changed_with_a_remedy(rng, POISONED),
    ]
    questions += [
        _messages(_far(rng, 1), rng.sample(NEIGHBOURS, 2), rng.randint(1, 3)),
        _messages(_far(rng, 2), sorted(rng.sample(NEIGHBOURS, 3), reverse=True), 4),
        _messages(_turned(_far(rng, 4)), rng.sample(NEIGHBOURS, 1), rng.randint(4, 9)),
        _with_own(rng, 1, None),
        _with_own(rng, 16, ELSEWHERE),
        _without_remedy(rng),
        _without_remedy(rng),
        _messages({}, rng.sample(NEIGHBOURS, 2), rng.randint(1, 9)),
    ]
    sizes = ((4, 3), (7, 3), (10, 3), (7, 2), (2 * rng.randint(2, 3), 2))
    return [*questions, *(_cut(rng, entries, most) for entries, most in sizes)]


def _cut(rng: random.Random, entries: int, most: int) -> Question:
    return _messages(_far(rng, entries), sorted(rng.sample(NEIGHBOURS, 2)), most)


def _far(rng: random.Random, number: int) -> Table:
    """Return routes that go through nobody who is asked about, in order."""
    return _table(rng, [(rng.randint(2, 15), ELSEWHERE) for _ in range(number)])


def _table(rng: random.Random, routes: Sequence[Route]) -> Table:
    return dict(zip(sorted(rng.sample(PIERS, len(routes))), routes, strict=True))


def _turned(table: Table) -> Table:
    return dict(reversed(table.items()))


def _mixed(rng: random.Random, neighbours: Sequence[str]) -> list[Route]:
    """Return routes of all kinds: through each neighbour, our own, and one that is lost."""
    routes: list[Route] = [(rng.randint(2, 15), one) for one in neighbours]
    routes += [(1, None), (16, neighbours[0]), (rng.randint(2, 15), neighbours[0])]
    rng.shuffle(routes)
    return routes


def _remedy(rng: random.Random, way: str, number: int) -> Question:
    neighbours = rng.sample(NEIGHBOURS, number)
    return _regular(way, _table(rng, _mixed(rng, neighbours[:2])), neighbours)


def _all_by_one(rng: random.Random, way: str) -> Question:
    neighbours = rng.sample(NEIGHBOURS, 2)
    routes: list[Route] = [(rng.randint(2, 15), neighbours[0]) for _ in range(3)]
    return _regular(way, _table(rng, routes), neighbours)


def _some_changed(rng: random.Random) -> Question:
    neighbours = sorted(rng.sample(NEIGHBOURS, 2))
    table = _table(rng, _mixed(rng, neighbours))
    return _triggered(OFF, table, neighbours, sorted(rng.sample(sorted(table), 2)))


def _all_changed(rng: random.Random) -> Question:
    table = _far(rng, 4)
    return _triggered(OFF, table, rng.sample(NEIGHBOURS, 1), list(_turned(table)))


def _nothing_changed(rng: random.Random) -> Question:
    return _triggered(rng.choice((OFF, SPLIT)), _far(rng, 3), rng.sample(NEIGHBOURS, 2), [])


def _changed_with_a_remedy(rng: random.Random, way: str) -> Question:
    neighbours = sorted(rng.sample(NEIGHBOURS, 2))
    routes: list[Route] = [(rng.randint(2, 15), neighbours[0]), (rng.randint(2, 9), neighbours[1])]
    table = _table(rng, routes)
    return _triggered(way, table, neighbours, list(table))


def _with_own(rng: random.Random, metric: int, hop: str | None) -> Question:
    routes: list[Route] = [(rng.randint(2, 15), ELSEWHERE), (metric, hop), (3, ELSEWHERE)]
    return _messages(_table(rng, routes), rng.sample(NEIGHBOURS, 1), rng.randint(3, 9))


def _without_remedy(rng: random.Random) -> Question:
    neighbours = sorted(rng.sample(NEIGHBOURS, 2))
    routes: list[Route] = [(rng.randint(2, 15), one) for one in neighbours]
    return _messages(_table(rng, routes), neighbours, rng.randint(2, 5))

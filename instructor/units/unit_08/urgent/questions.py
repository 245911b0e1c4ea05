"""Questions of exercise 8.5, rows of packets that come and go: public ones, and secret ones.

A row is written as words: "a1" lets a packet of this name join level a, which is 0; "b1" joins
level 1, and so on; "." sends one. What one aspect asks for must not fall with another: where
urgency is asked for, the limit is so large that nobody is ever due; where the limit is, there are
two levels.
"""

__all__ = ["URGENT", "urgent_questions"]

import random
from collections.abc import Mapping
from typing import Any

from instructor.units.items import Question
from instructor.units.unit_10.secret_events import between, events

Step = tuple[Any, ...]

FIRST, LIMIT, MORE = "urgent first", "the limit", "more than two levels"
EXAMPLE, WORKED = "the contract's example", "the worked case"
LEVELS = "abcde"


def _steps(words: str, names: Mapping[str, str] | None = None) -> list[Step]:
    """Turn words into steps; `names` calls packets by other names."""
    called = names or {}
    return [
        ("send",) if word == "." else ("join", LEVELS.index(word[0]), called.get(word, word))
        for word in words.split()
    ]


def _row(
    aspect: str,
    levels: int,
    limit: int,
    words: str,
    names: Mapping[str, str] | None = None,
    **about: Any,
) -> Question:
    return events(aspect, (levels, limit), *_steps(words, names), **about)


def _two(first: tuple[int, int], second: tuple[int, int], words: str) -> Question:
    """Put steps to two schedulers; each word begins with the number of one."""
    steps = [(int(word[0]), *_steps(word[1:])[0]) for word in words.split()]
    return between(FIRST, (first, second), *steps)


_EXAMPLE = {"a1": "a", "a2": "b", "a3": "c", "b1": "x"}
_TWINS = {"b1": "x", "c1": "x"}

URGENT = (
    _row(FIRST, 3, 50, "c1 b1 a1 . . ."),
    _row(FIRST, 2, 20, "b1 a1 b2 a2 a3 . . . . ."),
    _row(FIRST, 3, 40, "c1 c2 . b1 c3 . a1 . . . ."),
    _row(FIRST, 2, 30, ". b1 . . a1 b2 . . ."),
    _row(FIRST, 1, 25, "a2 a1 . a9 . a4 . . ."),
    _row(FIRST, 4, 60, "d1 b1 d2 b2 c1 . . a1 . . . ."),
    _row(FIRST, 5, 20, "e1 c1 e2 . d1 a1 . a2 . c2 . . . . ."),
    _row(FIRST, 2, 30, "a3 a1 a2 b2 b1 . . . . ."),
    _two((2, 20), (2, 30), "0a1 0b2 1a3 1b4 1. 0. 1. 0."),
    _two((2, 20), (3, 30), "0b1 1c7 0a2 1a8 1. 0. 1. 0. 1. 0."),
    _two((3, 30), (2, 40), "0a1 1. 0. 1b5 0b2 1a6 1. 0. 1. 0."),
    _row(LIMIT, 2, 2, "a1 a2 a3 b1 . . . .", _EXAMPLE, source=EXAMPLE),
    _row(LIMIT, 2, 2, "b1 b2 a1 a2 a3 a4 a5 . . . . . . .", source=WORKED),
    _row(LIMIT, 2, 2, "b1 a1 a2 . . a3 . b2 . ."),
    _row(LIMIT, 2, 2, "b1 a1 . . a2 a3 a4 . b2 . . ."),
    _row(LIMIT, 2, 1, "a1 . a2 b1 a3 . a4 . . ."),
    _row(LIMIT, 2, 1, "a1 a2 a3 b1 b2 . . . . ."),
    _row(LIMIT, 2, 3, "b1 b2 b3 a1 a2 a3 a4 a5 a6 a7 . . . . . . . . . ."),
    _row(LIMIT, 2, 3, "a1 a2 a3 a4 . . . b1 a5 a6 . . . ."),
    _row(LIMIT, 2, 3, "b1 a1 a2 . . . a3 a4 a5 a6 b2 . . . . ."),
    _row(LIMIT, 2, 3, "b1 a1 a2 . . . a3 a4 a5 b2 . ."),
    _row(LIMIT, 2, 4, "a1 a2 . . b1 a3 a4 a5 a6 . . . . ."),
    _row(MORE, 3, 2, "b1 c1 a1 a2 a3 . . ."),
    _row(MORE, 3, 2, "b1 c1 a1 a2 a3 . . . .", _TWINS),
    _row(MORE, 3, 2, "b1 a1 a2 . . c1 . a3 a4 . . ."),
    _row(MORE, 4, 4, "d1 a1 a2 . . c1 a3 . b1 a4 . a5 a6 . . . . ."),
    _row(MORE, 4, 1, "c1 a1 . b1 c2 . a2 . . ."),
    _row(MORE, 4, 2, "b1 c1 b2 . d1 b3 . . . ."),
    _row(MORE, 4, 2, "c1 b1 . d1 . c2 a1 . . ."),
    _row(MORE, 4, 1, "a1 a2 c1 . . b1 d1 . c2 . . ."),
    _row(MORE, 4, 2, "a1 d1 b1 . c1 a2 . . . ."),
    _row(MORE, 4, 3, "a1 b1 d1 . c1 a2 a3 . . . . ."),
    _row(MORE, 3, 1, "a1 a2 a3 b1 b2 c1 c2 . . . . . . ."),
    _row(MORE, 3, 3, "c1 c2 b1 a1 a2 a3 a4 a5 a6 a7 . . . . . . . . . ."),
)


def urgent_questions(rng: random.Random) -> list[Question]:
    """Draw rows in which nobody is due, rows of two levels, and rows of more."""
    kinds = (
        (FIRST, _all_at_once, 3),
        (FIRST, _come_and_go, 3),
        (LIMIT, _flood, 3),
        (LIMIT, _comes_late, 2),
        (LIMIT, _begins_anew, 3),
        (MORE, _flood_of_many, 2),
        (MORE, _counted_from_the_start, 2),
        (MORE, _passed_over_by_the_due, 2),
        (MORE, _due_together, 1),
        (MORE, _one_is_longer_due, 1),
        (MORE, _twins_due_together, 1),
    )
    rows = [(aspect, draw(rng)) for aspect, draw, number in kinds for _ in range(number)]
    return [
        *(_row(aspect, *row, _names(rng, row[2])) for aspect, row in rows),
        _two_schedulers(rng),
        _two_schedulers(rng),
    ]


Row = tuple[int, int, str]


def _names(rng: random.Random, words: str) -> dict[str, str]:
    """Call packets by names of which none says a level; twins have one name."""
    packets = sorted(set(words.split()) - {"."})
    numbers = rng.sample(range(10, 100), len(packets))
    names = {
        packet: f"{rng.choice('kmrtw')}{one}" for packet, one in zip(packets, numbers, strict=True)
    }
    for twin in packets:
        if twin[1] == "t":
            names[twin] = "t0"
    return names


def _joins(level: str, first: int, number: int) -> list[str]:
    return [f"{level}{place}" for place in range(first, first + number)]


def _text(*words: str | list[str]) -> str:
    return " ".join(word if isinstance(word, str) else " ".join(word) for word in words)


# Nobody is ever due.


def _all_at_once(rng: random.Random) -> Row:
    levels = rng.randint(3, 5)
    joins = [*_joins(LEVELS[levels - 1], 1, 2), *_joins("a", 1, 2)]
    middle = [f"{rng.choice(LEVELS[:levels])}{place}" for place in range(3, 6)]
    return levels, rng.randint(20, 60), _text(joins, middle, ["."] * rng.randint(7, 9))


def _come_and_go(rng: random.Random) -> Row:
    """Ask in between, and once more than there are packets."""
    levels = rng.randint(2, 5)
    words = [f"{LEVELS[levels - 1]}{place}" for place in (1, 2, 3)]
    for place in range(4, 8):
        words += [".", f"{rng.choice(LEVELS[:levels])}{place}"]
    return levels, rng.randint(20, 60), _text(words, "a8 a9", ["."] * 6)


def _two_schedulers(rng: random.Random) -> Question:
    first, second = (rng.randint(2, 4), rng.randint(20, 60)), (rng.randint(2, 4), 40)
    numbers = rng.sample(range(10, 100), 4)
    joins = [f"0b{numbers[0]}", f"0a{numbers[1]}", f"1b{numbers[2]}", f"1a{numbers[3]}"]
    sends = ["1.", "0.", "1.", "0.", f"{rng.randint(0, 1)}."]  # who came later is asked first
    return _two(first, second, _text(joins, sends))


# Two levels


def _flood(rng: random.Random) -> Row:
    """Let more and more urgent packets come while some others wait."""
    limit, others = rng.randint(1, 4), rng.randint(2, 3)
    urgent = limit * others + rng.randint(1, 3)
    joins = [*_joins("a", 1, urgent), *_joins("b", 1, others)]
    rng.shuffle(joins)
    return 2, limit, _text(joins, ["."] * len(joins))


def _comes_late(rng: random.Random) -> Row:
    """Send urgent packets before anybody else waits, and then go on."""
    limit = rng.randint(2, 5)
    early, late = rng.randint(1, limit), rng.randint(1, limit - 1)
    joins = [*_joins("a", 1, early + limit), *["."] * early, "b1", *_joins("a", 50, late)]
    return 2, limit, _text(joins, ["."] * (limit + late + 1))


def _begins_anew(rng: random.Random) -> Row:
    """Let one send as a rule, not by the limit, and let the next one of its level wait."""
    limit = rng.randint(2, 5)
    before = rng.randint(1, limit - 1)
    joins = ["b1", *_joins("a", 1, before), *["."] * (before + 1), "b2"]
    return 2, limit, _text(joins, _joins("a", 50, limit + 1), ["."] * (limit + 2))


# More than two levels


def _flood_of_many(rng: random.Random) -> Row:
    levels, limit = rng.randint(3, 4), rng.randint(1, 3)
    joins = _joins("a", 1, 3 * limit + 3)
    for level in LEVELS[1:levels]:
        joins += _joins(level, 1, 2)
    rng.shuffle(joins)
    return levels, limit, _text(joins, ["."] * len(joins))


def _counted_from_the_start(rng: random.Random) -> Row:
    """Let the least urgent be due first, since it has waited longest."""
    limit = rng.randint(3, 6)
    early = limit - 2
    words = ["d1", *_joins("a", 1, early), *["."] * early, "c1", "a20", ".", "b1", "a21", "."]
    return 4, limit, _text(words, _joins("a", 50, 2), ["."] * 5)


def _passed_over_by_the_due(rng: random.Random) -> Row:
    """Let a level send since it is due, and pass over another one."""
    limit = rng.randint(1, 5)
    words = ["b1", *_joins("a", 1, limit), *["."] * limit, "c1", "."]
    return 3, limit, _text(words, _joins("a", 50, limit + 1), ["."] * (limit + 2))


def _due_together(rng: random.Random) -> Row:
    """Stop when the first of two that are due has gone."""
    limit = rng.randint(2, 5)
    joins = ["b1", "c1", *_joins("a", 1, limit + 1)]
    rng.shuffle(joins)
    return 3, limit, _text(joins, ["."] * (limit + 1))


def _one_is_longer_due(rng: random.Random) -> Row:
    """Let the least urgent of two that are due have the larger count."""
    limit = rng.randint(2, 5)
    words = ["b1", "d1", "a1", ".", "c1", *_joins("a", 2, limit - 1)]
    return 4, limit, _text(words, ["."] * (limit + 2))


def _twins_due_together(rng: random.Random) -> Row:
    """Give one name to both that are due: their order can't be seen."""
    limit = rng.randint(2, 5)
    joins = ["bt", "ct", *_joins("a", 1, limit + 2)]
    rng.shuffle(joins)
    return 3, limit, _text(joins, ["."] * (limit + 3))

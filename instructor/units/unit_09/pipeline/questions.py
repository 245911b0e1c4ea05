"""Questions of exercise 9.5, pipelines with and without a host: public ones, and secret ones.

Numbers are drawn so that floats, used in whatever order, round to the same: nothing that is rounded
down lies near a whole number, no host stands just what the stages stand, units are 1, 2 or 4.
"""

__all__ = ["HOST", "PIPELINES", "STAGES", "pipeline_questions"]

import random
from typing import Any

from course_lib.exercises.registry import Expected
from instructor.units.items import Question
from instructor.units.unit_09.misconceptions.pipeline import MILLION, Stage

STAGES, HOST = "the stages", "the host"
EXAMPLE = "the contract's example"
_NAMES = ("parse", "check", "classify", "look up", "count", "mark", "edit", "copy", "queue")
_FOUR = [("parse", 4, 1), ("look up", 10, 1), ("edit", 3, 1), ("queue", 5, 1)]

Pipeline = tuple[list[Stage], int, tuple[int, int] | None]


def _ask(aspect: str, *arguments: Any) -> Question:
    return Question(aspect, arguments)


PIPELINES = (
    _ask(STAGES, [("parse", 3, 1), ("look up", 7, 1), ("queue", 2, 1)], 900_000_000, None),
    _ask(STAGES, [("check", 9, 1), ("edit", 4, 1), ("copy", 6, 1)], 350_000_000, None),
    _ask(STAGES, [("parse", 7, 1), ("look up", 24, 4), ("edit", 5, 1)], 600_000_000, None),
    _ask(STAGES, [("parse", 4, 1), ("look up", 22, 2), ("edit", 3, 1)], 775_000_000, None),
    _ask(STAGES, [("mark", 6, 1), ("look up", 12, 2), ("queue", 4, 1)], 500_000_000, None),
    _ask(STAGES, [("look up", 28, 4), ("count", 5, 1), ("edit", 7, 1)], 425_000_000, None),
    _ask(STAGES, [("parse", 70, 1), ("look up", 71, 1), ("edit", 20, 1)], 1000, None),
    Question(
        HOST, (_FOUR, 500_000_000, (2000, 1000)), EXAMPLE,
        Expected(value=("look up", 50_000_000, 22, 5000)),
    ),
    _ask(HOST, [("parse", 3, 1), ("look up", 18, 2), ("queue", 5, 1)], 400_000_000, (1700, 900)),
    _ask(HOST, [("parse", 4, 1), ("look up", 7, 1), ("edit", 3, 1)], 550_000_000, (900, 60_000)),
    _ask(HOST, [("parse", 5, 1), ("mark", 6, 1), ("look up", 11, 1)], 575_000_000, (1900, 5789)),
    _ask(HOST, [("check", 8, 1), ("look up", 44, 4), ("edit", 6, 1)], 800_000_000, (1300, 9_000)),
    _ask(HOST, [("parse", 3, 1), ("copy", 13, 1), ("queue", 8, 2)], 700_000_000, (7, 250_000)),
    _ask(HOST, [("parse", 6, 1), ("look up", 9, 1), ("edit", 2, 1)], 650_000_000, (2600, 0)),
    _ask(HOST, [("parse", 12, 1), ("look up", 71, 1), ("edit", 20, 1)], 1000, (300, 1000)),
)  # fmt: skip


def pipeline_questions(rng: random.Random) -> list[Question]:
    """Draw pipelines of each kind, none of which another kind could replace."""
    return [
        *(_question(rng, STAGES, kind, None) for kind in (_three, _four, _units_help)),
        *(_question(rng, STAGES, kind, None) for kind in (_two_too_few, _four_too_few)),
        *(_question(rng, STAGES, _two_limit, None) for _ in range(2)),
        *(_question(rng, HOST, kind, "keeps up") for kind in (_three, _units_help)),
        *(_question(rng, HOST, kind, "limits") for kind in (_three, _four, _units_help)),
        _question(rng, HOST, _four, "just keeps up"),
        _question(rng, HOST, _four, "is fast"),
        _question(rng, HOST, _units_help, "gets nothing"),
        _slow_clock(rng, STAGES),
        _slow_clock(rng, HOST),
    ]


def _slow_clock(rng: random.Random, aspect: str) -> Question:
    """Draw stages so slow that their rates are alike once they are rounded down.

    Under the host, a most that is worked out from rounded rates is another one.
    """
    while True:
        clock_hz, cycles = rng.randint(900, 1100), rng.randint(60, 90)
        both = clock_hz / cycles, clock_hz / (cycles + 1)
        host = None if aspect == STAGES else (rng.randint(200, 400), rng.randint(100, 1000))
        most = 0.5 if host is None else MILLION * (cycles + 1) / host[0]
        if int(both[0]) == int(both[1]) and all(map(_is_safe, (*both, most))):
            stages = _named(rng, [(cycles, 1), (cycles + 1, 1), (rng.randint(9, 40), 1)])
            return Question(aspect, (stages, clock_hz, host))


def _question(rng: random.Random, aspect: str, kind: Any, how: str | None) -> Question:
    """Draw until no number that is rounded lies near a whole one; from a half on, where it can."""
    while True:
        stages = _named(rng, kind(rng))
        clock_hz = 25_000_000 * rng.randint(8, 40)
        _, cycles, units = max(stages, key=lambda stage: stage[1] / stage[2])
        host = _host(rng, cycles / units, how) if how else None
        limit = cycles / units
        if host is None:
            rests = [clock_hz / limit]
        else:
            most = MILLION * limit / host[0]
            rests = [most if most < MILLION else 0.5]
            rests += [clock_hz * MILLION / (host[0] * host[1]) if how == "limits" else 0.5]
        if all(0.5 <= rest % 1 < 0.97 for rest in rests) and _is_safe(clock_hz / limit):
            return Question(aspect, (stages, clock_hz, host))


def _is_safe(number: float) -> bool:
    return 0.03 < number % 1 < 0.97


def _named(rng: random.Random, busy: list[tuple[int, int]]) -> list[Stage]:
    names = sorted(rng.sample(range(len(_NAMES)), len(busy)))
    return [
        (_NAMES[name], cycles, units) for name, (cycles, units) in zip(names, busy, strict=True)
    ]


def _host(rng: random.Random, limit: float, how: str) -> tuple[int, int]:
    """Return a host that stands clearly more or clearly less than the stages."""
    if how == "is fast":
        return rng.randint(2, max(2, int(limit) - 2)), rng.randint(1000, MILLION - 1000)
    cycles = rng.randint(500, 3000)
    if how == "gets nothing":
        return cycles, 0
    most = int(MILLION * limit / cycles)
    if how == "just keeps up":
        return cycles, most
    if how == "keeps up":
        return cycles, rng.randint(most // 5, most // 2)
    return cycles, rng.randint(2 * most, min(MILLION, 9 * most))


# A kind is a list of cycles and units, in the order of the stages. Fast ones need 2 to 6 cycles.


def _mixed(rng: random.Random, *more: tuple[int, int], fast: int = 0) -> list[tuple[int, int]]:
    """Put stages among fast ones, in their order, the last of them never at the end."""
    stages = [(cycles, 1) for cycles in rng.sample(range(2, 7), fast or rng.randint(2, 3))]
    places = sorted(rng.sample(range(len(stages) + len(more) - 1), len(more)))
    for place, one in zip(places, more, strict=True):
        stages.insert(place, one)
    return stages


def _three(rng: random.Random) -> list[tuple[int, int]]:
    return _mixed(rng, (rng.randint(7, 23), 1), fast=2)


def _four(rng: random.Random) -> list[tuple[int, int]]:
    return _mixed(rng, (rng.randint(7, 23), 1), fast=3)


def _units_help(rng: random.Random) -> list[tuple[int, int]]:
    """Return a stage with many cycles and units, which is faster than another one."""
    units = rng.choice((2, 4))
    both = [(units * rng.randint(7, 10), units), (rng.randint(11, 13), 1)]
    rng.shuffle(both)
    return _mixed(rng, *both)


def _two_too_few(rng: random.Random) -> list[tuple[int, int]]:
    return _units_do_not_suffice(rng, 2)


def _four_too_few(rng: random.Random) -> list[tuple[int, int]]:
    return _units_do_not_suffice(rng, 4)


def _units_do_not_suffice(rng: random.Random, units: int) -> list[tuple[int, int]]:
    """Return a stage with units that limits in spite of them."""
    both = [(units * rng.randint(11, 19), units), (rng.randint(7, 10), 1)]
    rng.shuffle(both)
    return _mixed(rng, *both)


def _two_limit(rng: random.Random) -> list[tuple[int, int]]:
    """Return two stages that stand the same."""
    each, units = rng.randint(7, 19), rng.choice((2, 4))
    both = [(each * units, units), (each, 1)]
    rng.shuffle(both)
    return _mixed(rng, *both)

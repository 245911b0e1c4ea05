"""Questions of exercise 7.4: copies that come, and confirmations.

What one aspect asks for must not fall with another. So "which copy is newer" has two neighbours,
"old and dead copies" three, "not yet confirmed" five, and "to whom" any other number; elsewhere
sequence numbers lie near each other, and nothing else tells a newer copy.
"""

__all__ = ["CONFIRMED", "FLOODS", "NEWER", "OLD", "WHOM", "flood_questions"]

import random
from dataclasses import dataclass
from typing import Any

from instructor.units.items import Question
from instructor.units.unit_07.misconceptions.right_flooder import Copy
from instructor.units.unit_10.secret_events import between, events

NEWER, WHOM = "which copy is newer", "to whom"
OLD, CONFIRMED = "old and dead copies", "not yet confirmed"
NEIGHBOURS = ("Curlew", "Gull", "Lantern", "Petrel", "Plover", "Skua")
ROUTERS = ("Bell", "Fern", "Heron", "North", "Reed", "Tern")
DEAD = 3600
WAITING = ("waiting",)

ORDER = "RFC 2328, section 13.1"
FLOODING = "RFC 2328, sections 13 (steps 4 to 8) and 13.3"
LAST, FIRST = 0x7FFFFFFF, 0x80000001  # RFC 2328, section 12.1.6

Step = tuple[Any, ...]
Facts = tuple[int, int, int]  # sequence number, checksum, age


@dataclass(frozen=True)
class Scene:
    """A router, neighbours in some order, and a copy: what a row of steps is made of."""

    neighbours: tuple[str, ...]
    router: str
    sequence: int
    checksum: int
    age: int

    def copy(self, more: int = 0, older: int = 0) -> Copy:
        """Return a copy with a later sequence number, and older."""
        return (self.router, self.sequence + more, self.checksum, self.age + older)

    def dead(self, more: int = 0) -> Copy:
        """Return a copy that is 3600 s old."""
        return (self.router, self.sequence + more, self.checksum, DEAD)

    def came(self, place: int, more: int = 0, older: int = 0) -> Step:
        """Let a copy come from the neighbour at some place."""
        return ("receive", self.neighbours[place], self.copy(more, older))

    def confirmed(self, place: int, more: int = 0, older: int = 0) -> Step:
        """Let the neighbour at some place confirm a copy."""
        return ("confirm", self.neighbours[place], self.copy(more, older))


def _row(aspect: str, neighbours: tuple[str, ...], *steps: Step) -> Question:
    return events(
        aspect, (list(neighbours),), *steps, source=ORDER if aspect == NEWER else FLOODING
    )


def _pair(neighbours: tuple[str, ...], router: str, kept: Facts, comes: Facts) -> Question:
    """Let one neighbour send two copies; one more before, if the first of them is dead."""
    before = [(kept[0] - 1, kept[1], 9)] if kept[2] == DEAD else []
    copies = [("receive", neighbours[0], (router, *facts)) for facts in (*before, kept, comes)]
    return _row(NEWER, neighbours, *copies)


def _orders(kept: Facts, comes: Facts) -> list[tuple[Facts, Facts]]:
    return [(kept, comes), (comes, kept)]


# Which copy is newer: pairs, asked for in both orders.
PAIRS: tuple[tuple[Facts, Facts], ...] = (
    ((7, 900, 10), (400, 900, 10)),
    ((0xFFFFFFFE, 70, 20), (1, 70, 20)),
    ((FIRST, 5, 300), (LAST, 5, 300)),
    ((0x80000005, 70, 20), (0x80000009, 70, 20)),
    ((8, 0x9234, 50), (9, 0x1234, 50)),
    ((8, 0x7234, 50), (10, 0x1234, 50)),
    ((9, 0x1234, 50), (9, 0x9234, 50)),
    ((9, 77, 2000), (9, 77, DEAD)),
    ((9, 77, 2990), (9, 77, DEAD)),
    ((12, 8, 1400), (12, 8, 300)),
    ((12, 8, 2900), (12, 8, 200)),
    ((12, 8, 1200), (12, 8, 300)),
    ((12, 8, 1201), (12, 8, 300)),
    ((12, 8, 310), (12, 8, 300)),
)


def _whom(scene: Scene) -> list[Question]:
    all_six, four = scene.neighbours, scene.neighbours[:4]
    other = (scene.router + " Rock", scene.sequence + 2, scene.checksum, scene.age)
    return [
        _row(WHOM, four, scene.came(2)),
        _row(WHOM, four, scene.came(1), ("receive", four[3], other)),
        _row(WHOM, four, scene.came(0), scene.came(3, 1)),
        _row(WHOM, all_six[:1], scene.came(0)),
        _row(WHOM, all_six[:1], scene.came(0), scene.came(0, 2)),
        _row(WHOM, all_six, scene.came(4), scene.came(4)),
        _row(WHOM, all_six, scene.came(5), scene.came(5), scene.came(5, 1), scene.came(5, 1)),
        between(
            WHOM,
            ((list(all_six),), (list(reversed(all_six)),)),
            (0, *scene.came(2)),
            (1, *scene.came(2)),
            (1, *scene.came(3, 1)),
            (0, *scene.came(0, 1)),
        ),
    ]


def _old(scene: Scene) -> list[Question]:
    three = scene.neighbours[:3]
    other = ("receive", three[1], (scene.router + " Rock", 3, 3, 3))
    young = Scene(three, scene.router, scene.sequence, scene.checksum, 100)
    return [
        _row(OLD, three, scene.came(0, 1), scene.came(1)),
        _row(OLD, three, scene.came(2, 2), scene.came(2)),
        _row(OLD, three, scene.came(0), scene.came(0, 1), scene.came(0, 1)),
        _row(OLD, three, scene.came(0), scene.came(1, 2), scene.came(2, 1)),
        _row(OLD, three, young.came(1, 0, 1800), young.came(1, 0, 1000), young.came(1, 0, 800)),
        _row(OLD, three, other, ("receive", three[1], scene.dead(1)), scene.came(1)),
        _row(OLD, three, other, ("receive", three[0], scene.dead()), scene.came(2, -1)),
        _row(OLD, three, ("receive", three[2], scene.dead())),
        _row(OLD, three, ("receive", three[0], scene.dead())),
        _row(OLD, three, scene.came(2), ("receive", three[0], scene.dead(1)), scene.came(2)),
    ]


def _confirmed(scene: Scene) -> list[Question]:
    five = scene.neighbours[:5]
    other = Scene(five, scene.router + " Rock", scene.sequence, scene.checksum, scene.age)
    return [
        _row(CONFIRMED, five, scene.came(0), other.came(3), WAITING),
        _row(CONFIRMED, five, scene.came(0), WAITING, scene.confirmed(2), WAITING),
        _row(CONFIRMED, five, scene.came(4), scene.confirmed(1), scene.confirmed(0), WAITING),
        _row(CONFIRMED, five, scene.came(1), scene.confirmed(3, 0, 200), WAITING),
        _row(CONFIRMED, five, scene.confirmed(1)),
        _row(CONFIRMED, five, scene.came(0), scene.came(2, 0, 150), WAITING),
        _row(CONFIRMED, five, scene.came(3), scene.came(2)),
        _row(CONFIRMED, five, scene.came(3), scene.came(2), scene.came(2)),
        _row(CONFIRMED, five, scene.came(0, 1), scene.confirmed(1), WAITING),
        _row(CONFIRMED, five, scene.came(0), scene.confirmed(4, 1), WAITING),
        _row(CONFIRMED, five, scene.came(0), scene.came(3, 1), WAITING),
        _row(CONFIRMED, five, scene.came(2), scene.came(4, 1), scene.confirmed(0), WAITING),
        _row(CONFIRMED, five, scene.came(1, 1), scene.came(1), WAITING),
    ]


PUBLIC_SCENE = Scene(("Gull", "Curlew", "Reed", "Plover", "Skua", "Lantern"), "Heron", 5, 7, 10)
FEW = Scene(("Skua", "Plover", "Gull", "Lantern", "Curlew", "Reed"), "Tern", 31, 900, 400)
SOME = FEW.neighbours
HEARD = ("receive", SOME[1], ("Heron", 5, 7, 10))
FLOODS = (
    *(_pair(("Gull", "Reed"), "Heron", *order) for pair in PAIRS for order in _orders(*pair)),
    _pair(("Gull", "Reed"), "Heron", (5, 7, 10), (5, 7, 10)),
    *_whom(PUBLIC_SCENE),
    *_old(PUBLIC_SCENE),
    *_confirmed(PUBLIC_SCENE),
    _row(OLD, SOME[:3], FEW.came(2), ("receive", SOME[0], FEW.dead(1)), FEW.came(2)),
    _row(CONFIRMED, SOME[:5], FEW.came(2, 1), FEW.came(2), FEW.came(3), WAITING),
    _row(CONFIRMED, SOME[:5], FEW.came(2), FEW.confirmed(4, 0, 77), WAITING),
    _row(CONFIRMED, SOME[:5], FEW.came(2), HEARD, WAITING),
)


def flood_questions(rng: random.Random) -> list[Question]:
    """Draw pairs of copies, and the rows of steps with names of their own."""
    questions = []
    for one, other in _pairs(rng):
        order = rng.choice(_orders(one, other))
        questions.append(_pair(_names(rng, 2), rng.choice(ROUTERS), *order))
    equal = _facts(rng)
    questions.append(_pair(_names(rng, 2), rng.choice(ROUTERS), equal, equal))
    return [*questions, *_whom(_scene(rng)), *_old(_scene(rng)), *_confirmed(_scene(rng))]


def _names(rng: random.Random, number: int) -> tuple[str, ...]:
    return tuple(rng.sample(NEIGHBOURS, number))


def _facts(rng: random.Random) -> Facts:
    return rng.randint(1, 60), rng.randint(1, 0xFFFF), rng.randint(1, 600)


def _scene(rng: random.Random) -> Scene:
    return Scene(_names(rng, 6), rng.choice(ROUTERS), *_facts(rng))


def _pairs(rng: random.Random) -> list[tuple[Facts, Facts]]:
    """Draw a pair for each rule, and at each edge of it."""
    sequence, checksum, age = _facts(rng)
    far, near = rng.randint(901, 1500), rng.randint(1, 899)

    def aged(*ages: int) -> tuple[Facts, Facts]:
        one, other = ((sequence, checksum, one) for one in ages)
        return one, other

    return [
        ((sequence, checksum, age), (sequence + rng.randint(200, 9000), checksum, age)),
        ((sequence, checksum, age), (sequence + rng.randint(200, 9000), checksum // 2, age + far)),
        ((2**32 - rng.randint(1, 40), checksum, age), (rng.randint(0, 40), checksum, age)),
        ((FIRST + rng.randint(0, 9), checksum, age), (FIRST + rng.randint(10, 19), checksum, age)),
        ((FIRST + rng.randint(0, 9), checksum, age), (LAST - rng.randint(0, 9), checksum, age)),
        ((sequence, checksum, age), (sequence, checksum + rng.randint(1, 0xFFFF), age)),
        aged(DEAD - far, DEAD),
        aged(DEAD - near, DEAD),
        aged(age + far, age),
        aged(age + rng.randint(1900, 2900), age),
        aged(age + 901, age),
        aged(age + 900, age),
        aged(age + near, age),
    ]

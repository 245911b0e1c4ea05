"""Questions about a window round trip by round trip (11.4): the public ones are two draws of many.

What one aspect asks for must not fall with another: windows are smaller than `largest` but in "two
windows". The last argument, or the one before, is another one for each kind of case.
"""

__all__ = ["ROUNDS", "round_questions"]

import random
from collections.abc import Callable

from course_lib.exercises.registry import Expected
from instructor.units.items import Question
from instructor.units.unit_11.answers import sent_each_round

GROWTH, DUPLICATES = "growth", "three duplicates"
TIMEOUTS, WINDOWS = "time-outs", "two windows"
ROOM = 100  # for the receiver, where that does not matter
LONGEST = 60  # round trips: no time-out here takes as long
Draw = Callable[[random.Random], Question]


class Path:
    """A path on which packets get lost, round trip by round trip."""

    def __init__(self, threshold: int, largest: int = ROOM, wait: int = 20) -> None:
        self.rest = (threshold, largest, wait)
        self.lost: list[int] = []
        self.past = 0  # round trips up to the last loss, waiting included

    def flight(self, turn: int) -> int:
        """Return how many packets go out when it is so many times the sender's turn again."""
        return self._turn(turn)[2]

    def lose(self, turn: int, *places: int) -> "Path":
        """Lose packets in a turn, counted from the last loss; places below 0 are from the end."""
        at, first, flight = self._turn(turn)
        self.lost += sorted(first + place % flight for place in places)
        sent = sent_each_round(self.lost, at + 2, *self.rest)
        self.past = at + 1
        if sent[-1] == 0:
            longer = sent_each_round(self.lost, at + LONGEST, *self.rest)
            self.past = next(n for n, one in enumerate(longer) if n > at and one)
        return self

    def ask(self, aspect: str, more: int) -> Question:
        """Ask for so many round trips behind the last loss and its wait."""
        return Question(aspect, (list(self.lost), self.past + more, *self.rest))

    def _turn(self, turn: int) -> tuple[int, int, int]:
        """Return the place of a turn, its first packet, and how many there are."""
        sent = sent_each_round(self.lost, self.past + turn + 1, *self.rest)
        return len(sent) - 1, sum(sent[:-1]) + 1, sent[-1]


def round_questions(rng: random.Random) -> list[Question]:
    """Draw growth, losses that duplicates show, time-outs, and receivers with little room."""
    kinds: tuple[tuple[Draw, int], ...] = (
        (_slow_start, 1),
        (_up_to_the_threshold, 1),
        (_from_the_threshold_on, 2),
        (_half, 2),
        (_half_of_an_odd_number, 1),
        (_several_lost, 1),
        (_just_three, 1),
        (_just_two, 1),
        (_many_in_front, 1),
        (_two_gaps, 1),
        (_lost_behind_the_gap, 1),
        (_shown_by_duplicates, 1),
        (_numbered_from_one, 1),
        (_numbered_as_sent, 1),
        (_time_out, 1),
        (_one_after_that, 1),
        (_two_in_a_row, 1),
        (_three_in_a_row, 1),
        (_two_apart, 1),
        (_threshold_after_that, 1),
        (_ends_within, 1),
        (_little_room, 1),
        (_half_of_little, 2),
    )
    return [draw(rng) for draw, number in kinds for _ in range(number)]


def _room(rng: random.Random) -> int:
    """Return more than is ever sent."""
    return rng.randint(90, 190)


def _slow_start(rng: random.Random) -> Question:
    return Path(rng.randint(33, 60), _room(rng), 21).ask(GROWTH, rng.randint(4, 6))


def _up_to_the_threshold(rng: random.Random) -> Question:
    threshold = rng.choice((5, 6, 7, 9, 10, 11, 12, 13, 14, 15))
    return Path(threshold, _room(rng), 22).ask(GROWTH, rng.randint(5, 7))


def _from_the_threshold_on(rng: random.Random) -> Question:
    return Path(rng.choice((1, 2, 4, 8)), _room(rng), 23).ask(GROWTH, rng.randint(6, 8))


def _later(rng: random.Random, wait: int) -> tuple[Path, int]:
    """Return a path, and a turn in which 9 to 20 packets go out."""
    path = Path(rng.randint(9, 15), wait=wait)
    return path, rng.randint(4, 7)


def _half(rng: random.Random) -> Question:
    path, turn = _later(rng, 24)
    return path.lose(turn, rng.randint(0, 3)).ask(DUPLICATES, rng.randint(2, 4))


def _half_of_an_odd_number(rng: random.Random) -> Question:
    path = Path(rng.choice((9, 11, 13, 15)), wait=25)
    return path.lose(4, rng.randint(0, 4)).ask(DUPLICATES, rng.randint(2, 4))


def _several_lost(rng: random.Random) -> Question:
    path, turn = _later(rng, 26)
    places = rng.sample(range(4), rng.randint(2, 3))
    return path.lose(turn, *places).ask(DUPLICATES, rng.randint(2, 4))


def _just_three(rng: random.Random) -> Question:
    path, turn = _later(rng, 27)
    return path.lose(turn, -4).ask(DUPLICATES, rng.randint(2, 3))


def _just_two(rng: random.Random) -> Question:
    path, turn = _later(rng, 27)
    return path.lose(turn, -3).ask(DUPLICATES, rng.randint(2, 3))


def _many_in_front(rng: random.Random) -> Question:
    path, turn = _later(rng, 28)
    return path.lose(turn, -rng.randint(1, 2)).ask(DUPLICATES, rng.randint(2, 3))


def _two_gaps(rng: random.Random) -> Question:
    """Lose one of the first and one of the last packets."""
    path, turn = _later(rng, 29)
    places = rng.randint(0, 2), -rng.randint(1, 3)
    return path.lose(turn, *places).ask(DUPLICATES, rng.randint(2, 3))


def _lost_behind_the_gap(rng: random.Random) -> Question:
    """Lose so many behind the gap that two arrive there."""
    path, turn = _later(rng, 30)
    behind = rng.randint(3, 5)
    places = [-behind - 1, *rng.sample(range(-behind, 0), behind - rng.randint(1, 2))]
    return path.lose(turn, *places).ask(DUPLICATES, rng.randint(2, 3))


def _shown_by_duplicates(rng: random.Random) -> Question:
    path, turn = _later(rng, 31)
    return path.lose(turn, rng.randint(0, 3)).ask(DUPLICATES, rng.randint(2, 5))


def _numbered_from_one(rng: random.Random) -> Question:
    """Lose the last packet of a turn, which would be the first of the next one."""
    path, turn = _later(rng, 32)
    return path.lose(turn, -4).ask(DUPLICATES, rng.randint(2, 3))


def _numbered_as_sent(rng: random.Random) -> Question:
    """Lose packets in two turns."""
    path, turn = _later(rng, 33)
    path.lose(turn, rng.randint(0, 3), 4)
    return path.lose(rng.randint(0, 2), -4).ask(DUPLICATES, rng.randint(2, 3))


def _time_out(rng: random.Random) -> Question:
    path = Path(rng.randint(4, 20), 201, rng.randint(1, 4))
    turn = rng.randint(0, 1)
    return path.lose(turn, rng.randint(0, turn)).ask(TIMEOUTS, rng.randint(2, 4))


def _one_after_that(rng: random.Random) -> Question:
    path = Path(rng.randint(6, 20), 202, rng.randint(1, 4))
    return path.lose(rng.randint(3, 5), -rng.randint(1, 3)).ask(TIMEOUTS, rng.randint(2, 4))


def _two_in_a_row(rng: random.Random) -> Question:
    path = Path(rng.randint(4, 20), 203, rng.randint(1, 3))
    path.lose(rng.randint(0, 1), 0).lose(0, 0)
    return path.ask(TIMEOUTS, rng.randint(1, 3))


def _three_in_a_row(rng: random.Random) -> Question:
    path = Path(rng.randint(4, 20), 203, rng.randint(1, 2))
    path.lose(rng.randint(0, 1), 0).lose(0, 0).lose(0, 0)
    return path.ask(TIMEOUTS, rng.randint(1, 3))


def _two_apart(rng: random.Random) -> Question:
    path = Path(rng.randint(4, 20), 204, rng.randint(1, 3))
    path.lose(rng.randint(0, 1), 0).lose(rng.randint(1, 2), 0)
    return path.ask(TIMEOUTS, rng.randint(1, 3))


def _threshold_after_that(rng: random.Random) -> Question:
    path = Path(rng.randint(11, 20), 205, rng.randint(1, 3))
    return path.lose(rng.randint(3, 4), -rng.randint(1, 3)).ask(TIMEOUTS, rng.randint(4, 6))


def _ends_within(rng: random.Random) -> Question:
    """Ask for fewer round trips than a time-out takes."""
    wait = rng.randint(3, 6)
    path = Path(rng.randint(4, 20), 206, wait).lose(rng.randint(0, 1), 0)
    return path.ask(TIMEOUTS, -rng.randint(1, wait))


def _little_room(rng: random.Random) -> Question:
    return Path(rng.randint(20, 40), rng.randint(3, 9), 41).ask(WINDOWS, rng.randint(5, 8))


def _half_of_little(rng: random.Random) -> Question:
    path = Path(rng.randint(20, 40), rng.randint(6, 12), 42)
    return path.lose(rng.randint(5, 7), rng.randint(0, 2)).ask(WINDOWS, rng.randint(2, 4))


ROUNDS = (
    Question(
        DUPLICATES,
        ([9], 7, 8, 100, 3),
        "the contract's own example",
        Expected(value=[1, 2, 4, 8, 4, 5, 6]),
    ),
    *round_questions(random.Random("what everybody may see")),
    *round_questions(random.Random("once more")),
)

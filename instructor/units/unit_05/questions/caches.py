"""Questions about a table of neighbours (5.2).

Results of `receive` stand in every case. So that each aspect asks for its own clauses alone, a
neighbour that is in the table sends to us in "whom to answer" only, and nobody is looked up there.
Hardware addresses change in "learn" only; nothing grows too old but in "age" and "group addresses".
"""

__all__ = ["NEW_CACHE", "cache_questions"]

import random
from typing import Any

from course_lib.exercises.registry import Expected
from instructor.units.items import Question
from instructor.units.unit_05.case_parts import EVERYBODY, station

LEARN, WHOM, AGE, GROUPS = "learn", "whom to answer", "age", "group addresses"
RECEPTION = 'RFC 826, "Packet Reception"'
COMPUTED = "computed by the model answer"
QUESTION, ANSWER = 1, 2
MULTICAST = bytes.fromhex("0100 5e00 0001")  # RFC 1112, section 6.4, for 224.0.0.1
LOCAL = bytes.fromhex("0200 5e00 5304")  # the bit beside the lowest: set by hand (RFC 9542)

Call = tuple[Any, ...]
US, REED, GULL, PLOVER = "192.0.2.1", "192.0.2.8", "192.0.2.9", "192.0.2.17"


def steps(
    aspect: str,
    us: tuple[str, float],
    *calls: Call,
    source: str = COMPUTED,
    expected: list[Any] | None = None,
) -> Question:
    """Make a table and call its methods: two arguments are for `find`, five for `receive`."""
    published = None if expected is None else Expected(value=expected)
    return Question(aspect, ([["new", *us], *map(_called, calls)],), source, published)


def steps_of_two(aspect: str, us: tuple[Any, Any], *calls: tuple[int, Call]) -> Question:
    """Make two tables, and call their methods in turn: a number, and a call."""
    made = [["new", *one] for one in us]
    return Question(aspect, ([*made, *([number, *_called(call)] for number, call in calls)],))


def _called(call: Call) -> list[Any]:
    return ["find" if len(call) == 2 else "receive", *call]


class Link:
    """A station, its link, and two neighbours with two hardware addresses each.

    The methods tell who sends to whom; a neighbour's number is 0 or 1.
    """

    def __init__(
        self, us: str, neighbours: tuple[str, str], stranger: str, stations: list[int]
    ) -> None:
        self.us = us
        self.neighbours = neighbours
        self.stranger = stranger
        self.stations = [station(number) for number in stations]

    def sent(
        self, now_s: float, who: int, operation: int, target: str, *, other: bool = False
    ) -> Call:
        """Return a packet from a neighbour, perhaps from its other hardware address."""
        hardware_address = self.stations[2 * other + who]
        return (now_s, operation, hardware_address, self.neighbours[who], target)

    def asks_us(self, now_s: float, who: int = 0, **other: bool) -> Call:
        """Return a question for us."""
        return self.sent(now_s, who, QUESTION, self.us, **other)

    def answers_us(self, now_s: float, who: int = 0, **other: bool) -> Call:
        """Return an answer to us."""
        return self.sent(now_s, who, ANSWER, self.us, **other)

    def asks(self, now_s: float, who: int = 0, **other: bool) -> Call:
        """Return a question for somebody else."""
        return self.sent(now_s, who, QUESTION, self.stranger, **other)

    def answers(self, now_s: float, who: int = 0, **other: bool) -> Call:
        """Return an answer to somebody else."""
        return self.sent(now_s, who, ANSWER, self.stranger, **other)

    def find(self, now_s: float, who: int = 0) -> Call:
        """Look a neighbour up."""
        return (now_s, self.neighbours[who])

    def from_group(
        self, now_s: float, operation: int, hardware_address: bytes, target: str | None = None
    ) -> Call:
        """Return a packet with which the first neighbour claims a group address."""
        return (now_s, operation, hardware_address, self.neighbours[0], target or self.us)


def _learnt(link: Link, life_s: float, start_s: float) -> list[Question]:
    """Ask who is learnt, from which packets, and which address counts."""
    us, now = (link.us, life_s), start_s
    return [
        steps(LEARN, us, link.find(now)),
        steps(LEARN, us, link.find(now, 1), link.find(now)),
        steps(LEARN, us, link.asks_us(now), link.find(now + 1)),
        steps(LEARN, us, link.answers_us(now, 1), link.find(now + 1, 1)),
        steps(LEARN, us, link.answers(now), link.find(now + 1)),
        steps(LEARN, us, link.asks(now, 1), link.find(now + 1, 1)),
        steps(LEARN, us, link.asks_us(now), link.answers(now + 1, 1), link.find(now + 2, 1),
              link.find(now + 2)),
        steps(LEARN, us, link.asks_us(now), link.answers(now + 1, other=True), link.find(now + 2)),
        steps(LEARN, us, link.asks_us(now, 1), link.asks(now + 1, 1, other=True),
              link.find(now + 2, 1)),
        steps(LEARN, us, link.answers_us(now), link.asks_us(now, 1), link.find(now),
              link.asks(now + 1, other=True), link.answers(now + 2, 1, other=True),
              link.find(now + 2), link.find(now + 2, 1)),
        steps(LEARN, us, link.answers_us(now), link.answers_us(now + 1, other=True),
              link.find(now + 2)),
        steps(LEARN, us, link.asks_us(now, 1), link.answers_us(now + 1, 1, other=True),
              link.find(now + 2, 1)),
        steps_of_two(LEARN, (us, us), (0, link.asks_us(now)), (1, link.asks_us(now, 1)),
                     (0, link.find(now + 1, 1)), (1, link.find(now + 1)), (0, link.find(now + 1))),
        steps_of_two(LEARN, (us, us), (0, link.asks_us(now)), (1, link.find(now)),
                     (1, link.answers(now + 1)), (1, link.find(now + 1))),
    ]  # fmt: skip


def _owed(link: Link, life_s: float, start_s: float, far: str) -> list[Question]:
    """Ask to whom an answer is owed; `far` ends as our own address does."""
    us, now = (link.us, life_s), start_s
    by_far = link.sent(now, 0, QUESTION, far)
    return [
        steps(WHOM, us, link.asks_us(now), link.asks_us(now + 1)),
        steps(WHOM, us, link.asks_us(now), link.answers_us(now + 1), link.asks_us(now + 1, 1)),
        steps(WHOM, us, link.answers_us(now), link.answers_us(now + 1), link.asks_us(now + 2)),
        steps(WHOM, us, link.answers_us(now, 1), link.asks(now), link.asks_us(now + 1)),
        steps(WHOM, us, by_far, link.asks_us(now + 1, 1)),
        steps(WHOM, us, link.asks_us(now), link.sent(now + 1, 0, QUESTION, far)),
        steps(WHOM, us, link.asks(now), link.answers(now), link.asks_us(now, 1), link.asks(now, 1)),
        steps(WHOM, us, link.answers(now, 1), link.asks_us(now), link.asks_us(now, other=True)),
    ]


def _aged(link: Link, life_s: float, start_s: float) -> list[Question]:
    """Ask for how long an entry is believed."""
    us, now, part_s = (link.us, life_s), start_s, life_s / 4
    end = now + life_s
    return [
        steps(AGE, us, link.asks_us(now), link.find(end - part_s), link.find(end)),
        steps(AGE, us, link.asks_us(now), link.find(end)),
        steps(AGE, us, link.asks_us(now), link.find(end + 8 * part_s)),
        steps(AGE, us, link.asks_us(now), link.find(now), link.find(end - part_s)),
        steps(AGE, us, link.asks_us(now), link.answers(end - part_s), link.find(end + part_s)),
        steps(AGE, us, link.asks_us(now), link.answers(now + part_s), link.find(end),
              link.find(end + part_s)),
        steps(AGE, us, link.asks_us(now), link.answers(end - part_s), link.answers(end + part_s),
              link.find(end + 4 * part_s), link.find(end + 5 * part_s)),
        steps(AGE, us, link.asks_us(now), link.find(end - part_s), link.find(end + part_s)),
        steps(AGE, us, link.asks_us(now), link.find(now + part_s), link.find(now + 2 * part_s),
              link.find(end)),
        steps(AGE, us, link.asks_us(now), link.answers(end + part_s), link.find(end + part_s)),
        steps(AGE, us, link.asks_us(now), link.answers(end), link.find(end)),
        steps(AGE, us, link.asks_us(now), link.find(end + part_s), link.asks_us(end + part_s),
              link.find(end + 4 * part_s), link.find(end + 5 * part_s)),
        steps(AGE, us, link.asks_us(now), link.asks_us(now + 2 * part_s, 1),
              link.find(end + part_s), link.find(end + part_s, 1)),
        steps(AGE, us, link.asks_us(now), link.from_group(end - part_s, ANSWER, EVERYBODY),
              link.find(end + part_s)),
        steps(AGE, us, link.asks_us(now), link.from_group(now + part_s, ANSWER, EVERYBODY),
              link.find(end + part_s)),
    ]  # fmt: skip


def _grouped(
    link: Link, life_s: float, start_s: float, group: bytes, local: bytes
) -> list[Question]:
    """Ask what a group address teaches; `local` is no group's."""
    us, now = (link.us, life_s), start_s
    heard = link.asks_us(now, 1)
    return [
        steps(GROUPS, us, heard, link.from_group(now, QUESTION, EVERYBODY), link.find(now)),
        steps(GROUPS, us, link.from_group(now, QUESTION, EVERYBODY)),
        steps(GROUPS, us, heard, link.from_group(now, ANSWER, group), link.find(now)),
        steps(GROUPS, us, heard, link.from_group(now, QUESTION, group), link.find(now + 1)),
        steps(GROUPS, us, link.asks_us(now), link.from_group(now + 1, ANSWER, group),
              link.find(now + 2)),
        steps(GROUPS, us, link.asks_us(now),
              link.from_group(now + 1, ANSWER, EVERYBODY, link.stranger), link.find(now + 2)),
        steps(GROUPS, us, link.asks_us(now), link.from_group(now + 1, QUESTION, EVERYBODY),
              link.find(now + 2)),
        steps(GROUPS, us, link.from_group(now, QUESTION, local), link.find(now)),
        steps(GROUPS, us, heard, link.from_group(now, QUESTION, local), link.find(now + 1)),
        steps(GROUPS, us, heard, link.find(now + 1, 1)),
    ]  # fmt: skip


EXAMPLE = Link(US, (REED, GULL), PLOVER, [8, 9, 0x18, 0x19])
HIGH = bytes.fromhex("fe00 5e00 5305")
NEW_CACHE = (
    steps(LEARN, (US, 60), EXAMPLE.asks_us(0), source="the contract's own example",
          expected=[True]),
    steps(LEARN, (US, 60), EXAMPLE.answers(0), EXAMPLE.find(0), EXAMPLE.asks_us(1),
          EXAMPLE.asks(2, other=True), EXAMPLE.find(3), source=RECEPTION,
          expected=[False, None, True, False, station(0x18)]),
    *_learnt(EXAMPLE, 60, 0),
    *_owed(EXAMPLE, 60, 5, "198.51.100.1"),
    *_aged(EXAMPLE, 60, 0)[1:],
    *_aged(EXAMPLE, 20, 7.5),
    *_grouped(EXAMPLE, 60, 0, MULTICAST, LOCAL),
    steps(GROUPS, (US, 60), (0, QUESTION, HIGH, REED, US), (1, REED)),
    steps(GROUPS, (US, 60), (0, QUESTION, station(0xFF), GULL, US), (1, GULL)),
)  # fmt: skip


def cache_questions(rng: random.Random) -> list[Question]:
    """Draw stations and times; what happens is the same for every seed, its order is not."""
    return [
        *_learnt(_drawn(rng), rng.randint(20, 90), rng.randint(0, 200) / 2),
        *_owed(*_with_far(rng)),
        *_aged(_drawn(rng), 4 * rng.choice((2, 3, 7, 12, 30)), rng.randint(0, 200) / 2),
        *_grouped(_drawn(rng), 4 * rng.randint(3, 25), rng.randint(0, 200) / 2,
                  bytes([rng.randrange(128) | 1, *rng.randbytes(4), rng.randrange(0, 256, 2)]),
                  bytes([rng.choice((0x02, 0x82, 0xF2)), *rng.randbytes(4), 7])),
    ]  # fmt: skip


def _drawn(rng: random.Random) -> Link:
    network = rng.choice(("192.0.2.", "198.51.100.", "203.0.113."))
    host, digit = rng.randint(1, 24), rng.randint(0, 9)
    us, stranger = (
        f"{network}{host}",
        f"{network}{host}{digit}",
    )  # as text, one begins with the other
    one, two = (network + str(number) for number in rng.sample(range(250, 255), 2))
    return Link(us, (one, two), stranger, rng.sample(range(256), 4))


def _with_far(rng: random.Random) -> tuple[Link, float, float, str]:
    link = _drawn(rng)
    far = "10.0.0." + link.us.split(".")[3]
    return link, rng.randint(20, 90), rng.randint(0, 200) / 2, far

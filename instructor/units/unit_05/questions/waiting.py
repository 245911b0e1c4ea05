"""Questions about packets that wait for an address (5.3).

All times are eighths of a second, so that no rounding decides. So that each aspect asks for its
own clauses alone, "who waits" has no ticks; elsewhere no room is ever full. In "questions" nothing
is given up; in "giving up" ticks are more than a second apart for each address.
"""

__all__ = ["NEW_WAITING", "waiting_questions"]

import itertools
import random
from collections.abc import Sequence
from typing import Any

from course_lib.exercises.registry import Expected
from instructor.units.items import Question

KEPT, ASKED, LOST = "who waits", "questions", "giving up"
COMPUTED = "computed by the model answer"
AT_LEAST_ONE = "RFC 1122, section 2.3.2.2: at least the latest packet is kept"
ONE_A_SECOND = "RFC 1122, section 2.3.2.1: no more than one question a second"

Call = tuple[Any, ...]


def steps(
    aspect: str, most: int, *calls: Call, source: str = COMPUTED, expected: list[Any] | None = None
) -> Question:
    """Make an object and call its methods."""
    published = None if expected is None else Expected(value=expected)
    return Question(aspect, ([["new", most], *map(list, calls)],), source, published)


def steps_of_two(aspect: str, rooms: tuple[int, int], *calls: tuple[int, Call]) -> Question:
    """Make two objects, and call their methods in turn: a number, and a call."""
    made = [["new", most] for most in rooms]
    return Question(aspect, ([*made, *([number, *call] for number, call in calls)],))


def wait(address: str, *packets: str) -> list[Call]:
    """Let packets wait for an address."""
    return [("wait", address, packet) for packet in packets]


def ticks(*times_s: float) -> list[Call]:
    """Let time go by."""
    return [("tick", time_s) for time_s in times_s]


def _kept(link: Sequence[str], names: list[str]) -> list[Question]:
    """Ask which packets wait; `names` are different packets, six or more."""
    one, two = link
    a, b, c, d, e, f = names[:6]
    left, right = ("answered", one), ("answered", two)
    return [
        steps(KEPT, 3, *wait(one, a), left),
        steps(KEPT, 3, left),
        steps(KEPT, 2, *wait(one, a, b), left, left),
        steps(KEPT, 2, *wait(one, f), left, left),
        steps(KEPT, 3, *wait(one, c, b, a), left),
        steps(KEPT, 1, *wait(one, a, b), left),
        steps(KEPT, 2, *wait(one, a, b, c, d), left),
        steps(KEPT, 3, *wait(one, *[a] * 4), left),
        steps(KEPT, 4, *wait(two, *[b] * 6), right),
        steps(KEPT, 3, *wait(one, *names[:5]), left),
        steps(KEPT, 5, *wait(one, *names[:6], a), left),
        steps(KEPT, 2, *wait(one, a, b), *wait(two, c, d), left, right),
        steps(KEPT, 1, *wait(one, a), *wait(two, b), right, left),
        steps(KEPT, 3, *wait(two, a), *wait(one, b, c), *wait(two, d, e), right, left, right),
        steps(KEPT, 2, *wait(one, a), right, left),
        steps(KEPT, 2, *wait(one, a), left, *wait(one, b), left),
        steps(KEPT, 3, *wait(one, a, b, a), left),
        steps(KEPT, 6, *wait(two, f, e, d), *wait(one, f), right, right, left),
        steps_of_two(KEPT, (2, 2), (0, ("wait", one, a)), (1, left), (0, left)),
        steps_of_two(KEPT, (2, 2), (0, ("wait", one, a)), (1, ("wait", one, b)), (0, left),
                     (1, left)),
        steps_of_two(KEPT, (2, 3), *((0, call) for call in wait(one, a, b)),
                     (1, ("wait", one, c)), (0, left), (1, left)),
    ]  # fmt: skip


def _asked(link: Sequence[str], names: list[str], start_s: float) -> list[Question]:
    """Ask for whom there are questions, and when; the addresses stand in the alphabet's order."""
    one, two, three = link
    a, b, c = names[:3]
    left = ("answered", one)

    def at(*times_s: float) -> list[Call]:
        return ticks(*(start_s + time_s for time_s in times_s))

    return [
        steps(ASKED, 4, *wait(one, a), *wait(two, b), *at(0)),
        steps(ASKED, 4, *wait(two, a), *at(0), *wait(one, b), *at(0.25, 2)),
        steps(ASKED, 2, *wait(one, a), *at(0, 0.5, 1, 1.5, 2)),
        steps(ASKED, 2, *wait(two, a), *at(0, 0.875, 1, 1.875)),
        steps(ASKED, 2, *wait(one, a), *at(0, 1.75, 2, 2.875)),
        steps(ASKED, 2, *wait(one, a), *at(0, 3.5, 4.25, 4.625)),
        steps(ASKED, 2, *wait(one, a), *at(0), *wait(one, b), *at(0.25, 1.125)),
        steps(ASKED, 3, *wait(one, a), *at(0, 1), *wait(one, b), *at(1.5), *wait(one, c), *at(2)),
        steps(ASKED, 4, *wait(one, a, b), *at(0, 1)),
        steps(ASKED, 4, *wait(two, a), *wait(one, b), *at(0, 1)),
        steps(ASKED, 4, *wait(three, a), *wait(two, b), *wait(one, c), *at(0, 0.5, 1)),
        steps(ASKED, 4, *wait(two, a), *wait(one, b), *wait(two, c), *at(0)),
        steps(ASKED, 4, *wait(one, a), *at(0), *wait(two, b), *at(0.5, 1, 1.5)),
        steps(ASKED, 4, *wait(two, a), *at(0), *wait(one, b), *at(0.25, 1, 1.25)),
        steps(ASKED, 4, *wait(two, a), *at(0), *wait(one, b), *at(1)),
        steps(ASKED, 2, *wait(one, a), *at(0), left, *at(1)),
        steps(ASKED, 2, *wait(one, a), *wait(two, b), *at(0), left, *at(1, 2)),
        steps(ASKED, 2, *wait(one, a), *at(0), left, *wait(one, b), *at(0.25, 0.75, 1.375)),
        steps(ASKED, 2, *wait(one, a), *at(0, 1), left, *wait(one, b), *at(1.5, 2.5, 3.5)),
        steps(ASKED, 2, *wait(one, a), left, *at(0)),
    ]


def _lost(link: Sequence[str], names: list[str], start_s: float, gap_s: float) -> list[Question]:
    """Ask what is given up, and when; `gap_s` is more than a second."""
    one, two = link
    a, b, c, d = names[:4]
    times_s = [start_s + number * gap_s for number in range(9)]
    asked, rest = ticks(*times_s[:3]), ticks(*times_s[3:5])
    between = list(itertools.chain(*zip(wait(one, a, b, c), asked, strict=True)))
    turns = (0, 0.5, 1.125, 1.625, 2.25, 2.75, 3.375, 3.875, 5)  # two addresses, never at once
    by_turns = ticks(*(start_s + time_s for time_s in turns))
    return [
        steps(LOST, 2, *wait(one, a), *asked, *rest),
        steps(LOST, 2, *wait(two, c), *ticks(*(start_s + 10 * number for number in range(5)))),
        steps(LOST, 4, *wait(one, a, b), *asked, *rest),
        steps(LOST, 4, *wait(one, c, b), *asked, rest[0]),
        steps(LOST, 4, *wait(one, b, a, c), *asked, *rest),
        steps(LOST, 4, *between, rest[0]),
        steps(LOST, 4, *wait(one, d), asked[0], *wait(one, d), *asked[1:], rest[0]),
        steps(LOST, 4, *wait(one, d, d, d), *asked, rest[0]),
        steps(LOST, 4, *wait(one, a, a), *asked, rest[0], *wait(one, b, b), *ticks(*times_s[4:])),
        steps(LOST, 4, *wait(one, d), *wait(one, d), *asked, rest[0], *wait(one, c),
              *ticks(*times_s[4:6])),
        steps(LOST, 4, *wait(one, a, b), by_turns[0], *wait(two, c, d), *by_turns[1:]),
        steps(LOST, 4, *wait(two, a), by_turns[0], *wait(one, d, b), *by_turns[1:]),
    ]  # fmt: skip


LINK = ("192.0.2.8", "192.0.2.9")
NEW_WAITING = (
    steps(KEPT, 1, ("wait", LINK[0], "first"), ("wait", LINK[0], "latest"), ("answered", LINK[0]),
          source=AT_LEAST_ONE, expected=[None, None, ["latest"]]),
    steps(ASKED, 1, ("wait", LINK[0], "A"), ("tick", 0), source="the contract's own example",
          expected=[None, ([LINK[0]], [])]),
    steps(ASKED, 2, ("wait", LINK[0], "A"), *ticks(0, 0.25, 0.5, 0.75), source=ONE_A_SECOND,
          expected=[None, ([LINK[0]], []), ([], []), ([], []), ([], [])]),
    *_kept(LINK, list("ABCDEF")),
    *_asked((*LINK, "192.0.2.99"), list("GHI"), 0),
    *_lost(LINK, list("JKLM"), 0, 1.5),
)  # fmt: skip


def waiting_questions(rng: random.Random) -> list[Question]:
    """Draw addresses, packets and times."""
    network = rng.choice(("192.0.2.", "198.51.100.", "203.0.113."))
    return [
        *_kept(_addresses(rng, network, 2), _names(rng)),
        *_asked(_addresses(rng, network, 3), _names(rng), _start_s(rng)),
        *_lost(_addresses(rng, network, 2), _names(rng), _start_s(rng), rng.randint(9, 15) / 8),
    ]


def _addresses(rng: random.Random, network: str, count: int) -> list[str]:
    return sorted(network + str(host) for host in rng.sample(range(1, 255), count))


def _names(rng: random.Random) -> list[str]:
    return [f"packet {number}" for number in rng.sample(range(1000), 6)]


def _start_s(rng: random.Random) -> float:
    return rng.randint(1, 400) / 8

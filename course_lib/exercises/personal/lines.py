"""Numbers of one's own for exercise 8.1: who comes when to a line, and how long sending takes.

Everybody has the same work: as many packets, and as each comes, the same others are there. Drawn
are the sending times, and where within a sending the next packets come. A line is drawn from the
moments at which sendings begin, and each packet comes so much before its own one: that is its wait.
"""

__all__ = ["line_cases"]

from collections.abc import Sequence
from itertools import accumulate

from course_lib.exercises.personal.draws import Draws
from course_lib.exercises.registry import Case, Expected

SOURCE = "own numbers"
WHILE_ONE_IS_SENT = (2, 1, 0, 1, 0)  # so many come while the first one is sent, and so on
TOGETHER = 2  # so many come at the same moment
PLENTY = 8  # more room than there are packets
ROOM = 3


def line_cases(draws: Draws) -> tuple[Case, ...]:
    """Draw a line with room for all, one without, one where moments meet, and a crowd."""
    return _different(draws), _too_many(draws), _as_one_leaves(draws), _together(draws)


def _different(draws: Draws) -> Case:
    """Let packets of different sizes come, and one more when all have left."""
    takes = draws.some(range(6, 20), len(WHILE_ONE_IS_SENT) + 1)
    begins = _one_behind_the_other(draws.between(0, 9), takes)
    came = [begins[0]]
    for begin, each, number in zip(begins, takes, WHILE_ONE_IS_SENT, strict=False):
        came += _within(draws, begin, each, number)
    begins[-1] += draws.between(2, 9)  # the line has nothing to do for a while
    return _line("who waits how long", [*came, begins[-1]], takes, begins, PLENTY)


def _too_many(draws: Draws) -> Case:
    """Let one come that finds no room, later another, and one who finds a single one there."""
    takes = draws.between(10, 20)
    begins = range(0, 5 * takes, takes)
    while_first = _within(draws, 0, takes, ROOM)
    while_second = _within(draws, takes, takes, 2)
    last = _within(draws, 3 * takes, takes, 1)
    came = [0, *while_first, *while_second, *last]
    begins_or_none = [*begins[:3], None, begins[3], None, begins[4]]
    return _line("no room", came, [takes] * len(came), begins_or_none, ROOM)


def _as_one_leaves(draws: Draws) -> Case:
    """Fill the room, and let the next two come when one leaves."""
    takes = draws.between(8, 20)
    came = [0, *_within(draws, 0, takes, ROOM - 1), takes, 2 * takes]
    begins = [takes * turn for turn in range(len(came))]
    return _line("at the same moment", came, [takes] * len(came), begins, ROOM)


def _together(draws: Draws) -> Case:
    """Let some come at the same moment, all while the first one is sent."""
    takes = draws.some(range(6, 20), 1 + 2 * TOGETHER)
    begins = _one_behind_the_other(0, takes)
    moments = _within(draws, begins[0], takes[0], 2)
    came = [begins[0], *(now for now in moments for _ in range(TOGETHER))]
    return _line("at the same moment", came, takes, begins, PLENTY)


def _one_behind_the_other(start: int, takes: Sequence[int]) -> list[int]:
    return list(accumulate(takes[:-1], initial=start))


def _within(draws: Draws, begin: int, takes: int, number: int) -> list[int]:
    """Draw so many moments after a sending began and before it ends, none twice."""
    return sorted(begin + after for after in draws.some(range(1, takes), number))


def _line(
    aspect: str,
    came: list[int],
    takes: list[int],
    begins: Sequence[int | None],  # None: no room
    room: int,
) -> Case:
    waits = [None if begin is None else begin - at for at, begin in zip(came, begins, strict=True)]
    return Case(aspect, (came, takes, room), Expected(waits), SOURCE, {})

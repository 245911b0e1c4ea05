"""How far a room is, exercise by exercise, and where most are stuck: counts, and nobody's name.

What hangs on a wall must not single anybody out. So

* with fewer than five machines nothing is shown but how many there are;
* whoever would stand in a group of one or two is counted with the neighbouring group;
* where people are stuck, and on which belief, is shown only if three or more are.

The limits are our own choice, without a published source.
"""

__all__ = ["SMALLEST_GROUP", "SMALLEST_ROOM", "Bar", "Board", "Group", "Stuck", "board_of"]

from collections import Counter
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from course_lib.exercises.feedback import misconception_title, table
from course_lib.exercises.progress import Entry, Progress
from course_lib.exercises.registry import Exercise, all_exercises

SMALLEST_ROOM = 5  # machines
SMALLEST_GROUP = 3  # machines
STUCK_FROM = 3  # attempts, and still not right
MOST_STUCK = 2  # places that are shown; a wall has no room for more
RIGHT, WORKING, NOT_BEGUN = "right", "at work", "not begun"


class Group(NamedTuple):
    """Machines that are equally far, or two groups that must not be told apart."""

    kinds: tuple[str, ...]
    machines: int


class Bar(NamedTuple):
    """An exercise, and how far everybody is with it: groups from right to not begun."""

    exercise: str
    title: str
    groups: tuple[Group, ...]


class Stuck(NamedTuple):
    """Where machines are stuck; `belief` and `question` are '' if no belief is shared by enough."""

    exercise: str
    title: str
    machines: int
    belief: str = ""
    question: str = ""
    believing: int = 0


class Board(NamedTuple):
    """What may hang on the wall. Without bars and places there are too few machines."""

    unit: str
    machines: int
    bars: tuple[Bar, ...]
    stuck: tuple[Stuck, ...]


def board_of(everybody: Sequence[Progress], unit: str = "") -> Board:
    """Return the board for a unit, or for the one in which most are at work."""
    shown = unit or _unit_of_most(everybody)
    if len(everybody) < SMALLEST_ROOM:
        return Board(shown, len(everybody), (), ())
    items = [item for item in all_exercises() if item.unit == shown]
    bars = tuple(
        Bar(item.id, item.title, _groups(_kind(item, one) for one in everybody)) for item in items
    )
    return Board(shown, len(everybody), bars, _stuck(items, everybody))


def _unit_of_most(everybody: Sequence[Progress]) -> str:
    units = {item.id: item.unit for item in all_exercises()}
    last = Counter(units[name] for one in everybody if (name := _last(one)))
    return min(last, key=lambda unit: (-last[unit], unit), default=min(units.values()))


def _last(one: Progress) -> str:
    """Return the exercise that was tried last; '' for none."""
    return next((name for name in reversed([*one]) if one[name].attempts), "")


def _kind(item: Exercise, one: Progress) -> str:
    entry = one.get(item.id, Entry())
    if not entry.attempts:
        return NOT_BEGUN
    return RIGHT if entry.best >= item.points else WORKING


def _groups(kinds: Iterable[str]) -> tuple[Group, ...]:
    """Count, and put a group of one or two together with the smaller one beside it."""
    counted = Counter(kinds)
    groups = [
        Group((kind,), counted[kind]) for kind in (RIGHT, WORKING, NOT_BEGUN) if counted[kind]
    ]
    while len(groups) > 1:
        place = min(range(len(groups)), key=lambda at: groups[at].machines)
        if groups[place].machines >= SMALLEST_GROUP:
            break
        beside = min(
            (at for at in (place - 1, place + 1) if 0 <= at < len(groups)),
            key=lambda at: groups[at].machines,
        )
        first, second = sorted((place, beside))
        one, other = groups[first], groups[second]
        groups[first : second + 1] = [Group(one.kinds + other.kinds, one.machines + other.machines)]
    return tuple(groups)


def _stuck(items: Sequence[Exercise], everybody: Sequence[Progress]) -> tuple[Stuck, ...]:
    found = []
    for item in items:
        here = [
            one[item.id] for one in everybody
            if _last(one) == item.id and _kind(item, one) == WORKING
            and one[item.id].attempts >= STUCK_FROM
        ]  # fmt: skip
        if len(here) >= SMALLEST_GROUP:
            found.append(_with_belief(Stuck(item.id, item.title, len(here)), here))
    return tuple(sorted(found, key=lambda one: -one.machines)[:MOST_STUCK])


def _with_belief(stuck: Stuck, here: Iterable[Entry]) -> Stuck:
    beliefs = Counter(one.belief for one in here if one.belief)
    if not beliefs:
        return stuck
    ((name, machines),) = beliefs.most_common(1)
    if machines < SMALLEST_GROUP:
        return stuck
    question = table()["exercise"][stuck.exercise]["misconceptions"][name]["next"]
    return stuck._replace(
        belief=misconception_title(stuck.exercise, name), question=question, believing=machines
    )

"""Whose numbers stand in a workbook: a table for a look, said as fact.

Everybody is marked with the numbers of their own id, whatever stands in the workbook, so nothing
here changes a point. A code, or calls with numbers, may be another student's because a file was
passed on, because two people sat at one machine or compared what they had, or because two rows of a
list were mixed up: a person asks.

Columns, which never change their names or order:

| column | holds |
|---|---|
| `student` | the student's id |
| `unit` | the unit's folder name |
| `code` | whose it is: `own`, `none`, `mistyped`, `another student's` or `nobody's` |
| `of` | the other student's id |
| `calls` | calls with others' numbers that stand in the code: exercises and ids |

Known are those who handed in or stand on the roster: `nobody's` is a code of none of these.
"""

__all__ = ["COLUMNS", "NumbersUsed", "for_a_look", "numbers_used", "with_numbers", "write_numbers"]

from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import NamedTuple

from course_lib.exercises.personal.code import CodeError, code_typed, read_code
from course_lib.exercises.personal.own_cases import has_own_numbers
from instructor.grading.intake.hand_ins import HandIn
from instructor.grading.pages.scores import Named
from instructor.grading.similarity.others_numbers import OthersNumbers
from instructor.output.tables import write_table
from instructor.release.personal_codes import code_of
from instructor.units.items import unit_items

COLUMNS = ("student", "unit", "code", "of", "calls")
OWN, NONE, MISTYPED = "own", "none", "mistyped"
OTHERS, NOBODYS = "another student's", "nobody's"
FACTS = {
    MISTYPED: "what stands in the workbook as a code is none",
    OTHERS: "the code in the workbook is that of {of}",
    NOBODYS: "the code in the workbook is that of nobody who handed in or is listed",
}
CALLED = "calls of {calls} stand in the code"
MARKED_WITH = "marked with the numbers of the student's own id"


class NumbersUsed(NamedTuple):
    """Whose code stands in one hand-in, in the columns of the table."""

    student: str
    unit: str
    code: str
    of: str = ""
    calls: str = ""

    @property
    def fact(self) -> str:
        """Say in words what there is to look at; '' if there is nothing."""
        facts = [FACTS[self.code].format(of=self.of)] if self.code in FACTS else []
        facts += [CALLED.format(calls=self.calls)] if self.calls else []
        return "; ".join([*facts, MARKED_WITH]) if facts else ""


def numbers_used(
    hand_ins: Iterable[HandIn], seed: str, students: Iterable[str]
) -> tuple[NumbersUsed, ...]:
    """Say of each hand-in with own numbers whose code it has; `students` are all of the class."""
    with_own = [one for one in hand_ins if _exercises_with_numbers(one.unit)]
    exercises = {name for one in with_own for name in _exercises_with_numbers(one.unit)}
    whose = {code_of(seed, student): student for student in sorted(students)}
    others = OthersNumbers(sorted(exercises), whose)
    return tuple(sorted(_used(one, seed, whose, others) for one in with_own))


def for_a_look(used: Iterable[NumbersUsed]) -> tuple[NumbersUsed, ...]:
    """Return those at which a person should look."""
    return tuple(one for one in used if one.fact)


def with_numbers(named: Named, used: Iterable[NumbersUsed]) -> Named:
    """Add what there is to look at to the facts about each exercise with own numbers."""
    facts = {key: dict(of_hand_in) for key, of_hand_in in named.items()}
    for one in for_a_look(used):
        of_hand_in = facts.setdefault((one.student, one.unit), {})
        for name in _exercises_with_numbers(one.unit):
            of_hand_in[name] = (*of_hand_in.get(name, ()), one.fact)
    return facts


def write_numbers(path: Path, used: Iterable[NumbersUsed]) -> None:
    """Write the table, a row for each hand-in of a unit with own numbers."""
    write_table(path, COLUMNS, used)


def _used(
    hand_in: HandIn, seed: str, whose: Mapping[str, str], others: OthersNumbers
) -> NumbersUsed:
    found = others.found_in(hand_in.notebook.code, code_of(seed, hand_in.student))
    calls = ", ".join(f"{one.exercise} with the numbers of {one.of}" for one in found)
    code, of = _whose_code(hand_in, seed, whose)
    return NumbersUsed(hand_in.student, hand_in.unit, code, of, calls)


def _whose_code(hand_in: HandIn, seed: str, whose: Mapping[str, str]) -> tuple[str, str]:
    """Say whose code stands in a hand-in, and the id if it is another student's."""
    try:
        code = read_code(code_typed(hand_in.notebook.code))
    except CodeError:
        return MISTYPED, ""
    if not code:
        return NONE, ""
    if code == code_of(seed, hand_in.student):
        return OWN, ""
    other = whose.get(code, "")
    return (OTHERS, other) if other else (NOBODYS, "")


def _exercises_with_numbers(unit: str) -> Sequence[str]:
    names: Iterator[str] = (one.exercise.id for one in unit_items(unit[:2]))
    return [name for name in names if has_own_numbers(name)]

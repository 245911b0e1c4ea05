"""Whose numbers stand in a workbook: a table for a look, said as fact.

Everybody is marked with the numbers of their own id, whatever stands in the workbook, so nothing
here changes a point. A code may be another student's because a file was passed on, because two
people sat at one machine, or because two rows of a list were mixed up: a person asks.

Columns, which never change their names or order:

| column | holds |
|---|---|
| `student` | the student's id |
| `unit` | the unit's folder name |
| `code` | whose it is: `own`, `none`, `mistyped`, `another student's` or `nobody's` |
| `of` | the other student's id |

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
from instructor.output.tables import write_table
from instructor.release.personal_codes import code_of
from instructor.units.items import unit_items

COLUMNS = ("student", "unit", "code", "of")
OWN, NONE, MISTYPED = "own", "none", "mistyped"
OTHERS, NOBODYS = "another student's", "nobody's"
FACTS = {
    MISTYPED: "what stands in the workbook as a code is none",
    OTHERS: "the code in the workbook is that of {of}",
    NOBODYS: "the code in the workbook is that of nobody who handed in or is listed",
}
MARKED_WITH = "marked with the numbers of the student's own id"


class NumbersUsed(NamedTuple):
    """Whose code stands in one hand-in, in the columns of the table."""

    student: str
    unit: str
    code: str
    of: str = ""

    @property
    def fact(self) -> str:
        """Say in words what there is to look at; '' if there is nothing."""
        text = FACTS.get(self.code, "")
        return f"{text.format(of=self.of)}; {MARKED_WITH}" if text else ""


def numbers_used(
    hand_ins: Iterable[HandIn], seed: str, students: Iterable[str]
) -> tuple[NumbersUsed, ...]:
    """Say of each hand-in with own numbers whose code it has; `students` are all of the class."""
    whose = {code_of(seed, student): student for student in sorted(students)}
    return tuple(
        sorted(_used(one, seed, whose) for one in hand_ins if _exercises_with_numbers(one.unit))
    )


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


def _used(hand_in: HandIn, seed: str, whose: Mapping[str, str]) -> NumbersUsed:
    student, unit = hand_in.student, hand_in.unit
    try:
        code = read_code(code_typed(hand_in.notebook.code))
    except CodeError:
        return NumbersUsed(student, unit, MISTYPED)
    if not code:
        return NumbersUsed(student, unit, NONE)
    if code == code_of(seed, student):
        return NumbersUsed(student, unit, OWN)
    other = whose.get(code, "")
    return NumbersUsed(student, unit, OTHERS if other else NOBODYS, other)


def _exercises_with_numbers(unit: str) -> Sequence[str]:
    names: Iterator[str] = (one.exercise.id for one in unit_items(unit[:2]))
    return [name for name in names if has_own_numbers(name)]

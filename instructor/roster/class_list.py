"""The roster: ids and names, from whatever list the office keeps.

Which column is which is told by the words in the first row, in any order. A file with a single
column needs none: it has an id on each line.
"""

__all__ = ["ClassList", "read_class_list"]

import csv
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from instructor.output.tables import inert_cell
from instructor.roster.typed_table import DELIMITERS, TypedTableError, cut_rows, table_text

ID_LENGTH = 128  # characters that the gradebook has for an id
# Words that head a column, in the order in which they are looked for; all else is passed over.
ID_WORDS = (
    "id", "student id", "student_id", "student number", "student no", "registration number",
    "matriculation number", "matrikelnummer", "user id", "user", "username", "user name", "login",
    "kennung", "student", "number", "nummer",
)  # fmt: skip
NAME_WORDS = ("name", "full name", "student name", "display name")
FIRST_WORDS = ("first name", "firstname", "first_name", "given name", "forename", "vorname")
LAST_WORDS = (
    "last name", "lastname", "last_name", "family name", "surname", "nachname", "name",
)  # fmt: skip
Row = tuple[int, Sequence[str]]


@dataclass(frozen=True, slots=True)
class ClassList:
    """Who is in the class: names by ids, in the order of the list; '' where there is no name."""

    names: dict[str, str]

    @property
    def ids(self) -> tuple[str, ...]:
        """Return the ids in the order of the list."""
        return tuple(self.names)

    def shown(self, student: str) -> str:
        """Return an id with its name, for the terminal of the staff alone."""
        name = self.names.get(student, "")
        return f"{student} ({name})" if name else student


def read_class_list(path: Path) -> ClassList:
    """Read a roster; raise `TypedTableError` that says which line to change."""
    text = table_text(path)
    for delimiter in DELIMITERS:
        first = next(csv.reader([text.partition("\n")[0].strip("\r")], delimiter=delimiter), [])
        heads = [word.strip().casefold() for word in first]
        if _place(heads, ID_WORDS) is not None and (len(heads) > 1 or delimiter == DELIMITERS[-1]):
            _, *rows = cut_rows(path, text, delimiter)
            return ClassList(_names(path, heads, rows))
    lines = [(place, [line.strip()]) for place, line in enumerate(text.splitlines(), 1)]
    for number, (line,) in lines:
        if any(sign in line for sign in DELIMITERS):
            raise TypedTableError(
                f"{path}, line {number} has several columns, and the first row does not say which "
                f"of them holds the ids. Give it words such as\n    id{_sign_in(line)}name"
            )
    return ClassList(_names(path, ["id"], [one for one in lines if one[1][0]]))


def _names(path: Path, heads: Sequence[str], rows: Sequence[Row]) -> dict[str, str]:
    place = _place(heads, ID_WORDS)
    assert place is not None
    first, last = _place(heads, FIRST_WORDS), _place(heads, LAST_WORDS)
    whole = _place(heads, NAME_WORDS)
    columns = [first, last] if first is not None else [whole if whole is not None else last]
    names: dict[str, str] = {}
    lines: dict[str, int] = {}
    for number, cells in rows:
        student = cells[place] if place < len(cells) else ""
        _refuse(path, number, student, lines)
        parts = [cells[one] for one in columns if one is not None and one < len(cells)]
        names[student] = " ".join(part for part in parts if part)
        lines[student] = number
    if not names:
        raise TypedTableError(f"{path} names nobody: it needs a student's id on each line.")
    return names


def _refuse(path: Path, number: int, student: str, lines: dict[str, int]) -> None:
    where = f"{path}, line {number}"
    if not student:
        raise TypedTableError(f"{where} has no id. Fill it in, or take the line out.")
    if student in lines:
        raise TypedTableError(
            f"{where}: the id {student!r} stands in line {lines[student]} already. One of the two "
            "must go."
        )
    if inert_cell(student) != student:
        raise TypedTableError(
            f"{where}: {student!r} is no id for tables: a spreadsheet would run it, or part of it "
            "cannot be seen. Give this student another id."
        )
    if len(student) > ID_LENGTH:
        raise TypedTableError(
            f"{where}: an id has at most {ID_LENGTH} characters, and this one {len(student)}."
        )


def _place(heads: Sequence[str], words: Sequence[str]) -> int | None:
    return next((heads.index(word) for word in words if word in heads), None)


def _sign_in(line: str) -> str:
    return next(sign for sign in DELIMITERS if sign in line)

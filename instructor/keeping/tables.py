"""Tables with students in them: who is, and the same table without some of them."""

__all__ = ["WHOSE", "OtherTable", "read_rows", "students_in", "without_rows"]

import csv
import io
import re
from collections.abc import Collection
from pathlib import Path
from typing import NamedTuple

from course_lib.exercises.whole_file import write_whole

WHOSE = ("student", "id", "other_student")  # columns that say whose a row is
DECIDED = ("before", "after")  # a decision about an id may say whose it is
MENTIONS = ("note", "why")  # those that may name somebody else besides
WHOSE_CODE = ("code", "of", "calls")  # a table with these says in the last two whose numbers it is
DELIMITERS = (",", ";", "\t")
GONE = "(forgotten)"


class OtherTable(NamedTuple):
    """A table as it was read; `whose` are the places of the columns that say whose a row is."""

    delimiter: str
    head: list[str]
    rows: list[list[str]]
    whose: tuple[int, ...]


def read_rows(path: Path) -> OtherTable | None:
    """Return a table; None if no column of it says whose a row is."""
    try:
        text = path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError):
        return None
    for delimiter in DELIMITERS:
        rows = list(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter))
        head = [one.strip().casefold() for one in rows[0]] if rows else []
        whose = tuple(place for place, one in enumerate(head) if one in WHOSE)
        if whose:
            return OtherTable(delimiter, rows[0], rows[1:], whose)
    return None


def students_in(table: OtherTable) -> set[str]:
    """Return the ids in a table."""
    return {_bare(row[place]) for row in table.rows for place in table.whose if place < len(row)}


def without_rows(path: Path, students: Collection[str]) -> int:
    """Take the rows of some students out of a table, and their ids out of others' rows.

    Return how many rows are other than before.
    """
    table = read_rows(path)
    if table is None:
        return 0
    decided = tuple(place for place, one in enumerate(table.head) if one in DECIDED)
    whose = (*table.whose, *decided)
    stay = [row for row in table.rows if not _is_of(row, whose, students)]
    mentions = (*MENTIONS, *WHOSE_CODE[1:]) if {*WHOSE_CODE} <= {*table.head} else MENTIONS
    places = [place for place, one in enumerate(table.head) if one in mentions]
    written = [_unnamed(row, places, students) for row in stay]
    changed = len(table.rows) - len(stay)
    changed += sum(one != other for one, other in zip(stay, written, strict=True))
    if changed:
        text = io.StringIO(newline="")
        csv.writer(text, delimiter=table.delimiter).writerows([table.head, *written])
        write_whole(path, text.getvalue(), path.stat().st_mode & 0o777)
    return changed


def _is_of(row: list[str], whose: tuple[int, ...], students: Collection[str]) -> bool:
    return any(place < len(row) and _bare(row[place]) in students for place in whose)


def _unnamed(row: list[str], places: list[int], names: Collection[str]) -> list[str]:
    written = list(row)
    for place in places:
        for name in names:
            if place < len(row) and name in written[place]:
                pattern = rf"(?<!\w){re.escape(name)}(?!\w)"
                written[place] = re.sub(pattern, GONE, written[place])
    return written


def _bare(cell: str) -> str:
    """Return a cell without the sign that keeps a spreadsheet from running it."""
    return cell.removeprefix("'").strip()

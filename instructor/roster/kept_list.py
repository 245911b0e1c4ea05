"""The roster in the course folder, and whose each odd id is: two tables for the staff alone.

| file | holds |
|---|---|
| `roster.csv` | `id` and `name` of everybody in the class |
| `ids.csv` | `seen`, an id on hand-ins, and `student`, whose it is, as a person confirmed it |

Nobody but this account can read them. Names stand in the first one and nowhere else.
"""

__all__ = ["IDS_FILE", "ROSTER_FILE", "KeptList", "read_kept_list", "write_kept_list"]

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from instructor.output.tables import inert_cell, write_table
from instructor.roster.class_list import ClassList, read_class_list
from instructor.roster.typed_table import read_table

ROSTER_FILE = "roster.csv"
IDS_FILE = "ids.csv"
STAFF_ALONE = 0o600


@dataclass(frozen=True, slots=True)
class KeptList:
    """Names by ids, and the students of odd ids; both empty where a class has no roster."""

    names: Mapping[str, str] = field(default_factory=dict)
    same: Mapping[str, str] = field(default_factory=dict)

    def whose(self, seen: str) -> str:
        """Return the id on the roster of whoever hands in under `seen`; '' if nobody said."""
        return seen if seen in self.names else self.same.get(inert_cell(seen), "")

    def shown(self, student: str) -> str:
        """Return an id with its name, for the terminal of the staff alone."""
        return ClassList(dict(self.names)).shown(student)


def read_kept_list(course: Path) -> KeptList:
    """Read both tables of a course folder; raise `TypedTableError`."""
    listed, same = course / ROSTER_FILE, course / IDS_FILE
    names = read_class_list(listed).names if listed.exists() else {}
    rows = read_table(same, ("seen", "student")) if same.exists() else []
    return KeptList(names, {row.cells["seen"]: row.cells["student"] for row in rows})


def write_kept_list(course: Path, kept: KeptList) -> None:
    """Write both tables, each whole or not at all."""
    write_table(course / ROSTER_FILE, ("id", "name"), kept.names.items(), mode=STAFF_ALONE)
    same = sorted((inert_cell(seen), student) for seen, student in kept.same.items())
    write_table(course / IDS_FILE, ("seen", "student"), same, mode=STAFF_ALONE)

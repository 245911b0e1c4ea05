"""All that a class was told, or a person decided, about when work is due and what counts."""

__all__ = ["NO_RULES", "SOURCES", "TRUSTED", "ClassRules", "Counts", "Excuse", "Key"]

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Literal, NamedTuple

from instructor.deadlines.late_rule import LateRule

Key = tuple[str, str]  # student, unit
Counts = Literal["left out", "in the maximum"]
# How a time of handing in may be known, and those that are believed unless a class says otherwise.
SOURCES = ("a person", "timestamp.txt", "handed-in.csv", "the file", "the archive")
TRUSTED = ("a person", "timestamp.txt", "handed-in.csv")


class Excuse(NamedTuple):
    """Somebody need not hand in a unit, or an exercise of it.

    `exercise` is its id, or the name of a cell that a person marks; '' for the whole unit. `counts`
    says what becomes of the points that there are: left out of the maximum, and then nothing
    earned there counts; or in the maximum, as before, and the excuse is only noted.
    """

    student: str
    unit: str
    exercise: str = ""
    counts: Counts = "left out"
    why: str = ""


@dataclass(frozen=True, slots=True)
class ClassRules:
    """The rules of a class. All times have an offset from UTC.

    `due` is by unit; without an entry nothing is late there. `extensions` and `handed_in` are
    by student and unit; the latter are times that a person gave. `believed` are the `SOURCES`
    whose times are taken. `reasons` are a person's words, by student, unit and decision.
    """

    due: Mapping[str, datetime] = field(default_factory=dict)
    late: LateRule = field(default_factory=LateRule)
    extensions: Mapping[Key, datetime] = field(default_factory=dict)
    excuses: frozenset[Excuse] = frozenset()
    handed_in: Mapping[Key, datetime] = field(default_factory=dict)
    believed: tuple[str, ...] = TRUSTED
    reasons: Mapping[tuple[str, str, str], str] = field(default_factory=dict)

    def due_for(self, student: str, unit: str) -> datetime | None:
        """Return when a unit is due for a student: an extension counts only if it is later."""
        due = self.due.get(unit)
        extended = self.extensions.get((student, unit))
        return due if due is None or extended is None else max(due, extended)


NO_RULES = ClassRules()

"""How the workbooks of a unit came in: how many files of a student, and when half were there.

How long people worked is in no hand-in: see `time_at_work`.
"""

__all__ = ["NOTHING_KNOWN", "UnitHandIns", "unit_hand_ins"]

from collections import Counter
from collections.abc import Iterable, Mapping
from datetime import datetime
from statistics import fmean
from typing import NamedTuple

from instructor.deadlines.class_rules import Key
from instructor.deadlines.counted import Arrival
from instructor.grading.pages.file_list import FileLine
from instructor.reporting.class_report import SMALLEST_GROUP
from instructor.reporting.intervals import Estimate, wilson

TOLD = " counts"  # how a note ends about a file in whose place another one of its student counts


class UnitHandIns(NamedTuple):
    """`files` a student, the share of students with more than one, and when half had come."""

    unit: str = ""
    files: float | None = None
    again: Estimate | None = None
    half_in: datetime | None = None


NOTHING_KNOWN = UnitHandIns()


def unit_hand_ins(
    files: Iterable[FileLine], arrivals: Mapping[Key, Arrival]
) -> tuple[UnitHandIns, ...]:
    """Count files and sort times, by unit; no figure for fewer than five students."""
    counts = Counter(
        (one.unit, one.student) for one in files
        if one.student and one.unit and (one.becomes == "graded" or one.note.endswith(TOLD))
    )  # fmt: skip
    return tuple(
        _of_unit(unit, [many for (name, _), many in counts.items() if name == unit], arrivals)
        for unit in sorted({unit for unit, _ in counts})
    )


def _of_unit(unit: str, counts: list[int], arrivals: Mapping[Key, Arrival]) -> UnitHandIns:
    if len(counts) < SMALLEST_GROUP:
        return UnitHandIns(unit)
    times = sorted(
        one.time for (_, name), one in arrivals.items() if name == unit and one.time is not None
    )
    again = wilson(sum(many > 1 for many in counts), len(counts))
    half = times[(len(times) - 1) // 2] if len(times) >= SMALLEST_GROUP else None
    return UnitHandIns(unit, fmean(counts), again, half)

"""What counts of each unit of each student, as CSV: raw points, when it came, what is taken off.

Columns, which never change their names or order:

| column | holds |
|---|---|
| `student`, `unit` | whose, and which |
| `due`, `handed_in` | times (RFC 3339); empty where there is none, or none that is believed |
| `known_by` | how the time of handing in is known |
| `days_late`, `free_days` | days begun since it was due; those of them that cost nothing |
| `kept_percent` | share of the points that is kept |
| `raw_points`, `raw_max` | points earned, and points there are, before any rule |
| `points`, `max_points` | what counts |
| `excused` | exercises, or `all of it`, that are excused, and whether they are left out |
| `question` | what a person has to say first |
"""

__all__ = ["COLUMNS", "write_counted"]

from collections.abc import Iterable, Iterator
from pathlib import Path

from instructor.deadlines.counted import Counted
from instructor.deadlines.rule_words import how_known
from instructor.grading.gradebook.totals import Total
from instructor.output.tables import write_table

COLUMNS = (
    "student", "unit", "due", "handed_in", "known_by", "days_late", "free_days", "kept_percent",
    "raw_points", "raw_max", "points", "max_points", "excused", "question",
)  # fmt: skip
WHEN = "when was this handed in?"


def write_counted(path: Path, totals: Iterable[Total]) -> None:
    """Write the table; who let a deadline pass has a row without a time."""
    write_table(path, COLUMNS, map(_row, totals))


def _row(one: Total) -> list[str]:
    by_rule = one.counted
    if by_rule is None:  # what the gradebook itself takes off, if anything
        raw = one.points + one.penalty
        share = 100 * one.points / raw if raw else 100.0
        figures = (share, raw, one.max_points, one.points, one.max_points)
        return [one.student, one.unit, *[""] * 5, *map(_number, figures), "", ""]
    share = 100 * by_rule.share
    figures = (share, by_rule.raw, by_rule.raw_of, one.points, one.max_points)
    return [
        one.student, one.unit, *_times(by_rule), *map(_number, figures),
        "; ".join(_excused(by_rule)), WHEN if by_rule.is_open else "",
    ]  # fmt: skip


def _times(one: Counted) -> Iterator[str]:
    yield "" if one.due is None else one.due.isoformat()
    came = None if one.is_open else one.arrival.time
    yield "" if came is None else came.isoformat()
    yield how_known(one) if came else "nothing was handed in" if not one.is_there else ""
    yield from (str(one.days), str(one.free))


def _excused(one: Counted) -> Iterator[str]:
    for excuse in one.excused:
        yield f"{excuse.exercise or 'all of it'} ({excuse.counts})"


def _number(value: float) -> str:
    return f"{round(value, 2):g}"

"""What deadlines and excuses make of points, in words for a student's page and the class report."""

__all__ = ["Ruled", "ruled"]

from collections.abc import Iterable
from typing import NamedTuple

from instructor.deadlines.rule_words import excuse_in_words, lateness_in_words
from instructor.grading.gradebook.totals import Total
from instructor.output.pages import count, number


class Ruled(NamedTuple):
    """One unit of one student: what counts of what was earned, and why, as sentences.

    `changes` tells whether anything counts otherwise than it was earned.
    """

    student: str
    unit: str
    counts: str
    raw: str
    why: tuple[str, ...]
    changes: bool


def ruled(totals: Iterable[Total]) -> list[Ruled]:
    """Return the units about which the rules of a class say something, in their order."""
    return [_ruled(one) for one in totals if one.counted is not None]


def _ruled(one: Total) -> Ruled:
    by_rule = one.counted
    assert by_rule is not None
    late = lateness_in_words(by_rule)
    if not by_rule.is_there and by_rule.of:
        late = "nothing was handed in by the deadline"
    why = tuple(part for part in (late, *map(excuse_in_words, by_rule.excused)) if part)
    return Ruled(
        one.student, one.unit, _of(one.points, one.max_points),
        _of(by_rule.raw, by_rule.raw_of), tuple(f"{part[0].upper()}{part[1:]}." for part in why),
        changes=(one.points, one.max_points) != (by_rule.raw, by_rule.raw_of)
        or by_rule.is_open or not by_rule.is_there,
    )  # fmt: skip


def _of(points: float, of: float) -> str:
    return f"{number(points)} of {count(of, 'point')}"

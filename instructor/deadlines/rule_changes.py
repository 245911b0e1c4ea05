"""In what two sets of rules differ, one line for each decision."""

__all__ = ["NONE", "RuleChange", "rule_changes"]

from collections.abc import Iterator, Mapping
from datetime import datetime
from typing import NamedTuple

from instructor.deadlines.class_rules import ClassRules, Excuse, Key
from instructor.deadlines.moments import in_words
from instructor.deadlines.rule_files import HANDED_IN, LONGER
from instructor.deadlines.rule_words import late_rule_in_words

NONE = "none"


class RuleChange(NamedTuple):
    """What differs, of whom and which unit ('' for all), how it was, how it is to be, and why."""

    what: str
    student: str
    unit: str
    before: str
    after: str
    why: str = ""


def rule_changes(old: ClassRules, new: ClassRules) -> tuple[RuleChange, ...]:
    """Return the differences: settings first, then students."""
    return tuple(_changes(old, new))


def _changes(old: ClassRules, new: ClassRules) -> Iterator[RuleChange]:
    for unit in sorted(old.due.keys() | new.due.keys()):
        before, after = _moment(old.due.get(unit)), _moment(new.due.get(unit))
        if before != after:
            yield RuleChange("due", "", unit, before, after)
    if old.late != new.late:
        words = late_rule_in_words(old.late), late_rule_in_words(new.late)
        yield RuleChange("what being late costs", "", "", *words)
    if old.believed != new.believed:
        yield RuleChange("times believed", "", "", ", ".join(old.believed), ", ".join(new.believed))
    yield from _times(LONGER, old.extensions, new.extensions, new.reasons)
    yield from _times(HANDED_IN, old.handed_in, new.handed_in, new.reasons)
    for one in sorted(old.excuses - new.excuses):
        yield RuleChange("excused", one.student, one.unit, _excuse(one), NONE)
    for one in sorted(new.excuses - old.excuses):
        yield RuleChange("excused", one.student, one.unit, NONE, _excuse(one), one.why)


def _times(
    what: str, old: Mapping[Key, datetime], new: Mapping[Key, datetime],
    reasons: Mapping[tuple[str, str, str], str],
) -> Iterator[RuleChange]:  # fmt: skip
    for key in sorted(old.keys() | new.keys()):
        before, after = _moment(old.get(key)), _moment(new.get(key))
        if before != after:
            yield RuleChange(what, *key, before, after, reasons.get((*key, what), ""))


def _moment(moment: datetime | None) -> str:
    return NONE if moment is None else in_words(moment)


def _excuse(one: Excuse) -> str:
    return f"{one.exercise or 'all of it'}, {one.counts}"

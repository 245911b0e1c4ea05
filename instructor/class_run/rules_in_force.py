"""Which rules of the class count now, and when each hand-in came."""

__all__ = ["arrivals_of", "rules_as_edited", "rules_in_force"]

from collections.abc import Iterable
from datetime import UTC, tzinfo

from instructor.deadlines.class_rules import ClassRules, Key
from instructor.deadlines.counted import Arrival
from instructor.deadlines.rule_files import CONFIRMED, RulesError, read_rules
from instructor.grading.intake.arrivals import arrival_of
from instructor.grading.intake.hand_ins import HandIn
from instructor.output.wrong_places import WrongPlaceError
from instructor.release.course_folder import CourseFolder


def rules_in_force(course: CourseFolder) -> ClassRules:
    """Return the rules that were confirmed last; raise `WrongPlaceError` if they are broken."""
    return _read(course, CONFIRMED)


def rules_as_edited(course: CourseFolder) -> ClassRules:
    """Return the rules as the files say that people edit; raise `WrongPlaceError`."""
    return _read(course, "")


def arrivals_of(hand_ins: Iterable[HandIn], rules: ClassRules) -> dict[Key, Arrival]:
    """Return when each of these hand-ins came, by student and unit.

    What an archive says without an offset from UTC is taken to be of the deadline's.
    """
    return {(one.student, one.unit): arrival_of(one, _zone(rules, one.unit)) for one in hand_ins}


def _zone(rules: ClassRules, unit: str) -> tzinfo:
    due = rules.due.get(unit)
    return (due.tzinfo if due else None) or UTC


def _read(course: CourseFolder, prefix: str) -> ClassRules:
    try:
        return read_rules(course.path, course.batch.units, prefix)
    except RulesError as problem:
        raise WrongPlaceError(str(problem)) from problem

"""`hopbyhop deadlines`: when units are due, who has longer or is excused, what being late costs."""

__all__ = ["Asked", "change_deadlines"]

import functools
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import TypeVar

from course_lib.commands.terminal_words import say, this_command, to_type
from course_lib.exercises.registry import exercise
from instructor.administration.said import shown_and_confirmed
from instructor.administration.standing import Standing, moved, standing_of
from instructor.class_run.on_roster import ids_of_class
from instructor.class_run.rules_in_force import rules_as_edited, rules_in_force
from instructor.deadlines.class_rules import ClassRules, Counts, Excuse
from instructor.deadlines.counted import EXERCISE, cell_of
from instructor.deadlines.moments import in_words, read_moment
from instructor.deadlines.rule_changes import NONE, rule_changes
from instructor.deadlines.rule_files import (
    EXCEPTIONS_FILE,
    HANDED_IN,
    LONGER,
    RULES_FILE,
    whole_unit,
    write_rules,
)
from instructor.deadlines.rule_words import late_rule_in_words
from instructor.output.wrong_places import WrongPlaceError
from instructor.release.course_folder import CourseFolder, named_course
from instructor.roster.odd_ids import proposals

Named = TypeVar("Named")


@dataclass(frozen=True, slots=True)
class Asked:
    """What was typed, each as words; times may be `none`, to take a decision back."""

    due: Sequence[str] = ()  # unit, time
    extend: Sequence[str] = ()  # student, unit, time
    excuse: Sequence[str] = ()  # student, unit or exercise
    came: Sequence[str] = ()  # student, unit, time
    in_maximum: bool = False
    not_excused: bool = False
    why: str = ""


def change_deadlines(folder: Path, asked: Asked, typed: Sequence[str], *, confirm: bool) -> None:
    """Show what counts, or what would count otherwise; with `confirm`, make it count.

    Raises `WrongPlaceError` or `CourseFolderError` that says what to change.
    """
    course = named_course(folder)
    kept, standing = ids_of_class(folder), standing_of(course)
    old = rules_in_force(course)
    new = _with_asked(rules_as_edited(course), asked, course)
    known = {*kept.names, *(one.student for one in standing.earned)}
    _refuse_strange(new, known, standing)
    changes = rule_changes(old, new)
    if not changes:
        _say_rules(course, old)
        return
    points = moved(standing.counted(old, kept.names), standing.counted(new, kept.names))
    write = functools.partial(write_rules, course.path, new) if confirm else None
    if shown_and_confirmed(course.path, changes, points, typed, write):
        say("It counts from now on. Grade once more as before, so that gradebook, tables and\n"
            "pages say so; nothing is run again.")  # fmt: skip


def _with_asked(rules: ClassRules, asked: Asked, course: CourseFolder) -> ClassRules:
    """Return the rules with what was typed."""
    reasons = dict(rules.reasons)
    if asked.due:
        unit, time = _unit("--due", asked.due[0], course), _time("--due", asked.due[1])
        rules = replace(rules, due=_with(rules.due, unit, time))
    if asked.extend:
        key = asked.extend[0], _unit("--extend", asked.extend[1], course)
        time = _time("--extend", asked.extend[2])
        if time and key[1] not in rules.due:
            raise WrongPlaceError(
                f"--extend: {key[1]} has no deadline that could be later. Set one first:\n"
                + to_type(this_command(), "deadlines", course.path, "--due", key[1], "TIME")
            )
        if time and time < rules.due[key[1]]:
            raise WrongPlaceError(
                f"--extend {in_words(time)} is before the deadline of all, "
                f"{in_words(rules.due[key[1]])}: an extension only makes it later."
            )
        rules = replace(rules, extensions=_with(rules.extensions, key, time))
        reasons[*key, LONGER] = asked.why
    if asked.came:
        key = asked.came[0], _unit("--came", asked.came[1], course)
        rules = replace(
            rules, handed_in=_with(rules.handed_in, key, _time("--came", asked.came[2]))
        )
        reasons[*key, HANDED_IN] = asked.why
    if asked.excuse:
        rules = replace(rules, excuses=_excuses(rules, asked, course))
    return replace(rules, reasons=reasons)


def _excuses(rules: ClassRules, asked: Asked, course: CourseFolder) -> frozenset[Excuse]:
    student, what = asked.excuse
    unit, one = _unit_and_exercise(what, course)
    others = {
        excuse for excuse in rules.excuses
        if (excuse.student, excuse.unit, excuse.exercise) != (student, unit, one)
    }  # fmt: skip
    if asked.not_excused:
        if len(others) == len(rules.excuses):
            raise WrongPlaceError(f"--not-excused: {student} is not excused from {what}.")
        return frozenset(others)
    counts: Counts = "in the maximum" if asked.in_maximum else "left out"
    return frozenset({*others, Excuse(student, unit, one, counts, asked.why)})


def _unit_and_exercise(what: str, course: CourseFolder) -> tuple[str, str]:
    """Read `01`, `01-frames-and-headers`, `1.4`, or `01/explain-1` for a cell with words."""
    unit, mark, cell = what.partition("/")
    if mark:
        return _unit("--excuse", unit, course), cell
    if EXERCISE.fullmatch(what):
        try:
            return _unit("--excuse", exercise(what).unit, course), what
        except LookupError:
            raise WrongPlaceError(f"--excuse {what}: there is no such exercise.") from None
    return _unit("--excuse", what, course), ""


def _refuse_strange(rules: ClassRules, known: Collection[str], standing: Standing) -> None:
    """Refuse decisions about somebody or something that does not exist: they would do nothing."""
    about = {*rules.extensions, *rules.handed_in, *((one[0], one[1]) for one in rules.excuses)}
    for student in sorted({student for student, _ in about} - {*known} if known else ()):
        like = proposals(student, dict.fromkeys(known, ""))
        meant = f" Did you mean {' or '.join(one.student for one in like)}?" if like else ""
        raise WrongPlaceError(
            f"STUDENT {student}: nobody on the roster or in the gradebook has this id.{meant} "
            f"If {EXCEPTIONS_FILE} names it, mend that."
        )
    for one in rules.excuses:
        cells = standing.units.get(one.unit)
        if one.exercise and cells and cell_of(one.exercise) not in cells:
            raise WrongPlaceError(
                f"{one.student} cannot be excused from {one.exercise}: {one.unit} has "
                f"{', '.join(sorted(cells))}."
            )


def _say_rules(course: CourseFolder, rules: ClassRules) -> None:
    """Say what counts now, and where it can be changed."""
    if not rules.due and not rules.excuses:
        say("No unit has a deadline, and nobody is excused. To set a deadline, type\n"
            + to_type(this_command(), "deadlines", course.path, "--due",
                      course.batch.units[0][:2], "2026-05-04T18:00:00+02:00")
            + f"\nWhat being late costs then stands in {course.path / RULES_FILE}.")  # fmt: skip
        return
    if rules.due:
        say(late_rule_in_words(rules.late))
    for change in rule_changes(ClassRules(late=rules.late, believed=rules.believed), rules):
        whose = " ".join(part for part in (change.unit[:2], change.student) if part)
        why = f" ({change.why})" if change.why else ""
        say(f"{whose} {change.what}: {change.after}{why}")
    say(f"Times believed: {', '.join(rules.believed)}.")
    say(f"Nothing differs from {course.path / RULES_FILE} and {EXCEPTIONS_FILE} beside it.")


def _with(
    times: Mapping[Named, datetime], key: Named, time: datetime | None
) -> dict[Named, datetime]:
    """Return times with another one for the key; without one, if it is None."""
    rest = {one: moment for one, moment in times.items() if one != key}
    return rest if time is None else {**rest, key: time}


def _unit(option: str, named: str, course: CourseFolder) -> str:
    try:
        return whole_unit(named, course.batch.units)
    except ValueError as problem:
        raise WrongPlaceError(f"{option} {named}: {problem}.") from problem


def _time(option: str, text: str) -> datetime | None:
    if text == NONE:
        return None
    try:
        return read_moment(text)
    except ValueError as problem:
        raise WrongPlaceError(f"{option} {text}: {problem}.") from problem

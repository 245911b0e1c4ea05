"""`hopbyhop roster`: who is in the class, whose an odd id is, and who has not handed in."""

__all__ = ["Asked", "change_roster"]

import shutil
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from course_lib.commands.terminal_words import say, this_command, to_type
from instructor.administration.said import shown_and_confirmed
from instructor.administration.standing import Standing, moved, standing_of
from instructor.class_run.on_roster import ids_of_class, not_handed_in
from instructor.class_run.rules_in_force import rules_in_force
from instructor.deadlines.rule_changes import NONE, RuleChange
from instructor.output.tables import inert_cell
from instructor.output.text import visible
from instructor.output.wrong_places import WrongPlaceError
from instructor.release.course_folder import CourseFolder, gradebook_url, named_course
from instructor.release.gradebook_tools import open_gradebook
from instructor.roster.class_list import read_class_list
from instructor.roster.kept_list import KeptList, write_kept_list
from instructor.roster.odd_ids import proposals
from instructor.roster.typed_table import TypedTableError


@dataclass(frozen=True, slots=True)
class Asked:
    """What was typed: a list to take, an odd id and whose it is, an id to take out."""

    take: Path | None = None
    same: Sequence[str] = ()
    take_out: str = ""


def change_roster(folder: Path, asked: Asked, typed: Sequence[str], *, confirm: bool) -> None:
    """Show the roster, or what a change would do; with `confirm`, make it count.

    Raises `WrongPlaceError` or `CourseFolderError` that says what to change.
    """
    course = named_course(folder)
    old, standing = ids_of_class(folder), standing_of(course)
    new, leaving = _with_asked(old, asked, standing)
    changes = [*_changes(old, new), *(RuleChange("taken out", one, "", "in the gradebook", NONE)
                                      for one in leaving)]  # fmt: skip
    if not changes:
        _say_roster(course, old, standing)
        return
    rules = rules_in_force(course)
    stay = replace(
        standing, earned=tuple(one for one in standing.earned if one.student not in leaving)
    )
    points = moved(standing.counted(rules, old.names), stay.counted(rules, new.names))

    def make_it_count() -> None:
        write_kept_list(course.path, new)
        for one in leaving:
            _take_out(course, one)

    if shown_and_confirmed(course.path, changes, points, typed, make_it_count if confirm else None):
        say("It counts from now on. Grade once more as before, so that tables and pages say so.")


def _with_asked(
    old: KeptList, asked: Asked, standing: Standing
) -> tuple[KeptList, tuple[str, ...]]:
    """Return the list with what was typed, and the ids that leave the gradebook."""
    names, same = dict(old.names), dict(old.same)
    in_book = {one.student for one in standing.earned}
    leaving: list[str] = []
    if asked.take is not None:
        try:
            names = read_class_list(asked.take).names
        except TypedTableError as problem:
            raise WrongPlaceError(f"--take {problem}") from problem
    if asked.same:
        seen, student = asked.same
        _refuse_wrong_pair(seen, student, names)
        same[inert_cell(seen)] = student
        leaving += [seen] if seen in in_book else []
    if out := asked.take_out:
        if out not in names and inert_cell(out) not in same and out not in in_book:
            raise WrongPlaceError(
                f"--take-out {visible(out)}: neither the roster nor the gradebook has this id."
            )
        names.pop(out, None)
        same = {seen: one for seen, one in same.items() if out not in (one, seen)}
        leaving += [out] if out in in_book else []
    return KeptList(names, same), tuple(leaving)


def _refuse_wrong_pair(seen: str, student: str, names: dict[str, str]) -> None:
    if not names:
        raise WrongPlaceError("--same: the class has no roster yet. Give it one with --take FILE.")
    if student not in names:
        raise WrongPlaceError(
            f"--same {visible(seen)} {visible(student)}: {visible(student)} is not on the roster."
            + _meant(proposals(student, names))
        )
    if seen in names:
        raise WrongPlaceError(f"--same {seen} {student}: both are on the roster, so these are two.")


def _changes(old: KeptList, new: KeptList) -> list[RuleChange]:
    """Return what differs. A name is never said: a log outlives the roster."""
    found = []
    for one in (*new.names, *(one for one in old.names if one not in new.names)):
        before, after = old.names.get(one), new.names.get(one)
        if (before is None) != (after is None):
            words = [NONE if name is None else "listed" for name in (before, after)]
            found.append(RuleChange("on the roster", one, "", *words))
        elif before != after:
            found.append(RuleChange("name", one, "", "one name", "another name"))
    for seen in sorted(old.same.keys() | new.same.keys()):
        before, after = old.same.get(seen, NONE), new.same.get(seen, NONE)
        if before != after:
            found.append(RuleChange("hand-ins under this id are of", seen, "", before, after))
    return found


def _take_out(course: CourseFolder, student: str) -> None:
    """Take an id out of the gradebook, and the marked workbooks under it away."""
    with open_gradebook(gradebook_url(course)) as book:
        book.remove_student(student)
    marked = course.path / "autograded" / student
    if marked.is_dir() and marked.resolve().parent == (course.path / "autograded").resolve():
        shutil.rmtree(marked)


def _say_roster(course: CourseFolder, kept: KeptList, standing: Standing) -> None:
    if not kept.names:
        say("This class has no roster: whoever hands in is taken for a student. To give it\n"
            "one, as a table with the columns id and name, or with an id on each line, type\n"
            + to_type(this_command(), "roster", course.path, "--take", "FILE"))  # fmt: skip
        return
    say(f"{len(kept.names)} students are on the roster. Names stay in this folder.")
    for seen, student in sorted(kept.same.items()):
        say(f"Hand-ins under {visible(seen)} are of {student}.")
    there = {(one.unit, one.student) for one in standing.earned}
    units = sorted({*rules_in_force(course).due, *(unit for unit, _ in there)})
    for unit, missing in not_handed_in(kept.names, there, units).items():
        say(f"{unit[:2]}: {len(missing)} of {len(kept.names)} have not handed in:")
        _say_all(map(kept.shown, missing))
    strange = sorted({student for _, student in there} - kept.names.keys())
    for one in strange:
        found = proposals(one, kept.names)
        student = found[0].student if found else "ID"
        say(f"{visible(one)} is in the gradebook, and not on the roster.{_meant(found)} Type one\n"
            + to_type(this_command(), "roster", course.path, "--same", one, student) + "\n"
            + to_type(this_command(), "roster", course.path, "--take-out", one))  # fmt: skip


def _say_all(words: Iterable[str]) -> None:
    for word in words:
        print(f"    {visible(word)[:74]}")


def _meant(found: Iterable[object]) -> str:
    like = [getattr(one, "student", "") for one in found]
    return f" It may be {' or '.join(like)}." if like else ""

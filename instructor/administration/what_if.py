"""`hopbyhop grade --what-if`: whose points a corrected check would change, before it counts.

What a real run would run is run, as ever in the sandbox; but on a copy of the record, and nothing
reaches gradebook, tables or pages. A person's points stay, and deadlines and excuses are taken in.
"""

__all__ = ["say_what_if", "what_if"]

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import NamedTuple

from rich.console import Console

from course_lib.commands.terminal_words import folded, say, this_command, to_type
from instructor.administration.said import say_points
from instructor.administration.standing import PointsMoved, Standing, moved, standing_of
from instructor.class_run.grade_class import (
    LIMITS_FILE,
    RECORD_FILE,
    Choices,
    find_in_class,
    hand_ins_of_class,
    workers,
)
from instructor.class_run.on_roster import ids_of_class
from instructor.class_run.places import find_places, refuse_shifted, refuse_unknown
from instructor.class_run.progress_shown import shown_progress
from instructor.class_run.resumable import ResumableRun
from instructor.class_run.rules_in_force import rules_in_force
from instructor.class_run.stopping import stopped_by_hand
from instructor.deadlines.counted import Cell, Earned, cell_of
from instructor.grading.intake.hand_ins import HandIn, Intake
from instructor.grading.marked import MarkedHandIn
from instructor.grading.record.changes import points_text
from instructor.grading.record.record import Entered, PointsChange, copied_record
from instructor.grading.similarity.copies_rule import rule_of
from instructor.grading.workers.batch import grade_batch
from instructor.release.course_folder import gradebook_url

BY_HAND = "points by hand stay"


class WhatIf(NamedTuple):
    """Exercises that would have other points by machine, and units that would count otherwise."""

    changes: tuple[PointsChange, ...]
    points: tuple[PointsMoved, ...]
    by_hand: frozenset[tuple[str, str, str]]


@dataclass(frozen=True, slots=True)
class _NoBook:
    """Stands where a run expects the gradebook, and writes nothing."""

    url: str

    def write(self, hand_in: HandIn, marked: MarkedHandIn, before: Entered) -> Entered:
        """Return what is in the gradebook already."""
        return before


def what_if(
    folder: Path, students: Sequence[str], *, course: Path | None, roster: Path | None,
    trusted: bool, choices: Choices, console: Console | None = None,
) -> WhatIf:  # fmt: skip
    """Return what grading would change now; with `students`, run theirs again, and no others.

    Raises as `grade_class` does. Nothing in the course folder is written.
    """
    console = console or Console()
    hand_ins, found = find_places(folder, course)
    kept, rules = ids_of_class(found.path, roster), rules_in_force(found)
    standing = standing_of(found)
    with (
        stopped_by_hand(),
        workers(console, trusted, choices, found.path / LIMITS_FILE) as crew,
        copied_record(found.path / RECORD_FILE) as record,
    ):
        here = find_in_class(hand_ins, found, kept, choices.attempts)
        refuse_shifted(hand_ins, here, found.batch.units)
        intake, _ = hand_ins_of_class(here, record, found, kept)
        refuse_unknown(students, intake, kept.names, "--what-if")
        intake = _only(intake, students)
        record.begin_round()
        run = ResumableRun(
            record, _NoBook(gradebook_url(found)), found.batch.seed, intake.hand_ins, students,
            choices.library_copies or rule_of(found),
        )  # fmt: skip
        with shown_progress(console, len(intake.hand_ins)) as show:
            run.finish(grade_batch(
                intake, crew, cases=run.cases, known=run.known, keep=run.keep,
                progress=lambda done, of: show(done), found_before=run.found_before,
            ))  # fmt: skip
        changes = record.changes()
    after = replace(standing, earned=_with_changes(standing, changes))
    points = moved(standing.counted(rules, kept.names), after.counted(rules, kept.names))
    return WhatIf(changes, points, standing.by_hand)


def say_what_if(found: WhatIf, typed: Sequence[str]) -> None:
    """Print whose points would change, and how it is made to count."""
    for one in found.changes:
        cell = one.student, one.unit, cell_of(one.exercise)
        stays = f"; {BY_HAND}" if cell in found.by_hand else ""
        old, new = (points_text(points) or "open" for points in (one.old_points, one.new_points))
        print(folded(f"{one.student}, {one.exercise}: {old} -> {new} ({one.why}{stays})", "  "))
    if not found.changes and not found.points:
        say("Nobody's points would change. Nothing has been changed.")
        return
    if not found.changes:
        say("Nobody's points by machine would change.")
    say_points(found.points)
    say("Nothing has been changed. To make it count, type\n"
        + to_type(this_command(), *_without_what_if(typed)))  # fmt: skip


def _only(intake: Intake, students: Sequence[str]) -> Intake:
    if not students:
        return replace(intake, not_graded=())
    own = tuple(one for one in intake.hand_ins if one.student in students)
    return replace(intake, hand_ins=own, not_graded=())


def _with_changes(standing: Standing, changes: Sequence[PointsChange]) -> tuple[Earned, ...]:
    """Return what would be earned: points by machine as changed, where no person gave any."""
    more: dict[tuple[str, str, str], float] = {}
    for one in changes:
        cell = one.student, one.unit, cell_of(one.exercise)
        if cell not in standing.by_hand:
            more[cell] = (one.new_points or 0.0) - (one.old_points or 0.0)
    return tuple(one._replace(cells=_more(one, more)) for one in standing.earned)


def _more(one: Earned, more: Mapping[tuple[str, str, str], float]) -> Mapping[str, Cell]:
    return {
        name: cell._replace(points=cell.points + more.get((one.student, one.unit, name), 0.0))
        for name, cell in one.cells.items()
    }


def _without_what_if(typed: Sequence[str]) -> list[str]:
    """Return the command that makes it count: students named for it are run again."""
    words = list(typed)
    place = words.index("--what-if")
    follows = words[place + 1 : place + 2]
    words[place : place + 1] = ["--again"] if follows and not follows[0].startswith("-") else []
    return words

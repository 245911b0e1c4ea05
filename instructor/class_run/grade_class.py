"""`hopbyhop grade`: the whole of it, from a folder of files to scores and pages."""

__all__ = [
    "Choices",
    "GradingRefusedError",
    "find_in_class",
    "grade_class",
    "hand_ins_of_class",
    "look",
    "shown_grade",
    "workers",
]

import contextlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from rich.console import Console

from course_lib.commands.terminal_words import folded
from course_lib.exercises.progress import Progress
from instructor.class_run.next_steps import written
from instructor.class_run.on_roster import ids_of_class, of_the_class
from instructor.class_run.places import (
    find_places,
    question_sheets_among,
    refuse_no_gradebook,
    refuse_shifted,
    refuse_unknown,
)
from instructor.class_run.progress_shown import shown_progress
from instructor.class_run.resumable import ResumableRun
from instructor.class_run.rules_in_force import arrivals_of, rules_in_force
from instructor.class_run.stopping import in_words, stopped_by_hand
from instructor.deadlines.class_rules import NO_RULES, ClassRules
from instructor.deadlines.rule_words import late_rule_in_words
from instructor.grading.gradebook.totals import Total, by_rules
from instructor.grading.gradebook.writer import GradebookWriter
from instructor.grading.intake.hand_ins import Attempts, HandIn, Intake
from instructor.grading.intake.handed_in import REPORT_FILE
from instructor.grading.intake.intake import find_hand_ins
from instructor.grading.marked import BatchResult, MarkedHandIn
from instructor.grading.pages.file_list import FileLine, file_lines
from instructor.grading.pages.file_list import in_words as files_in_words
from instructor.grading.pages.score_table import points_line, score_lines, score_table
from instructor.grading.pages.upload_table import Shape, default_shape, read_shape
from instructor.grading.pages.waiting import waiting
from instructor.grading.record.record import GradingRecord, open_record
from instructor.grading.record.seen_hand_ins import keep_seen, with_seen
from instructor.grading.sandbox.sandboxed_run import GradingRefusedError
from instructor.grading.similarity.code_prints import CodePrints
from instructor.grading.similarity.copies_rule import Rule, rule_of
from instructor.grading.workers.batch import grade_batch
from instructor.grading.workers.crew import Crew
from instructor.grading.workers.local_crew import local_run
from instructor.output.pages import plain_count
from instructor.output.private import private
from instructor.output.wrong_places import WrongPlaceError, refuse_a_file
from instructor.release.course_folder import CourseBatch, CourseFolder, gradebook_url
from instructor.release.gradebook_tools import shown_url
from instructor.release.personal_codes import code_of
from instructor.room.progress_files import read_room
from instructor.roster.kept_list import KeptList

if TYPE_CHECKING:
    # Pages take a moment to load: that is done when the first points are on the terminal.
    from instructor.class_run.class_results import Graded

RECORD_FILE = "grading-record.db"
OWN_BOOK = "gradebook.db"
LIMITS_FILE = "sandbox-limits.json"
SHAPE_FILE = "upload.toml"
TOLD_AT_ONCE = 5  # hand-ins; of a whole class one reads the table
PROGRESS = "progress"  # a folder of what students handed over of their own will


@dataclass(frozen=True, slots=True)
class Choices:
    """What a grader may choose; see the help of `hopbyhop grade`."""

    gradebook: str = ""
    attempts: Attempts = "last"
    workers: int | None = None
    cluster: str = ""
    again: tuple[str, ...] = ()
    columns: Path | None = None
    library_copies: Rule | None = None  # None: as the course folder says
    whole: bool = False  # nothing counts but what is handed over now


def grade_class(
    folder: Path,
    *,
    course: Path | None = None,
    out: Path | None = None,
    roster: Path | None = None,
    trusted: bool = False,
    choices: Choices | None = None,
    console: Console | None = None,
) -> "Graded":
    """Grade what lies in `folder`; write gradebook, scores, pages and the class report.

    `folder` may be an archive of one (see `archives`).
    What an earlier run has done is not done again. Raises `GradingRefusedError` if there
    is no sandbox and `trusted` was not said, `WrongPlaceError` if an argument names a wrong
    place, and `GradingStoppedError` if it was stopped or something outside, such as the disk,
    gave out.
    """
    console = console or Console()
    choices = choices or Choices()
    hand_ins, found = find_places(folder, course, out)
    course = found.path
    out = out or course / "results"
    refuse_a_file("--out", out)
    refuse_no_gradebook(choices.gradebook or gradebook_url(found))
    shape = _shape(choices, found)
    kept = ids_of_class(course, roster)
    rules = rules_in_force(found)
    with (
        private(course),
        stopped_by_hand(),
        workers(console, trusted, choices, course / LIMITS_FILE) as crew,
        open_record(course / RECORD_FILE) as record,
    ):
        here = find_in_class(hand_ins, found, kept, choices.attempts)
        refuse_shifted(hand_ins, here, found.batch.units)
        files = file_lines(here, hand_ins)
        if choices.whole:
            record.forget_hand_ins()
        intake, before = hand_ins_of_class(here, record, found, kept)
        refuse_unknown(choices.again, intake, kept.names)
        if before:
            console.print(f"{before} workbooks that were graded before and are not here count as "
                          "before; where nothing else counts, say --whole.")  # fmt: skip
        workbooks = plain_count(len(intake.hand_ins), "workbook")
        left = plain_count(len(intake.not_graded), "file")
        console.print(f"{workbooks} to grade, {left} that cannot be graded.")
        if sheets := question_sheets_among(here):
            console.print(f"{plain_count(sheets, 'question sheet')} left aside: `hopbyhop "
                          "read-sheets` reads them.")  # fmt: skip
        if intake.times:
            console.print(f"Times of handing in: {intake.times} from {REPORT_FILE}.")
        now = frozenset(str(one.path) for one in here.hand_ins)
        run = _Run(found, intake, crew, choices, record, console, kept.whose, now, files, rules)
        try:
            graded = replace(run.to_the_end(out, shape, list(kept.names)), course=course)
        except (KeyboardInterrupt, Exception) as problem:
            stopped = in_words(problem, run.done, len(intake.hand_ins))
            if stopped is None:
                raise
            raise stopped from problem
    shown_grade(console, graded)
    return graded


def look(folder: Path, course: Path | None = None, roster: Path | None = None) -> str:
    """Say of every file in `folder` whose it would be and for which unit; nothing is graded.

    Raises `WrongPlaceError` if an argument names a wrong place.
    """
    hand_ins, found = find_places(folder, course)
    intake = find_in_class(hand_ins, found, ids_of_class(found.path, roster))
    refuse_shifted(hand_ins, intake, found.batch.units)
    return files_in_words(file_lines(intake, hand_ins))


def shown_grade(console: Console, graded: "Graded") -> None:
    """Print what became of every hand-in, what needs a look, and where things lie."""
    from instructor.grading.pages.summary_page import to_look_at

    totals = graded.summary.totals
    console.print(score_table(graded.result, totals))
    for line in score_lines(graded.result, totals):
        console.print(line)
    if things := waiting(graded.result, totals).things:
        verb = "thing waits" if things == 1 else "things wait"
        console.print(f"{things} {verb} for a person: the summary says which, and where one marks.")
    if graded.summary.copies:
        console.print(f"{len(graded.summary.copies)} lines in library.csv are for a look.")
    if numbers := len(graded.summary.numbers):
        console.print(
            f"Workbooks with another code than their student's: {numbers}; see the summary."
        )
    if unusual := sum(1 for _ in to_look_at(graded.summary)):
        console.print(f"{unusual} answers with unusual processes or code: see the summary.")
    if graded.summary.changes:
        marks = plain_count(len(graded.summary.changes), "mark")
        console.print(f"{marks} changed; the summary says whose.")
    console.print(folded(written(graded)), markup=False, highlight=False, soft_wrap=True)


@dataclass(slots=True)
class _Run:
    """One run with everything it needs; `done` says how many hand-ins it is through with."""

    course: CourseFolder
    intake: Intake
    crew: Crew
    choices: Choices
    record: GradingRecord
    console: Console
    whose: Callable[[str], str]
    now: frozenset[str]  # paths of what is handed over now
    files: tuple[FileLine, ...] = ()
    rules: ClassRules = NO_RULES
    done: int = 0

    def to_the_end(self, out: Path, shape: Shape, roster: list[str]) -> "Graded":
        if self.record.begin_round():
            self.console.print("The last run did not come to its end; this one goes on from there.")
        with GradebookWriter(self.course, self.choices.gradebook, self.rules) as book:
            if self.choices.gradebook:
                self.console.print(f"Gradebook: {shown_url(book.url)}", markup=False)
            run = ResumableRun(
                self.record, book, self.course.batch.seed, self.intake.hand_ins, self.choices.again,
                self.choices.library_copies or rule_of(self.course),
                self._own_book(book),
            )  # fmt: skip
            result = run.finish(self._grade(run))
            keep_seen(self.record, (one.hand_in for one in run.counting()), self.whose)
            from instructor.class_run.class_results import write_results

            graded = write_results(
                out, result, counting=run.counting(), totals=self._totals(book, run, roster),
                record=self.record, shape=shape, roster=roster, seed=self.course.batch.seed,
                files=self.files,
                rule=late_rule_in_words(self.rules.late) if self.rules.due else "",
                progress=self._handed_over(),
            )  # fmt: skip
        self.record.finish_round()
        return graded

    def _totals(
        self, book: GradebookWriter, run: ResumableRun, roster: list[str]
    ) -> tuple[Total, ...]:
        """Return what the gradebook says in the end, less what the rules of the class take off."""
        units = self.course.batch.units
        if twice := sorted(book.due_in_book(units) & self.rules.due.keys()):
            self.console.print(f"{', '.join(twice)}: the deadline of `hopbyhop deadlines` counts, "
                               "and not the gradebook's own.")  # fmt: skip
        counting = self.record.counting
        counting.note_arrivals(arrivals_of((one.hand_in for one in run.counting()), self.rules))
        counted = book.counted(units, counting.arrivals(), roster, datetime.now(UTC))
        counting.note_counted(self.record.round, counted)
        return by_rules(book.totals(units), counted, self.rules.due)

    def _handed_over(self) -> Sequence[Progress]:
        """Return the progress of those who handed it over."""
        room = read_room(self.course.path / PROGRESS)
        if room.unreadable:
            self.console.print(f"{plain_count(room.unreadable, 'file')} in {PROGRESS}/ "
                               "cannot be read as progress.")  # fmt: skip
        return room.everybody

    def _own_book(self, book: GradebookWriter) -> str:
        """Name the gradebook that lies in the course folder so that the folder may be moved."""
        from sqlalchemy.engine import make_url

        path = make_url(book.url).database or ""
        if self.choices.gradebook or not path.endswith(OWN_BOOK):
            return ""
        if Path(path).resolve().parent != self.course.path.resolve():
            return ""
        self.record.rename_book(f"%/{OWN_BOOK}", OWN_BOOK)
        return OWN_BOOK

    def _grade(self, run: ResumableRun) -> BatchResult:
        with shown_progress(self.console, len(self.intake.hand_ins)) as show:

            def progress(number: int, of: int) -> None:
                self.done = number
                show(number)

            def keep(hand_in: HandIn, marked: MarkedHandIn, prints: CodePrints) -> None:
                run.keep(hand_in, marked, prints)
                if len(self.now) <= TOLD_AT_ONCE and str(hand_in.path) in self.now:
                    self.console.print(points_line(marked))

            return grade_batch(
                self.intake, self.crew, cases=run.cases, known=run.known, keep=keep,
                progress=progress, found_before=run.found_before,
            )  # fmt: skip


def find_in_class(
    place: Path, course: CourseFolder, kept: KeptList, attempts: Attempts = "last"
) -> Intake:
    """Read what lies in a folder or an archive, by the ids of the class."""
    return find_hand_ins(
        place, course.batch.units, {*kept.names, *kept.same}, attempts=attempts,
        whose=lambda seen: kept.whose(seen) or seen,
    )  # fmt: skip


def hand_ins_of_class(
    here: Intake, record: GradingRecord, course: CourseFolder, kept: KeptList
) -> tuple[Intake, int]:
    """Return all that the class has handed in by now, and how much of it is not among what is here.

    An id that is on no roster is asked about.
    """
    intake, before = with_seen(here, record, course.batch.units, kept.whose)
    return of_the_class(as_released(intake, course.batch), kept, course.path), before


def as_released(intake: Intake, batch: CourseBatch) -> Intake:
    """Tell each hand-in what its student was given, for workers know nothing of the class.

    That is the personal code of the student's id, and perhaps a workbook of an earlier release.
    """
    told = (
        replace(
            one,
            own_code=code_of(batch.seed, one.student),
            is_earlier=one.notebook.release in batch.earlier,
        )
        for one in intake.hand_ins
    )
    return replace(intake, hand_ins=tuple(told))


def workers(
    console: Console, trusted: bool, choices: Choices, limits: Path
) -> contextlib.AbstractContextManager[Crew]:
    """Return those who examine: processes of this machine, or a cluster's."""
    if not choices.cluster:
        return local_run(console, trusted, choices.workers, limits)
    from instructor.grading.workers.cluster_crew import cluster_run

    return cluster_run(console, trusted, choices.cluster)


def _shape(choices: Choices, course: CourseFolder) -> Shape:
    """Return the shape of the table to upload: as asked, as in the course folder, or the usual."""
    units = course.batch.units
    path = choices.columns or course.path / SHAPE_FILE
    if choices.columns and not path.is_file():
        raise WrongPlaceError(f"--columns {path}: there is no such file.")
    if choices.columns or path.exists():
        return read_shape(path, units)
    return default_shape(units)

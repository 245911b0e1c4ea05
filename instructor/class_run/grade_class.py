"""`hopbyhop grade`: the whole of it, from a folder of files to scores and pages."""

__all__ = ["Choices", "GradingRefusedError", "grade_class", "shown_grade"]

import contextlib
import os
from dataclasses import dataclass
from pathlib import Path

from rich.console import Console

from instructor.class_run.class_results import Graded, write_results
from instructor.class_run.progress_shown import shown_progress
from instructor.class_run.resumable import ResumableRun
from instructor.class_run.stopping import in_words, stopped_by_hand
from instructor.grading.gradebook.writer import GradebookWriter
from instructor.grading.intake.hand_ins import Attempts, Intake
from instructor.grading.intake.handed_in import REPORT_FILE
from instructor.grading.intake.intake import find_hand_ins
from instructor.grading.marked import BatchResult
from instructor.grading.pages.score_table import score_lines, score_table
from instructor.grading.pages.summary_page import to_look_at
from instructor.grading.pages.upload_table import Shape, default_shape, read_shape
from instructor.grading.record.record import GradingRecord, open_record
from instructor.grading.sandbox.sandboxed_run import GradingRefusedError
from instructor.grading.similarity.copies_rule import Rule, rule_of
from instructor.grading.workers.batch import grade_batch
from instructor.grading.workers.crew import Crew
from instructor.grading.workers.local_crew import local_run
from instructor.release.course_folder import (
    BATCH_FILE,
    CourseFolder,
    CourseFolderError,
    named_course,
    sealed_course,
)
from instructor.release.gradebook_tools import shown_url

RECORD_FILE = "grading-record.db"
SHAPE_FILE = "upload.toml"


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


def grade_class(
    folder: Path,
    *,
    course: Path | None = None,
    out: Path | None = None,
    roster: Path | None = None,
    trusted: bool = False,
    choices: Choices | None = None,
    console: Console | None = None,
) -> Graded:
    """Grade what lies in `folder`; write gradebook, scores, pages and the class report.

    `folder` may be an archive of one (see `archives`).
    What an earlier run has done is not done again. Raises `GradingRefusedError` if there
    is no sandbox and `trusted` was not said, and `GradingStoppedError` if it was stopped
    or something outside, such as the disk, gave out.
    """
    console = console or Console()
    choices = choices or Choices()
    found = _course(folder, course)
    course = found.path
    shape = _shape(choices, found)
    if folder.resolve() == course.resolve():
        folder = course / "submitted"
    names = _roster(roster)
    with (
        stopped_by_hand(),
        _workers(console, trusted, choices) as crew,
        open_record(course / RECORD_FILE) as record,
    ):
        intake = find_hand_ins(folder, found.batch.units, names, attempts=choices.attempts)
        console.print(f"{len(intake.hand_ins)} workbooks to grade, "
                      f"{len(intake.not_graded)} files that cannot be graded.")  # fmt: skip
        if intake.times:
            console.print(f"Times of handing in: {intake.times} from {REPORT_FILE}.")
        run = _Run(found, intake, crew, choices, record, console)
        try:
            graded = run.to_the_end(out or course / "results", shape, names)
        except (KeyboardInterrupt, Exception) as problem:
            stopped = in_words(problem, run.done, len(intake.hand_ins))
            if stopped is None:
                raise
            raise stopped from problem
    shown_grade(console, graded)
    return graded


def shown_grade(console: Console, graded: Graded) -> None:
    """Print what became of every hand-in, what needs a look, and where things lie."""
    console.print(score_table(graded.result))
    for line in score_lines(graded.result):
        console.print(line)
    texts = sum(len(one.texts) for one in graded.result.marked)
    if texts:
        console.print(f"{texts} answers in words wait for a person: mark them in the gradebook.")
    if graded.summary.copies:
        console.print(f"{len(graded.summary.copies)} lines in library.csv are for a look.")
    if unusual := sum(1 for _ in to_look_at(graded.summary)):
        console.print(f"{unusual} answers with unusual processes or code: see the summary.")
    if graded.summary.changes:
        console.print(f"{len(graded.summary.changes)} points changed; the summary says whose.")
    console.print(f"What is left:   {graded.page}", markup=False)
    console.print(f"Scores:         {graded.scores}", markup=False)
    console.print(f"To upload:      {graded.upload}", markup=False)
    console.print(f"Feedback pages: {graded.pages}", markup=False)
    console.print(f"Class report:   {graded.report}", markup=False)


@dataclass(slots=True)
class _Run:
    """One run with everything it needs; `done` says how many hand-ins it is through with."""

    course: CourseFolder
    intake: Intake
    crew: Crew
    choices: Choices
    record: GradingRecord
    console: Console
    done: int = 0

    def to_the_end(self, out: Path, shape: Shape, roster: list[str]) -> Graded:
        if self.record.begin_round():
            self.console.print("The last run did not come to its end; this one goes on from there.")
        with GradebookWriter(self.course, self.choices.gradebook) as book:
            if self.choices.gradebook:
                self.console.print(f"Gradebook: {shown_url(book.url)}", markup=False)
            run = ResumableRun(
                self.record, book, self.course.batch.seed, self.intake.hand_ins, self.choices.again,
                self.choices.library_copies or rule_of(self.course),
            )  # fmt: skip
            result = run.finish(self._grade(run))
            graded = write_results(
                out, result, counting=run.counting(), totals=book.totals(self.course.batch.units),
                record=self.record, shape=shape, roster=roster,
            )  # fmt: skip
        self.record.finish_round()
        return graded

    def _grade(self, run: ResumableRun) -> BatchResult:
        with shown_progress(self.console, len(self.intake.hand_ins)) as show:

            def progress(number: int, of: int) -> None:
                self.done = number
                show(number)

            return grade_batch(
                self.intake, self.crew, cases=run.cases, known=run.known, keep=run.keep,
                progress=progress,
            )  # fmt: skip


def _workers(
    console: Console, trusted: bool, choices: Choices
) -> contextlib.AbstractContextManager[Crew]:
    """Return those who examine: processes of this machine, or a cluster's."""
    if not choices.cluster:
        return local_run(console, trusted, choices.workers)
    from instructor.grading.workers.cluster_crew import cluster_run

    return cluster_run(console, trusted, choices.cluster)


def _shape(choices: Choices, course: CourseFolder) -> Shape:
    """Return the shape of the table to upload: as asked, as in the course folder, or the usual."""
    units = course.batch.units
    path = choices.columns or course.path / SHAPE_FILE
    if choices.columns or path.exists():
        return read_shape(path, units)
    return default_shape(units)


def _course(folder: Path, named: Path | None) -> CourseFolder:
    """Return the course folder: the one named, or a sealed one beside or around the hand-ins.

    In the folder of hand-ins none is looked for: what lies there is the students'. It may be
    the course folder itself, whose hand-ins lie in `submitted`.
    """
    if named is not None:
        if folder.resolve() in named.resolve().parents:
            raise CourseFolderError(
                f"{named} lies among the hand-ins in {folder}, and grading runs its settings. "
                "Keep the two apart: no student may write into a course folder."
            )
        return named_course(named)
    around = folder.absolute().parent
    places = (folder, around, around / "course")
    for place in places:
        if (found := sealed_course(place)) is not None:
            return found
    for place in places:
        if os.path.lexists(place / BATCH_FILE):
            raise CourseFolderError(
                f"{place} looks like a course folder, but `release` did not make it with this "
                "account, and grading runs its settings. If it is yours and no student can write "
                f"into it, say so: --course {place}"
            )
    raise CourseFolderError(
        f"no course folder near {folder}: name the one that `hopbyhop release` made with --course"
    )


def _roster(path: Path | None) -> list[str]:
    if path is None:
        return []
    return [line.strip() for line in path.read_text(encoding="utf-8").splitlines() if line.strip()]

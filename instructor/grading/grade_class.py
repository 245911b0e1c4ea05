"""`hopbyhop grade`: the whole of it, from a folder of files to scores and pages."""

__all__ = ["GradingRefusedError", "grade_class", "shown_grade"]

from collections import defaultdict
from dataclasses import dataclass
from pathlib import Path

from rich.console import Console
from rich.progress import (
    BarColumn,
    MofNCompleteColumn,
    Progress,
    TextColumn,
    TimeRemainingColumn,
)

from course_lib.exercises.runner import Launcher
from instructor.grading import sandbox
from instructor.grading.batch import BatchResult, grade_batch
from instructor.grading.feedback_pages import write_feedback_page
from instructor.grading.gradebook import GradebookWriter
from instructor.grading.intake import Intake, NotGraded, find_hand_ins
from instructor.grading.score_table import score_lines, score_table
from instructor.grading.scores import write_scores
from instructor.release.course_folder import BATCH_FILE, CourseFolderError, read_batch
from instructor.reporting.report_pages import write_report


class GradingRefusedError(RuntimeError):
    """Grading cannot start as asked; the text says what to do."""


@dataclass(frozen=True, slots=True)
class Graded:
    """What came out of grading a class, and where it lies."""

    result: BatchResult
    scores: Path
    pages: Path
    report: Path


def grade_class(
    folder: Path,
    *,
    course: Path | None = None,
    out: Path | None = None,
    roster: Path | None = None,
    trusted: bool = False,
    console: Console | None = None,
) -> Graded:
    """Grade what lies in `folder`; write gradebook, scores, pages and the class report.

    Raises `GradingRefusedError` if there is no sandbox and `trusted` was not said.
    """
    console = console or Console()
    course = course or _find_course(folder)
    batch = read_batch(course)
    if folder.resolve() == course.resolve():
        folder = course / "submitted"
    launcher = _launcher(console, trusted)
    intake = find_hand_ins(folder, batch.units, _roster(roster))
    console.print(f"{len(intake.hand_ins)} workbooks to grade, "
                  f"{len(intake.not_graded)} files that cannot be graded.")  # fmt: skip
    result = _grade(intake, batch.seed, course, launcher, console)
    graded = _write(out or course / "results", result)
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
    console.print(f"Scores:         {graded.scores}", markup=False)
    console.print(f"Feedback pages: {graded.pages}", markup=False)
    console.print(f"Class report:   {graded.report}", markup=False)


def _launcher(console: Console, trusted: bool) -> Launcher | None:
    report = sandbox.probe()
    if report.works:
        console.print(f"Sandbox: {report.detail}.", markup=False)
        return sandbox.launcher()
    if not trusted:
        raise GradingRefusedError(
            f"Grading has not started: {report.detail}.\n"
            "Answers are programs that strangers wrote. To run them as yourself all the same, "
            "say --trusted."
        )
    console.print(f"No sandbox: {report.detail}. Answers run as you, as trusted.", markup=False)
    return None


def _find_course(folder: Path) -> Path:
    for place in (folder, folder.parent, folder / "course", folder.parent / "course"):
        if (place / BATCH_FILE).exists():
            return place
    raise CourseFolderError(
        f"no course folder near {folder}: name the one that `hopbyhop release` made with --course"
    )


def _roster(path: Path | None) -> list[str]:
    if path is None:
        return []
    return [line.strip() for line in path.read_text(encoding="utf-8").splitlines() if line.strip()]


def _grade(
    intake: Intake, seed: str, course: Path, launcher: Launcher | None, console: Console
) -> BatchResult:
    book = GradebookWriter(course)
    columns = (TextColumn("grading"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    with Progress(*columns, console=console) as bar:
        task = bar.add_task("grading", total=len(intake.hand_ins))
        return grade_batch(
            intake,
            seed,
            launcher=launcher,
            keep=book.write,
            progress=lambda done, of: bar.update(task, completed=done),
        )


def _write(out: Path, result: BatchResult) -> Graded:
    pages = out / "feedback"
    pages.mkdir(parents=True, exist_ok=True)
    scores = out / "scores.csv"
    write_scores(scores, result)
    refused: dict[str, list[NotGraded]] = defaultdict(list)
    for one in result.not_graded:
        if one.student:
            refused[one.student].append(one)
    students = sorted({one.student for one in result.marked} | refused.keys())
    for student in students:
        hand_ins = [one for one in result.marked if one.student == student]
        write_feedback_page(pages, student, hand_ins, refused[student])
    report = write_report(out / "report", result)
    return Graded(result, scores, pages, report)

"""Everything that is written about a graded class, apart from the gradebook itself.

| file | for | holds |
|---|---|---|
| `scores.csv` | staff | one row for each exercise, see `scores` |
| `upload.csv` | the office | one row for each student, in any shape, see `upload_table` |
| `changes.csv`, `history.csv` | staff | whose points by machine changed, and why, see `changes` |
| `files.csv` | staff | every file that was there, and what became of it, see `file_list` |
| `counted.csv` | staff | what counts after deadlines and excuses, see `counted_table` |
| `similar.csv` | staff | pairs of workbooks for a look, see `pairs` |
| `library.csv` | staff | what of the library is in answers, see `library_copies` |
| `numbers.csv` | staff | whose personal code stands in workbooks, see `whose_numbers` |
| `summary.html` | staff | what is left for a person to do |
| `feedback/` | students | a page for each, to be given to that student alone |
| `report/` | staff | what the class did not understand, and how the exercises did |

Each file is written whole or not at all, and every one is written anew by every run.
"""

__all__ = ["Graded", "write_results"]

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from course_lib.exercises.progress import Progress
from instructor.class_run.attempts import Attempt
from instructor.class_run.on_roster import not_handed_in
from instructor.grading.gradebook.totals import Total
from instructor.grading.marked import BatchResult
from instructor.grading.pages.counted_table import write_counted
from instructor.grading.pages.feedback_pages import write_feedback_page
from instructor.grading.pages.file_list import FileLine, write_file_list
from instructor.grading.pages.scores import write_scores
from instructor.grading.pages.summary_page import Summary, write_summary
from instructor.grading.pages.upload_table import Shape, write_upload
from instructor.grading.pages.whose_numbers import (
    for_a_look,
    numbers_used,
    with_numbers,
    write_numbers,
)
from instructor.grading.record.changes import write_changes, write_history
from instructor.grading.record.counting import CountedChange
from instructor.grading.record.kept_library import kept_ground
from instructor.grading.record.record import GradingRecord, PointsChange
from instructor.grading.similarity.library_copies import write_library_copies
from instructor.grading.similarity.pairs import alike, write_alike
from instructor.reporting.report_pages import Beside, write_report
from instructor.reporting.since_last_run import since_last_run
from instructor.reporting.still_unclear import answers_of_class
from instructor.statistics.statistics_page import write_statistics
from instructor.statistics.unit_hand_ins import unit_hand_ins


@dataclass(frozen=True, slots=True)
class Graded:
    """What came out of grading a class, and where it lies."""

    result: BatchResult
    summary: Summary
    scores: Path
    upload: Path
    pages: Path
    report: Path
    page: Path
    course: Path = Path()


def write_results(
    out: Path,
    result: BatchResult,
    *,
    counting: Sequence[Attempt],
    totals: tuple[Total, ...],
    record: GradingRecord,
    shape: Shape,
    roster: Sequence[str],
    seed: str,
    files: Sequence[FileLine] = (),
    rule: str = "",
    progress: Sequence[Progress] = (),
) -> Graded:
    """Write all tables and pages into `out`; `counting` are the hand-ins that count.

    The class's `seed` tells whose personal codes stand in them; `rule` says in words what being
    late costs; `progress` is of those who handed it over.
    """
    out.mkdir(parents=True, exist_ok=True)
    copies = tuple(copy for one in counting for copy in one.copies)
    pairs = alike(
        ((one.hand_in.unit, one.hand_in.student, one.own) for one in counting),
        lambda unit: kept_ground(unit, record),
    )
    named = {(one.hand_in.student, one.hand_in.unit): one.named for one in counting}
    students = _students(result) | set(roster)
    used = numbers_used((one.hand_in for one in counting), seed, students)
    changes = record.changes()
    there = {(one.unit, one.student) for one in totals if one.is_there}
    missing = not_handed_in(roster, there, sorted({unit for unit, _ in there}))
    by_rules = tuple(map(as_change, record.counting.changes(record.round)))
    summary = Summary(
        result, totals, (*changes, *by_rules), pairs, copies, named, for_a_look(used), missing, rule
    )
    graded = Graded(
        result, summary, out / "scores.csv", out / "upload.csv", out / "feedback",
        out / "report" / "report.html", out / "summary.html",
    )  # fmt: skip
    write_scores(graded.scores, result, with_numbers(named, used), totals)
    write_counted(out / "counted.csv", totals)
    write_upload(graded.upload, shape, totals, students)
    write_changes(out / "changes.csv", summary.changes)
    history = record.history()
    write_history(out / "history.csv", history)
    write_alike(out / "similar.csv", summary.alike)
    write_library_copies(out / "library.csv", summary.copies)
    write_numbers(out / "numbers.csv", used)
    write_file_list(out / "files.csv", files)
    _write_pages(graded.pages, result, totals, rule)
    unclear = answers_of_class(one.hand_in for one in counting)
    since = since_last_run(history, changes, record.round)
    write_report(out / "report", result, Beside(totals, unclear, since, rule))
    came = unit_hand_ins(files, record.counting.arrivals())
    write_statistics(out / "report", result, came, progress)
    write_summary(graded.page, summary)
    return graded


def _students(result: BatchResult) -> set[str]:
    """Return everybody who handed something in, whatever became of it."""
    marked = {one.student for one in result.marked}
    return marked | {one.student for one in result.not_graded} - {""}


def as_change(one: CountedChange) -> PointsChange:
    """Return as a row of the changes what the rules of the class changed, for a whole unit."""
    why = f"{one.new_why} (before: {one.old_why})"
    return PointsChange(one.student, one.unit, "", one.old_points, one.new_points, "", "", why)


def _write_pages(folder: Path, result: BatchResult, totals: Sequence[Total], rule: str) -> None:
    folder.mkdir(exist_ok=True)
    for student in sorted(_students(result)):
        hand_ins = [one for one in result.marked if one.student == student]
        refused = [one for one in result.not_graded if one.student == student]
        own = [one for one in totals if one.student == student]
        write_feedback_page(folder, student, hand_ins, refused, own, rule)

"""What the gradebook gets of one hand-in: points by machine, and which cells wait for a person.

It is what nbgrader's own `SaveAutoGrades` reads off the marked workbook; to load that, with all
that comes along, took longer than all else in the gradebook. A test compares both, row by row.
"""

__all__ = ["enter_points"]

from typing import Any

from instructor.grading.gradebook.known_cells import HandInCells
from instructor.grading.marked import MarkedHandIn
from instructor.release.plain_workbook import PlainWorkbook

NO_RESPONSE = "No response."  # in the gradebook's own words, which its pages look for


def enter_points(
    cells: HandInCells, released: PlainWorkbook, workbook: PlainWorkbook, marked: MarkedHandIn
) -> None:
    """Set points and comments of a hand-in, given the workbook as released and as marked."""
    by_machine = {one.verdict.exercise.mark_name: one.verdict.points for one in marked.answers}
    for before, cell in zip(released.cells, workbook.cells, strict=True):
        about = cell.metadata.get("nbgrader", {})
        is_untouched = "checksum" in about and cell.source == before.source
        if about.get("grade"):
            grade = cells.grades[about.grade_id]
            grade.auto_score = _points(cell, about, is_untouched, by_machine)
            grade.needs_manual_grade = grade.manual_score is not None or grade.auto_score is None
        if about.get("solution") or about.get("task"):
            silent = is_untouched and not about.get("task")
            cells.comments[about.grade_id].auto_comment = NO_RESPONSE if silent else None


def _points(
    cell: Any, about: Any, is_untouched: bool, by_machine: dict[str, float | None]
) -> float | None:
    """Return the points of a cell; None where a person gives them."""
    if about.get("solution"):  # an answer in words
        return 0.0 if is_untouched else None
    if cell.cell_type != "code":
        return None
    # The staff may have put in a check of their own, which nobody runs: it takes nothing off.
    return by_machine.get(about.grade_id, float(about.points))

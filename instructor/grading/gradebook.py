"""Write results into the gradebook, in the way the gradebook's own tools would.

For each hand-in the released workbook is filled with the student's cells, and the
check cells get our points as their output. The gradebook's own code then reads
the points off this workbook, so its feedback, export and hand marking work on it.
"""

__all__ = ["GradebookWriter"]

from pathlib import Path

import nbformat
from nbformat import NotebookNode
from nbformat.v4 import new_output

from course_lib.exercises.display import Panel
from course_lib.exercises.feedback import feedback
from instructor.gradebook_tools import open_gradebook
from instructor.grading.examiner import MarkedAnswer, MarkedHandIn
from instructor.grading.intake import HandIn
from instructor.release.course_folder import gradebook_url
from instructor.release.workbook_files import grade_name, is_marked_by_hand


class GradebookWriter:
    """Write hand-ins into the gradebook of one course folder, one at a time."""

    def __init__(self, course: Path) -> None:
        self._course = course
        self._url = gradebook_url(course)

    def write(self, hand_in: HandIn, marked: MarkedHandIn) -> None:
        """Write one hand-in, and beside the gradebook the workbook that shows how it was marked."""
        workbook = self._filled(hand_in, marked)
        folder = self._course / "autograded" / marked.student / marked.unit
        folder.mkdir(parents=True, exist_ok=True)
        nbformat.write(workbook, folder / f"{marked.unit}.ipynb")
        self._save(workbook, marked)

    def _filled(self, hand_in: HandIn, marked: MarkedHandIn) -> NotebookNode:
        """Return the released workbook with the student's cells and our points in it."""
        released = self._course / "release" / marked.unit / f"{marked.unit}.ipynb"
        workbook: NotebookNode = nbformat.read(released, as_version=4)
        answers = {answer.verdict.exercise.cell_name: answer for answer in marked.answers}
        checks = {answer.verdict.exercise.mark_name: answer for answer in marked.answers}
        texts = {cell.name: cell.source for cell in hand_in.notebook.cells if cell.name}
        for cell in workbook.cells:
            name = grade_name(cell)
            if name in answers:
                cell.source = answers[name].source or cell.source
            elif name in checks:
                cell.outputs = _outputs(checks[name])
            elif is_marked_by_hand(cell):
                cell.source = texts.get(name, cell.source)
        return workbook

    def _save(self, workbook: NotebookNode, marked: MarkedHandIn) -> None:
        from nbgrader.preprocessors import SaveAutoGrades

        with open_gradebook(self._url) as book:
            book.update_or_create_student(marked.student)
            book.update_or_create_submission(marked.unit, marked.student)
        resources = {
            "nbgrader": {
                "notebook": marked.unit,
                "assignment": marked.unit,
                "student": marked.student,
                "db_url": self._url,
            }
        }
        SaveAutoGrades().preprocess(workbook, resources)
        undecided = [one for one in marked.answers if one.needs_person]
        with open_gradebook(self._url) as book:
            for one in undecided:
                grade = book.find_grade(
                    one.verdict.exercise.mark_name, marked.unit, marked.unit, marked.student
                )
                grade.auto_score = None
                grade.needs_manual_grade = True
            book.db.commit()


def _outputs(answer: MarkedAnswer) -> list[NotebookNode]:
    """Return what the check cell shows: the three lines, then the points alone."""
    words = feedback(answer.verdict)
    panel = Panel(
        words.heading,
        (("Asked", words.asked), ("Seen", words.seen), ("Next", words.next)),
        parts=words.aspects,
    )
    shown = new_output("display_data", {"text/plain": panel.text(), "text/html": panel.html()})
    points = answer.verdict.points or 0.0
    result = new_output("execute_result", {"text/plain": repr(points)}, execution_count=1)
    return [shown, result]

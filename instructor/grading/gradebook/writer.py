"""Write results into the gradebook, in the way the gradebook's own tools would.

For each hand-in the released workbook is filled with the student's cells, and the
check cells get our points as their output. The gradebook gets what its own code would read off
this workbook (`points_in_book`), so its feedback, export and hand marking work on it.

Everything about one hand-in is one transaction: it is in the gradebook whole or not
at all. What a person entered there stays: points and comments given by hand, extra
credit, extensions. A cell that a person has marked is put up for another look only if
the answer or its points by machine have changed. Penalties for late hand-ins are
worked out by the gradebook's own plug-in, as the course folder configures it, but for units with
a deadline in the rules of the class: there these alone say what being late costs.
"""

__all__ = ["GradebookWriter"]

import contextlib
import datetime
import hashlib
import sys
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

from course_lib.exercises.whole_file import write_whole
from instructor.deadlines.class_rules import NO_RULES, ClassRules
from instructor.deadlines.counted import Arrival, Counted, counted, with_missing
from instructor.grading.gradebook.earned import (
    arrivals_in_book,
    earned_in_book,
    take_off,
    unit_cells,
)
from instructor.grading.gradebook.first_entry import UnitCells, enter_new, read_unit_cells
from instructor.grading.gradebook.known_cells import HandInCells, known_cells
from instructor.grading.gradebook.marked_workbook import as_text, cell_digests, marked_workbook
from instructor.grading.gradebook.points_in_book import enter_points
from instructor.grading.gradebook.totals import Total, seconds_late, totals
from instructor.grading.intake.hand_ins import HandIn
from instructor.grading.marked import MarkedHandIn
from instructor.grading.record.record import NOT_ENTERED, Entered
from instructor.release.course_folder import CourseFolder, gradebook_url, settings
from instructor.release.gradebook_tools import one_transaction, open_gradebook, tools_on_path
from instructor.release.plain_workbook import PlainWorkbook, plain_workbook

Key = tuple[str, str]  # unit, student
Fill = Callable[[HandInCells], None]


class GradebookWriter:
    """Write hand-ins into a gradebook, one at a time; to be used in a `with` statement.

    `url` is the gradebook's address; without it, the one that the course folder names. `rules` are
    those of the class.
    """

    def __init__(self, course: CourseFolder, url: str = "", rules: ClassRules = NO_RULES) -> None:
        self.url = url or gradebook_url(course)
        self._rules = rules
        self._course = course.path
        self._config = settings(course)
        self._units: dict[str, tuple[PlainWorkbook, UnitCells | None]] = {}
        self._students: set[str] = set()
        self._points: dict[Key, dict[str, float | None]] = {}
        self._late: set[Key] = set()
        self._open = contextlib.ExitStack()
        self._book: Any = None

    def __enter__(self) -> "GradebookWriter":
        self._book = self._open.enter_context(open_gradebook(self.url))
        self._look()
        return self

    def __exit__(self, *_: object) -> None:
        self._open.close()

    def write(
        self, hand_in: HandIn, marked: MarkedHandIn, before: Entered = NOT_ENTERED
    ) -> Entered:
        """Write one hand-in, and beside the gradebook the workbook that shows how it was marked.

        `before` is what this method returned for the student and unit last; if all of it
        is in the gradebook still, nothing is written.
        """
        released, keys = self._unit(marked.unit)
        workbook = marked_workbook(released, hand_in, marked)
        text = as_text(workbook)
        path = self._course / "autograded" / marked.student / marked.unit / f"{marked.unit}.ipynb"
        cells = cell_digests(workbook, marked)
        now = Entered(_digest(text, hand_in.handed_in, _undecided(marked)), cells)
        if now == before and path.exists() and self._is_in_book(marked):
            return now
        path.parent.mkdir(parents=True, exist_ok=True)
        write_whole(path, text)

        def fill(cells: HandInCells) -> None:
            enter_points(cells, released, workbook, marked)

        with one_transaction(self._book) as book:
            if keys is None or (marked.unit, marked.student) in self._points:
                unchanged = {name for name in cells if before.cells.get(name) == cells[name]}
                self._enter(book, fill, hand_in, marked, unchanged)
            else:
                self._enter_new(book, keys, fill, hand_in, marked)
        self._students.add(marked.student)
        self._points[marked.unit, marked.student] = _points(marked)
        return now

    def totals(self, units: Iterable[str]) -> tuple[Total, ...]:
        """Return what the gradebook says in the end about all hand-ins of these units."""
        return totals(self._book, self._known(units))

    def counted(
        self, units: Iterable[str], arrivals: Mapping[Key, Arrival], roster: Iterable[str],
        now: datetime.datetime,
    ) -> tuple[Counted, ...]:  # fmt: skip
        """Return what counts under the rules of the class, and let the gradebook take it off.

        `arrivals` and what comes back are by student and unit. Whoever is on the `roster` and has
        not handed in by `now` has a line too.
        """
        known = self._known(units)
        earned = earned_in_book(self._book, known)
        cells = {unit: unit_cells(self._book, unit) for unit in known}
        whole = with_missing(earned, cells, roster, self._rules, now)
        found = counted(whole, self._rules, arrivals_in_book(self._book, known) | dict(arrivals))
        take_off(self._book, found, [unit for unit in known if unit in self._rules.due])
        return found

    def due_in_book(self, units: Iterable[str]) -> set[str]:
        """Return the units for which the gradebook has a deadline of its own."""
        return {one.name for one in self._book.assignments if one.duedate} & set(units)

    def _known(self, units: Iterable[str]) -> list[str]:
        """Return those units of which the gradebook has heard, and look at it afresh."""
        self._book.db.remove()
        known = {one.name for one in self._book.assignments}
        return [unit for unit in units if unit in known]

    def _enter(
        self, book: Any, fill: Fill, hand_in: HandIn, marked: MarkedHandIn,
        unchanged: Collection[str],
    ) -> None:  # fmt: skip
        stamp = {"timestamp": hand_in.handed_in} if hand_in.handed_in else {}
        book.update_or_create_student(marked.student)
        book.update_or_create_submission(marked.unit, marked.student, **stamp)
        submitted = book.find_submission_notebook(marked.unit, marked.unit, marked.student)
        cells = known_cells(book, submitted)
        were = {
            name: (one.auto_score, one.needs_manual_grade) for name, one in cells.grades.items()
        }
        fill(cells)
        for name, one in cells.grades.items():
            auto_score, needed = were[name]
            if one.manual_score is not None and name in unchanged:
                one.needs_manual_grade = needed or one.auto_score != auto_score
        book.db.commit()
        if marked.unit not in self._rules.due:
            _save_penalty(book, self._config, self._course, submitted)

    def _enter_new(
        self, book: Any, keys: UnitCells, fill: Fill, hand_in: HandIn, marked: MarkedHandIn
    ) -> None:
        if marked.student not in self._students:
            book.update_or_create_student(marked.student)
        key = enter_new(book, keys, marked.student, hand_in.handed_in, fill)
        if keys.has_due_date and marked.unit not in self._rules.due:
            from nbgrader import api

            _save_penalty(book, self._config, self._course, book.db.get(api.SubmittedNotebook, key))

    def _unit(self, unit: str) -> tuple[PlainWorkbook, UnitCells | None]:
        """Return the released workbook and its keys; make sure the gradebook knows the unit."""
        if unit not in self._units:
            path = self._course / "release" / unit / f"{unit}.ipynb"
            _enter_unit(self._book, unit, path)
            released = plain_workbook(path)
            self._units[unit] = released, read_unit_cells(self._book, unit)
        return self._units[unit]

    def _look(self) -> None:
        """See what is in the gradebook, and which hand-ins have, or had, to do with lateness."""
        from nbgrader import api

        rows = (
            self._book.db.query(
                api.Assignment.name, api.SubmittedAssignment.student_id,
                api.BaseCell.name, api.Grade.auto_score,
            )
            .join(api.SubmittedAssignment, api.SubmittedAssignment.assignment_id
                  == api.Assignment.id)
            .join(api.SubmittedNotebook, api.SubmittedNotebook.assignment_id
                  == api.SubmittedAssignment.id)
            .join(api.Grade, api.Grade.notebook_id == api.SubmittedNotebook.id)
            .join(api.BaseCell, api.BaseCell.id == api.Grade.cell_id)
        )  # fmt: skip
        for unit, student, cell, points in rows:
            self._points.setdefault((unit, student), {})[cell] = points
        self._students.update(one for (one,) in self._book.db.query(api.Student.id))
        for one in self._book.db.query(api.SubmittedAssignment):
            self._points.setdefault((one.assignment.name, one.student_id), {})
            if seconds_late(one) > 0 or one.late_submission_penalty:
                self._late.add((one.assignment.name, one.student_id))
        self._book.db.remove()

    def _is_in_book(self, marked: MarkedHandIn) -> bool:
        """Tell whether the gradebook holds the points of a hand-in, and time plays no part."""
        key = (marked.unit, marked.student)
        there = self._points.get(key)
        return key not in self._late and there is not None and (
            _points(marked).items() <= there.items()
        )  # fmt: skip


def _enter_unit(book: Any, unit: str, path: Path) -> None:
    """Make a unit known to a gradebook that has not heard of it, as its own tools would."""
    from nbgrader.api import MissingEntry

    try:
        book.find_notebook(unit, unit)
    except MissingEntry:
        import nbformat  # this and the next take long to load
        from nbgrader.preprocessors import SaveCells

        released = nbformat.read(path, as_version=4)
        with one_transaction(book):
            book.update_or_create_assignment(unit)
            saver = SaveCells()
            saver.gradebook = book
            saver.notebook_id = saver.assignment_id = unit
            saver.new_grade_cells, saver.new_solution_cells = {}, {}
            saver.new_task_cells, saver.new_source_cells = {}, {}
            for place, cell in enumerate(released.cells):
                saver.preprocess_cell(cell, {}, place)
            saver._create_notebook(released)


def _save_penalty(book: Any, config: Any, course: Path, submitted: Any) -> None:
    """Let the gradebook's own plug-in say what being late costs; in time, nothing."""
    submitted.late_submission_penalty = None
    late_s = seconds_late(submitted.assignment)
    if late_s > 0:
        from nbgrader.preprocessors import AssignLatePenalties  # takes long to load

        book.db.commit()
        book.db.expire_all()  # the score is worked out by the database
        with _importable(course):
            rule = AssignLatePenalties(config=config)
            rule.init_plugin()
        student = submitted.student.id
        penalty = rule.plugin_inst.late_submission_penalty(student, submitted.score, late_s)
        if penalty is not None:
            submitted.late_submission_penalty = rule._check_late_penalty(submitted, penalty)
    book.db.commit()


@contextlib.contextmanager
def _importable(course: Path) -> Iterator[None]:
    """Let a plug-in that lies in the course folder be found by its name."""
    sys.path.insert(0, str(course.resolve()))
    try:
        with tools_on_path():
            yield
    finally:
        sys.path.remove(str(course.resolve()))


def _points(marked: MarkedHandIn) -> dict[str, float | None]:
    return {one.verdict.exercise.mark_name: one.verdict.points for one in marked.answers}


def _undecided(marked: MarkedHandIn) -> frozenset[str]:
    return frozenset(one.verdict.exercise.mark_name for one in marked.answers if one.needs_person)


def _digest(text: str, stamp: str, undecided: frozenset[str]) -> str:
    whole = "\0".join([text, stamp, *sorted(undecided)])
    return hashlib.sha256(whole.encode("utf-8", "surrogatepass")).hexdigest()

"""Take a student's own answer out of a saved workbook, if it passes its check.

The source is the one that `mark` would take, helpers of other cells included, and it is tried like
there: on the public cases, in a process of its own. Only then is it run in this process.
"""

__all__ = ["OwnAnswer", "own_answer"]

from typing import NamedTuple

from course_lib.exercises.cells.cell_text import UNREADABLE, without_magics
from course_lib.exercises.registry import Exercise
from course_lib.exercises.tried_answer import mark_cells
from course_lib.exercises.verdict import Outcome, Verdict
from course_lib.my_parts.careful_part import Function
from course_lib.my_parts.loaded_answer import NotTakenError, load_answer
from course_lib.my_parts.saved_workbooks import SavedWorkbook
from course_lib.runner.runner import Problem, StandAlone


class OwnAnswer(NamedTuple):
    """A student's function, ready to be called, and what is to be said about it."""

    function: Function
    why: str
    answer: StandAlone


def own_answer(item: Exercise, workbook: SavedWorkbook, *, even_if_wrong: bool) -> OwnAnswer:
    """Return the student's own answer to an exercise; raise `NotTakenError` if it is not taken."""
    marked = mark_cells(item, workbook.sources, workbook.above(item.mark_name))
    verdict, answer = marked.verdict, marked.answer
    if answer is None:
        raise NotTakenError(_why_nothing_defines(item, workbook))
    if verdict.outcome is Outcome.RIGHT:
        return OwnAnswer(load_answer(item, answer), _points(verdict), answer)
    if even_if_wrong and verdict.first_wrong is not None:  # so it could at least be run
        why = f"{_points(verdict)}: it does not pass, and you asked for it"
        return OwnAnswer(load_answer(item, answer), why, answer)
    name = next(cell.name for cell in reversed(workbook.cells) if cell.source == answer.cell)
    raise NotTakenError(_why_not(verdict, name))


def _points(verdict: Verdict) -> str:
    item = verdict.exercise
    points = "point" if item.points == 1 else "points"
    share = "all " if verdict.points == item.points else f"{verdict.points or 0:g} of "
    return f"unit {item.unit[:2]}, {share}{item.points:g} {points}"


def _why_not(verdict: Verdict, cell: str) -> str:
    """Say in a few words why an answer that is there was not taken."""
    if verdict.first_wrong is not None or verdict.outcome is Outcome.TWO_RUNS_DIFFER:
        return f"{_points(verdict)}: not taken until it passes"
    if verdict.outcome is Outcome.NO_ANSWER:
        return "it leans on the library itself" if verdict.note else "no answer yet"
    if verdict.problem is not None:
        line = "" if verdict.problem.line is None else f"line {verdict.problem.line} of "
        return f"its cell {_what_happened(verdict.problem)} ({line}cell {cell})"
    return f"it could not be checked: {verdict.note}"


def _what_happened(problem: Problem) -> str:
    if problem.kind == "missing":
        return problem.message  # it ran, and there is no function
    return f"does not run: {problem.kind}: {problem.message}".rstrip(": ")


def _why_nothing_defines(item: Exercise, workbook: SavedWorkbook) -> str:
    """Say why no cell defines the function: its cell may hold a slip that stops Python."""
    for cell in workbook.cells:
        if cell.name == item.cell_name or f"def {item.function}(" in cell.source:
            try:
                compile(without_magics(cell.source), cell.name, "exec", dont_inherit=True)
            except UNREADABLE as problem:
                line = f"line {getattr(problem, 'lineno', None) or '?'} of cell {cell.name}"
                text = getattr(problem, "msg", None) or str(problem)
                return f"its cell does not run: {type(problem).__name__}: {text} ({line})"
    return "no answer yet"

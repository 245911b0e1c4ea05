"""The workbook that shows how a hand-in was marked, for the gradebook's own tools.

It is the released workbook with the student's cells in it; each check cell has our
points as its output. Nothing else of what was handed in gets into it.
"""

__all__ = ["as_text", "cell_digests", "marked_workbook"]

import copy
import hashlib
import json
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from course_lib.exercises.display import panel_of
from course_lib.exercises.feedback import feedback
from instructor.grading.intake.hand_ins import HandIn
from instructor.grading.marked import MarkedAnswer, MarkedHandIn
from instructor.output.text import visible
from instructor.release.plain_workbook import PlainWorkbook
from instructor.release.workbook_files import grade_name, is_marked_by_hand


def marked_workbook(
    released: PlainWorkbook, hand_in: HandIn, marked: MarkedHandIn
) -> PlainWorkbook:
    """Return the released workbook with the student's cells and our points in it.

    Cells that are as they were released are the very same ones; to copy all took longer
    than to mark them.
    """
    answers = {answer.verdict.exercise.cell_name: answer for answer in marked.answers}
    checks = {answer.verdict.exercise.mark_name: answer for answer in marked.answers}
    texts = {cell.name: cell.source for cell in hand_in.notebook.cells if cell.name}
    workbook = copy.copy(released)
    workbook.cells = [_marked(cell, answers, checks, texts) for cell in released.cells]
    return workbook


def as_text(workbook: PlainWorkbook) -> str:
    """Write a workbook as a notebook file, on one line: laid out, it took seven times as long."""
    return json.dumps(workbook, ensure_ascii=False, sort_keys=True) + "\n"


def _marked(
    cell: Any, answers: Mapping[str, MarkedAnswer], checks: Mapping[str, MarkedAnswer],
    texts: Mapping[str, str],
) -> Any:  # fmt: skip
    name = grade_name(cell)
    if name not in answers and name not in checks and not is_marked_by_hand(cell):
        return cell
    cell = copy.copy(cell)
    if name in answers:
        cell.source = answers[name].source or cell.source
    elif name in checks:
        cell.outputs = _outputs(checks[name])
    else:
        cell.source = texts.get(name, cell.source)
    return cell


def cell_digests(workbook: PlainWorkbook, marked: MarkedHandIn) -> Mapping[str, str]:
    """Return, for each cell that has points, a digest of what the student wrote for them."""
    sources = {grade_name(cell): cell.source for cell in workbook.cells if is_marked_by_hand(cell)}
    sources |= {one.verdict.exercise.mark_name: one.source for one in marked.answers}
    return {
        name: hashlib.sha256(source.encode("utf-8", "surrogatepass")).hexdigest()
        for name, source in sources.items()
    }


def _outputs(answer: MarkedAnswer) -> list[dict[str, object]]:
    """Return what the check cell shows: the three lines, then the points alone."""
    words = feedback(answer.verdict)
    panel = panel_of(replace(words, seen=visible(words.seen), note=""))
    shown = {"text/plain": panel.text(), "text/html": panel.html()}
    # The gradebook reads the number as text; a page shows nothing more below the panel.
    points = {"text/plain": repr(answer.verdict.points or 0.0), "text/html": ""}
    return [  # by hand: nbformat would check a schema each time
        {"output_type": "display_data", "metadata": {}, "data": shown},
        {"output_type": "execute_result", "metadata": {}, "data": points, "execution_count": 1},
    ]  # fmt: skip

"""Notebooks of people who are right and write in unusual ways: over cells, by classes, by tables.

Each text in the folder `odd_styles` is one exercise as somebody answers it, named after the
exercise. A line `#--- above` begins a cell of their own above the answer's cell, `#--- answer`
that cell, `#--- behind` a cell between it and its check, `#--- below` one below the check.
"""

__all__ = ["OddStyle", "styles", "workbook_of"]

import re
from pathlib import Path
from typing import NamedTuple

import nbformat
from nbformat import NotebookNode

from course_lib.exercises.registry import exercise
from hand_ins.hand_in_files import blank
from instructor.release.workbook_files import grade_name

FOLDER = Path(__file__).with_name("odd_styles")


class OddStyle(NamedTuple):
    """One exercise as somebody answers it; all texts are cells."""

    exercise: str
    answer: str
    above: tuple[str, ...] = ()
    behind: tuple[str, ...] = ()
    below: tuple[str, ...] = ()


def styles() -> dict[str, OddStyle]:
    """Return all of the folder by their names."""
    return {path.stem: _read(path) for path in sorted(FOLDER.glob("*.txt"))}


def workbook_of(one: OddStyle) -> NotebookNode:
    """Put an answer and the cells around it into the workbook as it is handed out."""
    item = exercise(one.exercise)
    workbook = blank(item.unit)
    cells = []
    for cell in workbook.cells:
        name = grade_name(cell)
        if name == item.cell_name:
            cell.source = one.answer
            cells += [*_own(one.above), cell, *_own(one.behind)]
        elif name == item.mark_name:
            cells += [cell, *_own(one.below)]
        else:
            cells.append(cell)
    workbook.cells = cells
    return workbook


def _own(sources: tuple[str, ...]) -> list[NotebookNode]:
    return [nbformat.v4.new_code_cell(source) for source in sources]


def _read(path: Path) -> OddStyle:
    _, *pieces = re.split(r"^#--- (\w+)\n", path.read_text(encoding="utf-8"), flags=re.MULTILINE)
    cells = list(zip(pieces[::2], (text.strip("\n") for text in pieces[1::2]), strict=True))
    above, behind, below = (
        tuple(text for where, text in cells if where == place)
        for place in ("above", "behind", "below")
    )
    (answer,) = (text for where, text in cells if where == "answer")
    return OddStyle(path.stem.partition("-")[0], answer, above, behind, below)

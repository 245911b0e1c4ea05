"""What an exercise's text and contract say, as a student reads them in the workbook."""

import ast
import functools
import re

from nbformat import NotebookNode

from course_lib.exercises.registry import Exercise
from instructor.release.workbook_files import grade_name, read_workbook


def contract_text(item: Exercise) -> tuple[str, str]:
    """Return an exercise's text in its workbook, and its function's docstring, each in one line."""
    cells = _cells(item.unit)
    names = [grade_name(cell) for cell in cells]
    answer = names.index(item.cell_name)
    start = max(
        number for number in range(answer)
        if f"### Exercise {item.id}:" in cells[number].source
    )  # fmt: skip
    text = "\n\n".join(cell.source for cell in cells[start:answer] if cell.cell_type == "markdown")
    tree = ast.parse(cells[answer].source)
    docstrings = [
        ast.get_docstring(node) or ""
        for node in ast.walk(tree)
        if isinstance(node, ast.FunctionDef | ast.ClassDef)
    ]
    return in_one_line(text), in_one_line(" ".join(docstrings))


@functools.cache  # to read and check a workbook takes long
def _cells(unit: str) -> list[NotebookNode]:
    cells: list[NotebookNode] = read_workbook(unit).cells
    return cells


def in_one_line(text: str) -> str:
    """Return a text with every run of white space as one blank."""
    return re.sub(r"\s+", " ", text).strip()

"""Workbooks as files: read them, put answers in, make the gradebook's source version.

The workbook in `workbooks/` is the one master: it is what a student gets. The
version with answers is made from it and from `instructor/answers`, and is never
edited.
"""

__all__ = [
    "ROOT",
    "library_digest",
    "plain_master",
    "read_workbook",
    "release_name",
    "unit_names",
    "with_answers",
    "with_regions",
]

import ast
import copy
import functools
import hashlib
import inspect
import textwrap
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

import instructor
from course_lib.commands.unit_order import units_in_order
from instructor.release.plain_workbook import PlainWorkbook, plain_workbook
from instructor.units.items import Item, source_of, unit_items

if TYPE_CHECKING:
    from nbformat import NotebookNode

ROOT = Path(instructor.__file__).resolve().parent.parent
STUB = "raise NotImplementedError  # your code here"
TEXT_STUB = "*Write two or three sentences here.*"
BEGIN, END = "### BEGIN SOLUTION", "### END SOLUTION"


def unit_names() -> tuple[str, ...]:
    """Return the names of all units that are taught, in the order of the course."""
    return units_in_order(ROOT / "workbooks")


def read_workbook(unit: str) -> "NotebookNode":
    """Read the master of a unit's workbook, to change or write it.

    Raises `FileNotFoundError` that names the units there are.
    """
    import nbformat  # takes a moment to load

    workbook: NotebookNode = nbformat.read(_master(unit), as_version=4)
    return workbook


@functools.cache
def plain_master(unit: str) -> PlainWorkbook:
    """Return the master of a unit's workbook as plain data, to look something up in it."""
    return plain_workbook(_master(unit))


def release_name(unit: str) -> str:
    """Return a short name for this state of the workbook; any change gives another."""
    text = _master(unit).read_text(encoding="utf-8").rstrip("\n")
    return hashlib.sha256(text.encode()).hexdigest()[:12]


def library_digest() -> str:
    """Return a short name for this state of what students install; any change gives another."""
    digest = hashlib.sha256((ROOT / "pyproject.toml").read_bytes())
    for path in sorted((ROOT / "course_lib").rglob("*")):
        if path.is_file() and "__pycache__" not in path.parts:
            digest.update(str(path.relative_to(ROOT)).encode() + b"\0" + path.read_bytes())
    return digest.hexdigest()[:12]


def with_answers(workbook: "NotebookNode", answers: Mapping[str, str]) -> "NotebookNode":
    """Return a copy in which the named cells hold the given source."""
    filled = copy.deepcopy(workbook)
    left = dict(answers)
    for cell in filled.cells:
        name = grade_name(cell)
        if name in left:
            cell.source = left.pop(name)
    if left:
        raise KeyError(f"the workbook has no cell called {', '.join(sorted(left))}")
    return filled


def grade_name(cell: "NotebookNode") -> str:
    """Return the name under which the gradebook knows a cell, or ''."""
    name: str = cell.metadata.get("nbgrader", {}).get("grade_id", "")
    return name


def is_marked_by_hand(cell: "NotebookNode") -> bool:
    """Tell whether a cell is an answer in words, which a person marks."""
    about = cell.metadata.get("nbgrader", {})
    return bool(about.get("grade") and about.get("solution"))


def model_answers(unit: str) -> dict[str, str]:
    """Return the model answer for each answer cell of a unit."""
    return {
        one.exercise.cell_name: source_of(one.answer, one.exercise.function)
        for one in unit_items(unit[:2])
    }


def with_regions(workbook: "NotebookNode", unit: str) -> "NotebookNode":
    """Return a copy whose answer cells hold the answers inside marked regions.

    From this the gradebook's own tool makes the release: it replaces each region
    by the stub, and what comes out is the master again.
    """
    cells = {grade_name(cell): cell.source for cell in workbook.cells}
    regions = {
        one.exercise.cell_name: _with_region(cells[one.exercise.cell_name], one)
        for one in unit_items(unit[:2])
    }
    filled = with_answers(workbook, regions)
    filled.metadata["hop_by_hop"]["release"] = release_name(unit)
    return filled


def _master(unit: str) -> Path:
    path = ROOT / "workbooks" / unit / f"{unit}.ipynb"
    if not path.exists():
        known = ", ".join(unit_names())
        raise FileNotFoundError(f"there is no unit {unit!r}; there are {known}")
    return path


def _with_region(stub: str, one: Item) -> str:
    head, found, tail = stub.partition("    " + STUB)
    if not found:
        raise ValueError(f"the answer cell of exercise {one.exercise.id} has no line {STUB!r}")
    body = textwrap.indent(_body(one), "    ")
    return f"{head}    {BEGIN}\n{body}\n    {END}{tail}"


def _body(one: Item) -> str:
    """Return the lines of a model answer below its docstring, helpers first."""
    own = textwrap.dedent(inspect.getsource(one.answer))
    whole = source_of(one.answer)
    helpers = whole[: whole.rindex(own.strip())].strip()
    function = ast.parse(own).body[0]
    assert isinstance(function, ast.FunctionDef)
    first = function.body[0]
    has_docstring = ast.get_docstring(function) is not None
    start = (first.end_lineno or first.lineno) if has_docstring else first.lineno - 1
    body = textwrap.dedent("\n".join(own.splitlines()[start:])).strip()
    return f"{helpers}\n\n{body}" if helpers else body

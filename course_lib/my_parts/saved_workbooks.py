"""Find a student's saved workbook and read its cells.

What is on the screen and not yet saved cannot be seen from here. So the time of the last save is
handed on: who misses the newest answer can tell at once why.
"""

__all__ = ["NotReadError", "SavedCell", "SavedWorkbook", "read_saved"]

import datetime
import warnings
from collections.abc import Iterator
from itertools import takewhile
from pathlib import Path
from typing import Any, NamedTuple

from course_lib.exercises.progress import newest_of, progress_file
from course_lib.runner.plain_data import writable


class SavedCell(NamedTuple):
    """One code cell: what people can find it by, and its source."""

    name: str
    source: str


class SavedWorkbook(NamedTuple):
    """The code of a workbook as it lies on the disk."""

    file_name: str
    saved: str  # local time, as people write it
    cells: tuple[SavedCell, ...]

    @property
    def sources(self) -> tuple[str, ...]:
        """Return the source of each cell, in the order of the workbook."""
        return tuple(cell.source for cell in self.cells)

    def above(self, name: str) -> int:
        """Return how many code cells stand above the cell of this name: all if it is not there."""
        return len(tuple(takewhile(lambda cell: cell.name != name, self.cells)))


class NotReadError(ValueError):
    """A workbook that is not there or cannot be read; the text says which, and why."""


def read_saved(unit: str) -> SavedWorkbook:
    """Read the workbook of a unit ("02-checksums"); raise `NotReadError` if that cannot be done."""
    found = (newest_of(folder, unit) for folder in _folders(unit))
    path = next((place for place in found if place is not None), None)
    if path is None:
        raise NotReadError(f"your workbook {unit}.ipynb was not found")
    try:
        cells = _cells(path.read_bytes())
        saved = datetime.datetime.fromtimestamp(path.stat().st_mtime)
    except NotReadError as problem:
        raise NotReadError(f"your workbook {path.name} cannot be read: {problem}") from problem
    except OSError as problem:
        reason = f"your workbook {path.name} cannot be read: {problem.strerror}"
        raise NotReadError(reason) from problem
    return SavedWorkbook(path.name, f"{saved:%Y-%m-%d %H:%M}", cells)


def _folders(unit: str) -> tuple[Path, ...]:
    """Return where a workbook may lie: in the bundle, or beside the folder that we are in."""
    root = progress_file().parent
    return root / "workbooks" / unit, root / unit, root.parent / unit, root


def _cells(octets: bytes) -> tuple[SavedCell, ...]:
    """Return the code cells of a workbook in any format that JupyterLab has ever written."""
    import nbformat  # takes a moment to load

    if not octets.strip():
        raise NotReadError("the file is empty")
    try:
        text = octets.decode("utf-8-sig")  # some editors put a mark in front of the text
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # about names of cells, which nobody here uses
            notebook = nbformat.convert(nbformat.reader.reads(text), 4)
        return tuple(_code_cells(notebook.cells))
    except UnicodeDecodeError as problem:
        raise NotReadError("it is not text") from problem
    except nbformat.reader.NotJSONError as problem:
        raise NotReadError("it is cut short or damaged (not JSON)") from problem
    except nbformat.NBFormatError as problem:
        raise NotReadError(str(problem)) from problem
    except Exception as problem:  # what the library's converters make of parts that are missing
        raise NotReadError("it is not a workbook") from problem


def _code_cells(cells: Any) -> Iterator[SavedCell]:
    for number, cell in enumerate(cells, start=1):
        if cell["cell_type"] == "code":
            name = (
                cell.get("metadata", {}).get("nbgrader", {}).get("grade_id") or f"number {number}"
            )
            if not isinstance(cell["source"], str) or not isinstance(name, str):
                raise TypeError(f"cell {number} holds no text")
            yield SavedCell(writable(name), writable(cell["source"]))

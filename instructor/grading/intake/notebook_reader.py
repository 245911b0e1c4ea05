"""Read a workbook that was handed in, whatever state it is in.

Answers are found by the name of their cell. A cell that was copied, emptied,
moved or renamed is repaired where there is only one way to understand it; where
there are two, a person decides. Nothing that stands in a check cell is used.
"""

__all__ = ["FoundAnswer", "Notebook", "UnreadableNotebookError", "find_answer", "read_notebook"]

import json
import re
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import takewhile
from typing import Any, Literal

from course_lib.exercises.answer_source import stand_alone
from course_lib.exercises.registry import Exercise
from course_lib.runner.plain_data import writable

State = Literal["found", "no answer", "damaged", "could not tell"]
ARCHIVES = (b"PK\x03\x04", b"\x1f\x8b", b"7z\xbc\xaf", b"Rar!")  # zip, gzip, 7z, rar: first octets
# Bounds on what a file of some mebioctets can be made to cost, far above what people hand in.
MOST_VALUES = 1_000_000  # in the whole file: each costs up to 240 octets
MOST_CELLS = 25_000
MOST_CODE = 100_000  # characters of all code cells: a tree of code takes 600 times its length,
# and in Python 3.11 an f-string takes time that grows with the square of its length
LABEL_LENGTH = 200  # characters of a name; ours are shorter, so a longer one is none of ours
JSON_TEXT = re.compile(rb'"(?:[^"\\]++|\\.)*+"', re.DOTALL)


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell: its kind, its name in the gradebook ('' if none) and its source."""

    kind: str
    name: str
    source: str


@dataclass(frozen=True, slots=True)
class Notebook:
    """What was handed in: cells, and what the workbook says of itself."""

    cells: tuple[Cell, ...]
    unit: str
    release: str

    @property
    def code(self) -> tuple[str, ...]:
        """Return the source of all code cells, in order."""
        return tuple(cell.source for cell in self.cells if cell.kind == "code")

    def above(self, name: str) -> int:
        """Return how many code cells stand above the cell of this name: all if it is not there."""
        before = takewhile(lambda cell: cell.name != name, self.cells)
        return sum(cell.kind == "code" for cell in before)


@dataclass(frozen=True, slots=True)
class FoundAnswer:
    """The source of one answer, or why there is none; `note` says what was repaired."""

    state: State
    source: str = ""
    note: str = ""


class UnreadableNotebookError(ValueError):
    """What was handed in is no workbook at all; the text says why, in one line."""


def read_notebook(octets: bytes) -> Notebook:
    """Read a workbook of any minor version; raise `UnreadableNotebookError` with the reason."""
    if not octets.strip():
        raise UnreadableNotebookError("the file is empty")
    if octets.startswith(ARCHIVES):
        raise UnreadableNotebookError("an archive, not a workbook: unpack it first")
    if _values(octets) > MOST_VALUES:
        raise UnreadableNotebookError(f"a workbook with more than {MOST_VALUES:,} values")
    try:
        data = json.loads(octets.decode("utf-8-sig"))
    except UnicodeDecodeError as problem:
        raise UnreadableNotebookError(f"not UTF-8 text (octet {problem.start})") from problem
    except (ValueError, RecursionError) as problem:
        where = f" (line {problem.lineno})" if isinstance(problem, json.JSONDecodeError) else ""
        raise UnreadableNotebookError(f"not JSON, so not a workbook{where}") from problem
    if not isinstance(data, dict) or not isinstance(data.get("cells"), list):
        raise UnreadableNotebookError("JSON, but not a workbook: it has no list of cells")
    if len(data["cells"]) > MOST_CELLS:
        raise UnreadableNotebookError(f"a workbook with more than {MOST_CELLS:,} cells")
    about = _mapping(_mapping(data.get("metadata")).get("hop_by_hop"))
    notebook = Notebook(
        cells=tuple(_cell(item) for item in data["cells"] if isinstance(item, dict)),
        unit=_label(about.get("unit")),
        release=_label(about.get("release")),
    )
    if sum(map(len, notebook.code)) > MOST_CODE:
        raise UnreadableNotebookError(f"a workbook with more than {MOST_CODE:,} characters of code")
    return notebook


def find_answer(notebook: Notebook, item: Exercise, handed_out: str) -> FoundAnswer:
    """Find the answer to one exercise; `handed_out` is its cell as it was released."""
    named = [cell.source for cell in notebook.cells if cell.name == item.cell_name]
    written = [
        source for source in dict.fromkeys(named)
        if source.strip() and not _same(source, handed_out)
    ]  # fmt: skip
    # Cells get each other's names where they are swapped or copied: the function tells whose it is.
    answers = [source for source in written if stand_alone(item.function, [source]) is not None]
    if len(answers) > 1:
        return FoundAnswer(
            "could not tell", note=f"{len(answers)} different cells called {item.cell_name}"
        )
    if answers:
        note = f"the cell {item.cell_name} was there more than once" if len(named) > 1 else ""
        return FoundAnswer("found", answers[0], note)
    elsewhere = _find_elsewhere(notebook, item, handed_out, named)
    if elsewhere.state != "found" and written:
        return FoundAnswer("found", written[0])  # worked on, whatever it is
    return elsewhere


def is_cell_edited(notebook: Notebook, name: str, released: str) -> bool:
    """Tell whether a locked cell is missing or differs from what was released."""
    sources = [cell.source for cell in notebook.cells if cell.name == name]
    return not sources or any(not _same(source, released) for source in sources)


def _find_elsewhere(
    notebook: Notebook, item: Exercise, handed_out: str, named: Sequence[str]
) -> FoundAnswer:
    """Look for the function in cells of the student's own: the cell was pasted or lost its name.

    If several define it, the one that counts is the one that a run from the top would use.
    """
    own = [source if not _same(source, handed_out) else "" for source in notebook.code]
    answer = stand_alone(item.function, own, notebook.above(item.mark_name))
    if answer is not None:
        return FoundAnswer("found", answer.cell, f"{item.function} was found in another cell")
    if named:
        note = (
            "" if any(source.strip() for source in named) else f"the cell {item.cell_name} is empty"
        )
        return FoundAnswer("no answer", note=note)
    return FoundAnswer("damaged", note=f"the cell {item.cell_name} is missing")


def _cell(data: dict[str, Any]) -> Cell:
    about = _mapping(_mapping(data.get("metadata")).get("nbgrader"))
    source = data.get("source", "")
    if isinstance(source, list):
        source = "".join(line for line in source if isinstance(line, str))
    # Most cells are as they were handed out: a large class holds each of these texts once.
    kept = sys.intern(_text(source))
    return Cell(_label(data.get("cell_type")), _label(about.get("grade_id")), kept)


def _same(source: str, other: str) -> bool:
    """Compare two cells but for white space at line ends and at the end."""
    return _tidy(source) == _tidy(other)


def _tidy(source: str) -> Sequence[str]:
    return [line.rstrip() for line in source.strip().splitlines()]


def _mapping(value: Any) -> dict[str, Any]:
    return value if isinstance(value, dict) else {}


def _text(value: Any) -> str:
    """Return a text that can be written down again: half a character becomes Python's escape."""
    return writable(value) if isinstance(value, str) else ""


def _label(value: Any) -> str:
    return _text(value)[:LABEL_LENGTH]


def _values(octets: bytes) -> int:
    """Return about how many values there are in JSON: commas outside of its texts."""
    commas = octets.count(b",")
    return commas if commas <= MOST_VALUES else JSON_TEXT.sub(b"", octets).count(b",")

"""Answers written from the workbooks alone, by somebody who had not seen a single case.

They are the test set for the checks: a right one must pass, a wrong one must lose points, and
what a wrong one shows was noted by its writer beforehand. Whoever changes cases or beliefs does
not read them: what was fitted to them proves nothing any more.
"""

import functools
import json
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from instructor.release.workbook_files import grade_name, read_workbook, unit_names

FOLDER = Path(__file__).parent / "written_blind"


class BlindAnswer(NamedTuple):
    """One answer: `kind` is right, wrong or unclear; `cells` are its cells and where they stand."""

    exercise: str
    name: str
    kind: str
    slip: str
    belief: str
    clause: str
    cells: tuple[tuple[str, str], ...]  # "above", "answer" or "below", and the source


def blind_answers(unit: str) -> Iterator[BlindAnswer]:
    """Yield the answers to the exercises of a unit ("02")."""
    text = (FOLDER / f"unit_{unit}.jsonl").read_text(encoding="utf-8")
    for line in text.splitlines():
        data = json.loads(line)
        yield BlindAnswer(**{**data, "cells": tuple(map(tuple, data["cells"]))})


def in_its_workbook(answer: BlindAnswer) -> list[tuple[str, str]]:
    """Return the code cells of the workbook with the answer in its place: names and sources."""
    here, check = (f"{kind}-{answer.exercise.replace('.', '-')}" for kind in ("answer", "mark"))
    below = [("", source) for where, source in answer.cells if where == "below"]
    cells: list[tuple[str, str]] = []
    for name, source in _code_cells(answer.exercise.partition(".")[0]):
        if name == here:
            own = [one for one in answer.cells if one[0] != "below"]
            cells += [(here if where == "answer" else "", text) for where, text in own]
        else:
            cells += [(name, source), *(below if name == check else [])]
    return cells


@functools.cache
def _code_cells(unit: str) -> tuple[tuple[str, str], ...]:
    whole = next(name for name in unit_names() if int(name[:2]) == int(unit))
    cells = read_workbook(whole).cells
    return tuple((grade_name(cell), cell.source) for cell in cells if cell.cell_type == "code")

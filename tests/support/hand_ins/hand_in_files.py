"""Hand-ins made from the released workbooks: whole, broken and odd ones."""

import copy
import functools
import json

import nbformat

from instructor.release.workbook_files import (
    grade_name,
    model_answers,
    read_workbook,
    release_name,
    with_answers,
)
from instructor.units.items import item

UNIT = "01-frames-and-headers"
OTHER_UNIT = "02-checksums"


def solved(unit=UNIT, **answers):
    """Return the workbook with model answers; `answer_1_1="..."` replaces one."""
    own = {name.replace("_", "-"): source for name, source in answers.items()}
    return with_answers(_handed_out(unit), {**model_answers(unit), **own})


def blank(unit=UNIT):
    """Return the workbook as it is handed out."""
    return copy.deepcopy(_handed_out(unit))


@functools.cache  # to read and check one takes long
def _handed_out(unit):
    workbook = read_workbook(unit)
    workbook.metadata["hop_by_hop"]["release"] = release_name(unit)
    return workbook


def hand_in(folder, student, workbook, unit=UNIT):
    """Put a workbook where the gradebook's tools put what is handed in."""
    path = folder / student / unit / f"{unit}.ipynb"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(
        workbook if isinstance(workbook, str) else json.dumps(workbook), encoding="utf-8"
    )
    return path


def without(workbook, *names):
    """Leave out the cells of these names."""
    other = copy.deepcopy(workbook)
    other.cells = [cell for cell in other.cells if grade_name(cell) not in names]
    return other


def with_cell_after(workbook, name, source, **metadata):
    """Add a code cell behind the named one."""
    other = copy.deepcopy(workbook)
    place = next(n for n, cell in enumerate(other.cells) if grade_name(cell) == name)
    cell = nbformat.v4.new_code_cell(source, metadata=metadata)
    other.cells.insert(place + 1, cell)
    return other


def doubled(workbook, name, source):
    """Copy the named cell with its metadata and give the copy another source."""
    original = next(cell for cell in workbook.cells if grade_name(cell) == name)
    return with_cell_after(workbook, name, source, **copy.deepcopy(original.metadata))


def points_of(exercise_id):
    """Return the points of an exercise."""
    return item(exercise_id).exercise.points

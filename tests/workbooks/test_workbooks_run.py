"""Each workbook in a real kernel: with answers, and with mistakes; as released, in the browser."""

import copy
import html

import nbformat
import pytest
from nbclient import NotebookClient

from course_lib.exercises.feedback import misconception_title
from course_lib.exercises.progress import BUNDLE_MARK
from course_lib.exercises.registry import all_exercises
from instructor.release.workbook_files import (
    model_answers,
    read_workbook,
    unit_names,
    with_answers,
)
from instructor.units.items import source_of, unit_items
from machines.real_packets import LONG, TRIES, without_real_packets
from pages.run_workbook import REAL, noise, points, printed

UNITS = unit_names()


def run(workbook, folder):
    """Run all cells in a fresh kernel, as JupyterLab does, and return the workbook."""
    (folder / BUNDLE_MARK).touch()
    done = copy.deepcopy(workbook)
    NotebookClient(
        done, timeout=None, kernel_name="python3", resources={"metadata": {"path": str(folder)}}
    ).execute()
    return done


SIMULATED = {  # with the model answers
    "05-neighbours-and-errors": "answered:   4 frames; 3 of 3 echoes came back",
    "06-the-forwarding-path": "inside:     0 µs",
    "10-buffers-and-tcp": "your one_tooth: 86.9 % | kernel: none",
    "11-loss-and-tcp": "your law: ",
    "12-your-own-router": "answered: 10 of 20",
}


def test_every_workbook_with_real_packets_is_known_here():
    asks = {unit for unit in UNITS for cell in read_workbook(unit).cells if TRIES in cell.source}
    assert asks == set(REAL) == set(SIMULATED)
    takes_long = {unit for unit in UNITS for cell in read_workbook(unit).cells
                  if LONG in cell.source}  # fmt: skip
    assert takes_long == {"10-buffers-and-tcp", "11-loss-and-tcp"}


@pytest.mark.parametrize("unit", UNITS)
def test_answers_earn_every_point_and_then_misconceptions_are_named_in_words(unit, tmp_path):
    """One misconception of each exercise is tried: its way from a cell to words is one for all.

    That all of them lose points and are named is tried in `tests/units`, without a kernel.
    """
    workbook = without_real_packets(with_answers(read_workbook(unit), model_answers(unit)))
    tried = [
        (one.exercise, *next(iter(one.misconceptions.items()))) for one in unit_items(unit[:2])
    ]
    for shape, _, function in tried:
        workbook.cells.append(nbformat.v4.new_code_cell(source_of(function, shape.function)))
        workbook.cells.append(nbformat.v4.new_code_cell(f'mark("{shape.id}")'))
    done = run(workbook, tmp_path)
    assert SIMULATED.get(unit, "") in printed(done)
    assert points(done) == {one.id: one.points for one in all_exercises() if one.unit == unit}
    assert noise(done) == []
    marked = done.cells[-2 * len(tried) + 1 :: 2]
    for (shape, name, _), cell in zip(tried, marked, strict=True):
        shown = "".join(str(one.get("data", {}).get("text/plain", "")) for one in cell.outputs)
        assert misconception_title(shape.id, name) in html.unescape(shown), (shape.id, name)
        assert float(cell.outputs[-1]["data"]["text/plain"]) < shape.points

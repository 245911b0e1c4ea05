"""Each workbook three ways, in a real kernel: as released, with answers, with each mistake."""

import copy
import html
import os

import nbformat
import pytest
from nbclient import NotebookClient

from course_lib.exercises.feedback import misconception_title
from course_lib.exercises.progress import BUNDLE_MARK
from course_lib.exercises.registry import all_exercises
from instructor.release.workbook_files import (
    grade_name,
    model_answers,
    read_workbook,
    unit_names,
    with_answers,
)
from instructor.units.items import source_of, unit_items
from machines.real_packets import LONG, TRIES, for_a_short_time, without_real_packets

UNITS = unit_names()


def run(workbook, folder):
    """Run all cells in a fresh kernel, as JupyterLab does, and return the workbook."""
    (folder / BUNDLE_MARK).touch()
    done = copy.deepcopy(workbook)
    NotebookClient(
        done, timeout=120, kernel_name="python3", resources={"metadata": {"path": str(folder)}}
    ).execute()
    return done


def points(workbook):
    """Return the points that the check cells end in, by exercise."""
    found = {}
    for cell in workbook.cells:
        if grade_name(cell).startswith("mark-"):
            (result,) = [one for one in cell.outputs if one.output_type == "execute_result"]
            found[cell.source.split('"')[1]] = float(result["data"]["text/plain"])
    return found


def printed(workbook):
    """Return all that cells printed, or ended in, as one text."""
    outputs = [one for cell in workbook.cells for one in cell.get("outputs", ())]
    return "\n".join(
        one.get("text") or one.get("data", {}).get("text/plain", "") for one in outputs
    )


def noise(workbook):
    """Return what check cells wrote to standard error: it would cost points."""
    return [
        one for cell in workbook.cells if cell.cell_type == "code" for one in cell.outputs
        if one.output_type == "stream" and one.name == "stderr"
    ]  # fmt: skip


@pytest.mark.parametrize("unit", UNITS)
def test_as_released_it_runs_through_and_earns_nothing(unit, tmp_path):
    """Where it has real packets, they flow; on a machine for tests there is no other way."""
    done = run(for_a_short_time(read_workbook(unit)), tmp_path)
    assert set(points(done).values()) == {0.0}
    assert noise(done) == []
    if unit in REAL and os.environ.get("CI") == "true":
        assert "This machine can have a private network" in printed(done)
    assert REAL.get(unit, "") in printed(done)


REAL = {  # what is printed with real packets and simulated ones alike
    "05-neighbours-and-errors": "of 3 echoes came back\ncomplaint:  none\n  1 ",
    "06-the-forwarding-path": "Timetable Board  (unreachable)\n1\n  1 ",
    "10-buffers-and-tcp": "your one_tooth: no number: NotImplementedError() | kernel: ",
    "11-loss-and-tcp": "your law: no number: NotImplementedError() | kernel: ",
    "12-your-own-router": "of 20 came back; median ",
}
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
def test_with_the_model_answers_it_earns_every_point(unit, tmp_path):
    answered = with_answers(read_workbook(unit), model_answers(unit))
    done = run(without_real_packets(answered), tmp_path)
    assert SIMULATED.get(unit, "") in printed(done)
    assert points(done) == {one.id: one.points for one in all_exercises() if one.unit == unit}
    assert noise(done) == []


@pytest.mark.parametrize("unit", UNITS)
def test_misconceptions_lose_points_and_are_named_in_words(unit, tmp_path):
    """Two of each exercise are tried in a kernel: its way from a cell to words is one for all.

    That all of them lose points and are named is tried in `tests/units`, without a kernel.
    """
    released = read_workbook(unit)
    setup = next(cell for cell in released.cells if grade_name(cell) == "setup")
    tried = [
        (one.exercise, name, function)
        for one in unit_items(unit[:2])
        for name, function in list(one.misconceptions.items())[:: len(one.misconceptions) // 2][:2]
    ]
    workbook = nbformat.v4.new_notebook(cells=[setup], metadata=released.metadata)
    for shape, _, function in tried:
        workbook.cells.append(nbformat.v4.new_code_cell(source_of(function, shape.function)))
        workbook.cells.append(nbformat.v4.new_code_cell(f'mark("{shape.id}")'))
    done = run(workbook, tmp_path)
    for (shape, name, _), cell in zip(tried, done.cells[2::2], strict=True):
        shown = "".join(str(one.get("data", {}).get("text/plain", "")) for one in cell.outputs)
        assert misconception_title(shape.id, name) in html.unescape(shown), (shape.id, name)
        assert float(cell.outputs[-1]["data"]["text/plain"]) < shape.points

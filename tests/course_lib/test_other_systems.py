"""The students' side where a system lacks what Linux has: nothing breaks, and nobody is blamed.

No other system was at hand: Linux's own calls are taken away, as `lacking_system` says.
"""

import json
import subprocess
import sys

import pytest

from hand_ins.hand_in_files import blank, solved
from machines import lacking_system, run_like_a_student
from machines.lacking_system import SYSTEMS
from structure.imports import modules

on_each_system = pytest.mark.parametrize("system", SYSTEMS)
LOOP = "def read_word(octets, offset):\n    while True:\n        pass"
MACHINE = "from course_lib.commands.check_machine import *; print(report(check_machine()))"
PARTS = "from course_lib.my_parts import my_parts; my_parts('parse_packet')"
NETWORK = """
from course_lib.ferry import ferry_network
from course_lib.network import echo_requests
echo_requests(ferry_network(), "Ticket Office", "Weather Mast")
"""
IN_A_PRIVATE_NETWORK = {  # what its own process runs, on Linux alone
    "course_lib.live.private_network.links",
    "course_lib.live.private_network.supervisor",
}
STILL_THERE = "import os, select; print([n for m, n in {} if hasattr(globals()[m], n)])"
LOADED = "from importlib import import_module; print([import_module(m) and m for m in {}])"


def on(system, *program, folder):
    """Run a program on such a system; return what it prints, by line."""
    done = subprocess.run(
        [sys.executable, lacking_system.__file__, system, *program],
        cwd=folder, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return done.stdout.splitlines()


def shown(system, workbook, *lines, folder):
    """Run a workbook and some lines as a student does; return what each cell showed."""
    path = folder / "workbook.ipynb"
    path.write_text(json.dumps(workbook), encoding="utf-8")
    told = on(system, run_like_a_student.__file__, path.name, *lines, folder=folder)
    cells = [json.loads(line) for line in told]
    assert [cell for cell in cells if "failed" in cell] == []
    return {cell["cell"]: cell["said"] for cell in cells}


@on_each_system
def test_a_right_workbook_is_right_and_its_parts_are_lent(system, tmp_path):
    said = shown(system, solved(), PARTS, folder=tmp_path)
    marks = [text for name, text in said.items() if name.startswith("mark-")]
    assert len(marks) == 6
    assert all("right" in text for text in marks)
    assert "24 of" in said["progress"]
    assert "Parts: 1" in said[PARTS]


@on_each_system
def test_an_endless_loop_is_ended_and_said(system, tmp_path):
    workbook = solved(answer_1_1=LOOP)
    workbook.cells = workbook.cells[: 1 + next(
        place for place, cell in enumerate(workbook.cells) if cell.id == "mark-1-1")]  # fmt: skip
    said = shown(system, workbook, folder=tmp_path)
    assert "out of time" in said["mark-1-1"]


@on_each_system
def test_an_empty_workbook_breaks_nothing(system, tmp_path):
    said = shown(system, blank(), NETWORK, folder=tmp_path)
    assert "no answer" in said["mark-1-1"]
    assert "Progress: 0 of" in said["progress"]


@pytest.mark.parametrize(("system", "lacking"), [
    ("windows", "memory and processor time and the size of files"), ("macos", "memory"),
])  # fmt: skip
def test_the_machine_is_fit_and_says_what_it_lacks(system, lacking, tmp_path):
    said = " ".join(on(system, "-c", MACHINE, folder=tmp_path)).split()
    assert f"this system does not limit its {lacking}" in " ".join(said)
    assert "This machine is ready for the workbooks." in " ".join(said)


@on_each_system
def test_every_module_of_the_library_can_be_loaded(system, tmp_path):
    names = [name for name in modules("course_lib") if name not in IN_A_PRIVATE_NETWORK]
    assert on(system, "-c", LOADED.format(names), folder=tmp_path) == [str(names)]


@on_each_system
def test_what_is_taken_away_is_gone(system, tmp_path):
    """Or the tests above would say nothing."""
    gone = SYSTEMS[system]
    asked = [("select", one) for one in gone["select"]] + [("os", one) for one in gone["os"]]
    program = STILL_THERE.format(asked)
    assert on(system, "-c", program, folder=tmp_path) == ["[]"]

"""A copy of the checkout that a test may change, and its commands, from a release to scores."""

import contextlib
import csv
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import nbformat
from nbformat.v4 import new_code_cell, new_markdown_cell, new_notebook

from classes.graded_class import UNTRIED
from instructor.release.workbook_files import ROOT

COPIED = ("course_lib", "instructor", "workbooks", "pyproject.toml", "README.md")


class CopiedCourse:
    """The copy, and the names of the files that were changed in it."""

    def __init__(self, folder: Path) -> None:
        self.root = folder / "checkout"
        self.changed: set[str] = set()
        self.root.mkdir()
        ignored = shutil.ignore_patterns("__pycache__", ".ipynb_checkpoints")
        for name in COPIED:
            if (ROOT / name).is_dir():
                shutil.copytree(ROOT / name, self.root / name, ignore=ignored)
            else:
                shutil.copy(ROOT / name, self.root / name)

    @contextlib.contextmanager
    def changes(self) -> Iterator[set[str]]:
        """Give a set that holds afterwards the names of the files that were changed meanwhile."""
        before, self.changed = self.changed, set()
        yield self.changed
        self.changed = before | self.changed

    def write(self, name: str, text: str) -> None:
        """Write a new file."""
        path = self.root / name
        assert not path.exists(), name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
        self.changed.add(name)

    def add(self, name: str, text: str) -> None:
        """Add text to the end of a file that there is."""
        path = self.root / name
        path.write_text(path.read_text(encoding="utf-8") + text, encoding="utf-8")
        self.changed.add(name)

    def replace(self, name: str, old: str, new: str) -> None:
        """Replace a text that stands once in a file."""
        path = self.root / name
        text = path.read_text(encoding="utf-8")
        assert text.count(old) == 1, (name, old)
        path.write_text(text.replace(old, new), encoding="utf-8")
        self.changed.add(name)

    def add_cells(self, name: str, cells: list[nbformat.NotebookNode], unit: str) -> None:
        """Add cells to a workbook, or write a new one."""
        path = self.root / name
        if path.exists():
            workbook = nbformat.read(path, as_version=4)
        else:
            path.parent.mkdir(parents=True, exist_ok=True)
            workbook = new_notebook(metadata={"hop_by_hop": {"unit": unit}})
        workbook.cells += cells
        nbformat.write(workbook, path)
        self.changed.add(name)

    def run(self, *command: str) -> str:
        """Run Python in the copy, and see that it is the copy's own code that runs."""
        done = subprocess.run(
            [sys.executable, *command], cwd=self.root, capture_output=True, text=True, check=False,
            env={**os.environ, "PYTHONPATH": str(self.root)},
        )  # fmt: skip
        assert done.returncode == 0, done.stdout + done.stderr
        return done.stdout

    def build_cases(self, unit: str) -> None:
        """Follow the step of all recipes that builds the public cases."""
        said = self.run("-m", "instructor.units.build_cases", unit)
        assert said == f"unit_{unit}.json: rewritten\n"
        self.changed.add(f"course_lib/exercises/cases/unit_{unit}.json")

    def scores(self, unit: str, answers: dict[str, dict[str, str]]) -> dict[tuple[str, str], dict]:
        """Release the unit, hand in each student's answers by cell, grade; rows of scores.csv."""
        self.run("-m", "course_lib.cli", "release", "class", "--units", unit)
        course = self.root / "class" / "course"
        for student, cells in answers.items():
            workbook = nbformat.read(course / "release" / unit / f"{unit}.ipynb", as_version=4)
            for cell in workbook.cells:
                name = cell.metadata.get("nbgrader", {}).get("grade_id")
                cell.source = cells.get(name, cell.source)
            place = course / "submitted" / student / unit / f"{unit}.ipynb"
            place.parent.mkdir(parents=True)
            nbformat.write(workbook, place)
        self.run("-c", UNTRIED, "grade", "class/course", "--trusted")
        (path,) = self.root.rglob("scores.csv")
        with path.open(encoding="utf-8", newline="") as file:
            return {(row["student"], row["exercise"]): row for row in csv.DictReader(file)}


def setup_cell() -> nbformat.NotebookNode:
    """Return the cell that every workbook begins with."""
    return _cell("setup", "from course_lib.exercises import hint, mark, show_progress")


def exercise_cells(number: str, source: str, points: float) -> list[nbformat.NotebookNode]:
    """Return the cells of an exercise: text, answer, a free one, check."""
    name = number.replace(".", "-")
    return [
        new_markdown_cell(f"**Exercise {number}.** How many hops are left?"),
        _cell(f"answer-{name}", source, solution=True),
        new_code_cell("# Try it here."),
        _cell(f"mark-{name}", f'mark("{number}")', grade=True, points=points),
    ]


def _cell(name: str, source: str, **more: object) -> nbformat.NotebookNode:
    about = {"cell_type": "code", "grade": False, "grade_id": name, "schema_version": 3,
             "solution": False, "task": False, **more}  # fmt: skip
    about["locked"] = not about["solution"]
    return new_code_cell(source, id=name, metadata={"nbgrader": about})

"""A students' folder in which workbooks can be saved, and in which the current workbook runs."""

from collections.abc import Callable
from pathlib import Path

import nbformat
import pytest

from course_lib.exercises.progress import BUNDLE_MARK

Save = Callable[..., Path]


@pytest.fixture
def save(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Save:
    """Give a function that saves a workbook for a unit: cells as text, a notebook, or octets."""
    (tmp_path / BUNDLE_MARK).touch()
    here = tmp_path / "workbooks" / "06-the-forwarding-path"
    here.mkdir(parents=True)
    monkeypatch.chdir(here)

    def keep(unit: str, *cells: str, workbook: object = None, octets: bytes = b"") -> Path:
        path = tmp_path / "workbooks" / unit / f"{unit}.ipynb"
        path.parent.mkdir(exist_ok=True)
        made = workbook or nbformat.v4.new_notebook(
            cells=[nbformat.v4.new_code_cell(cell) for cell in cells]
        )
        path.write_bytes(octets or nbformat.writes(made).encode())
        return path

    return keep

"""The students' bundle: workbooks, the library's wheel, and a page to start from.

It holds no answer and no secret case. The workbooks come from the gradebook's
release; the wheel holds `course_lib` alone.
"""

__all__ = ["make_bundle", "start_page"]

import re
import shutil
import tempfile
import zipfile
from collections.abc import Sequence
from importlib import resources
from pathlib import Path

from jinja2 import Environment, StrictUndefined

from course_lib.exercises.progress import BUNDLE_MARK
from instructor.release.workbook_files import ROOT, read_workbook

FOLDER_NAME = "hop-by-hop"
VERSION = re.compile(r'^(version = "[\d.]+)"$', re.MULTILINE)
FIXED_TIME = (2000, 1, 1, 0, 0, 0)  # the same files give the same archive


def make_bundle(course: Path, units: Sequence[str], out: Path, number: int = 1) -> Path:
    """Write the bundle as a folder and as a zip archive beside it; return the archive.

    Each release has a folder of its own: unpacked, none lies over another one's answers.
    """
    folder = out / (FOLDER_NAME if number == 1 else f"{FOLDER_NAME}-{number}")
    if folder.exists():
        shutil.rmtree(folder)
    folder.mkdir(parents=True)
    (folder / BUNDLE_MARK).write_text(f"{number}\n", encoding="utf-8")
    for unit in units:
        target = folder / "workbooks" / unit
        target.mkdir(parents=True)
        shutil.copy(course / "release" / unit / f"{unit}.ipynb", target)
        shutil.copy(ROOT / "workbooks" / unit / "unit.toml", target)
    wheel = build_wheel(folder, number)
    page = start_page(units, wheel.name, f"{folder.name}.zip" if number > 1 else "")
    (folder / "START.html").write_text(page, encoding="utf-8")
    return _archive(folder)


def build_wheel(folder: Path, number: int = 1) -> Path:
    """Build the wheel of `course_lib` into `folder`; nothing is downloaded.

    The number of the release is a part of its version (PEP 440, local version): so `pip` sees that
    a later one is another, and newer.
    """
    from hatchling.builders.wheel import WheelBuilder

    with tempfile.TemporaryDirectory() as space:
        root = Path(space)
        for name in ("pyproject.toml", "README.md"):
            shutil.copy(ROOT / name, root)
        shutil.copytree(
            ROOT / "course_lib", root / "course_lib", ignore=shutil.ignore_patterns("__pycache__")
        )
        project = (root / "pyproject.toml").read_text(encoding="utf-8")
        numbered, count = VERSION.subn(rf'\g<1>+release.{number}"', project)
        assert count == 1, "pyproject.toml has one line with the version"
        (root / "pyproject.toml").write_text(numbered, encoding="utf-8")
        (path,) = WheelBuilder(space).build(directory=str(folder.resolve()), versions=["standard"])
    return Path(path)


def start_page(units: Sequence[str], wheel: str, update: str = "", *, offline: bool = False) -> str:
    """Return the page from which a student starts; `offline` in a kit with all that is needed."""
    template = (resources.files("instructor.release") / "start.html").read_text(encoding="utf-8")
    page = Environment(autoescape=True, undefined=StrictUndefined).from_string(template)
    titles = [(unit, _title(unit)) for unit in units]
    return page.render(units=titles, wheel=wheel, update=update, offline=offline)


def _title(unit: str) -> str:
    """Return the heading of a workbook, as its first text cell gives it."""
    first = next(cell for cell in read_workbook(unit).cells if cell.cell_type == "markdown")
    line: str = first.source.splitlines()[0]
    return line.lstrip("# ")


def _archive(folder: Path) -> Path:
    path = folder.with_suffix(".zip")
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for file in sorted(folder.rglob("*")):
            if file.is_file():
                entry = zipfile.ZipInfo(str(file.relative_to(folder.parent)), FIXED_TIME)
                entry.external_attr = 0o644 << 16
                archive.writestr(entry, file.read_bytes(), zipfile.ZIP_DEFLATED)
    return path

"""Open the workbooks in JupyterLab.

In a students' bundle the workbooks are opened where they are. In a checkout of
the course they are first copied to `.my-workbooks`, so that the masters stay
clean; a workbook that is already there is never overwritten.
"""

__all__ = ["NoWorkbooksError", "open_workbooks", "workbooks_folder"]

import importlib.util
import shutil
import subprocess
import sys
from pathlib import Path

import course_lib
from course_lib.exercises.progress import BUNDLE_MARK

COPY_NAME = ".my-workbooks"


class NoWorkbooksError(FileNotFoundError):
    """There are no workbooks here; the text says where to look."""


def open_workbooks(folder: Path | None = None, *, browser: bool = True) -> int:
    """Start JupyterLab on the workbooks and wait until it ends; return its exit status."""
    if importlib.util.find_spec("jupyterlab") is None:
        print("JupyterLab is not installed here: pip install jupyterlab", file=sys.stderr)
        return 1
    try:
        place = folder.resolve() if folder else workbooks_folder(Path.cwd())
    except NoWorkbooksError as problem:
        print(problem, file=sys.stderr)
        return 1
    print(f"Opening {place} in JupyterLab. Press Ctrl-C here to end it.")
    command = [sys.executable, "-m", "jupyterlab", f"--ServerApp.root_dir={place}"]
    if not browser:
        command.append("--no-browser")
    return subprocess.call(command)


def workbooks_folder(here: Path) -> Path:
    """Return the folder to open: that of the bundle, or a copy made from a checkout."""
    for folder in (here, *here.parents):
        if (folder / BUNDLE_MARK).exists():
            return folder
    checkout = Path(course_lib.__file__).resolve().parent.parent
    if (checkout / "workbooks").is_dir():
        return _copy_once(checkout / "workbooks", checkout / COPY_NAME)
    raise NoWorkbooksError(
        "no workbooks here. Go to the folder that you unpacked, or name it: hopbyhop open FOLDER"
    )


def _copy_once(masters: Path, target: Path) -> Path:
    """Copy each workbook that is not there yet."""
    target.mkdir(exist_ok=True)
    (target / BUNDLE_MARK).touch()
    for workbook in sorted(masters.glob("*/*.ipynb")):
        copy = target / "workbooks" / workbook.parent.name / workbook.name
        if not copy.exists():
            copy.parent.mkdir(parents=True, exist_ok=True)
            shutil.copy(workbook, copy)
    return target

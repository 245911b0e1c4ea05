"""Open the workbooks in JupyterLab, at a page that says what is next.

In a students' bundle the workbooks are opened where they are. In a checkout of
the course they are first copied to `.my-workbooks`, so that the masters stay
clean; a workbook that is already there is never overwritten.
"""

__all__ = ["NoWorkbooksError", "bundle_folder", "open_workbooks", "workbooks_folder"]

import contextlib
import importlib.util
import os
import shutil
import subprocess
import sys
from pathlib import Path

import course_lib
from course_lib.commands.terminal_words import say
from course_lib.exercises.progress import BUNDLE_MARK

COPY_NAME = ".my-workbooks"
START_PAGE = "course_lib.commands.start_page_server"
AS_ROOT = (
    "You are root here, so whatever a workbook runs may change every file of this machine: "
    "fine in a container of your own, nowhere else."
)


class NoWorkbooksError(FileNotFoundError):
    """There are no workbooks here; the text says where to look."""


def open_workbooks(folder: Path | None = None, *, browser: bool = True) -> int:
    """Start JupyterLab on the workbooks and wait until it ends; return its exit status."""
    if importlib.util.find_spec("jupyterlab") is None:
        print("JupyterLab is not installed here: pip install jupyterlab", file=sys.stderr)
        return 1
    try:
        place = _named(folder) if folder else workbooks_folder(Path.cwd())
    except NoWorkbooksError as problem:
        say(str(problem), sys.stderr)
        return 1
    say(f"Opening {place} in JupyterLab. Press Ctrl-C here to end it.")
    command = [sys.executable, "-m", "jupyterlab", f"--ServerApp.root_dir={place}"]
    command += [
        f"--ServerApp.jpserver_extensions={START_PAGE}=True",
        "--LabApp.default_url=/hop-by-hop",
    ]
    if is_root():
        say(AS_ROOT)
        command.append("--allow-root")
    if not browser:
        command.append("--no-browser")
    return subprocess.call(command)


def _named(folder: Path) -> Path:
    if not folder.is_dir():
        why = "that is a file" if folder.exists() else "there is no such folder"
        raise NoWorkbooksError(f"FOLDER {folder}: {why}. Name the folder that you unpacked.")
    return folder.resolve()


def is_root() -> bool:
    """Tell whether this is the account that may do everything; JupyterLab refuses it unasked."""
    return hasattr(os, "geteuid") and os.geteuid() == 0


def workbooks_folder(here: Path) -> Path:
    """Return the folder to open: that of the bundle, or a copy made from a checkout."""
    with contextlib.suppress(NoWorkbooksError):
        return bundle_folder(here)
    checkout = Path(course_lib.__file__).resolve().parent.parent
    if (checkout / "workbooks").is_dir():
        return _copy_once(checkout / "workbooks", checkout / COPY_NAME)
    raise NoWorkbooksError(
        "no workbooks here. Go to the folder that you unpacked, or name it: hopbyhop open FOLDER"
    )


def bundle_folder(here: Path) -> Path:
    """Return the folder that a student unpacked: this one, or one around it."""
    for folder in (here, *here.parents):
        if (folder / BUNDLE_MARK).exists():
            return folder
    raise NoWorkbooksError(
        f"{here} is not the folder that you unpacked, nor in it. Go there, and type it again."
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

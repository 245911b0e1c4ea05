"""Take a newer release into the folder that a student works in, and touch no answer.

A release is an archive or a folder as the instructor gives it out. Workbooks that are new here come
in. A workbook that has changed comes beside the old one, which stays as it is, and the answers are
carried over. The library of the release takes the place of the one that is installed.
"""

__all__ = ["UpdateError", "Updated", "said_of", "update"]

import re
import subprocess
import sys
import tempfile
import zipfile
from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath

import nbformat
from nbformat import NotebookNode

from course_lib.commands.terminal_words import to_type
from course_lib.exercises.cells.statements import statements_of
from course_lib.exercises.progress import BUNDLE_MARK, newest_of
from course_lib.exercises.whole_file import write_whole

MOST_OCTETS = 200 << 20  # of a release, unpacked; ours has a few million
NO_WORDS = "*Write two or three sentences here.*"
# What a release holds, below its one folder.
KNOWN = re.compile(
    rf"(?:{re.escape(BUNDLE_MARK)}|START\.html|hop_by_hop-[\w.+-]+\.whl"
    r"|workbooks/(?P<unit>[\w-]+)/(?:unit\.toml|(?P=unit)\.ipynb))"
)


class UpdateError(ValueError):
    """Nothing was changed; the text says which argument is wrong and what to do."""


@dataclass(slots=True)
class Updated:
    """What an update did: units by what became of them, and the answers in each new workbook."""

    new: list[str] = field(default_factory=list)
    same: list[str] = field(default_factory=list)
    beside: dict[Path, tuple[list[str], list[str]]] = field(default_factory=dict)  # carried, left
    wheel: str = ""


def update(bundle: Path, folder: Path) -> Updated:
    """Take the release `bundle` into `folder`, where `hopbyhop open` finds workbooks.

    Raises `UpdateError` before anything is changed. Installing the library is left to `pip`, whose
    words the student sees; a failure of it raises `UpdateError`, too, and leaves the old library.
    """
    with tempfile.TemporaryDirectory() as space:
        release = _unpacked(bundle, Path(space))
        if release.resolve() == folder.resolve():
            raise UpdateError(f"BUNDLE {bundle}: that is the folder you work in. Name the new one.")
        done = Updated()
        workbooks = sorted(release.glob("workbooks/*/*.ipynb"))
        read = {path: nbformat.read(path, as_version=4) for path in workbooks}
        _install(next(iter(release.glob("*.whl"))), done)
        for path, workbook in read.items():
            _take(path, workbook, folder / "workbooks" / path.stem, done)
        for page in release.glob("START.html"):
            write_whole(folder / page.name, page.read_text(encoding="utf-8"))
    return done


def said_of(done: Updated) -> str:
    """Say what an update did, and what to do now."""
    lines = [f"The library is that of {done.wheel}."]
    lines += [f"{unit}: new." for unit in done.new]
    lines += [f"{unit}: as it was." for unit in done.same]
    for path, (carried, left) in done.beside.items():
        lines.append(
            f"{path.parent.name}: changed. Yours stays as it is; the new one lies beside it as "
            f"{path.name}, with your answers {', '.join(carried) or '(none yet)'}. Go on there, "
            "and hand that one in."
        )
        if left:
            lines.append(f"In the old one alone, for you to look at: {', '.join(left)}.")
    lines.append("If JupyterLab runs, restart its kernels: they still have the old library. Then:")
    return "\n".join([*lines, to_type("hopbyhop", "open")])


def _unpacked(bundle: Path, space: Path) -> Path:
    """Return the folder of a release; only files that a release has are unpacked."""
    if bundle.is_dir():
        folder = bundle
    elif zipfile.is_zipfile(bundle):
        folder = _unzipped(bundle, space)
    else:
        what = "is no archive of this course" if bundle.exists() else "is not there"
        raise UpdateError(f"BUNDLE {bundle} {what}. Name the .zip file that you were given.")
    if not (folder / BUNDLE_MARK).exists() or not list(folder.glob("*.whl")):
        raise UpdateError(f"BUNDLE {bundle} is no release of this course. Name the one you got.")
    return folder


def _unzipped(bundle: Path, space: Path) -> Path:
    with zipfile.ZipFile(bundle) as archive:
        if sum(member.file_size for member in archive.infolist()) > MOST_OCTETS:
            raise UpdateError(f"BUNDLE {bundle} is far too large for a release of this course.")
        for member in archive.infolist():
            inner = PurePosixPath(*PurePosixPath(member.filename).parts[1:])
            if KNOWN.fullmatch(str(inner)):
                target = space / inner
                target.parent.mkdir(parents=True, exist_ok=True)
                target.write_bytes(archive.read(member))
    return space


def _install(wheel: Path, done: Updated) -> None:
    """Let pip put the library of the release in the place of the old one."""
    command = [sys.executable, "-m", "pip", "install", "--quiet", str(wheel)]
    if subprocess.call(command) != 0:
        raise UpdateError("pip could not install the library; what it said stands above. "
                          "Your workbooks are as they were.")  # fmt: skip
    done.wheel = wheel.name.split("-py3")[0]


def _take(path: Path, workbook: NotebookNode, folder: Path, done: Updated) -> None:
    """Take in one workbook: new, as it was, or beside the old one."""
    old_path = folder / path.name
    if not old_path.exists():
        folder.mkdir(parents=True, exist_ok=True)
        write_whole(old_path, path.read_text(encoding="utf-8"))
        done.new.append(path.stem)
        _take_facts(path, folder)
        return
    release = workbook.metadata["hop_by_hop"]["release"]
    newest = newest_of(folder, path.stem) or old_path
    old = _read(newest)
    if old.metadata.get("hop_by_hop", {}).get("release") == release:
        done.same.append(path.stem)
        return
    number = (path.parents[2] / BUNDLE_MARK).read_text(encoding="utf-8").strip() or release
    beside = folder / f"{path.stem}-release-{number}.ipynb"
    if beside.exists():
        raise UpdateError(f"{beside} is there already. Put it aside, and update again.")
    done.beside[beside] = _carry_over(old, workbook)
    write_whole(beside, nbformat.writes(workbook))
    _take_facts(path, folder)


def _take_facts(path: Path, folder: Path) -> None:
    facts = path.with_name("unit.toml")
    if facts.exists():
        write_whole(folder / facts.name, facts.read_text(encoding="utf-8"))


def _read(path: Path) -> NotebookNode:
    try:
        workbook: NotebookNode = nbformat.read(path, as_version=4)
    except Exception as problem:  # whatever is wrong with it: nothing of it can be carried over
        raise UpdateError(
            f"{path} cannot be read ({type(problem).__name__}). Put it aside, under another name, "
            "and update again."
        ) from problem
    return workbook


def _carry_over(old: NotebookNode, new: NotebookNode) -> tuple[list[str], list[str]]:
    """Put the answers of the old workbook into the new one.

    Return the names of cells that were carried over, and of those that have no place in the new
    one: answers of exercises that are gone, and cells of the student's own.
    """
    answers = {_answer_name(cell): cell for cell in new.cells if _answer_name(cell)}
    there = {cell.get("id") for cell in new.cells}
    carried, left = [], []
    for place, cell in enumerate(old.cells, start=1):
        name = _answer_name(cell)
        if _is_empty(cell):
            continue
        if name in answers:
            answers[name].source = cell.source
            carried.append(name)
        elif name or (cell.cell_type == "code" and cell.get("id") not in there):
            left.append(name or f"your cell at place {place}")
    return carried, left


def _is_empty(cell: NotebookNode) -> bool:
    """Tell whether nothing was written into a cell since it was given out."""
    if cell.cell_type != "code":
        return cell.source.strip() in ("", NO_WORDS)
    statements = list(statements_of(cell.source))
    return all(one.is_placeholder for one in statements)


def _answer_name(cell: NotebookNode) -> str:
    """Return the name of a cell that a student is asked to fill, or ''."""
    about = cell.metadata.get("nbgrader", {})
    return str(about.get("grade_id", "")) if about.get("solution") else ""

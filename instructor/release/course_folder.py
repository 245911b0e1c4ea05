"""The instructor's course folder, in the layout of the gradebook's own tools.

`source/` holds the workbooks with answers, `release/` what the gradebook's tool
made of them, `gradebook.db` the gradebook. `batch.json` holds the secret seed of
this class. The whole folder stays with the teaching staff.

Its settings are a program. So they are read only of a `CourseFolder`, and there are two ways to
one: the staff names the folder (`named_course`), or it bears the seal that `release` put on it
with this account (`sealed_course`). What lies among hand-ins comes by neither.
"""

__all__ = [
    "BATCH_FILE",
    "CONFIG_FILE",
    "CourseBatch",
    "CourseFolder",
    "CourseFolderError",
    "gradebook_url",
    "make_course_folder",
    "named_course",
    "sealed_course",
    "settings",
]

import json
import logging
import os
import secrets
import stat
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from traitlets.config import Config
from traitlets.config.loader import PyFileConfigLoader

from instructor.release.gradebook_tools import database_url, tools_on_path
from instructor.release.seal import is_sealed, seal
from instructor.release.workbook_files import (
    STUB,
    TEXT_STUB,
    library_digest,
    read_workbook,
    release_name,
    with_regions,
)

CONFIG_FILE = "nbgrader_config.py"
BATCH_FILE = "batch.json"
CONFIG_TEXT = f'''"""Settings of the gradebook's tools for this course folder."""

c = get_config()  # noqa: F821 - the tool that reads this file provides it
c.CourseDirectory.course_id = "hop-by-hop"
c.ClearSolutions.code_stub = {{"python": "{STUB}"}}
c.ClearSolutions.text_stub = "{TEXT_STUB}"
'''
AS_TEXT = """
# On the gradebook's pages, what a student wrote in words is shown as text: markup in it would run
# with your rights. Where this course is not installed, these pages stay shut.
c.HTMLExporter.preprocessors = ["instructor.release.text_as_text.TextAsText"]
"""


@dataclass(frozen=True, slots=True)
class CourseBatch:
    """One class: the units released, the name of each workbook, and the secret seed.

    `number` counts releases that differed; `library` is a digest of the library in the last one.
    `earlier` are the names of workbooks that students of this class may still have.
    """

    units: tuple[str, ...]
    releases: tuple[str, ...]
    seed: str
    number: int = 1
    library: str = ""
    earlier: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class CourseFolder:
    """A folder whose settings may be run; only `named_course` and `sealed_course` make one."""

    path: Path
    batch: CourseBatch


class CourseFolderError(ValueError):
    """A course folder cannot be made or read; the text says what to do."""


def make_course_folder(folder: Path, units: Sequence[str], seed: str = "") -> CourseBatch:
    """Make or refresh a course folder; an existing seed and gradebook are kept.

    Raises `CourseFolderError` if the gradebook's tool refuses a workbook.
    """
    import nbformat  # takes a moment to load

    folder.mkdir(parents=True, exist_ok=True)  # who may read it: see `private`
    if not (folder / CONFIG_FILE).exists():  # the staff may have put rules of their own into it
        (folder / CONFIG_FILE).write_text(CONFIG_TEXT, encoding="utf-8")
    config = (folder / CONFIG_FILE).read_text(encoding="utf-8")
    if "HTMLExporter.preprocessors" not in config:  # made before, or written by the staff
        (folder / CONFIG_FILE).write_text(config.rstrip("\n") + "\n" + AS_TEXT, encoding="utf-8")
    for unit in units:
        source = folder / "source" / unit / f"{unit}.ipynb"
        source.parent.mkdir(parents=True, exist_ok=True)
        nbformat.write(with_regions(read_workbook(unit), unit), source)
    before = named_course(folder).batch if (folder / BATCH_FILE).exists() else None
    batch = _next_batch(before, units, seed)
    for unit in units:
        _generate(CourseFolder(folder, batch), unit)
    said = json.loads(json.dumps(asdict(batch)))
    text = json.dumps({**said, "seal": seal(said)}, indent=1)
    (folder / BATCH_FILE).write_text(text, encoding="utf-8")
    return batch


def _next_batch(before: CourseBatch | None, units: Sequence[str], seed: str) -> CourseBatch:
    """Return the batch after `before`: with the next number, if students get anything else."""
    releases, library = tuple(release_name(unit) for unit in units), library_digest()
    if before is None:
        return CourseBatch(tuple(units), releases, seed or secrets.token_hex(16), 1, library)
    differs = (before.units, before.releases, before.library) != (tuple(units), releases, library)
    earlier = dict.fromkeys((*before.earlier, *before.releases))
    return CourseBatch(
        tuple(units), releases, seed or before.seed, before.number + differs, library,
        tuple(name for name in earlier if name not in releases),
    )  # fmt: skip


def named_course(folder: Path) -> CourseFolder:
    """Return the course folder that the staff named; raise `CourseFolderError`."""
    path = folder / BATCH_FILE
    try:
        course = CourseFolder(folder, _batch(_said(path)))
    except FileNotFoundError as problem:
        raise CourseFolderError(
            f"{folder} is not a course folder: it has no {BATCH_FILE}. "
            "Make one with `hopbyhop release`, and name it with --course."
        ) from problem
    except (OSError, ValueError, KeyError, TypeError, RecursionError) as problem:
        raise CourseFolderError(f"{path} cannot be read: {problem}") from problem
    _refuse_open_to_all(folder)
    return course


def sealed_course(folder: Path) -> CourseFolder | None:
    """Return a course folder that `release` made with this account; None if it is not one."""
    try:
        said = _said(folder / BATCH_FILE)
        if not is_sealed(said):
            return None
        course = CourseFolder(folder, _batch(said))
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return None  # whatever it is, it is no course folder of ours
    _refuse_open_to_all(folder)
    return course


def settings(course: CourseFolder) -> Config:
    """Return the settings of the gradebook's tools in a course folder; the staff may edit them."""
    if not (course.path / CONFIG_FILE).exists():
        return Config()
    read: Config = PyFileConfigLoader(CONFIG_FILE, path=str(course.path.resolve())).load_config()
    return read


def gradebook_url(course: CourseFolder) -> str:
    """Return the address of the gradebook that the settings name, or of the folder's own file."""
    named = str(settings(course).CourseDirectory.get("db_url", ""))
    return named or f"sqlite:///{(course.path / 'gradebook.db').resolve()}"


def _said(path: Path) -> dict[str, object]:
    """Read what a course folder says of itself; nothing but a plain file is opened."""
    if not stat.S_ISREG(os.lstat(path).st_mode):
        raise ValueError("it is no plain file")
    data = json.loads(path.read_text(encoding="utf-8"))
    if not isinstance(data, dict):
        raise ValueError("it is no table")
    return data


def _batch(said: dict[str, Any]) -> CourseBatch:
    return CourseBatch(
        tuple(said["units"]), tuple(said["releases"]), str(said["seed"]),
        int(said.get("number", 1)), str(said.get("library", "")), tuple(said.get("earlier", ())),
    )  # fmt: skip


def _refuse_open_to_all(folder: Path) -> None:
    """Refuse a folder into which everybody may write: its settings would be anybody's program."""
    for path in (folder, folder / BATCH_FILE, folder / CONFIG_FILE):
        if os.name == "posix" and path.exists() and path.stat().st_mode & stat.S_IWOTH:
            raise CourseFolderError(
                f"{path} can be written by everybody on this machine, and grading runs the "
                f"settings that lie there. Shut it, once you know that they are yours: "
                f"chmod -R o-w {folder}"
            )


def _generate(course: CourseFolder, unit: str) -> None:
    """Let the gradebook's own tool make the release and note its cells."""
    from nbgrader.apps.api import NbGraderAPI

    config = Config()
    config.CourseDirectory.root = str(course.path.resolve())
    config.CourseDirectory.course_id = "hop-by-hop"
    config.CourseDirectory.db_url = database_url(gradebook_url(course))
    config.ClearSolutions.code_stub = {"python": STUB}
    config.ClearSolutions.text_stub = TEXT_STUB
    api = NbGraderAPI(config=config)
    api.log_level = logging.ERROR
    with tools_on_path():
        result = api.generate_assignment(unit, force=True, create=True)
    if not result["success"]:
        raise CourseFolderError(
            f"the gradebook's tool could not make a release of {unit}: "
            f"{result.get('error') or ''} {result.get('log') or ''}"
        )

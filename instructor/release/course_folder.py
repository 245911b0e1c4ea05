"""The instructor's course folder, in the layout of the gradebook's own tools.

`source/` holds the workbooks with answers, `release/` what the gradebook's tool
made of them, `gradebook.db` the gradebook. `batch.json` holds the secret seed of
this class. The whole folder stays with the teaching staff.
"""

__all__ = ["CourseBatch", "CourseFolderError", "make_course_folder", "read_batch"]

import json
import logging
import secrets
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from pathlib import Path

import nbformat
from traitlets.config import Config
from traitlets.config.loader import PyFileConfigLoader

from instructor.release.gradebook_tools import database_url, tools_on_path
from instructor.release.workbook_files import (
    STUB,
    TEXT_STUB,
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


@dataclass(frozen=True, slots=True)
class CourseBatch:
    """One class: the units released, the name of each release, and the secret seed."""

    units: tuple[str, ...]
    releases: tuple[str, ...]
    seed: str


class CourseFolderError(ValueError):
    """A course folder cannot be made or read; the text says what to do."""


def make_course_folder(folder: Path, units: Sequence[str], seed: str = "") -> CourseBatch:
    """Make or refresh a course folder; an existing seed and gradebook are kept.

    Raises `CourseFolderError` if the gradebook's tool refuses a workbook.
    """
    folder.mkdir(parents=True, exist_ok=True)
    if not (folder / CONFIG_FILE).exists():  # the staff may have put rules of their own into it
        (folder / CONFIG_FILE).write_text(CONFIG_TEXT, encoding="utf-8")
    for unit in units:
        source = folder / "source" / unit / f"{unit}.ipynb"
        source.parent.mkdir(parents=True, exist_ok=True)
        nbformat.write(with_regions(read_workbook(unit), unit), source)
        _generate(folder, unit)
    if not seed and (folder / BATCH_FILE).exists():
        seed = read_batch(folder).seed
    batch = CourseBatch(
        tuple(units), tuple(release_name(unit) for unit in units), seed or secrets.token_hex(16)
    )
    (folder / BATCH_FILE).write_text(json.dumps(asdict(batch), indent=1), encoding="utf-8")
    return batch


def read_batch(folder: Path) -> CourseBatch:
    """Read the class that a course folder is for; raise `CourseFolderError`."""
    path = folder / BATCH_FILE
    try:
        data = json.loads(path.read_text(encoding="utf-8"))
        return CourseBatch(tuple(data["units"]), tuple(data["releases"]), str(data["seed"]))
    except FileNotFoundError as problem:
        raise CourseFolderError(
            f"{folder} is not a course folder: it has no {BATCH_FILE}. "
            "Make one with `hopbyhop release`, and name it with --course."
        ) from problem
    except (ValueError, KeyError, TypeError) as problem:
        raise CourseFolderError(f"{path} cannot be read: {problem}") from problem


def settings(folder: Path) -> Config:
    """Return the settings of the gradebook's tools in a course folder; the staff may edit them."""
    if not (folder / CONFIG_FILE).exists():
        return Config()
    read: Config = PyFileConfigLoader(CONFIG_FILE, path=str(folder.resolve())).load_config()
    return read


def gradebook_url(folder: Path) -> str:
    """Return the address of the gradebook that the settings name, or of the folder's own file."""
    named = str(settings(folder).CourseDirectory.get("db_url", ""))
    return named or f"sqlite:///{(folder / 'gradebook.db').resolve()}"


def _generate(folder: Path, unit: str) -> None:
    """Let the gradebook's own tool make the release and note its cells."""
    from nbgrader.apps.api import NbGraderAPI

    config = Config()
    config.CourseDirectory.root = str(folder.resolve())
    config.CourseDirectory.course_id = "hop-by-hop"
    config.CourseDirectory.db_url = database_url(gradebook_url(folder))
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

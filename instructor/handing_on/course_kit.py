"""A course kit: all that another teacher needs to give this course, and nobody's records.

It holds answers and the makers of secret cases, so it is for teachers alone. It is made from the
course's own files, never from a class's: but for the figures of a class, if they are asked for.

Each part of the kit is a row in `PARTS`: a folder, and what writes it. A part that has nothing to
say in this kit returns no words, and its folder is not there.
"""

__all__ = ["FIRST", "KitRequest", "make_course_kit"]

import shutil
import tomllib
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from course_lib.exercises.whole_file import write_whole
from instructor.comparing.class_tables import FIGURES
from instructor.comparing.kept_figures import kept_figures, write_figures
from instructor.handbook.handbook_page import write_handbook
from instructor.handbook.unit_page import all_pages
from instructor.handing_on.licences import licences, licences_page
from instructor.output.private import private
from instructor.planning.make_plan import make_plan
from instructor.reading_edition.edition import write_edition
from instructor.release.workbook_files import ROOT, unit_names

SOURCE = (
    "course_lib", "instructor", "workbooks", "tests", "README.md", "DEVELOPERS.md",
    "pyproject.toml", ".ci", ".readme", ".gitignore",
)  # fmt: skip
NOT_COPIED = shutil.ignore_patterns("__pycache__", ".ipynb_checkpoints", "*.pyc", "*.egg-info")
FIRST = "READ-FIRST.md"


@dataclass(frozen=True, slots=True)
class KitRequest:
    """What shall be in a kit: units, a request for a timetable, and a class to take figures of."""

    units: tuple[str, ...]
    plan: Path | None = None
    figures_of: Path | None = None


def make_course_kit(folder: Path, request: KitRequest) -> dict[str, str]:
    """Write a kit into a new folder; return its parts, each with what it is.

    Each unit is run once, for its page to read. Raises what its parts do: `NoTablesError`, and the
    errors of `make_plan`.
    """
    parts = {}
    with private(folder):
        folder.mkdir(parents=True)
        for name, write in PARTS.items():
            if said := write(folder / name, request):
                parts[name] = said
        write_whole(folder / FIRST, _first(request, parts))
    return parts


def _course(folder: Path, request: KitRequest) -> str:
    """Copy the course; units that were not chosen stay, and say that they are not taught."""
    folder.mkdir()
    for name in SOURCE:
        if (ROOT / name).is_dir():
            shutil.copytree(ROOT / name, folder / name, ignore=NOT_COPIED)
        elif (ROOT / name).is_file():
            shutil.copy(ROOT / name, folder / name)
    for path in folder.glob("workbooks/*/unit.toml"):
        text = path.read_text(encoding="utf-8")
        if path.parent.name not in request.units and tomllib.loads(text).get("taught", True):
            write_whole(path, f"taught = false\n{text}")
    return "the course itself: workbooks, answers, grading and tests"


def _timetable(folder: Path, request: KitRequest) -> str:
    if request.plan is None:
        return ""
    make_plan(request.plan, folder, workbooks=folder.parent / "course" / "workbooks")
    shutil.copy(request.plan, folder)
    return "a timetable as page, text and calendar, and its request"


def _figures(folder: Path, request: KitRequest) -> str:
    if request.figures_of is None:
        return ""
    write_figures(folder, kept_figures("--figures-of", request.figures_of, request.units))
    return "how a class did, for `hopbyhop compare`; nobody is in it"


def _handbook(folder: Path, request: KitRequest) -> str:
    found = dict(all_pages(request.units))
    missing = [unit for unit, page in found.items() if page is None]
    write_handbook(folder, [page for page in found.values() if page is not None], missing)
    return "what to say, show, listen for and discuss in each unit"


def _reading_edition(folder: Path, request: KitRequest) -> str:
    for _ in write_edition(folder, request.units):
        pass
    return "the workbooks as pages to read on paper or by ear"


def _licences(folder: Path, _: KitRequest) -> str:
    folder.mkdir()
    write_whole(folder / "packages.md", licences_page(licences()))
    return "under which licences the packages stand that the course uses"


PARTS: dict[str, Callable[[Path, KitRequest], str]] = {
    "course": _course,
    "timetable": _timetable,
    FIGURES.name: _figures,
    "licences": _licences,
    "handbook": _handbook,
    "reading-edition": _reading_edition,  # takes longest: what can be refused was refused before
}


def _first(request: KitRequest, parts: dict[str, str]) -> str:
    rows = "\n".join(f"* `{name}/` – {said}" for name, said in parts.items())
    units = "\n".join(f"* {name}" for name in request.units)
    left = [name for name in unit_names() if name not in request.units]
    return f"""\
# A course kit

For teachers alone: it holds all answers, and what makes the secret cases. No student's record is in
it, and no class's secret seed: yours is drawn when you release.

{rows}

## Units

{units}
{_left_out(left)}{_taken_for_known(request, left)}
Each unit says itself whether it is taught (`taught`) and where it stands (`order`), in
`course/workbooks/UNIT/unit.toml`.

## Begin

    cd course
    python3 -m instructor release class

That sets everything up in `.venv` first; `README.md` goes on from there.

## Passing it on

{_own_licence()}

Where students' records are kept, the rules of your institution and the law come first. Links
between real machines need the permission of those who run them.
"""


def _left_out(left: list[str]) -> str:
    return f"\nThere, but not taught: {', '.join(left)}.\n" if left else ""


def _taken_for_known(request: KitRequest, left: list[str]) -> str:
    lines = []
    for name in request.units:
        facts = tomllib.loads((ROOT / "workbooks" / name / "unit.toml").read_text("utf-8"))
        if needs := [need for need in facts.get("prerequisites", ()) if need in left]:
            lines.append(f"\n{name} needs {', '.join(needs)}: let it be known already.\n")
    return "".join(lines)


def _own_licence() -> str:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    licence = project.get("license")
    if licence is None:
        return "The course names no licence of its own: ask those who gave it to you."
    return f"The course stands under {licence if isinstance(licence, str) else licence['text']}."

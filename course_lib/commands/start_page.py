"""The page that a student starts from: what is next, what is done, and a way to each workbook."""

__all__ = ["start_page"]

import base64
import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from importlib import resources
from pathlib import Path
from typing import NamedTuple
from urllib.parse import quote

from jinja2 import Environment, StrictUndefined
from markupsafe import Markup

from course_lib.commands.unit_order import UnitOrderError, units_in_order
from course_lib.exercises import progress
from course_lib.exercises.display import sign_of
from course_lib.exercises.registry import Exercise
from course_lib.figures.drawing.palette import DARK, LIGHT
from course_lib.figures.drawing.signs import drawn, rules, shapes
from course_lib.figures.ferry.first_looks import FIRST_LOOKS


class Step(NamedTuple):
    """One exercise on the page: its mark, as a shape and in words."""

    exercise: Exercise
    sign: Markup
    words: str
    is_done: bool


@dataclass(frozen=True, slots=True)
class Unit:
    """One workbook on the page."""

    number: str
    title: str
    link: str
    got: float
    of: float
    steps: tuple[Step, ...]
    picture: str
    alternative_text: str

    @property
    def next_step(self) -> Step | None:
        """Return the first exercise that is not all right yet."""
        return next((step for step in self.steps if not step.is_done), None)


def start_page(root: Path, base_url: str = "/") -> str:
    """Write the page for the workbooks below `root`; its links lead to JupyterLab at `base_url`."""
    done, note = _progress_in(root)
    units = tuple(_units(root, base_url, done))
    template = (resources.files(__package__) / "start_page.html").read_text(encoding="utf-8")
    page = Environment(autoescape=True, undefined=StrictUndefined).from_string(template)
    looks = (shapes(".step") + rules(".step", LIGHT), rules(".step", DARK))
    return page.render(
        units=units,
        next=next((unit for unit in units if unit.next_step), None),
        got=sum(unit.got for unit in units),
        of=sum(unit.of for unit in units),
        note=note,
        lab=f"{base_url}lab",
        light=Markup(looks[0]),
        dark=Markup(looks[1]),
    )


def _progress_in(root: Path) -> tuple[progress.Progress, str]:
    """Return what was done, and a note where that could not be read."""
    try:
        return progress.load(progress.progress_file(root)), ""
    except (progress.ProgressFileError, OSError) as problem:
        return {}, f"{problem}."


def _units(root: Path, base_url: str, done: progress.Progress) -> Iterator[Unit]:
    asked = progress.by_unit(done)
    told = _told(root)
    for name in [*told, *(name for name in asked if name not in told)]:
        path = _workbook(root, name)
        if path is None:
            continue
        exercises = asked.get(name, [])
        got, of = progress.points_of(exercises)
        picture, words = _picture(name)
        yield Unit(
            number=name[:2],
            title=_title(path),
            link=f"{base_url}lab/tree/{quote(path.relative_to(root).as_posix())}",
            got=got,
            of=of,
            steps=tuple(_steps(exercises)),
            picture=picture,
            alternative_text=words,
        )


def _told(root: Path) -> tuple[str, ...]:
    """Return the units by what their `unit.toml` says of their order; none where that is wrong."""
    try:
        return units_in_order(root / "workbooks")
    except UnitOrderError:
        return ()


def _picture(unit: str) -> tuple[str, str]:
    """Return the first picture of a unit as an address, and its text; a unit may have none."""
    if unit not in FIRST_LOOKS:
        return "", ""
    picture = FIRST_LOOKS[unit]()
    octets = base64.b64encode(picture.svg.encode()).decode()
    return f"data:image/svg+xml;base64,{octets}", picture.alternative_text


def _steps(exercises: Sequence[tuple[Exercise, progress.Entry]]) -> Iterator[Step]:
    for item, entry in exercises:
        outcome = progress.mark_of(item, entry)
        words = f"{entry.best:g} of {item.points:g}" if entry.attempts else "not tried"
        is_done = entry.attempts > 0 and entry.best >= item.points
        # Made from our own constants alone.
        yield Step(item, Markup(drawn(sign_of(outcome), 15)), words, is_done)


def _workbook(root: Path, unit: str) -> Path | None:
    """Return where a unit's workbook is: in the folder of its unit, or beside the others."""
    found = (
        progress.newest_of(folder, unit)
        for folder in (root / "workbooks" / unit, root / unit, root)
    )
    return next((path for path in found if path is not None), None)


def _title(path: Path) -> str:
    """Return a workbook's heading; the name of the file where it can be read no more."""
    try:
        cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
        lines = "".join(cells[0]["source"]).splitlines()
        return next(line[2:].strip() for line in lines if line.startswith("# "))
    except (OSError, ValueError, LookupError, TypeError, StopIteration):
        return path.stem

"""The scores in the shape that an upload page expects: any columns, in any order.

A small file in TOML says which. In the course folder it is called `upload.toml`:

    delimiter = ","              # or ";", or a tab
    decimal = "."                # or ","
    rows = "student"             # or "hand-in": a row for each workbook

    [[column]]
    title = "ID"
    holds = "student"

    [[column]]
    title = "Headers (points)"
    holds = "points"
    unit = "01-frames-and-headers"

A column holds one of these:

| `holds` | the cell |
|---|---|
| `student` | the student's id |
| `unit` | the unit's folder name; only for a row for each hand-in |
| `points` | points that count: by machine, by hand, extra, less what is late or left out |
| `max points` | points there are |
| `percent` | points in per cent of `max points`, to two decimals |
| `penalty` | points taken off for being late; they are off `points` already |
| `waiting` | `yes` while a person must still mark something, else `no` |
| `text` | what stands in `text = "..."`, the same in every row |

With `unit = "..."` a column speaks of that unit alone, else of all units together. Who has
not handed in gets the text of `missing = "..."` in the columns of points, or an empty cell; where
the class has a roster and the deadline is over, `max points` of all units has that unit in it.
Nothing but the id says who a student is.
"""

__all__ = ["Shape", "UploadShapeError", "default_shape", "read_shape", "write_upload"]

import tomllib
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from instructor.grading.gradebook.totals import Total
from instructor.output.tables import write_table

CHOICES = {"rows": ("student", "hand-in"), "delimiter": (",", ";", "\t"), "decimal": (".", ",")}


class UploadShapeError(ValueError):
    """The file that describes the table cannot be used; the text says where and why."""


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its heading, what it holds, and of which unit ('' for all)."""

    title: str
    holds: str
    unit: str = ""
    text: str = ""
    missing: str = ""


@dataclass(frozen=True, slots=True)
class Shape:
    """What the table looks like."""

    columns: tuple[Column, ...]
    rows: str = "student"
    delimiter: str = ","
    decimal: str = "."


Group = Sequence[Total]
FIGURES: Mapping[str, Callable[[Group], float]] = {
    "points": lambda group: sum(one.points for one in group),
    "max points": lambda group: sum(one.max_points for one in group),
    "penalty": lambda group: sum(one.penalty for one in group),
    "percent": lambda group: _percent(group),
}
HOLDS = ("student", "unit", *FIGURES, "waiting", "text")


def default_shape(units: Iterable[str]) -> Shape:
    """Return the shape that is used where no file says otherwise: a column for each unit."""
    of_units = (Column(unit, "points", unit) for unit in units)
    return Shape((
        Column("student", "student"), *of_units, Column("points", "points"),
        Column("max_points", "max points"), Column("waiting", "waiting"),
    ))  # fmt: skip


def read_shape(path: Path, units: Sequence[str]) -> Shape:
    """Read the shape of the table; raise `UploadShapeError` that names the line or column."""
    try:
        data = tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError) as problem:
        raise UploadShapeError(f"{path} cannot be read: {problem}") from problem
    listed = data.pop("column", [])
    if not isinstance(listed, list) or not listed:
        raise UploadShapeError(f"{path} has no [[column]]: each one says `title` and `holds`.")
    columns = tuple(_column(path, place, one, units) for place, one in enumerate(listed, 1))
    for name, value in data.items():
        if value not in CHOICES.get(name, ()):
            ways = "; ".join(f"{one}: {' or '.join(map(repr, CHOICES[one]))}" for one in CHOICES)
            raise UploadShapeError(f"{path}: {name} = {value!r} is unknown; {ways}")
    return Shape(columns, **data)


def write_upload(
    path: Path, shape: Shape, found: Sequence[Total], roster: Iterable[str] = ()
) -> None:
    """Write the table; everybody on the roster has a row, also without a hand-in."""
    titles = [column.title for column in shape.columns]
    rows = (
        [_cell(shape, column, student, group) for column in shape.columns]
        for student, group in _groups(shape, found, roster)
    )
    write_table(path, titles, rows, delimiter=shape.delimiter)


def _groups(
    shape: Shape, found: Sequence[Total], roster: Iterable[str]
) -> Iterator[tuple[str, Group]]:
    for student in sorted({one.student for one in found} | set(roster)):
        own = [one for one in found if one.student == student]
        if shape.rows == "hand-in":
            yield from ((student, [one]) for one in own if one.is_there)
        else:
            yield student, own


def _cell(shape: Shape, column: Column, student: str, group: Group) -> str:
    chosen = [one for one in group if column.unit in ("", one.unit)]
    if column.holds == "student":
        return student
    if column.holds == "text":
        return column.text
    if column.holds == "unit":
        return " ".join(one.unit for one in chosen)
    if not any(one.is_there for one in chosen):
        return column.missing
    if column.holds == "waiting":
        return "yes" if any(one.waiting or one.asks_when for one in chosen) else "no"
    text = f"{FIGURES[column.holds](chosen):.2f}".rstrip("0").rstrip(".")
    return text.replace(".", shape.decimal)


def _percent(group: Group) -> float:
    of = sum(one.max_points for one in group)
    return 100 * sum(one.points for one in group) / of if of else 0.0


def _column(path: Path, place: int, data: Any, units: Sequence[str]) -> Column:
    where = f"{path}, column {place}"
    known = ("title", "holds", "unit", "text", "missing")
    if not isinstance(data, dict) or not all(isinstance(one, str) for one in data.values()):
        raise UploadShapeError(f"{where}: every entry is a text between quotes.")
    strange = [name for name in data if name not in known]
    if strange:
        raise UploadShapeError(f"{where}: {strange[0]!r} is unknown; there are {', '.join(known)}.")
    if data.get("holds") not in HOLDS:
        raise UploadShapeError(f"{where}: `holds` must be one of {', '.join(HOLDS)}.")
    if data.get("unit", "") not in ("", *units):
        raise UploadShapeError(f"{where}: the class has no unit {data['unit']!r}: {units}.")
    return Column(**{"title": data["holds"], **data})

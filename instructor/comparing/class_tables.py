"""What a class left behind in its tables: figures without students, read from its course folder.

The tables of the report alone are read, so a class can be compared whose hand-ins are long gone.
Of a class that was forgotten, of a course kit and of an unpacked archive, it is the figures that
were kept (`kept_figures`).
"""

__all__ = [
    "FIGURES",
    "TABLES",
    "ClassTables",
    "NoTablesError",
    "Row",
    "estimate",
    "place_of_tables",
    "read_class_tables",
]

import csv
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from instructor.reporting.intervals import Estimate

REPORT, FIGURES = Path("results") / "report", Path("figures")
NEEDED = "exercises"
TABLES = (
    NEEDED, "misconceptions", "statistics", "unnamed", "concept-test", "concept-gain",
    "exit-survey",
)  # fmt: skip
Row = Mapping[str, str]


class NoTablesError(ValueError):
    """A course folder has no report; the text says what to do."""


@dataclass(frozen=True, slots=True)
class ClassTables:
    """The rows of each table by its name; a table that is not there has none."""

    rows: Mapping[str, Sequence[Row]]

    def by(self, table: str, *columns: str) -> dict[str, Row]:
        """Return the rows of a table by some of their cells, with a blank between."""
        return {" ".join(row[column] for column in columns): row for row in self.rows[table]}


def read_class_tables(argument: str, course: Path) -> ClassTables:
    """Read what there is; raise `NoTablesError` if that is nothing, or cannot be read.

    Its text begins with the `argument` that named the folder.
    """
    folder = place_of_tables(argument, course)
    try:
        return ClassTables({name: _rows(folder / f"{name}.csv") for name in TABLES})
    except (UnicodeDecodeError, csv.Error) as problem:
        raise NoTablesError(
            f"{argument} {course}: a table of its report cannot be read ({problem}). Grade the "
            "class once more, which writes it anew."
        ) from problem


def place_of_tables(argument: str, course: Path) -> Path:
    """Return the folder with the tables of a class; raise `NoTablesError` if there is none."""
    for place in (REPORT, FIGURES):
        if (course / place / f"{NEEDED}.csv").is_file():
            return course / place
    raise NoTablesError(
        f"{argument} {course}: no report of a class is there ({REPORT / NEEDED}.csv), and no "
        f"figures of one ({FIGURES / NEEDED}.csv). Name a course folder that was graded."
    )


def estimate(row: Row, name: str) -> Estimate | None:
    """Return the figure of a row and its interval; None where the group was too small for one."""
    cells = [row.get(f"{name}{end}", "") for end in ("", "_low", "_high")]
    return Estimate(*map(float, cells)) if all(cells) else None


def _rows(path: Path) -> Sequence[Row]:
    if not path.is_file():
        return ()
    with path.open(encoding="utf-8", newline="") as stream:
        rows = tuple(csv.DictReader(stream))
    if any(None in (*row, *row.values()) for row in rows):
        raise csv.Error(f"in {path.name} a row has more cells, or fewer, than there are columns")
    return rows

"""Every place in which a course folder holds something about a student: the one list of them.

To archive a class and to forget a student go by this list and by nothing else. A test grades a
small class, looks into everything that was written, and fails where a student is found in a place
that does not stand here, or where a place here holds nobody.
"""

__all__ = ["PLACES", "Kind", "PersonalPlace", "found_in", "place_of"]

import enum
import fnmatch
from collections.abc import Iterator
from pathlib import Path, PurePosixPath
from typing import NamedTuple


class Kind(enum.Enum):
    """How a place holds students, and so how one of them is taken out of it."""

    OWN = "a file or folder of one student's: it goes"
    ROWS = "a table with the students' ids: their rows go"
    DATABASE = "a database file: their rows go, and what was freed is overwritten"
    SHARED = "speaks of several students, and is made anew by grading: it goes as a whole"


class PersonalPlace(NamedTuple):
    """One place: patterns below the course folder, of which `*` stops at no slash.

    What is `kept` goes into an archive.
    """

    what: str
    patterns: tuple[str, ...]
    kind: Kind
    kept: bool = False


PLACES = (
    PersonalPlace("times of handing in", ("submitted/*.csv",), Kind.ROWS, kept=True),
    PersonalPlace("hand-ins", ("submitted/*",), Kind.OWN, kept=True),
    PersonalPlace("marked workbooks", ("autograded/*",), Kind.OWN, kept=True),
    PersonalPlace("progress that students handed over", ("progress/*",), Kind.OWN),
    PersonalPlace("feedback of the gradebook's own tools", ("feedback/*",), Kind.OWN),
    PersonalPlace("feedback pages", ("results/feedback/*",), Kind.OWN, kept=True),
    PersonalPlace("the gradebook", ("gradebook.db",), Kind.DATABASE, kept=True),
    PersonalPlace("the record of grading", ("grading-record.db",), Kind.DATABASE, kept=True),
    PersonalPlace("marks of markers", ("hand-marks.db",), Kind.DATABASE, kept=True),
    PersonalPlace(
        "what databases leave beside them", ("*.db-journal", "*.db-wal", "*.db-shm"), Kind.SHARED
    ),
    PersonalPlace("copies of the gradebook by its own tools", ("gradebook.db.*",), Kind.SHARED),
    PersonalPlace("tables of the class, such as codes and names", ("*.csv",), Kind.ROWS, kept=True),
    PersonalPlace(
        "tables of results",
        tuple(f"results/{name}.csv" for name in (
            "scores", "changes", "history", "similar", "library", "numbers", "counted", "files")),
        Kind.ROWS, kept=True,
    ),
    PersonalPlace("the table to upload", ("results/upload.csv",), Kind.SHARED, kept=True),
    PersonalPlace("the summary", ("results/summary.html",), Kind.SHARED),
    PersonalPlace("the report on the class", ("results/report/*",), Kind.SHARED),
    PersonalPlace("what a run that was cut off left", ("results/.*", ".*.db.*"), Kind.SHARED),
)  # fmt: skip


def place_of(path: PurePosixPath) -> PersonalPlace | None:
    """Return the place that a file belongs to, by its path below the course folder."""
    parts = path.parts
    for place in PLACES:
        for pattern in place.patterns:
            wanted = pattern.split("/")
            deep_enough = len(parts) == len(wanted) or (
                place.kind is Kind.OWN and len(parts) > len(wanted)
            )
            if deep_enough and all(
                fnmatch.fnmatchcase(part, one) for part, one in zip(parts, wanted, strict=False)
            ):
                return place
    return None


def found_in(course: Path) -> Iterator[tuple[PersonalPlace, Path]]:
    """Yield every file of a course folder that stands in one of the places."""
    for path in sorted(course.rglob("*")):
        if path.is_symlink() or path.is_file():
            place = place_of(PurePosixPath(path.relative_to(course).as_posix()))
            if place is not None:
                yield place, path

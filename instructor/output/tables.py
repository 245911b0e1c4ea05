"""Tables for other programs: CSV, whole or not at all, and nothing that a spreadsheet would run."""

__all__ = ["write_table"]

import csv
import io
from collections.abc import Iterable, Sequence
from pathlib import Path

from course_lib.exercises.whole_file import write_whole
from instructor.output.text import inert_cell


def write_table(
    path: Path, columns: Sequence[str], rows: Iterable[Sequence[str]], *, delimiter: str = ","
) -> None:
    """Write rows below their columns' names (RFC 4180); formulas are made harmless."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, delimiter=delimiter)
    writer.writerow([inert_cell(column) for column in columns])
    writer.writerows([inert_cell(cell) for cell in row] for row in rows)
    write_whole(path, text.getvalue())

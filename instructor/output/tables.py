"""Tables for other programs: CSV, whole or not at all, and nothing that a spreadsheet would run.

A spreadsheet takes a cell for a formula that begins with one of a few signs, also behind blanks.
And it may cut a line elsewhere than this table does: at semicolons in one country, at tabs when
pasted. So a quote is put in front of such a sign wherever a cell could come to begin there.
Numbers stay numbers, with a minus too.
"""

__all__ = ["inert_cell", "table_text", "write_table"]

import csv
import io
import re
from collections.abc import Iterable, Sequence
from pathlib import Path

from course_lib.exercises.whole_file import write_whole
from instructor.output.text import visible

CUTS = r",;\t\r\n"
# The full-width signs start formulas too. What is looked at ahead is the cell after such a cut.
FORMULA = re.compile(rf"""(^|[{CUTS}])((?:[^\S{CUTS}]|")*)(?=([=+\-@＝＋－＠][^{CUTS}]*))""")
NUMBER = re.compile(r"[+-]\d+(?:\.\d+)?(?:[eE][+-]?\d+)?")


def write_table(
    path: Path, columns: Sequence[str], rows: Iterable[Sequence[str]], *, delimiter: str = ",",
    mode: int = 0o666,
) -> None:  # fmt: skip
    """Write rows below their columns' names (RFC 4180); formulas are made harmless.

    `mode` says who may read and write the file, as for `write_whole`.
    """
    write_whole(path, table_text(columns, rows, delimiter=delimiter), mode)


def table_text(
    columns: Sequence[str], rows: Iterable[Sequence[str]], *, delimiter: str = ","
) -> str:
    """Return what `write_table` writes, for a table that is kept elsewhere than in a file."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, delimiter=delimiter)
    writer.writerow([inert_cell(column) for column in columns])
    writer.writerows([inert_cell(cell) for cell in row] for row in rows)
    return text.getvalue()


def inert_cell(cell: str) -> str:
    """Return a cell for a table; what a spreadsheet would run has a quote in front.

    >>> inert_cell("=1+1"), inert_cell("see; =1+1"), inert_cell("-0.5")
    ("'=1+1", "see; '=1+1", '-0.5')
    """
    text = FORMULA.sub(_quoted, visible(cell))
    return "'" + text if text.startswith("\t") else text


def _quoted(found: re.Match[str]) -> str:
    rest = found[3].rstrip().rstrip('"')
    return found[0] if NUMBER.fullmatch(rest) else f"{found[1]}{found[2]}'"

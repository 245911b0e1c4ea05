"""Tables that people type or export: whatever a spreadsheet makes of one is read.

A byte-order mark is skipped, UTF-16 is read where its mark says so, cells are cut at commas,
semicolons or tabs, quotes may be around any cell. The first row names the columns, in any order
and among others. What cannot be read is an error with the row, never a guess.
"""

__all__ = ["TypedRow", "TypedTableError", "read_table", "table_text"]

import codecs
import csv
import io
import unicodedata
from collections.abc import Collection, Iterator, Mapping, Sequence
from pathlib import Path
from typing import NamedTuple

DELIMITERS = ";\t,"
SIZE_LIMIT = 16 << 20  # octets


class TypedTableError(ValueError):
    """A table cannot be used; the text says where, why, and what to do."""


class TypedRow(NamedTuple):
    """A row with the number of its line in the file, and its cells by the columns' names."""

    number: int
    cells: Mapping[str, str]


def table_text(path: Path) -> str:
    """Return the text of a file; raise `TypedTableError` if it is none."""
    try:
        octets = path.read_bytes()
    except OSError as problem:
        raise TypedTableError(f"{path} cannot be read: {problem.strerror}.") from problem
    if len(octets) > SIZE_LIMIT:
        raise TypedTableError(f"{path} is larger than {SIZE_LIMIT >> 20} MiB: that is no table.")
    wide = octets.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE))
    try:
        text = octets.decode("utf-16" if wide else "utf-8-sig")
    except UnicodeDecodeError as problem:
        line = octets.count(b"\n", 0, problem.start) + 1
        raise TypedTableError(
            f"{path} cannot be read: it is not UTF-8 text (line {line}). Save it again as UTF-8, "
            "so that names keep their letters."
        ) from problem
    return unicodedata.normalize("NFC", text)


def read_table(path: Path, needed: Collection[str], others: Collection[str] = ()) -> list[TypedRow]:
    """Return the rows of a table that has the `needed` columns; cells of all others are left out.

    Raises `TypedTableError`.
    """
    text = table_text(path)
    delimiter = _delimiter(text, needed)
    if not delimiter:
        raise TypedTableError(
            f"{path}: the first row must name the columns {', '.join(needed)}; it says "
            f"{text.partition(chr(10))[0].strip()[:60]!r}."
        )
    rows = list(cut_rows(path, text, delimiter))
    (_, names), *rest = rows
    columns = [name.strip().casefold() for name in names]
    wanted = {name: columns.index(name) for name in (*needed, *others) if name in columns}
    return [
        TypedRow(number, {name: _cell(cells, place) for name, place in wanted.items()})
        for number, cells in rest
    ]


def cut_rows(path: Path, text: str, delimiter: str) -> Iterator[tuple[int, Sequence[str]]]:
    """Yield the rows that are not empty, each with its line; raise `TypedTableError`."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    try:
        for row in reader:
            if any(cell.strip() for cell in row):
                yield reader.line_num, [cell.strip() for cell in row]
    except csv.Error as problem:
        raise TypedTableError(f"{path}, line {reader.line_num}: {problem}.") from problem


def _delimiter(text: str, needed: Collection[str]) -> str:
    """Return what cuts the first row into the needed names; '' if nothing does."""
    first = text.partition("\n")[0].strip("\r")
    for delimiter in DELIMITERS:
        names = {name.strip().casefold() for name in next(csv.reader([first], delimiter=delimiter))}
        if set(needed) <= names:
            return delimiter
    return ""


def _cell(cells: Sequence[str], place: int) -> str:
    return cells[place] if place < len(cells) else ""

"""Every file that was there, and what became of it: whose it is, for which unit, or why not.

Nothing is passed over in silence: what is no hand-in has a line too. Before grading it is shown
(`hopbyhop grade --look`), and each run writes it as a table.
"""

__all__ = ["COLUMNS", "FileLine", "file_lines", "in_words", "write_file_list"]

from collections.abc import Iterable, Sequence
from itertools import groupby
from pathlib import Path
from textwrap import fill
from typing import NamedTuple

from instructor.grading.intake.archives import shown
from instructor.grading.intake.hand_ins import HandIn, Intake, NotGraded
from instructor.output.tables import write_table

WIDTH, INDENT = 80, 4 * " "
COLUMNS = ("file", "student", "unit", "becomes", "note")
BECOMES = ("graded", "not graded", "left aside")
TITLES = {
    "graded": "To be graded",
    "not graded": "Not to be graded, and why",
    "left aside": "Left aside",
}


class FileLine(NamedTuple):
    """One file, in the columns of the table; `becomes` is one of `BECOMES`."""

    file: str
    student: str
    unit: str
    becomes: str
    note: str


def file_lines(intake: Intake, place: Path) -> tuple[FileLine, ...]:
    """Return a line for each file, named from the folder or archive that was graded."""
    return (
        *(_line(one, place, "graded", "; ".join(one.notes)) for one in intake.hand_ins),
        *(_line(one, place, "not graded", one.why) for one in intake.not_graded),
        *(_line(one, place, "left aside", one.why) for one in intake.beside),
    )


def in_words(lines: Sequence[FileLine]) -> str:
    """Say it on a terminal: one line, or a few, for each file."""
    parts = []
    for becomes, group in groupby(lines, key=lambda one: one.becomes):
        parts.append(f"{TITLES[becomes]}:")
        parts += [fill(_said(one), WIDTH, initial_indent=INDENT, subsequent_indent=2 * INDENT,
                       break_on_hyphens=False)
                  for one in group]  # fmt: skip
    return "\n".join(parts)


def write_file_list(path: Path, lines: Iterable[FileLine]) -> None:
    """Write the table."""
    write_table(path, COLUMNS, lines)


def _line(one: HandIn | NotGraded, place: Path, becomes: str, note: str) -> FileLine:
    below = one.path.relative_to(place) if one.path.is_relative_to(place) else one.path
    return FileLine(one.where or shown(str(below)), one.student, one.unit, becomes, note)


def _said(one: FileLine) -> str:
    whose = ", ".join(part for part in (one.student, one.unit) if part)
    arrow = f" -> {whose}" if whose else ""
    return f"{one.file}{arrow}{': ' if one.note else ''}{one.note}"

"""`hopbyhop reading-edition`: the workbooks as pages, and as PDF."""

__all__ = ["register"]

import argparse
from pathlib import Path

from course_lib.commands.parser import Commands, begin_command
from course_lib.commands.terminal_words import say
from instructor.release.course_command import told

READING = """\
Write each workbook as a page for those who read on paper or by ear: figures as
still pictures, the same as text below them, no answers. Takes some minutes.

    hopbyhop reading-edition pages --pdf"""


def register(commands: Commands) -> None:
    """Add the command."""
    usual, rare = begin_command(
        commands, "reading-edition", "write workbooks as pages to read or print", _write,
        usage="hopbyhop reading-edition FOLDER [--units UNIT ...] [--pdf]", description=READING,
        reminder="FOLDER comes first: all that follows --units is taken for units.",
    )  # fmt: skip
    usual.add_argument("folder", type=Path, metavar="FOLDER", help="where to put the pages")
    usual.add_argument("--pdf", action="store_true", help="also as PDF, printed by Chromium")
    rare.add_argument("--units", nargs="+", metavar="UNIT", help="units to write (default: all)")


def _write(chosen: argparse.Namespace) -> int:
    from instructor.reading_edition.printing import NoBrowserError

    return told(lambda: _write_pages(chosen), NoBrowserError)


def _write_pages(chosen: argparse.Namespace) -> None:
    from instructor.output.wrong_places import refuse_a_file
    from instructor.reading_edition.edition import write_edition
    from instructor.reading_edition.printing import find_browser
    from instructor.release.named_units import named_units
    from instructor.release.workbook_files import unit_names

    refuse_a_file("FOLDER", chosen.folder)
    units = named_units("--units", chosen.units or unit_names())
    browser = find_browser() if chosen.pdf else ""
    for page in write_edition(chosen.folder, units, browser):
        say(f"{page}{', and as PDF' if browser else ''}")

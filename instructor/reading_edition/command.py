"""`hopbyhop reading-edition`: the workbooks as pages, and as PDF."""

__all__ = ["register"]

import argparse
import sys
from pathlib import Path

from course_lib.commands.parser import Commands, add_command, add_help
from course_lib.commands.terminal_words import say

READING = """\
Write each workbook as a page for those who read on paper or by ear: figures as
still pictures, the same as text below them, no answers. Takes some minutes.

    hopbyhop reading-edition pages --pdf"""


def register(commands: Commands) -> None:
    """Add the command."""
    command = add_command(
        commands, "reading-edition", "write workbooks as pages to read or print", _write,
        usage="hopbyhop reading-edition FOLDER [--units UNIT ...] [--pdf]", description=READING,
    )  # fmt: skip
    command.reminder = "FOLDER comes first: all that follows --units is taken for units."
    usual = command.add_argument_group("usual")
    usual.add_argument("folder", type=Path, metavar="FOLDER", help="where to put the pages")
    usual.add_argument("--pdf", action="store_true", help="also as PDF, printed by Chromium")
    rare = command.add_argument_group("now and then")
    rare.add_argument("--units", nargs="+", metavar="UNIT", help="units to write (default: all)")
    add_help(rare)


def _write(chosen: argparse.Namespace) -> int:
    from instructor.output.wrong_places import WrongPlaceError, refuse_a_file
    from instructor.reading_edition.edition import write_edition
    from instructor.reading_edition.printing import NoBrowserError, find_browser
    from instructor.release.named_units import named_units
    from instructor.release.workbook_files import unit_names

    try:
        refuse_a_file("FOLDER", chosen.folder)
        units = named_units("--units", chosen.units or unit_names())
        browser = find_browser() if chosen.pdf else ""
        for page in write_edition(chosen.folder, units, browser):
            say(f"{page}{', and as PDF' if browser else ''}")
    except (WrongPlaceError, NoBrowserError) as problem:
        say(str(problem), sys.stderr)
        return 1
    return 0

"""`hopbyhop hand-on`: a course kit for another teacher."""

__all__ = ["register"]

import argparse
from pathlib import Path

from course_lib.commands.parser import Commands, begin_command
from course_lib.commands.terminal_words import say
from instructor.release.course_command import told

HAND_ON = """\
Make a course kit for another teacher: units, handbook, pages to read, timetable,
figures of a class without persons, licences of packages. It holds all answers,
and no records. Takes some minutes: each workbook is run for its page.

    hopbyhop hand-on kit --units 01 04 06 --plan two-days.toml"""


def register(commands: Commands) -> None:
    """Add the command."""
    usual, rare = begin_command(
        commands, "hand-on", "make a course kit for another teacher", _hand_on,
        usage="hopbyhop hand-on FOLDER [--units UNIT ...] [--plan REQUEST] [...]",
        description=HAND_ON,
        reminder="FOLDER comes first: all that follows --units is taken for units.",
    )  # fmt: skip
    usual.add_argument("folder", type=Path, metavar="FOLDER", help="a new folder for the kit")
    usual.add_argument("--units", nargs="+", metavar="UNIT", help="units to teach (default: all)")
    usual.add_argument(
        "--plan", type=Path, metavar="REQUEST", help="also a timetable, as `hopbyhop plan` makes it"
    )
    rare.add_argument(
        "--figures-of", type=Path, metavar="COURSE",
        help="also figures of a graded class; numbers of students below 5 are left out",
    )  # fmt: skip


def _hand_on(chosen: argparse.Namespace) -> int:
    from instructor.comparing.class_tables import NoTablesError
    from instructor.handbook.page_text import HandbookError
    from instructor.planning.find_timetable import CannotFitError
    from instructor.planning.request_file import RequestError
    from instructor.planning.teaching_units import UnitFactsError

    refused = (NoTablesError, HandbookError, CannotFitError, RequestError, UnitFactsError)
    return told(lambda: _make_kit(chosen), *refused)


def _make_kit(chosen: argparse.Namespace) -> None:
    from instructor.handing_on.course_kit import FIRST, KitRequest, make_course_kit
    from instructor.output.wrong_places import WrongPlaceError, refuse_a_file
    from instructor.release.named_units import named_units
    from instructor.release.undone import whole_or_not_at_all
    from instructor.release.workbook_files import unit_names

    refuse_a_file("FOLDER", chosen.folder)
    if chosen.folder.exists():
        raise WrongPlaceError(f"FOLDER {chosen.folder} is there already. Name a new one.")
    units = named_units("--units", chosen.units or unit_names())
    with whole_or_not_at_all(chosen.folder):
        parts = make_course_kit(chosen.folder, KitRequest(units, chosen.plan, chosen.figures_of))
    say(f"A course kit for teachers: {chosen.folder}")
    for name, said in parts.items():
        say(f"    {name}/  {said}")
    say(f"It holds all answers. Begin with {chosen.folder / FIRST}")

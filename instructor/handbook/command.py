"""`hopbyhop handbook`: the pages to teach by, and their demonstrations on the terminal."""

__all__ = ["register"]

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from course_lib.commands.parser import Commands, add_command, add_help
from course_lib.commands.terminal_words import say, this_command, to_type

if TYPE_CHECKING:
    from instructor.handbook.unit_page import UnitPage

OUT = Path(".output/handbook")
HANDBOOK = """\
Write the handbook: for each unit a page that says what to say, what to show,
what goes wrong, which beliefs to listen for, and what to discuss.

    hopbyhop handbook                 all units
    hopbyhop handbook 06 --replay     run the demonstration of one, step by step"""


def register(commands: Commands) -> None:
    """Add the command."""
    command = add_command(
        commands, "handbook", "write the pages to teach by", _handbook,
        usage="hopbyhop handbook [UNIT ...] [--out FOLDER] [--replay]", description=HANDBOOK,
    )  # fmt: skip
    usual = command.add_argument_group("usual")
    usual.add_argument("units", nargs="*", metavar="UNIT", help="such as 06 (default: all)")
    usual.add_argument(
        "--replay", action="store_true",
        help="run the demonstration, and compare with what the page says",
    )  # fmt: skip
    rare = command.add_argument_group("now and then")
    rare.add_argument(
        "--out", type=Path, default=OUT, metavar="FOLDER", help=f"for the pages (default: {OUT})"
    )
    add_help(rare)


def _handbook(chosen: argparse.Namespace) -> int:
    from instructor.handbook.handbook_page import write_handbook
    from instructor.handbook.page_text import HandbookError
    from instructor.handbook.unit_page import all_pages
    from instructor.output.wrong_places import WrongPlaceError, refuse_a_file

    try:
        refuse_a_file("--out", chosen.out)
        found = dict(all_pages(_named(chosen.units)))
    except (HandbookError, WrongPlaceError) as problem:
        say(str(problem), sys.stderr)
        return 1
    pages = [page for page in found.values() if page is not None]
    missing = [unit for unit, page in found.items() if page is None]
    if chosen.replay:
        return max([_replayed(page) for page in pages], default=1)
    whole, *each = write_handbook(chosen.out, pages, missing)
    say(f"{len(each)} pages. To read and to print: {whole}")
    if missing:
        say(f"No text yet, and so no page: {', '.join(missing)}.")
    say("Before class, try the demonstration:")
    print(to_type(this_command(), "handbook", pages[0].number if pages else "UNIT", "--replay"))
    return 0


def _named(typed: list[str]) -> list[str]:
    from instructor.handbook.page_text import HandbookError
    from instructor.release.workbook_files import unit_names

    names = unit_names()
    found = []
    for one in typed:
        of_unit = [name for name in names if one in (name, name.partition("-")[0])]
        if not of_unit:
            raise HandbookError(f"UNIT {one}: there is no such unit; there are {', '.join(names)}.")
        found += of_unit
    return found


def _replayed(page: "UnitPage") -> int:
    """Show each step; where somebody sits at the terminal, it runs when they press Enter."""
    from instructor.handbook.replay import replay

    differ = 0
    steps = replay(page.steps)
    for number, step in enumerate(page.steps, 1):
        say(f"\nUnit {page.number}, step {number} of {len(page.steps)}. {step.words}")
        print(f"\n{step.code}")
        if sys.stdin.isatty():
            input("Enter runs it. ")
        played = next(steps)
        print(played.printed.rstrip())
        if not played.is_as_written:
            differ += 1
            print(f"\nThe page says something else:\n{step.output.rstrip()}", file=sys.stderr)
    said = "as the page says" if not differ else f"{differ} not as the page says"
    print(f"\n{len(page.steps)} steps, {said}.")
    return min(differ, 1)

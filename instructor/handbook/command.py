"""`hopbyhop handbook`: the pages to teach by, and their demonstrations on the terminal."""

__all__ = ["register"]

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from course_lib.commands.parser import Commands, begin_command
from course_lib.commands.terminal_words import say, this_command, to_type
from instructor.release.course_command import told

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
    usual, rare = begin_command(
        commands, "handbook", "write the pages to teach by", _handbook,
        usage="hopbyhop handbook [UNIT ...] [--out FOLDER] [--replay]", description=HANDBOOK,
    )  # fmt: skip
    usual.add_argument("units", nargs="*", metavar="UNIT", help="such as 06 (default: all)")
    usual.add_argument(
        "--replay", action="store_true",
        help="run the demonstration, and compare with what the page says",
    )  # fmt: skip
    rare.add_argument(
        "--out", type=Path, default=OUT, metavar="FOLDER", help=f"for the pages (default: {OUT})"
    )


def _handbook(chosen: argparse.Namespace) -> int:
    from instructor.handbook.page_text import HandbookError

    return told(lambda: _show_or_write(chosen), HandbookError)


def _show_or_write(chosen: argparse.Namespace) -> int:
    from instructor.handbook.handbook_page import write_handbook
    from instructor.handbook.unit_page import all_pages
    from instructor.output.wrong_places import refuse_a_file
    from instructor.release.named_units import named_units

    refuse_a_file("--out", chosen.out)
    found = dict(all_pages(named_units("UNIT", chosen.units)))
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

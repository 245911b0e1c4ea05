"""`hopbyhop compare`: what got better from one class to the next, and what to change."""

__all__ = ["register"]

import argparse
from pathlib import Path

from course_lib.commands.parser import Commands, begin_command
from course_lib.commands.terminal_words import say
from instructor.release.course_command import told

TOLD = """\
Compare two graded classes by the tables of their reports, in which nobody is
named: what got better, with intervals, and what to change before the next.
Concept tests and surveys count if `read-sheets` has read them. Of a class that
`forget --all` has deleted, the figures that it left there are enough.

    hopbyhop compare class-2026/course class-2027/course"""
SHOWN = 3  # findings, on the terminal


def register(commands: Commands) -> None:
    """Add the command."""
    usual, rare = begin_command(
        commands, "compare", "say what got better from one class to the next", _compare,
        usage="hopbyhop compare LAST THIS [--out OUT]", description=TOLD,
    )  # fmt: skip
    usual.add_argument("last", type=Path, metavar="LAST", help="course folder of the earlier class")
    usual.add_argument("this", type=Path, metavar="THIS", help="course folder of the later class")
    rare.add_argument("--out", type=Path, help="for the page (default: beside THIS's tables)")


def _compare(chosen: argparse.Namespace) -> int:
    from instructor.comparing.class_tables import NoTablesError

    return told(lambda: _write_comparison(chosen), NoTablesError)


def _write_comparison(chosen: argparse.Namespace) -> None:
    from instructor.comparing.changes import changes
    from instructor.comparing.class_tables import place_of_tables, read_class_tables
    from instructor.comparing.compare_page import verdict_of, write_comparison
    from instructor.comparing.to_change import to_change
    from instructor.output.wrong_places import refuse_a_file

    last = read_class_tables("LAST", chosen.last)
    this = read_class_tables("THIS", chosen.this)
    out = chosen.out or place_of_tables("THIS", chosen.this)
    refuse_a_file("--out", out)
    changed = changes(last, this)
    findings = to_change(this, changed)
    page = write_comparison(out, changed, findings)
    said = [verdict_of(changed), *(f"Change: {one.what} ({one.seen})." for one in findings[:SHOWN])]
    say("\n".join(said).replace("\N{NO-BREAK SPACE}", " "))
    say(f"Next: read\n    {page}")

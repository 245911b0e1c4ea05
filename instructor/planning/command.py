"""`hopbyhop plan`: from a request to a timetable to look at, to print, to put into a calendar."""

__all__ = ["register"]

import argparse
import datetime
import sys
from pathlib import Path

from course_lib.commands.parser import Commands, begin_command
from course_lib.commands.terminal_words import folded, say

PLAN = """\
Find a timetable: what is taught when, what is left out, and whether a better
one can exist. Examples of requests lie in instructor/planning/examples.

    hopbyhop plan one-day.toml

With the timetable of before in OUT, a changed wish moves only what must move.
On a day that runs late, --now and --done give the rest of it anew."""


def register(commands: Commands) -> None:
    """Add the command."""
    usual, rare = begin_command(
        commands, "plan", "find a timetable for the time there is", _plan,
        usage="hopbyhop plan REQUEST [--out OUT] [--now TIME --done UNIT ...]", description=PLAN,
        reminder="REQUEST comes first: all that follows --done is taken for units.",
    )  # fmt: skip
    usual.add_argument("request", type=Path, metavar="REQUEST", help="a .toml file")
    usual.add_argument("--out", type=Path, help="folder (default: one named after the request)")
    rare.add_argument("--now", metavar="TIME", help="what is left from then on: 14:20")
    rare.add_argument("--done", nargs="+", default=[], metavar="UNIT", help="units that are done")


def _plan(chosen: argparse.Namespace) -> int:
    from instructor.output.wrong_places import WrongPlaceError, refuse_a_file
    from instructor.planning.find_timetable import CannotFitError
    from instructor.planning.make_plan import make_plan
    from instructor.planning.request_file import RequestError
    from instructor.planning.teaching_units import UnitFactsError

    out = chosen.out or chosen.request.with_suffix("")
    try:
        now = None if chosen.now is None else datetime.time.fromisoformat(chosen.now)
    except ValueError:
        say(f"--now {chosen.now}: that is no time of day, as 14:20 is.", sys.stderr)
        return 2
    try:
        refuse_a_file("--out", out)
        made = make_plan(chosen.request, out, now=now, done=chosen.done)
    except (RequestError, CannotFitError, UnitFactsError, WrongPlaceError, ValueError) as problem:
        say(str(problem), sys.stderr)
        return 1
    print(folded(made))
    return 0

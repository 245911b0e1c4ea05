"""The commands `roster`, `deadlines` and `requests`."""

__all__ = ["register_administration"]

import argparse
from collections.abc import Callable
from pathlib import Path

from course_lib.commands.parser import Commands, Group, begin_command
from instructor.release.course_command import add_course, told

ROSTER = """\
Say who is in the class, and who has not handed in. A change is shown first,
with whose points it changes, and counts once you add --confirm.

    hopbyhop roster class-2027/course --take students.csv
    hopbyhop roster class-2027/course --same S102 s102"""
DEADLINES = """\
Say when units are due, and for whom otherwise. What being late costs stands in
deadlines.toml of the course folder: change it there and type this command. A
change is shown first, with whose points it changes; --confirm makes it count.

    hopbyhop deadlines class-2027/course --due 01 2026-05-04T18:00:00+02:00"""
REQUESTS = """\
Keep students' requests for another look at their points, and the answers.

    hopbyhop requests class-2027/course --ask alder 1.2 --text "I read on"
    hopbyhop requests class-2027/course --answer 1 --text "A check was wrong"
"""
TIME = "TIME has an offset from UTC, as 2026-05-04T18:00:00+02:00, or is none"


def register_administration(commands: Commands) -> None:
    """Add the three commands to the command line."""
    _add_roster(commands)
    _add_deadlines(commands)
    _add_requests(commands)


def _add_roster(commands: Commands) -> None:
    usual, rare = begin_command(
        commands, "roster", "say who is in the class, and who has not handed in", _roster,
        usage="hopbyhop roster COURSE [--take FILE] [...] [--confirm]", description=ROSTER,
    )  # fmt: skip
    _confirmed(usual)
    usual.add_argument(
        "--take", type=Path, metavar="FILE",
        help="this is the class: a table with id and name in any columns, or an id on each line",
    )  # fmt: skip
    usual.add_argument(
        "--same", nargs=2, default=(), metavar=("SEEN", "ID"),
        help="what is handed in under SEEN is of ID",
    )  # fmt: skip
    rare.add_argument(
        "--take-out", default="", metavar="ID", help="this id is no student, or no student's",
    )  # fmt: skip


def _add_deadlines(commands: Commands) -> None:
    usual, rare = begin_command(
        commands, "deadlines", "say when units are due, and for whom otherwise", _deadlines,
        usage="hopbyhop deadlines COURSE [...] [--confirm]", description=DEADLINES, epilog=TIME,
    )  # fmt: skip
    _confirmed(usual)
    usual.add_argument("--due", nargs=2, default=(), metavar=("UNIT", "TIME"), help="for all")
    usual.add_argument(
        "--extend", nargs=3, default=(), metavar=("STUDENT", "UNIT", "TIME"),
        help="longer, for one student",
    )  # fmt: skip
    usual.add_argument(
        "--excuse", nargs=2, default=(), metavar=("STUDENT", "WHAT"),
        help="from a unit (01), an exercise (1.4) or an answer in words (01/explain-1): out of the"
        " maximum",
    )  # fmt: skip
    usual.add_argument("--why", default="", metavar="TEXT", help="to be kept with the decision")
    rare.add_argument(
        "--in-maximum", action="store_true", help="with --excuse: the maximum stays as it is"
    )
    rare.add_argument("--not-excused", action="store_true", help="take that --excuse back")
    rare.add_argument(
        "--came", nargs=3, default=(), metavar=("STUDENT", "UNIT", "TIME"),
        help="when it was handed in, if nothing else says so",
    )  # fmt: skip


def _add_requests(commands: Commands) -> None:
    usual, _ = begin_command(
        commands, "requests", "keep requests for another look, and the answers", _requests,
        usage="hopbyhop requests COURSE [...]", description=REQUESTS,
    )  # fmt: skip
    add_course(usual)
    usual.add_argument("--ask", nargs=2, metavar=("STUDENT", "EXERCISE"), help="a new request")
    usual.add_argument("--answer", metavar="NUMBER", help="the answer to a request")
    usual.add_argument("--text", default="", metavar="TEXT", help="the words of either")


def _confirmed(usual: Group) -> None:
    add_course(usual)
    usual.add_argument("--confirm", action="store_true", help="make it count")


def _roster(chosen: argparse.Namespace) -> int:
    from instructor.administration.roster_command import Asked, change_roster

    asked = Asked(chosen.take, chosen.same, chosen.take_out)
    return _told(lambda: change_roster(chosen.course, asked, chosen.typed, confirm=chosen.confirm))


def _deadlines(chosen: argparse.Namespace) -> int:
    from instructor.administration.deadlines_command import Asked, change_deadlines

    asked = Asked(
        chosen.due, chosen.extend, chosen.excuse, chosen.came, chosen.in_maximum,
        chosen.not_excused, chosen.why,
    )  # fmt: skip
    return _told(
        lambda: change_deadlines(chosen.course, asked, chosen.typed, confirm=chosen.confirm)
    )


def _requests(chosen: argparse.Namespace) -> int:
    from instructor.administration.requests_command import answer_request, ask, say_requests

    if chosen.ask:
        student, exercise = chosen.ask
        return _told(lambda: ask(chosen.course, student, exercise, chosen.text))
    if chosen.answer:
        return _told(lambda: answer_request(chosen.course, chosen.answer, chosen.text))
    return _told(lambda: say_requests(chosen.course))


def _told(act: Callable[[], None]) -> int:
    """Do it; where it cannot be done, or another run has the record, say so."""
    from instructor.grading.record.record_file import RecordError

    return told(act, RecordError)

"""`hopbyhop question-sheets` and `hopbyhop read-sheets`: questions out, answers in."""

__all__ = ["register"]

import argparse
from pathlib import Path

from course_lib.commands.parser import Commands, begin_command
from course_lib.commands.terminal_words import say, this_command, to_type
from instructor.release.course_command import told

WRITE = """\
Write three workbooks for the class: questions before the course, questions
after it that ask for the same ideas, and an exit survey. Which choice is right
is not in them. Students hand them in as they hand in a workbook.

    hopbyhop question-sheets class-2027/sheets"""
READ = """\
Read the question sheets and exit surveys that a class handed in, and say what
it has learnt and how it was. Nothing in them is run, nobody is named, and
nothing is shown of fewer than five.

    hopbyhop read-sheets hand-ins.zip --course class-2027/course"""
SHOWN = 10  # files that could not be read, on the terminal


def register(commands: Commands) -> None:
    """Add both commands."""
    usual, _ = begin_command(
        commands, "question-sheets", "write a concept test and an exit survey for a class", _write,
        usage="hopbyhop question-sheets FOLDER", description=WRITE,
    )  # fmt: skip
    usual.add_argument("folder", type=Path, metavar="FOLDER", help="where to put the workbooks")
    usual, rare = begin_command(
        commands, "read-sheets", "read the concept tests and surveys that came back", _read,
        usage="hopbyhop read-sheets FOLDER --course COURSE [--out OUT]", description=READ,
    )  # fmt: skip
    usual.add_argument(
        "folder", type=Path, metavar="FOLDER", help="folder or archive with what was handed in"
    )
    usual.add_argument("--course", type=Path, required=True, help="course folder of the class")
    rare.add_argument("--out", type=Path, help="for the pages (default: COURSE/results/report)")


def _write(chosen: argparse.Namespace) -> int:
    return told(lambda: _write_sheets(chosen.folder))


def _write_sheets(folder: Path) -> None:
    from instructor.output.wrong_places import refuse_a_file
    from instructor.questions.sheets import write_sheets

    refuse_a_file("FOLDER", folder)
    rows = "\n".join(f"    {path.name}" for path in write_sheets(folder))
    say(f"Written to {folder}:\n{rows}")
    again = to_type(this_command(), "read-sheets", "HAND-INS", "--course", "COURSE")
    say(f"Next: give the first one out before the course, and the others at its end. Then\n{again}")


def _read(chosen: argparse.Namespace) -> int:
    return told(lambda: _read_sheets(chosen))


def _read_sheets(chosen: argparse.Namespace) -> None:
    from instructor.class_run.on_roster import ids_of_class
    from instructor.output.pages import plain_count
    from instructor.output.wrong_places import WrongPlaceError, refuse_a_file
    from instructor.questions.collected_sheets import collect
    from instructor.questions.read_sheets import said, write_what_was_read
    from instructor.release.course_folder import named_course

    course = named_course(chosen.course).path
    out = chosen.out or course / "results" / "report"
    refuse_a_file("--out", out)
    try:
        collected = collect(chosen.folder, ids_of_class(course))
    except FileNotFoundError as problem:
        raise WrongPlaceError(f"FOLDER {chosen.folder}: {problem}.") from problem
    if not (collected.before or collected.after or collected.survey):
        raise WrongPlaceError(
            f"FOLDER {chosen.folder} holds no question sheet and no exit survey that anybody "
            "handed in."
        )
    say(said(collected, write_what_was_read(out, collected)))
    if collected.workbooks:
        workbooks = plain_count(collected.workbooks, "workbook")
        say(f"{workbooks} left aside: `hopbyhop grade` reads them.")
    for one in collected.unread[:SHOWN]:
        say(f"Not read: {one.shown}: {one.why}")
    if more := len(collected.unread[SHOWN:]):
        say(f"and {more} more files that are no sheets.")

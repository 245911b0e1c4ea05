"""The instructor's commands: `hopbyhop release`, `grade` and `demo`; `administration` has more."""

__all__ = ["register"]

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from course_lib.commands.parser import Commands, Group, begin_command
from course_lib.commands.terminal_words import folded, say
from instructor.administration.register import register_administration
from instructor.class_run.explained import TOPICS
from instructor.comparing import command as comparing
from instructor.handbook import command as handbook
from instructor.handing_on import command as handing_on
from instructor.joined_room import command as joined_room
from instructor.keeping import command as keeping
from instructor.marking import command as marking
from instructor.planning import command as planning
from instructor.questions import command as questions
from instructor.reading_edition import command as reading_edition
from instructor.room import board_command as board
from instructor.room import command as room

RELEASE = """\
Make a course folder and a bundle for the students. In a folder where this was
done before, both are refreshed; secret seed and gradebook stay.

    hopbyhop release class-2027"""
GRADE = """\
Grade everything that a class handed in. Run it as often as you like: only what
is new, corrected or touched is run, and it says whose points changed and why.

    hopbyhop grade class-2027/course                          what lies in it
    hopbyhop grade hand-ins.zip --course class-2027/course    from anywhere else"""
DEMO = """\
Release, let an invented class hand in, grade it, and report: the whole path,
to look at. Takes some minutes.

    hopbyhop demo"""


def register(commands: Commands) -> None:
    """Add the instructor's commands to the command line."""
    _add_release(commands)
    _add_grade(commands)
    marking.register(commands)
    keeping.register(commands)
    room.register(commands)
    board.register(commands)
    joined_room.register(commands)
    planning.register(commands)
    reading_edition.register(commands)
    handing_on.register(commands)
    handbook.register(commands)
    questions.register(commands)
    comparing.register(commands)
    register_administration(commands)
    _add_demo(commands)


def _add_release(commands: Commands) -> None:
    usual, rare = begin_command(
        commands, "release", "make a course folder and a bundle for the students", _release,
        usage="hopbyhop release FOLDER [--roster FILE] [--units UNIT ...]", description=RELEASE,
        reminder="FOLDER comes first: all that follows --units is taken for units.",
    )  # fmt: skip
    usual.add_argument("folder", type=Path, metavar="FOLDER", help="where to put both")
    usual.add_argument(
        "--roster", type=Path, metavar="FILE",
        help="one student's id on each line: write each one's personal code to course/codes.csv",
    )  # fmt: skip
    rare.add_argument(
        "--units", nargs="+", metavar="UNIT",
        help="units to add to the class (default: all, or those it has)",
    )  # fmt: skip
    rare.add_argument(
        "--without", nargs="+", default=[], metavar="UNIT", help="units that it shall not have",
    )  # fmt: skip
    rare.add_argument(
        "--offline", nargs="*", metavar="LAPTOP",
        help="also a kit for laptops without a network, such as windows-3.12 mac-3.13 (default:"
        " like this machine)",
    )  # fmt: skip


def _add_grade(commands: Commands) -> None:
    usual, rare = begin_command(
        commands, "grade", "grade everything that a class handed in", _grade,
        usage="hopbyhop grade FOLDER [--course COURSE] [--out OUT] [...]", description=GRADE,
        reminder="FOLDER comes first: all that follows --again is taken for students.",
    )  # fmt: skip
    usual.add_argument(
        "folder", type=Path, metavar="FOLDER",
        help="folder or archive (.zip, .tar, .tar.gz) of hand-ins; or the course folder, for what"
        " was collected in it",
    )  # fmt: skip
    usual.add_argument(
        "--course", type=Path,
        help="course folder that `release` made (default: FOLDER, or one beside or around it that"
        " this account made)",
    )  # fmt: skip
    usual.add_argument("--out", type=Path, help="for scores and pages (default: COURSE/results)")
    usual.add_argument("--roster", type=Path, metavar="FILE", help="one student's id on each line")
    usual.add_argument(
        "--look", action="store_true", help="only say of each file whose it is and for which unit"
    )
    _add_rare_choices(rare)


def _add_rare_choices(rare: Group) -> None:
    rare.add_argument(
        "--attempts", choices=("last", "best"), default="last", metavar="WHICH",
        help="which of several files counts: last (default), best",
    )  # fmt: skip
    rare.add_argument(
        "--again", nargs="+", default=[], metavar="ID",
        help="run the answers of these students again",
    )  # fmt: skip
    rare.add_argument(
        "--what-if", nargs="*", metavar="ID",
        help="only say whose points would change",
    )  # fmt: skip
    rare.add_argument(
        "--library-copies", choices=("look", "no-points"), metavar="RULE",
        help="copies of library code: look (default), no-points",
    )  # fmt: skip
    rare.add_argument(
        "--whole", action="store_true", help="nothing counts but what FOLDER holds",
    )  # fmt: skip
    rare.add_argument("--columns", type=Path, metavar="FILE", help="how upload.csv looks")
    rare.add_argument("--gradebook", default="", metavar="URL", help="another one to write")
    where = rare.add_mutually_exclusive_group()
    where.add_argument(
        "--workers", type=_at_least_one, metavar="N",
        help="hand-ins at a time (default: one for each processor)",
    )  # fmt: skip
    where.add_argument(
        "--cluster", default="", metavar="ADDRESS",
        help="Dask workers: tcp://scheduler.example.com:8786",
    )  # fmt: skip
    rare.add_argument("--trusted", action="store_true", help="without a sandbox answers run as you")
    rare.add_argument(
        "--explain", action=_Explain, choices=tuple(TOPICS), metavar="TOPIC",
        help=", ".join(TOPICS),
    )  # fmt: skip


def _add_demo(commands: Commands) -> None:
    _, rare = begin_command(
        commands, "demo", "release, let an invented class hand in, grade it, and report", _demo,
        description=DEMO,
    )  # fmt: skip
    rare.add_argument(
        "folder", nargs="?", type=Path, default=Path(".output/demo"), metavar="FOLDER",
        help="where to put it (default: .output/demo)",
    )  # fmt: skip
    rare.add_argument("--seed", type=int, default=1, metavar="N", help="another class (default: 1)")


class _Explain(argparse.Action):
    """Print one topic and end, as `--help` does."""

    def __call__(
        self, parser: argparse.ArgumentParser, _: argparse.Namespace,
        values: str | Sequence[Any] | None, __: str | None = None,
    ) -> None:  # fmt: skip
        print(folded(TOPICS[str(values)]))
        parser.exit()


def _at_least_one(text: str) -> int:
    if not text.isdecimal() or int(text) < 1:
        raise argparse.ArgumentTypeError(f"{text!r} is no number from 1 on")
    return int(text)


def _release(chosen: argparse.Namespace) -> int:
    from instructor.class_run.on_roster import read_ids
    from instructor.output.wrong_places import WrongPlaceError
    from instructor.release.course_folder import CourseFolderError
    from instructor.release.make import make_release, said_of

    try:
        students = read_ids(chosen.roster)
        made = make_release(chosen.folder, chosen.units, students=students, without=chosen.without)
    except (CourseFolderError, WrongPlaceError) as problem:
        say(str(problem), sys.stderr)
        return 1
    except PermissionError as problem:
        say(f"FOLDER {chosen.folder}: {problem.filename} cannot be written. Name a folder of "
            "yours.", sys.stderr)  # fmt: skip
        return 1
    say(said_of(made))
    return 0 if chosen.offline is None else room.offline(made, chosen.offline)


def _grade(chosen: argparse.Namespace) -> int:
    from instructor.class_run.grade_class import Choices, grade_class, look
    from instructor.class_run.next_steps import next_steps
    from instructor.class_run.stopping import STOPPED_STATUS, GradingStoppedError
    from instructor.grading.pages.upload_table import UploadShapeError
    from instructor.grading.record.record import RecordError
    from instructor.grading.sandbox.sandboxed_run import GradingRefusedError
    from instructor.output.wrong_places import WrongPlaceError
    from instructor.release.course_folder import CourseFolderError

    choices = Choices(
        gradebook=chosen.gradebook,
        attempts=chosen.attempts,
        workers=chosen.workers,
        again=tuple(chosen.again),
        columns=chosen.columns,
        library_copies=chosen.library_copies,
        cluster=chosen.cluster,
        whole=chosen.whole,
    )
    try:
        if chosen.look:
            print(look(chosen.folder, chosen.course, chosen.roster))
            return 0
        if chosen.what_if is not None:
            from instructor.administration.what_if import say_what_if, what_if

            found = what_if(
                chosen.folder, chosen.what_if, course=chosen.course, roster=chosen.roster,
                trusted=chosen.trusted, choices=choices,
            )  # fmt: skip
            say_what_if(found, chosen.typed)
            return 0
        graded = grade_class(
            chosen.folder,
            course=chosen.course,
            out=chosen.out,
            roster=chosen.roster,
            trusted=chosen.trusted,
            choices=choices,
        )
    except GradingStoppedError as stopped:
        say(str(stopped), sys.stderr)
        return stopped.status
    except KeyboardInterrupt:
        print("Stopped before anything was graded.", file=sys.stderr)
        return STOPPED_STATUS
    except (
        CourseFolderError,
        GradingRefusedError,
        RecordError,
        UploadShapeError,
        WrongPlaceError,
    ) as problem:
        say(str(problem), sys.stderr)
        return 1
    say(next_steps(graded, chosen.typed, chosen.gradebook))
    return 0


def _demo(chosen: argparse.Namespace) -> int:
    from instructor.demo.run import run_demo
    from instructor.output.wrong_places import WrongPlaceError

    try:
        return run_demo(chosen.folder, chosen.seed)
    except WrongPlaceError as problem:
        say(str(problem), sys.stderr)
        return 1

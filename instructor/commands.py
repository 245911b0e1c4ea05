"""The instructor's commands: `hopbyhop release`, `grade` and `demo`."""

__all__ = ["register"]

import argparse
import sys
from pathlib import Path


def register(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the instructor's commands to the command line."""
    _add_release(commands)
    _add_grade(commands)
    _add_demo(commands)


def _add_release(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    command = commands.add_parser(
        "release", help="make a course folder and a bundle for the students"
    )
    command.add_argument("folder", type=Path, help="where to put both")
    command.add_argument("--units", nargs="+", metavar="UNIT", help="units (default: all)")
    command.set_defaults(run=_release)


def _add_grade(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    command = commands.add_parser("grade", help="grade everything that a class handed in")
    command.add_argument("folder", type=Path, help="folder with what was handed in")
    command.add_argument("--course", type=Path, help="course folder that `release` made")
    command.add_argument("--roster", type=Path, help="file with one student's id on each line")
    command.add_argument("--out", type=Path, help="where to put scores and pages")
    command.add_argument(
        "--trusted", action="store_true", help="go on without a sandbox: answers run as you"
    )
    command.set_defaults(run=_grade)


def _add_demo(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    command = commands.add_parser(
        "demo", help="release, let an invented class hand in, grade it, and report"
    )
    command.add_argument("folder", nargs="?", type=Path, default=Path(".output/demo"))
    command.add_argument("--seed", type=int, default=1, help="another number, another class")
    command.set_defaults(run=_demo)


def _release(chosen: argparse.Namespace) -> int:
    from instructor.release.course_folder import CourseFolderError
    from instructor.release.make import make_release

    try:
        made = make_release(chosen.folder, chosen.units)
    except (CourseFolderError, FileNotFoundError) as problem:
        print(problem, file=sys.stderr)
        return 1
    print(f"For the students:    {made.bundle}")
    print(f"For the staff alone: {made.course} (answers, secret seed, gradebook)")
    return 0


def _grade(chosen: argparse.Namespace) -> int:
    from instructor.grading.grade_class import GradingRefusedError, grade_class
    from instructor.release.course_folder import CourseFolderError

    try:
        grade_class(
            chosen.folder,
            course=chosen.course,
            out=chosen.out,
            roster=chosen.roster,
            trusted=chosen.trusted,
        )
    except (CourseFolderError, FileNotFoundError, GradingRefusedError) as problem:
        print(problem, file=sys.stderr)
        return 1
    return 0


def _demo(chosen: argparse.Namespace) -> int:
    from instructor.demo.run import run_demo

    return run_demo(chosen.folder, chosen.seed)

"""The command `hopbyhop`.

A student's install has `open`, `check-machine` and `progress`. The instructor's
checkout adds its own commands through an entry point, so that nothing in here
needs to know them.
"""

__all__ = ["main"]

import argparse
import sys
from collections.abc import Sequence
from importlib.metadata import entry_points
from pathlib import Path

COMMAND_GROUP = "hopbyhop.commands"


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; return 0 if it did what it should."""
    parser = _parser()
    chosen = parser.parse_args(arguments)
    try:
        status: int = chosen.run(chosen)
    except KeyboardInterrupt:
        print("stopped", file=sys.stderr)
        return 130
    return status


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="hopbyhop",
        description="Workbooks in which you build an IP router, hop by hop.",
        epilog="Releasing and grading need the instructor's checkout of the course.",
    )
    commands = parser.add_subparsers(title="commands", required=True, metavar="COMMAND")
    command = commands.add_parser("open", help="open the workbooks in JupyterLab")
    command.add_argument("folder", nargs="?", type=Path, help="folder that holds the workbooks")
    command.add_argument("--no-browser", action="store_true", help="only print the address")
    command.set_defaults(run=_open)
    tell = "say what this machine can do, and how to mend what it cannot"
    commands.add_parser("check-machine", help=tell).set_defaults(run=_check_machine)
    tell = "show your progress over all units"
    commands.add_parser("progress", help=tell).set_defaults(run=_progress)
    for entry in entry_points(group=COMMAND_GROUP):
        try:
            register = entry.load()
        except ModuleNotFoundError as problem:
            if not (problem.name or "").startswith("instructor"):
                raise
            continue  # a student's install: the epilog says where the other commands are
        register(commands)
    return parser


def _open(chosen: argparse.Namespace) -> int:
    from course_lib.commands.open_workbooks import open_workbooks

    return open_workbooks(chosen.folder, browser=not chosen.no_browser)


def _check_machine(_: argparse.Namespace) -> int:
    from course_lib.commands.check_machine import check_machine, report

    findings = check_machine()
    print(report(findings))
    return 0 if all(finding.works or not finding.required for finding in findings) else 1


def _progress(_: argparse.Namespace) -> int:
    from course_lib.exercises import progress
    from course_lib.exercises.marking import progress_table

    try:
        done = progress.load(progress.progress_file())
    except progress.ProgressFileError as problem:
        print(problem, file=sys.stderr)
        return 1
    print(progress_table(done).text())
    return 0


if __name__ == "__main__":
    sys.exit(main())

"""The command `hopbyhop`.

A student's install has `open`, `check-machine` and `progress`. The instructor's
checkout adds its own commands through an entry point, so that nothing in here
needs to know them.
"""

__all__ = ["main"]

import argparse
import os
import sys
from collections.abc import Sequence
from importlib.metadata import entry_points
from pathlib import Path

from course_lib.commands.parser import CommandParser, Commands, add_command, add_help, listed
from course_lib.commands.terminal_words import say

COMMAND_GROUP = "hopbyhop.commands"
DESCRIPTION = """\
Workbooks in which you build an IP router, hop by hop. Begin with: hopbyhop open

{commands}

Each explains itself: hopbyhop COMMAND --help. Releasing and grading need the
instructor's checkout of the course."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; return 0 if it did what it should."""
    parser = _parser()
    chosen = parser.parse_args(arguments)
    chosen.typed = list(sys.argv[1:] if arguments is None else arguments)
    try:
        status: int = chosen.run(chosen)
    except KeyboardInterrupt:
        print("stopped", file=sys.stderr)
        return 130
    except BrokenPipeError:  # whoever read what we print has read enough, as `head` does
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 1
    return status


def _parser() -> CommandParser:
    parser = CommandParser(prog="hopbyhop", usage="hopbyhop COMMAND ...")
    parser.add_argument("-h", "--help", action="help", help=argparse.SUPPRESS)  # it is being read
    commands = parser.add_subparsers(
        required=True, metavar="COMMAND", prog="hopbyhop", help=argparse.SUPPRESS
    )
    _add_open(commands)
    _add_update(commands)
    tell = "say what works here, and how to mend the rest"
    rare = add_command(commands, "check-machine", tell, _check_machine).add_argument_group(
        "now and then"
    )
    rare.add_argument(
        "--report", type=Path, metavar="FILE", help="also write what was found to a .json file"
    )
    add_help(rare)
    _add_progress(commands)
    for entry in entry_points(group=COMMAND_GROUP):
        try:
            register = entry.load()
        except ModuleNotFoundError as problem:
            if not (problem.name or "").startswith("instructor"):
                raise
            continue  # a student's install: the description says where the other commands are
        register(commands)
    parser.description = DESCRIPTION.format(commands=listed(commands.choices))
    return parser


def _add_open(commands: Commands) -> None:
    command = add_command(commands, "open", "open the workbooks in JupyterLab", _open)
    command.add_argument_group("usual").add_argument(
        "folder",
        nargs="?",
        type=Path,
        metavar="FOLDER",
        help="the folder that you unpacked (default: the one you are in)",
    )
    rare = command.add_argument_group("now and then")
    rare.add_argument("--no-browser", action="store_true", help="only print the address")
    add_help(rare)


def _open(chosen: argparse.Namespace) -> int:
    from course_lib.commands.open_workbooks import open_workbooks

    return open_workbooks(chosen.folder, browser=not chosen.no_browser)


def _add_update(commands: Commands) -> None:
    command = add_command(
        commands, "update", "take in a newer release, and touch no answer", _update
    )
    command.add_argument_group("usual").add_argument(
        "bundle", type=Path, metavar="BUNDLE", help="the archive that you were given"
    )
    rare = command.add_argument_group("now and then")
    rare.add_argument(
        "--folder", type=Path, metavar="FOLDER",
        help="the folder you work in (default: the one you are in)",
    )  # fmt: skip
    add_help(rare)


def _update(chosen: argparse.Namespace) -> int:
    from course_lib.commands.open_workbooks import NoWorkbooksError, bundle_folder
    from course_lib.commands.update import UpdateError, said_of, update

    try:
        say(said_of(update(chosen.bundle, bundle_folder(chosen.folder or Path.cwd()))))
    except (NoWorkbooksError, UpdateError) as problem:
        say(str(problem), sys.stderr)
        return 1
    return 0


def _check_machine(chosen: argparse.Namespace) -> int:
    from course_lib.commands.check_machine import check_machine, report
    from course_lib.commands.machine_report import write_report

    findings = check_machine()
    print(report(findings))
    if chosen.report is not None:
        try:
            write_report(chosen.report, findings)
        except OSError as problem:
            say(f"--report {chosen.report} cannot be written: {problem.strerror}.", sys.stderr)
            return 1
    return 0 if all(finding.works or not finding.required for finding in findings) else 1


def _add_progress(commands: Commands) -> None:
    command = add_command(commands, "progress", "show your points over all units", _progress)
    rare = command.add_argument_group("now and then").add_mutually_exclusive_group()
    rare.add_argument(
        "--share", type=Path, metavar="FOLDER",
        help="from now on, also keep a copy without your name there, for the board of the room",
    )  # fmt: skip
    rare.add_argument("--share-no-more", action="store_true", help="take that copy back")
    add_help(rare)


def _progress(chosen: argparse.Namespace) -> int:
    from course_lib.exercises import progress
    from course_lib.exercises.marking import progress_table

    if chosen.share is not None or chosen.share_no_more:
        return _share(chosen.share)
    try:
        done = progress.load(progress.progress_file())
    except progress.ProgressFileError as problem:
        say(str(problem), sys.stderr)
        return 1
    print(progress_table(done).text())
    return 0


def _share(folder: Path | None) -> int:
    from course_lib.exercises import progress

    path = progress.progress_file()
    if folder is None:
        ended = progress.share_no_more(path)
        say("The copy is gone, and no other is made." if ended else "Nothing was shared.")
        return 0
    try:
        copy = progress.share(path, folder)
    except (OSError, progress.ProgressFileError) as problem:
        say(f"--share {folder}: {problem}.", sys.stderr)
        return 1
    say(f"Whenever you mark an answer, a copy of your progress goes to {copy}. Its name was drawn "
        "by lot; who looks after the machine can see whose file it is. It counts for nothing. "
        "To end that: hopbyhop progress --share-no-more")  # fmt: skip
    return 0


if __name__ == "__main__":
    sys.exit(main())

"""`hopbyhop board`: how far the room is, on the wall, kept up to date until somebody ends it."""

__all__ = ["register"]

import argparse
import datetime
import sys
import threading
from pathlib import Path

from course_lib.commands.parser import Commands, add_command, add_help
from course_lib.commands.terminal_words import say

OUT = Path(".output/board.html")
BOARD = """\
Show how far the room is, exercise by exercise and without names, and where most
are stuck. FOLDER holds progress files, or is a course folder that was graded.

    hopbyhop board /srv/room          where students share their progress:
    hopbyhop progress --share /srv/room"""


def register(commands: Commands) -> None:
    """Add the command."""
    command = add_command(
        commands, "board", "show on the wall how far the room is, without names", _board,
        usage="hopbyhop board FOLDER [--unit UNIT] [--pairs FILE] [...]", description=BOARD,
    )  # fmt: skip
    usual = command.add_argument_group("usual")
    usual.add_argument("folder", type=Path, metavar="FOLDER", help="with progress.json of many")
    usual.add_argument(
        "--unit", metavar="UNIT", help="such as 06 (default: where most are at work)"
    )
    usual.add_argument(
        "--pairs", type=Path, metavar="FILE",
        help="who handed in together: a line for each pair, ids with a comma between",
    )  # fmt: skip
    rare = command.add_argument_group("now and then")
    rare.add_argument("--once", action="store_true", help="write it once, and end")
    rare.add_argument(
        "--out", type=Path, default=OUT, metavar="FILE", help=f"the page (default: {OUT})"
    )
    add_help(rare)


def _board(chosen: argparse.Namespace) -> int:
    from instructor.release.workbook_files import unit_names
    from instructor.room.board_page import EVERY_S
    from instructor.room.progress_files import read_pairs

    units = [one for one in unit_names() if chosen.unit in (one, one.partition("-")[0])]
    if chosen.unit and not units:
        say(f"--unit {chosen.unit}: there is no such unit.", sys.stderr)
        return 1
    if not chosen.folder.is_dir():
        say(f"FOLDER {chosen.folder}: there is no such folder.", sys.stderr)
        return 1
    try:
        pairs = read_pairs(chosen.pairs) if chosen.pairs else ()
        chosen.out.parent.mkdir(parents=True, exist_ok=True)
        say(_written(chosen.folder, pairs, units[0] if units else "", chosen.out))
    except (OSError, ValueError) as problem:
        say(str(problem), sys.stderr)
        return 1
    if chosen.once:
        return 0
    say(f"Open {chosen.out} in a browser; F11 fills the wall. It is written anew every {EVERY_S} s."
        " Ctrl-C ends that, and leaves the page as it is.")  # fmt: skip
    ended = threading.Event()
    try:
        while not ended.wait(EVERY_S):
            _written(chosen.folder, pairs, units[0] if units else "", chosen.out)
    except KeyboardInterrupt:
        return 0
    return 0


def _written(folder: Path, pairs: "tuple[frozenset[str], ...]", unit: str, out: Path) -> str:
    from course_lib.exercises.whole_file import write_whole
    from instructor.room.board import board_of
    from instructor.room.board_page import board_page
    from instructor.room.progress_files import read_room

    room = read_room(folder, pairs)
    board = board_of(room.everybody, unit)
    write_whole(out, board_page(board, datetime.datetime.now().astimezone()))
    passed_over = f" {room.unreadable} files were no progress." if room.unreadable else ""
    return f"{board.machines} machines, unit {board.unit}: {out}.{passed_over}"

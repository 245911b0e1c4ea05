"""`hopbyhop board`: how far the room is, on the wall, kept up to date until somebody ends it."""

__all__ = ["register"]

import argparse
import contextlib
import datetime
import threading
from pathlib import Path

from course_lib.commands.parser import Commands, begin_command
from course_lib.commands.terminal_words import say
from instructor.release.course_command import told

OUT = Path(".output/board.html")
BOARD = """\
Show how far the room is, exercise by exercise and without names, and where most
are stuck. FOLDER holds progress files, or is a course folder that was graded.

    hopbyhop board /srv/room          where students share their progress:
    hopbyhop progress --share /srv/room"""


def register(commands: Commands) -> None:
    """Add the command."""
    usual, rare = begin_command(
        commands, "board", "show on the wall how far the room is, without names", _board,
        usage="hopbyhop board FOLDER [--unit UNIT] [--pairs FILE] [...]", description=BOARD,
    )  # fmt: skip
    usual.add_argument("folder", type=Path, metavar="FOLDER", help="with progress.json of many")
    usual.add_argument(
        "--unit", metavar="UNIT", help="such as 06 (default: where most are at work)"
    )
    usual.add_argument(
        "--pairs", type=Path, metavar="FILE",
        help="who handed in together: a line for each pair, ids with a comma between",
    )  # fmt: skip
    rare.add_argument("--once", action="store_true", help="write it once, and end")
    rare.add_argument(
        "--out", type=Path, default=OUT, metavar="FILE", help=f"the page (default: {OUT})"
    )


def _board(chosen: argparse.Namespace) -> int:
    return told(lambda: _show(chosen), OSError, ValueError)


def _show(chosen: argparse.Namespace) -> None:
    from instructor.output.wrong_places import WrongPlaceError
    from instructor.release.named_units import named_units
    from instructor.room.board_page import EVERY_S
    from instructor.room.progress_files import read_pairs

    unit = "".join(named_units("--unit", [chosen.unit] if chosen.unit else []))
    if not chosen.folder.is_dir():
        raise WrongPlaceError(f"FOLDER {chosen.folder}: there is no such folder.")
    pairs = read_pairs(chosen.pairs) if chosen.pairs else ()
    chosen.out.parent.mkdir(parents=True, exist_ok=True)
    say(_written(chosen.folder, pairs, unit, chosen.out))
    if chosen.once:
        return
    say(f"Open {chosen.out} in a browser; F11 fills the wall. It is written anew every {EVERY_S} s."
        " Ctrl-C ends that, and leaves the page as it is.")  # fmt: skip
    ended = threading.Event()
    with contextlib.suppress(KeyboardInterrupt):
        while not ended.wait(EVERY_S):
            _written(chosen.folder, pairs, unit, chosen.out)


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

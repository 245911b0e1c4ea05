"""`hopbyhop machines`, and what `hopbyhop release --offline` does after the release."""

__all__ = ["offline", "register"]

import argparse
import sys
import time
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from course_lib.commands.parser import Commands, begin_command
from course_lib.commands.terminal_words import say

if TYPE_CHECKING:
    from instructor.release.make import Release

TABLE = "machines.csv"
RUN_SHEET = "RUN-SHEET.html"
TOLD = """\
Gather what `hopbyhop check-machine --report NAME.json` wrote on many machines:
who is not ready, and the line that mends it. Also written to machines.csv.

    hopbyhop machines reports"""
MIB = 1 << 20


def register(commands: Commands) -> None:
    """Add the command to the command line."""
    usual, _ = begin_command(
        commands, "machines", "gather reports of many machines: who is not ready", _machines,
        usage="hopbyhop machines FOLDER [--roster FILE]", description=TOLD,
    )  # fmt: skip
    usual.add_argument(
        "folder", type=Path, metavar="FOLDER", help="folder with the reports (.json)"
    )
    usual.add_argument(
        "--roster", type=Path, metavar="FILE",
        help="whose reports are expected, by the names of these: an id on each line",
    )  # fmt: skip


def offline(made: "Release", names: Sequence[str]) -> int:
    """Make the kit and the run sheet of a release; say where they are, or what is missing."""
    from instructor.room.kit import make_kit
    from instructor.room.laptops import UnknownLaptopError, named_laptops, this_machine
    from instructor.room.run_sheet import write_run_sheet
    from instructor.room.wheels import MissingWheelsError

    began = time.monotonic()
    try:
        laptops = named_laptops(names) or (this_machine(),)
        say(f"\nFetching wheels for {', '.join(one.name for one in laptops)} ...")
        kit = make_kit(made.bundle.with_suffix(""), laptops, made.batch.units)
    except (MissingWheelsError, UnknownLaptopError) as problem:
        say(str(problem), sys.stderr)
        return 1
    sheet = made.course.parent / RUN_SHEET
    write_run_sheet(sheet, kit, made.batch.units)
    say(f"For a room without the Internet: {kit.folder}\n"
        f"    {kit.octets / MIB:.0f} MiB, {kit.files} files, made in "
        f"{time.monotonic() - began:.0f} s; Python itself is not in it\n"
        f"To print, and to run the room by: {sheet}")  # fmt: skip
    return 0


def _machines(chosen: argparse.Namespace) -> int:
    from rich.box import SIMPLE
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    from instructor.output.text import visible
    from instructor.room.machine_reports import read_machines, write_machines
    from instructor.roster.class_list import read_class_list
    from instructor.roster.typed_table import TypedTableError

    if not chosen.folder.is_dir():
        say(f"FOLDER {chosen.folder}: there is no such folder.", sys.stderr)
        return 1
    try:
        expected = read_class_list(chosen.roster).ids if chosen.roster else ()
    except TypedTableError as problem:
        say(f"--roster {problem}", sys.stderr)
        return 1
    machines = read_machines(chosen.folder, expected)
    if not machines:
        say(f"FOLDER {chosen.folder} holds no report (.json).", sys.stderr)
        return 1
    write_machines(chosen.folder / TABLE, machines)
    table = Table("machine", "ready", "Python", "what mends it", box=SIMPLE, pad_edge=False)
    for one in machines:
        cells = (one.machine, one.ready, one.python, one.mend)
        table.add_row(*(Text(visible(cell), overflow="fold") for cell in cells))
    Console().print(table)
    ready = sum(one.ready == "yes" for one in machines)
    say(f"{ready} of {len(machines)} machines are ready. Table: {chosen.folder / TABLE}")
    return 0 if ready == len(machines) else 1

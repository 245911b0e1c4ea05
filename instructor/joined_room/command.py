"""`hopbyhop room`: join the laptops of a room into one network, until somebody ends it."""

__all__ = ["register"]

import argparse
import contextlib
import datetime
import ipaddress
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from course_lib.commands.parser import Commands, begin_command
from course_lib.commands.terminal_words import say

if TYPE_CHECKING:
    from instructor.joined_room.kept_state import RoomFile
    from instructor.joined_room.neighbours import RoomPlan

STATE = Path(".output/room-state.json")
NAME = "Quillwater Ferries"
PLANS, WAYS = ("ring", "tree", "map"), ("link state", "distance vector")
PORT, SCREEN_PORT = 8817, 8818
HOURS, MOST_HOURS = 3.0, 12.0
RATE_MBIT, MOST_RATE_MBIT = 2.0, 100.0
LARGEST_BLOCK = 16  # bits of the prefix: a room with more addresses than that is none
ROOM = """\
Join laptops into one network: links between them go as UDP datagrams over the
network that the room has, and the routers are those that students wrote.

Only with the permission of those who run the room's network: policy and law of
the site come first. Bounded in rate and time, and to the room's own addresses.

    hopbyhop room --at 192.0.2.10/24"""
ASKED = "Have those who run this network allowed it? Type yes to go on: "


class _Prepared(NamedTuple):
    """What only needs to be run, until somebody ends it, and what is said then."""

    run: Callable[[], None]
    last_words: str


class _Day(NamedTuple):
    """When it ends: by the clock of the room, and in seconds since 1970."""

    ends_at_s: float
    ends_at: float


def register(commands: Commands) -> None:
    """Add the command."""
    usual, rare = begin_command(
        commands, "room", "join the laptops of a room into one network", _room,
        usage="hopbyhop room (--at ADDRESS/LENGTH | --rehearse) [--plan PLAN] [...]",
        description=ROOM,
    )  # fmt: skip
    usual.add_argument(
        "--at", type=_interface, metavar="ADDRESS/LENGTH",
        help="this machine's address, and the length of the room's own block",
    )  # fmt: skip
    usual.add_argument(
        "--rehearse", action="store_true", help="only the screen, with simulated laptops, here"
    )
    usual.add_argument(
        "--plan", choices=PLANS, default="ring", metavar="PLAN",
        help="who is whose neighbour: ring, with chords (default), tree, map",
    )  # fmt: skip
    usual.add_argument("--piers", type=int, metavar="N", help="2 to 60 (default: 24)")
    usual.add_argument("--yes", action="store_true", help="it is allowed here: do not ask")
    rare.add_argument("--code", metavar="CODE", help="go on with a room that was running")
    rare.add_argument(
        "--hours", type=float, default=HOURS, metavar="H", help="until it ends (default: 3)"
    )
    rare.add_argument(
        "--rate", type=float, default=RATE_MBIT, metavar="MBIT", help="of a link (default: 2)"
    )
    rare.add_argument(
        "--way", choices=WAYS, default=WAYS[0], metavar="WAY",
        help="how routers find routes: 'link state' (default), 'distance vector'",
    )  # fmt: skip
    rare.add_argument("--port", type=int, default=PORT, help=f"for members (default: {PORT})")
    rare.add_argument("--screen-port", type=int, default=SCREEN_PORT, metavar="PORT",
                      help=f"for the screen, here (default: {SCREEN_PORT})")  # fmt: skip
    rare.add_argument("--board", type=Path, metavar="FOLDER",
                      help="progress that members share, for `hopbyhop board`")  # fmt: skip
    rare.add_argument("--state", type=Path, default=STATE, metavar="FILE", help="ids and counters")


def _interface(text: str) -> ipaddress.IPv4Interface:
    try:
        found = ipaddress.IPv4Interface(text)
    except ValueError as problem:
        raise argparse.ArgumentTypeError(f"{text}: {problem}") from None
    length = found.network.prefixlen
    if "/" not in text or (length < LARGEST_BLOCK and not found.is_loopback):
        raise argparse.ArgumentTypeError(
            f"{text}: name the room's block by its length, {LARGEST_BLOCK} or more, as in "
            "192.0.2.10/24"
        )
    if found.is_multicast or found.is_unspecified or found.is_reserved:
        raise argparse.ArgumentTypeError(f"{text} is not the address of one machine")
    return found


def _room(chosen: argparse.Namespace) -> int:
    """Prepare what was chosen, run it until somebody ends it, and say how it ended."""
    try:
        prepared = _rehearsal(chosen) if chosen.rehearse else _opening(chosen)
        with contextlib.suppress(KeyboardInterrupt):
            prepared.run()
    except (OSError, ValueError) as problem:
        say(str(problem), sys.stderr)
        return 1
    say(prepared.last_words)
    return 0


def _opening(chosen: argparse.Namespace) -> _Prepared:
    """Ask whether a room is allowed, and prepare one; one that ran goes on. Raises `ValueError`."""
    import asyncio

    from course_lib.links import new_code, room_secret
    from instructor.joined_room.kept_state import KeptStateError, read_room_file
    from instructor.joined_room.neighbours import room_plan

    _check_bounds(chosen)
    kept = read_room_file(chosen.state) if chosen.state.is_file() else None
    code = chosen.code or new_code()
    secret = room_secret(code)
    if kept is not None and kept.ends_at <= time.time():
        kept = None  # of another day
    if kept is not None and kept.check != _check_of(secret):
        raise KeptStateError(
            f"a room was running, {chosen.state}. Go on with --code and the code that it had, "
            "or delete the file"
        )
    plan = room_plan(kept.plan if kept else chosen.plan, kept.piers if kept else chosen.piers)
    for folder in filter(None, (chosen.state.parent, chosen.board)):
        folder.mkdir(parents=True, exist_ok=True)
    if not chosen.yes:
        _ask_whether_it_is_allowed()
    day = _day(chosen.hours) if kept is None else _until(kept.ends_at)
    return _Prepared(
        lambda: asyncio.run(_serve(chosen, code, secret, plan, kept, day)),
        "The room is over: everybody's links have ended, and nothing of it is kept.",
    )


def _rehearsal(chosen: argparse.Namespace) -> _Prepared:
    """Prepare the screen alone: no laptop is let in, and nothing leaves this machine."""
    from instructor.joined_room.screen.rehearsal import rehearse

    def announce(address: str) -> None:
        say(f"A room in rehearsal, with simulated laptops, for this machine alone:\n\n    {address}"
            "\n\nCtrl-C ends it.")  # fmt: skip
        sys.stdout.flush()

    def run() -> None:
        with _opened(f"--screen-port {chosen.screen_port}", "Name another one, or 0 for any that "
                     "is free."):  # fmt: skip
            rehearse(announce, chosen.plan, chosen.piers, port=chosen.screen_port)

    return _Prepared(run, "The rehearsal is over.")


@contextlib.contextmanager
def _opened(option: str, advice: str) -> Iterator[None]:
    """Say which option it was where the machine does not open a port. Raises `ValueError`."""
    try:
        yield
    except OSError as problem:
        raise ValueError(f"{option}: {problem.strerror}. {advice}") from problem


def _check_bounds(chosen: argparse.Namespace) -> None:
    if chosen.at is None:
        raise ValueError(
            "--at is missing: this machine's address and the length of the room's block, as in "
            "192.0.2.10/24. To see the screen alone, say --rehearse"
        )
    if not 0 < chosen.hours <= MOST_HOURS:
        raise ValueError(f"--hours {chosen.hours:g}: a room lasts {MOST_HOURS:g} hours at most")
    if not 0.1 <= chosen.rate <= MOST_RATE_MBIT:
        raise ValueError(f"--rate {chosen.rate:g}: 0.1 to {MOST_RATE_MBIT:g} Mbit/s")


def _ask_whether_it_is_allowed() -> None:
    """Raise `ValueError` unless somebody says so; where nobody can answer, it is not allowed."""
    if not sys.stdin.isatty():
        raise ValueError(
            "Nobody can be asked here whether it is allowed, so nothing is opened; say --yes if it "
            "is."
        )
    if input(ASKED).strip().lower() != "yes":
        raise ValueError("Then nothing is opened. Ask those who run the network, and come back.")


def _day(hours: float) -> _Day:
    """Return the end: after so many hours, and with the day at the latest."""
    now = datetime.datetime.now().astimezone()
    tomorrow = (now + datetime.timedelta(days=1)).replace(hour=0, minute=0, second=0, microsecond=0)
    return _until(min(now + datetime.timedelta(hours=hours), tomorrow).timestamp())


def _until(ends_at: float) -> _Day:
    return _Day(time.monotonic() + ends_at - time.time(), ends_at)


def _check_of(secret: bytes) -> str:
    """Return what tells whether a code is that of a room, and nothing else of it."""
    from course_lib.links.keys import derived_key

    return derived_key(secret, "state of a room").hex()


async def _serve(
    chosen: argparse.Namespace, code: str, secret: bytes, plan: "RoomPlan",
    kept: "RoomFile | None", day: _Day,
) -> None:  # fmt: skip
    """Open the room, say how to get in, and stay until it is over."""
    from instructor.joined_room import kept_state
    from instructor.joined_room.board_files import BoardFiles
    from instructor.joined_room.register import Register, RoomTerms
    from instructor.joined_room.room_server import RoomServer

    hint = f"{code[:3]}-..."
    way = kept.way if kept else chosen.way  # all routers of a room speak one
    terms = RoomTerms(NAME, hint, day.ends_at_s, way, chosen.rate * 1e6)
    piers, check = len(plan.places), _check_of(secret)

    def keep(register: Register) -> kept_state.RoomFile:
        return kept_state.RoomFile(NAME, check, plan.kind, piers, way, day.ends_at, register.kept())

    state = kept.state if kept else kept_state.KeptState()
    register = Register(plan, terms, state, time.monotonic())
    board = None if chosen.board is None else BoardFiles(chosen.board)
    server = RoomServer(
        register, secret, chosen.at.network, path=chosen.state, keep=keep, board=board
    )
    with _opened(f"--at {chosen.at.ip}: the room cannot be opened there", "It must be an address "
                 "of this machine, and both ports free."):  # fmt: skip
        port, screen_port = server.open(str(chosen.at.ip), chosen.port, chosen.screen_port)
    ends = datetime.datetime.fromtimestamp(day.ends_at).strftime("%H:%M")
    say(f"A room for {piers} piers ({plan.kind}), open to {chosen.at.network} until {ends}.\n\n"
        f"Code:    {code}\nScreen:  http://127.0.0.1:{screen_port}/screen   (this machine only)\n\n"
        "What students type at the end of workbook 12:\n\n"
        f'    join_room("{code}", at="{chosen.at.ip}:{port}")\n\n'
        f"A link carries {chosen.rate:g} Mbit/s at most. Ctrl-C ends the room for everybody. If "
        "this machine fails, links go on: start it again with --code.")  # fmt: skip
    sys.stdout.flush()
    await server.run()

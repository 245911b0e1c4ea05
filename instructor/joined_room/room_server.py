"""The server of a room: a register, two doors, and a clock.

Members come in by one port, at an address of the room's network. The screen has another, on this
machine's own address (127.0.0.1) alone. All happens in one thread, so the register is never asked
by two at once.

If this process ends, links go on: members keep what they were told. Started again with the same
code and the same file, it knows whose pier is whose, and members come back by themselves.
"""

__all__ = ["RoomServer"]

import asyncio
import ipaddress
import logging
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from tornado.httpserver import HTTPServer
from tornado.netutil import bind_sockets
from tornado.web import Application

from course_lib.joining.messages import Ended, Progress, Refused, TakenOver
from course_lib.joining.room_talk import ADDRESS, LONGEST_OCTETS
from instructor.joined_room.board_files import BoardFiles
from instructor.joined_room.kept_state import RoomFile, write_room_file
from instructor.joined_room.member_door import MOST_CONNECTIONS, MOST_UNPROVED, MemberDoor
from instructor.joined_room.open_lines import hang_up_all
from instructor.joined_room.register import Register, RoomError, Told
from instructor.joined_room.room_view import RoomView
from instructor.joined_room.screen.screen_server import screen_handlers
from instructor.joined_room.screen.screen_wishes import Wish, WishError

LOOPBACK = "127.0.0.1"
KEEP_EVERY_S = 2.0
LAST_WORDS_S = 0.3  # for the last messages to leave
_LOG = logging.getLogger(__name__)
_LAST_WORDS = (Ended, Refused, TakenOver)


class RoomServer:
    """A room that runs in the event loop of who calls `open`.

    network: the addresses from which members may come. keep: makes the file of the register's
    state; with `path` it is written whenever something has changed. board: where members' progress
    goes; None: it is not kept.
    """

    def __init__(
        self,
        register: Register,
        secret: bytes,
        network: ipaddress.IPv4Network,
        *,
        path: Path | None = None,
        keep: Callable[[Register], RoomFile] | None = None,
        board: BoardFiles | None = None,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        self._board = board
        self.register, self.secret, self.network = register, secret, network
        self._path, self._keep, self._clock = path, keep, clock
        self._doors = dict[int, MemberDoor]()
        self._numbers = 0
        self._at = ""
        self._servers = list[tuple[Application, HTTPServer]]()
        self._kept: RoomFile | None = None
        self._keeper: asyncio.Task[None] | None = None

    # --- opening and closing

    def open(self, address: str, port: int, screen_port: int) -> tuple[int, int]:
        """Open both doors; return at which ports they are. 0 takes any. Raises `OSError`."""
        self._at = address
        doors = (
            (address, port, [(ADDRESS, MemberDoor, {"room": self})]),
            (LOOPBACK, screen_port, screen_handlers(self)),
        )
        ports = []
        for host, wanted, handlers in doors:
            application = Application(handlers, websocket_max_message_size=LONGEST_OCTETS)
            sockets = bind_sockets(wanted, host)
            server = HTTPServer(application, max_body_size=LONGEST_OCTETS)
            server.add_sockets(sockets)
            self._servers.append((application, server))
            ports.append(sockets[0].getsockname()[1])
        self._keeper = asyncio.ensure_future(self._keep_often())
        return ports[0], ports[1]

    async def run(self) -> None:
        """Stay until the room's time is over, or until this is cancelled; then close."""
        try:
            await asyncio.sleep(max(0.0, self.register.terms.ends_at_s - self._clock()))
        finally:
            await self.close()

    async def close(self) -> None:
        """Say the last word to everybody, shut the doors, and delete the file: the day is over."""
        self._tell(self.register.over())
        await asyncio.sleep(LAST_WORDS_S)
        await self.stop()
        if self._path is not None:
            self._path.unlink(missing_ok=True)
        if self._board is not None:
            self._board.delete()

    async def stop(self) -> None:
        """Shut the doors without a word, as if this process had ended; the file stays."""
        if self._keeper is not None:
            self._keeper.cancel()
        for application, server in self._servers:
            server.stop()
            hang_up_all(application)
            await server.close_all_connections()  # of those who have not got as far as a line

    # --- from the door of members

    def entered(self, door: MemberDoor) -> int | None:
        """Give a connection its number; None if there are too many already."""
        unproved = sum(not each.is_proved for each in self._doors.values())
        if unproved >= MOST_UNPROVED or len(self._doors) >= MOST_CONNECTIONS:
            return None
        self._numbers += 1
        self._doors[self._numbers] = door
        return self._numbers

    def came(self, connection: int, address: str, message: Any) -> None:
        """Hand a message to the register. Who comes from this machine is found at its address."""
        if ipaddress.ip_address(address).is_loopback:
            address = self._at
        self._tell(self.register.came(self._clock(), connection, address, message))
        pier = self.register.pier_of(connection)
        if isinstance(message, Progress) and self._board is not None and pier is not None:
            self._board.take(pier, message)

    def disconnected(self, connection: int) -> None:
        """Take note that a connection has ended."""
        self._doors.pop(connection, None)
        self.register.disconnected(connection)

    # --- from the screen

    def view(self) -> RoomView:
        """Return what is to be seen now."""
        return self.register.view(self._clock())

    def wish(self, wish: Wish) -> None:
        """Do what the screen wishes; raises `WishError`, in words for who is at the screen."""
        try:
            self._tell(self._granted(wish))
        except RoomError as problem:
            raise WishError(str(problem)) from None

    # --- inside

    def _granted(self, wish: Wish) -> list[Told]:
        """Return what is to be told to members, so that the wish comes true."""
        register, now_s = self.register, self._clock()
        match wish.kind, wish.link, wish.source, wish.destination:
            case "pull" | "mend", int(link), _, _:
                return register.set_pulled(link, is_pulled=wish.kind == "pull")
            case "stream", _, None, None:
                return register.end_stream()
            case "stream", _, str(source), str(destination):
                return register.begin_stream(now_s, source, destination)
            case "follow", _, str(source), str(destination):
                return register.follow(now_s, source, destination)
        raise RoomError(f"a wish of the kind {wish.kind!r} needs more than was said")

    def _tell(self, told: list[Told]) -> None:
        for connection, message in told:
            door = self._doors.get(connection)
            if door is None:
                continue
            door.tell(message)
            if isinstance(message, _LAST_WORDS):
                door.shut()

    async def _keep_often(self) -> None:
        while True:
            if self._path is not None and self._keep is not None:
                now = self._keep(self.register)
                if now != self._kept:
                    try:
                        write_room_file(self._path, now)
                        self._kept = now
                    except OSError as problem:  # such as a full disk: the room itself goes on
                        _LOG.warning("the state of the room is not kept: %s", problem)
            await asyncio.sleep(KEEP_EVERY_S)

"""The screen without any laptop: a simulated room, served to this machine's own browser."""

__all__ = ["rehearse"]

import asyncio
from collections.abc import Callable
from itertools import cycle

from tornado.httpserver import HTTPServer
from tornado.netutil import bind_sockets
from tornado.web import Application, RedirectHandler

from instructor.joined_room.open_lines import hang_up_all
from instructor.joined_room.screen.rehearsed_room import RehearsedRoom
from instructor.joined_room.screen.screen_server import ADDRESS, screen_handlers

HOST = "127.0.0.1"
STEP_S = 0.1
LONGEST_STEP_S = 0.5  # of a machine that is too slow, the room is slower than the wall clock
AWAKE_S, ASLEEP_S = 60.0, 20.0


def rehearse(
    announce: Callable[[str], None], plan: str = "ring", piers: int | None = None, *, port: int = 0
) -> None:
    """Serve a rehearsal until somebody stops it (Ctrl-C); `announce` is told its address.

    The room is made of a plan of `neighbours`, its routers are simulated, and one laptop after the
    other sleeps for a while. Raises `ValueError` for a plan that there is not.
    """
    asyncio.run(_rehearse(announce, RehearsedRoom(plan, piers), port))


async def _rehearse(announce: Callable[[str], None], room: RehearsedRoom, port: int) -> None:
    pages = Application([(r"/", RedirectHandler, {"url": ADDRESS}), *screen_handlers(room)])
    server = HTTPServer(pages)
    listeners = bind_sockets(port, HOST)
    server.add_sockets(listeners)
    try:
        announce(f"http://{HOST}:{listeners[0].getsockname()[1]}{ADDRESS}")
        await asyncio.gather(_go_on(room), _sleep_and_wake(room))
    finally:
        server.stop()
        hang_up_all(pages)
        await server.close_all_connections()


async def _go_on(room: RehearsedRoom) -> None:
    """Let the room's time pass as fast as the wall's, in short steps."""
    clock = asyncio.get_running_loop().time
    before = clock()
    while True:
        await asyncio.sleep(STEP_S)
        now = clock()
        room.go_on(min(now - before, LONGEST_STEP_S))
        before = now


async def _sleep_and_wake(room: RehearsedRoom) -> None:
    for member in cycle(room.view().members):
        await asyncio.sleep(AWAKE_S)
        room.sleep(member.pier)
        await asyncio.sleep(ASLEEP_S)
        room.wake(member.pier)

"""What tests of the joined room share: a screen that shows what a test says."""

import asyncio
import threading

import pytest
from tornado.httpserver import HTTPServer
from tornado.netutil import bind_sockets
from tornado.web import Application

from instructor.joined_room.open_lines import hang_up_all
from instructor.joined_room.screen.screen_server import screen_handlers
from pages.shown_rooms import ShownRoom, room_of


@pytest.fixture(scope="module")
def screen():
    """Serve a screen from a thread of its own; give the room that it shows, and its address."""
    room, ready, ended = ShownRoom(room_of()), threading.Event(), []

    async def serve():
        pages = Application(screen_handlers(room))
        server = HTTPServer(pages, xheaders=True)
        listeners = bind_sockets(0, "127.0.0.1")
        server.add_sockets(listeners)
        end = asyncio.Event()
        ended.append((asyncio.get_running_loop(), end))
        room.address = f"127.0.0.1:{listeners[0].getsockname()[1]}"
        ready.set()
        await end.wait()
        server.stop()
        hang_up_all(pages)
        await server.close_all_connections()

    thread = threading.Thread(target=lambda: asyncio.run(serve()))
    thread.start()
    ready.wait()
    yield room
    loop, end = ended[0]
    loop.call_soon_threadsafe(end.set)
    thread.join()

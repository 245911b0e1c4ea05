"""The server of a room as a program in a network of its own: tells its view, takes wishes.

room_program.py '{"code": ..., "address": ..., "piers": ..., "plan": ..., "state": ...}'

Descriptor 3 is a socket that listens outside of this network: there a browser finds the screen.
"""

import asyncio
import ipaddress
import json
import os
import socket
import sys
import time
from pathlib import Path

from tornado.httpserver import HTTPServer
from tornado.web import Application

from course_lib.links import room_secret
from instructor.joined_room.kept_state import RoomFile, read_room_file
from instructor.joined_room.neighbours import room_plan
from instructor.joined_room.register import Register, RoomTerms
from instructor.joined_room.room_server import RoomServer
from instructor.joined_room.screen.screen_server import screen_handlers
from instructor.joined_room.screen.screen_wishes import Wish, WishError

EVERY_S = 0.25
NETWORK = ipaddress.ip_network("192.0.2.0/24")


async def main(order):
    path = Path(order["state"])
    kept = read_room_file(path).state if path.is_file() else None
    plan = room_plan(order["plan"], order["piers"])
    terms = RoomTerms("Quay", "ABC-...", time.monotonic() + 3600)
    facts = ("Quay", "", plan.kind, len(plan.places), terms.way, 2e9)
    keep = lambda one: RoomFile(*facts, one.kept())  # noqa: E731
    server = RoomServer(Register(plan, terms, kept, time.monotonic()), room_secret(order["code"]),
                        NETWORK, path=path, keep=keep)  # fmt: skip
    server.open(order["address"], order["port"], 0)
    screen = HTTPServer(Application(screen_handlers(server)))
    outside = socket.socket(fileno=3)
    outside.setblocking(False)
    screen.add_sockets([outside])
    lines = asyncio.StreamReader()
    await asyncio.get_running_loop().connect_read_pipe(
        lambda: asyncio.StreamReaderProtocol(lines), os.fdopen(os.dup(0), "rb")
    )
    telling = asyncio.ensure_future(tell(server))
    while line := await lines.readline():
        wish = json.loads(line)
        wish.pop("do")
        try:
            server.wish(Wish(**wish))
        except WishError as problem:
            print(json.dumps({"refused": str(problem)}), flush=True)
    telling.cancel()


async def tell(server):
    while True:
        begun_s = time.process_time()
        view = server.view().to_plain()
        took_s = time.process_time() - begun_s
        print(json.dumps({"view": view, "view_took_s": took_s}), flush=True)
        await asyncio.sleep(EVERY_S)


if __name__ == "__main__":
    asyncio.run(main(json.loads(sys.argv[1])))

"""A room in a thread of this process, for tests: its server on loopback, at ports that are free."""

import asyncio
import ipaddress
import threading

from course_lib.joining.member import Member
from course_lib.links import new_code, room_secret
from instructor.joined_room.kept_state import RoomFile
from instructor.joined_room.neighbours import room_plan
from instructor.joined_room.register import Register, RoomTerms
from instructor.joined_room.room_server import RoomServer
from networks.pier_stand_in import PierStandIn

CODE = new_code()
SECRET = room_secret(CODE)
LOOPBACK = ipaddress.ip_network("127.0.0.0/8")
ENDS_IN_S = 3600.0


class RunningRoom:
    """A room in a thread of its own; `kill` ends it without a word."""

    def __init__(self, path, port=0, kept=None, piers=6, network=LOOPBACK, board=None):
        self._loop, self._ready = asyncio.new_event_loop(), threading.Event()
        self._path, self._kept, self._network = path, kept, network
        self._wanted, self._piers, self._board = port, piers, board
        self._thread = threading.Thread(target=self._turn, daemon=True)
        self._thread.start()
        assert self._ready.wait(60)

    def _turn(self):
        asyncio.set_event_loop(self._loop)
        self._loop.run_until_complete(self._open())
        self._ready.set()
        self._loop.run_forever()
        self._loop.close()

    async def _open(self):
        now_s = self._loop.time()
        terms = RoomTerms("Quay", "ABC-…", now_s + ENDS_IN_S)
        state = () if self._kept is None else (self._kept.state,)
        register = Register(room_plan("ring", self._piers), terms, *state, now_s=now_s)
        facts = ("Quay", "check", "ring", self._piers, terms.way, 1e9)
        keep = lambda one: RoomFile(*facts, one.kept())  # noqa: E731
        self.server = RoomServer(register, SECRET, self._network, path=self._path, keep=keep,
                                 board=self._board, clock=self._loop.time)  # fmt: skip
        self.port, self.screen_port = self.server.open("127.0.0.1", self._wanted, 0)

    def call(self, function, *arguments):
        """Call something in the room's own thread."""

        async def called():
            got = function(*arguments)
            return await got if asyncio.iscoroutine(got) else got

        return asyncio.run_coroutine_threadsafe(called(), self._loop).result(60)

    def kill(self):
        if self._thread.is_alive():
            self.call(self.server.stop)
            self._loop.call_soon_threadsafe(self._loop.stop)
            self._thread.join()

    def states(self):
        return [member.state for member in self.call(self.server.view).members]

    def member(self, student, secret=SECRET, pier=None, progress=None):
        at = f"127.0.0.1:{self.port}"
        member = Member(at, secret, student, pier or PierStandIn(), progress)
        member.begin()
        return member

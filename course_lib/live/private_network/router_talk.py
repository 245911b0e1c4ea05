"""Talk with the process of one router: commands go there, answers and events come back.

Each command has a number, and its answer has the same. An answer may take long, as one about the
next packet that passes, and others come meanwhile; so a thread reads all lines and hands each to
whoever waits for it.
"""

__all__ = ["RouterTalk"]

import threading
from collections import deque
from collections.abc import Mapping, Sequence
from concurrent.futures import Future
from itertools import count
from typing import Any

from course_lib.live.private_network.live_process import LiveProcess
from course_lib.live.private_network.supervised import LiveNetworkError, Supervised

PROGRAM = "course_lib.live.router_process"
READY = 0  # the number under which the first answer is waited for
ANSWERS_WITHIN_S = 30.0  # one that computes too long has ended by then; a machine may be busy
MOST_EVENTS = 1000  # the latest; a router may complain about every frame


class RouterTalk:
    """A router's process, from its start on.

    events: what it has told unasked, the latest. why_it_ended: words, "" while it runs.
    """

    def __init__(
        self, supervised: Supervised, order: Mapping[str, object], descriptors: Sequence[int] = ()
    ) -> None:
        """Start the process with this order."""
        place = str(order["name"])
        self.process = LiveProcess(supervised, place, ["-m", PROGRAM], descriptors=descriptors)
        self.events: deque[dict[str, Any]] = deque(maxlen=MOST_EVENTS)
        self._numbers, self._waiting = count(1), dict[int, Future[dict[str, Any]]]()
        self._lock, self.why_it_ended = threading.Lock(), ""
        self._is_ready = Future[dict[str, Any]]()
        self._waiting[READY] = self._is_ready
        self.process.send(order)
        self._reader = threading.Thread(target=self._read, daemon=True, name=f"talk with {place}")
        self._reader.start()

    def wait_until_ready(self) -> None:
        """Wait for the router; raises `LiveNetworkError` if it could not be made."""
        first = self._is_ready.result()
        if first.get("event") != "ready":
            self.stop()
            words = f"router {self.process.place!r} could not be made: {first.get('text')}"
            raise LiveNetworkError(words)

    def command(self, command: str, **more: object) -> Future[dict[str, Any]]:
        """Send a command; the answer comes in its own time, or `LiveNetworkError` in its stead."""
        number, answer = next(self._numbers), Future[dict[str, Any]]()
        with self._lock:
            if self.why_it_ended:
                raise LiveNetworkError(self.why_it_ended)
            self._waiting[number] = answer
            self.process.send({"number": number, "command": command, **more})
        return answer

    def ask(self, command: str, **more: object) -> dict[str, Any]:
        """Send a command and wait for the answer; raises `LiveNetworkError` if none comes."""
        try:
            return self.command(command, **more).result(ANSWERS_WITHIN_S)
        except TimeoutError:
            words = f"router {self.process.place!r} has not answered for {ANSWERS_WITHIN_S:g} s"
            raise LiveNetworkError(words) from None

    def stop(self) -> None:
        """End the process, and with it every command that waits."""
        self.process.kill()
        self._reader.join()
        self.process.stop()

    def _read(self) -> None:
        for line in self.process.lines():
            number = READY if line.get("event") in ("ready", "failed") else line.get("number", -1)
            waits = self._waiting.pop(number, None)
            if waits is None:
                self.events.append(line)
            else:
                waits.set_result(line)
        try:
            code: int | None = self.process.wait()
        except LiveNetworkError:
            code = None
        with self._lock:
            self.why_it_ended = self.process.how_it_ended(code)
        for waits in self._waiting.values():
            waits.set_exception(LiveNetworkError(self.why_it_ended))

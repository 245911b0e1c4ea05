"""Watch the process in which an answer runs: its replies, its prints, its end.

The process may be a stranger's. So each reply is read up to a length, there are no
more replies than were asked for, prints are counted and only their head is kept,
and whoever goes beyond is ended. Who starts the process is a `Launcher`: here a
plain one is started, a grader has one that starts it in a sandbox.
"""

__all__ = ["AnswerProcess", "Launcher", "Printed", "RunnerError", "Started", "start_here"]

import contextlib
import json
import os
import signal
import site
import subprocess
import sys
import time
from collections import deque
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import IO, Any, Protocol, cast

from course_lib.runner.lifeline import Lifeline
from course_lib.runner.pipes import watched
from course_lib.runner.used_time import Used, used_by

REPLIES, PRINTS = 0, 1  # places of the pipes that are watched
PRINT_HEAD = 2000  # characters of printed text that are kept
LINE_LIMIT = 4 << 20  # octets of one reply; a larger one is not an answer
REPLIES_LIMIT = 32 << 20  # octets of all replies together
COMMAS_LIMIT = 200_000  # in one reply: more items than plain data may have
IDLE = 3  # times its limit may a case neither compute nor be ready to; it sleeps, or waits
MOST = 50  # times its limit may a case take on the clock on the wall, whatever it does
SHORTEST_LOOK_S = 0.01  # between two looks at what it has computed
HELD_UP = 0.1  # of what it computed it was ready and others did: then it is no fair race


class RunnerError(RuntimeError):
    """The process for the answer could not be started: our fault, not the answer's."""


class Started(Protocol):
    """A process that waits for a request, seen from outside."""

    requests: IO[bytes]
    replies: IO[bytes]
    prints: IO[bytes]

    def pid(self) -> int | None:
        """Return the answer's own process, once it is ready; None where nobody can tell."""

    def kill(self) -> None:
        """End it, and all that it started; harmless if it has ended already."""

    def wait(self, most_s: float | None = None) -> str | None:
        """Wait until it is gone, and say how it ended; may be called again.

        None if it is still there after `most_s` seconds.
        """


Launcher = Callable[[], Started]


def start_here(wrapper: Sequence[str] = ()) -> Started:
    """Start a plain process, as the user who asks; `wrapper` goes in front of the command."""
    alone = ("-E", "-P") if _is_the_users_own(__file__) else ("-I",)
    return Child([*wrapper, sys.executable, *alone, "-m", "course_lib.runner.child"])


def how_it_ended(code: int) -> str:
    """Put into words what `subprocess` returns: an exit status, or a signal's number below zero."""
    if code >= 0:
        return f"ended with exit status {code}"
    names = {one.value: one.name for one in signal.Signals}
    return f"ended by signal {names.get(-code, -code)}"


class Child:
    """A child process of our own, with a bare environment; it does not outlive us."""

    def __init__(
        self,
        command: Sequence[str],
        environment: dict[str, str] | None = None,
        keep: Sequence[int] = (),
    ) -> None:
        self._line = Lifeline()
        try:
            self._process = subprocess.Popen(
                command,
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.PIPE,
                start_new_session=True,
                pass_fds=[*keep, *self._line.theirs],
                env=_bare_environment() if environment is None else environment,
            )
        except OSError as problem:
            self._line.close()
            raise RunnerError(f"the process for the answer did not start: {problem}") from problem
        self._line.tie(self._process.pid)
        streams = (self._process.stdin, self._process.stdout, self._process.stderr)
        self.requests, self.replies, self.prints = cast(tuple[IO[bytes], ...], streams)

    def pid(self) -> int | None:
        """Return the process that was started."""
        return self._process.pid

    def kill(self) -> None:
        """End the process, and all others of its session's group where there are such groups."""
        if hasattr(os, "killpg"):
            with contextlib.suppress(ProcessLookupError):  # it has ended by itself
                os.killpg(self._process.pid, signal.SIGKILL)
        else:
            self._process.kill()

    def wait(self, most_s: float | None = None) -> str | None:
        """Wait for its end and say how it came; None if it does not come in time."""
        try:
            code = self._process.wait(most_s)
        except subprocess.TimeoutExpired:
            return None
        self._line.close()
        return how_it_ended(code)


class Printed:
    """The head of what an answer printed, and how much there was in all."""

    def __init__(self, most_octets: int) -> None:
        self.most = most_octets
        self.text = ""
        self.octets = 0

    def take(self, chunk: bytes) -> None:
        """Count a piece of what was printed, and keep it if it belongs to the head."""
        self.octets += len(chunk)
        if len(self.text) < PRINT_HEAD:
            self.text = (self.text + chunk.decode("utf-8", "replace"))[:PRINT_HEAD]


class AnswerProcess:
    """One started process, watched through its pipes.

    Raises `RunnerError` if it cannot be started. Leaving the `with` block ends it.
    """

    def __init__(self, request: dict[str, Any], printed: Printed, launcher: Launcher) -> None:
        self._printed = printed
        self._printed_before = len(printed.text)
        self._cut_for = ""
        self._pid: int | None = None
        self.late = ""  # why `read` gave up last, in words
        self.was_held_up = False  # and whether others had the processor meanwhile
        self._lines: deque[bytes] = deque()
        self._begun = bytearray()  # the line that is not whole yet
        self._lines_left = len(request["cases"]) + 2
        self._octets_left = REPLIES_LIMIT
        self._process = launcher()
        self._pipes = watched((self._process.replies, self._process.prints))
        self._open = {REPLIES: self._listen, PRINTS: self._drain}
        with contextlib.suppress(BrokenPipeError), self._process.requests as stream:
            stream.write(json.dumps(request).encode())  # if it ended before it read, `read` says so

    def __enter__(self) -> "AnswerProcess":
        return self

    def __exit__(self, *_: object) -> None:
        self._process.kill()
        self._process.wait()
        self._read_the_rest_of_prints()
        self._pipes.close()

    @property
    def last_words(self) -> str:
        """Return the last line that the process wrote before it ended."""
        said = self._printed.text[self._printed_before :]
        return (said.strip().splitlines() or ["no message"])[-1]

    def read_first(self, wait_s: float) -> dict[str, Any] | None:
        """Return the first reply, which comes before anything of the answer runs."""
        first = self._next_until(time.monotonic() + wait_s)
        self._pid = self._process.pid()
        return first

    def read(self, limit_s: float) -> dict[str, Any] | None:
        """Return the next reply, `{"ended": why}` after the last, or None in time-out.

        The limit is one of computing; where nobody can tell how long that was, of the clock.
        """
        if self._lines:  # to ask the system how long it took would take longer
            return _reply(self._lines.popleft())
        began = time.monotonic()
        reply = self._next_until(began + min(limit_s, SHORTEST_LOOK_S))
        if reply is not None:  # most come at once: what it had computed before is never asked
            return reply
        before, look_s = used_by(self._pid), limit_s
        while look_s > 0:
            reply = self._next_until(time.monotonic() + look_s)
            if reply is not None:
                return reply
            now = used_by(self._pid)
            used = now.since(before) if now is not None and before is not None else None
            look_s = self._time_left(limit_s, time.monotonic() - began, used)
        return None

    def _time_left(self, limit_s: float, passed_s: float, used: Used | None) -> float:
        """Return when to look again; 0 if the time is up, and `late` then says why."""
        if used is None:
            self.late = f"no result within {limit_s:g} s"
            self.was_held_up = False
            return 0.0
        idle_s = passed_s - used.computed_s - used.queued_s
        left = {
            f"no result after {limit_s:g} s of computing": limit_s - used.computed_s,
            f"no result: it waited {IDLE * limit_s:g} s without computing": IDLE * limit_s - idle_s,
            f"no result within {MOST * limit_s:g} s": MOST * limit_s - passed_s,
        }
        self.late = min(left, key=left.__getitem__)
        self.was_held_up = used.queued_s > HELD_UP * used.computed_s
        return max(left[self.late], SHORTEST_LOOK_S) if left[self.late] > 0 else 0.0

    def _next_until(self, until: float) -> dict[str, Any] | None:
        """Return the next reply, or how the process ended; None if neither comes in time."""
        while not self._lines and REPLIES in self._open:
            left_s = until - time.monotonic()
            if left_s <= 0:
                return None
            for place, chunk in self._pipes.wait(left_s):
                if place in self._open:
                    self._open[place](chunk)
        if self._lines:
            return _reply(self._lines.popleft())
        return self._ended(until)

    def _ended(self, until: float) -> dict[str, Any] | None:
        """Say how the process ended; None if it only closed its line and is still there."""
        how = self._process.wait(max(0.0, until - time.monotonic()))
        if how is None:
            return None
        self._read_the_rest_of_prints()
        return {"ended": self._cut_for or how}

    def _listen(self, chunk: bytes) -> None:
        """Take replies; more of them than there are cases are forged, and end the process."""
        self._octets_left -= len(chunk)
        if chunk and (self._octets_left < 0 or not self._lines_left):
            self._shut(REPLIES)
            self._cut("sent more replies than it was asked for")
        elif chunk:
            self._split(chunk)
        else:
            self._shut(REPLIES)
            if self._begun:
                self._take_line(bytes(self._begun))

    def _split(self, chunk: bytes) -> None:
        """Take the whole lines; one that is longer than a line may be is taken in pieces."""
        first, *others = chunk.split(b"\n")
        self._begun += first
        for begun in others:
            self._take_line(bytes(self._begun))
            self._begun = bytearray(begun)
        while len(self._begun) >= LINE_LIMIT:
            self._take_line(bytes(self._begun[:LINE_LIMIT]))
            del self._begun[:LINE_LIMIT]

    def _take_line(self, line: bytes) -> None:
        if self._lines_left:
            self._lines_left -= 1
            self._lines.append(line)
        else:
            self._cut("sent more replies than it was asked for")

    def _drain(self, chunk: bytes) -> None:
        self._printed.take(chunk)
        if not chunk:
            self._shut(PRINTS)
        elif self._printed.octets > self._printed.most:
            self._cut(f"printed more than {self._printed.most:,} octets")

    def _read_the_rest_of_prints(self) -> None:
        """Take what lies in the pipe still; whoever else may hold it is not waited for."""
        while PRINTS in self._open and self._printed.octets <= self._printed.most:
            chunk = self._pipes.rest(PRINTS)
            if chunk is None:
                return
            self._drain(chunk)

    def _shut(self, place: int) -> None:
        self._pipes.leave(place)
        del self._open[place]

    def _cut(self, why: str) -> None:
        self._cut_for = self._cut_for or why
        self._process.kill()


def _reply(line: bytes) -> dict[str, Any]:
    if line.count(b",") > COMMAS_LIMIT:
        return {"not_plain": "a reply with too many items"}
    try:
        reply = json.loads(line)
    except (ValueError, RecursionError):
        return {"not_plain": "a reply that cannot be read"}
    return reply if isinstance(reply, dict) else {"not_plain": "no reply"}


def _is_the_users_own(file: str) -> bool:
    """Tell whether a file was installed for this user alone: `-I` would hide it from Python."""
    return bool(site.ENABLE_USER_SITE) and Path(file).is_relative_to(site.getusersitepackages())


def _bare_environment() -> dict[str, str]:
    """Return the few variables Python needs; nothing of the user's own passes."""
    kept = ("PATH", "SYSTEMROOT", "LANG", "LC_ALL", "TMPDIR", "TEMP", "HOME", "APPDATA")
    return {name: os.environ[name] for name in kept if name in os.environ}

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
import queue
import signal
import subprocess
import sys
import threading
from collections.abc import Callable, Sequence
from typing import IO, Any, Protocol, cast

PRINT_HEAD = 2000  # characters of printed text that are kept
LINE_LIMIT = 4 << 20  # octets of one reply; a larger one is not an answer
REPLIES_LIMIT = 32 << 20  # octets of all replies together
COMMAS_LIMIT = 200_000  # in one reply: more items than plain data may have


class RunnerError(RuntimeError):
    """The process for the answer could not be started: our fault, not the answer's."""


class Started(Protocol):
    """A process that waits for a request, seen from outside."""

    requests: IO[bytes]
    replies: IO[bytes]
    prints: IO[bytes]

    def kill(self) -> None:
        """End it, and all that it started; harmless if it has ended already."""

    def wait(self) -> str:
        """Wait until it is gone, and say how it ended; may be called again."""


Launcher = Callable[[], Started]


def start_here(wrapper: Sequence[str] = ()) -> Started:
    """Start a plain process, as the user who asks; `wrapper` goes in front of the command."""
    return Child([*wrapper, sys.executable, "-I", "-m", "course_lib.exercises.child"])


def how_it_ended(code: int) -> str:
    """Put into words what `subprocess` returns: an exit status, or a signal's number below zero."""
    if code >= 0:
        return f"ended with exit status {code}"
    names = {one.value: one.name for one in signal.Signals}
    return f"ended by signal {names.get(-code, -code)}"


class Child:
    """A child process of our own, with a bare environment and no descriptors but the three."""

    def __init__(
        self, command: Sequence[str], environment: dict[str, str] | None = None,
        keep: Sequence[int] = (),
    ) -> None:  # fmt: skip
        try:
            self._process = subprocess.Popen(
                command,
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.PIPE,
                start_new_session=True,
                pass_fds=keep,
                env=_bare_environment() if environment is None else environment,
            )
        except OSError as problem:
            raise RunnerError(f"the process for the answer did not start: {problem}") from problem
        streams = (self._process.stdin, self._process.stdout, self._process.stderr)
        self.requests, self.replies, self.prints = cast(tuple[IO[bytes], ...], streams)

    def kill(self) -> None:
        """End the process and all others of its session's group."""
        if os.name == "posix":
            with contextlib.suppress(ProcessLookupError):  # it has ended by itself
                os.killpg(self._process.pid, signal.SIGKILL)
        else:
            self._process.kill()

    def wait(self) -> str:
        """Wait for its end and say how it came."""
        return how_it_ended(self._process.wait())


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
    """One started process: a thread drains its prints, another reads its replies.

    Raises `RunnerError` if it cannot be started. Leaving the `with` block ends it.
    """

    def __init__(self, request: dict[str, Any], printed: Printed, launcher: Launcher) -> None:
        self._replies: queue.Queue[dict[str, Any]] = queue.Queue()
        self._printed = printed
        self._cut_for = ""
        self._process = launcher()
        self._threads = [
            threading.Thread(target=self._drain, daemon=True),
            threading.Thread(target=self._listen, args=(len(request["cases"]) + 2,), daemon=True),
        ]
        for thread in self._threads:
            thread.start()
        with contextlib.suppress(BrokenPipeError), self._process.requests as stream:
            stream.write(json.dumps(request).encode())  # if it ended before it read, `read` says so

    def __enter__(self) -> "AnswerProcess":
        return self

    def __exit__(self, *_: object) -> None:
        self._process.kill()
        self._process.wait()
        for thread in self._threads:
            thread.join(timeout=2)
        self._process.replies.close()
        self._process.prints.close()

    @property
    def last_words(self) -> str:
        """Return the last line that the process wrote before it ended."""
        return (self._printed.text.strip().splitlines() or ["no message"])[-1]

    def read(self, wait_s: float) -> dict[str, Any] | None:
        """Return the next reply, `{"ended": why}` after the last, or None in time-out."""
        try:
            return self._replies.get(timeout=wait_s)
        except queue.Empty:
            return None

    def _drain(self) -> None:
        while chunk := os.read(self._process.prints.fileno(), 1 << 16):
            self._printed.take(chunk)
            if self._printed.octets > self._printed.most:
                self._cut(f"printed more than {self._printed.most:,} octets")

    def _listen(self, most_lines: int) -> None:
        """Read replies; more of them than there are cases are forged, and end the process."""
        left = REPLIES_LIMIT
        for _ in range(most_lines):
            line = self._process.replies.readline(LINE_LIMIT)
            left -= len(line)
            if not line or left < 0:
                break
            self._replies.put(_reply(line))
        if left < 0 or self._process.replies.readline(1):
            self._cut("sent more replies than it was asked for")
        self._replies.put({"ended": self._cut_for or self._process.wait()})

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


def _bare_environment() -> dict[str, str]:
    """Return the few variables Python needs; nothing of the user's own passes."""
    kept = ("PATH", "SYSTEMROOT", "LANG", "LC_ALL", "TMPDIR", "TEMP")
    return {name: os.environ[name] for name in kept if name in os.environ}

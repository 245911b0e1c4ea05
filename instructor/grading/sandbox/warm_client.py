"""Warm sandboxes from outside: start them, have answers started in them, replace broken ones.

Each worker gets a sandbox of its own with a warm process in it (`warm_server.py`).
To start an answer takes a message with three pipe ends; the pipes then lead straight
to the answer's process. The warm process never sees a request or a reply.

A sandbox that does not answer in time, or in which a process was left over, is
thrown away as a whole.
"""

__all__ = ["ANSWERS", "WarmSandboxes"]

import contextlib
import json
import os
import queue
import select
import signal
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from typing import IO

from course_lib.runner import child
from course_lib.runner.answer_process import RunnerError, Started, how_it_ended
from instructor.grading.sandbox.inside.isolation import Bounds
from instructor.grading.sandbox.memory import with_all_below
from instructor.grading.sandbox.walls import user_namespace, walls

ANSWERS = child.__name__  # the program in which an answer runs
START_S = 60.0  # imports included, on a busy machine
CLOSE_S = 5.0
END_S = 10.0  # from "end" to "it is gone"


class WarmSandboxes:
    """So many warm sandboxes, each started when it is first needed, and used by one at a time.

    Each start in there is one of `program`, a module with a `main`; `modules` are imported before.
    """

    def __init__(
        self, size: int, bounds: Bounds, modules: Sequence[str], program: str = ANSWERS
    ) -> None:
        self._bounds = bounds
        self._modules = (program, *modules)
        self._idle: queue.LifoQueue[_Sandbox | None] = queue.LifoQueue()
        self._size = size
        self.used_s: dict[_Sandbox, float] = {}  # of the processor, up to now
        for _ in range(size):
            self._idle.put(None)

    def launch(self) -> Started:
        """Start a process for an answer; wait for an idle sandbox if all are busy.

        Raises `RunnerError` if none can be had.
        """
        sandbox = self._idle.get()
        try:
            sandbox = sandbox or _Sandbox(self._bounds, self._modules)
            return _Answer(sandbox, self)
        except BaseException:
            self.give_back(sandbox, broken=True)
            raise

    def give_back(self, sandbox: "_Sandbox | None", *, broken: bool) -> None:
        """Make a sandbox available again, or in its place a new one."""
        if broken and sandbox is not None:
            sandbox.close()
            sandbox = None
        self._idle.put(sandbox)

    def close(self) -> None:
        """End all sandboxes and everything in them; waits for those in use."""
        for _ in range(self._size):
            sandbox = self._idle.get()
            if sandbox is not None:
                sandbox.close()


class _Sandbox:
    """One sandbox with its warm process, and the line to it."""

    def __init__(self, bounds: Bounds, modules: Sequence[str]) -> None:
        self.control, far_end = socket.socketpair(socket.AF_UNIX, socket.SOCK_SEQPACKET)
        self._said = tempfile.TemporaryFile()  # noqa: SIM115  # closed with the sandbox
        self._process: subprocess.Popen[bytes] | None = None
        try:
            with far_end, user_namespace() as users:
                keep = [far_end.fileno()] if users is None else [far_end.fileno(), users]
                command = [
                    *walls(users, None), sys.executable, "-s", "-P", "-m",
                    "instructor.grading.sandbox.inside.warm_server",
                    str(far_end.fileno()), json.dumps(bounds), *modules,
                ]  # fmt: skip
                self._process = subprocess.Popen(
                    command, pass_fds=keep, env={}, start_new_session=True,
                    stdin=subprocess.DEVNULL, stdout=self._said, stderr=self._said,
                )  # fmt: skip
            self._wait_until_ready()
        except BaseException:
            self.close()
            raise

    def close(self) -> None:
        """End the sandbox: the warm process goes when its line is cut, and all others with it."""
        self.control.close()
        if self._process is not None:
            try:
                self._process.wait(timeout=CLOSE_S)
            except subprocess.TimeoutExpired:
                self._process.kill()
                self._process.wait()
        self._said.close()

    def answer_pid(self) -> int | None:
        """Return the process that the warm one has forked, as this machine numbers it."""
        below = with_all_below(self._warm_pid)[1:]
        return below[0] if below else None

    def _wait_until_ready(self) -> None:
        assert self._process is not None
        self.control.settimeout(START_S)
        try:
            if self.control.recv(64) == b"ready":
                self._warm_pid = with_all_below(self._process.pid)[-1]
                return
        except TimeoutError as problem:
            raise RunnerError("the sandbox did not start in time") from problem
        self._said.seek(0)
        lines = self._said.read(1 << 16).decode("utf-8", "replace").strip().splitlines()
        raise RunnerError(f"the sandbox did not start: {lines[-1] if lines else 'no message'}")


class _Answer:
    """The process of one answer in a warm sandbox."""

    requests: IO[bytes]
    replies: IO[bytes]
    prints: IO[bytes]

    def __init__(self, sandbox: _Sandbox, home: WarmSandboxes) -> None:
        self._sandbox = sandbox
        self._home = home
        self._ended = ""
        self._killed_at = 0.0
        request, requests = os.pipe()
        replies, reply = os.pipe()
        prints, print_ = os.pipe()
        theirs = [request, reply, print_]
        self.requests = os.fdopen(requests, "wb")
        self.replies = os.fdopen(replies, "rb")
        self.prints = os.fdopen(prints, "rb", buffering=0)
        try:
            socket.send_fds(sandbox.control, [b"start"], theirs)
        except OSError as problem:
            for stream in (self.requests, self.replies, self.prints):
                stream.close()
            raise RunnerError(f"the warm process is gone ({problem.strerror})") from problem
        finally:
            for descriptor in theirs:
                os.close(descriptor)

    def pid(self) -> int | None:
        """Return the answer's process, as this machine numbers it."""
        return None if self._ended else self._sandbox.answer_pid()

    def kill(self) -> None:
        """Have it ended; nothing happens if it has ended by itself."""
        if self._ended:
            return  # the sandbox may be somebody else's by now
        self._killed_at = self._killed_at or time.monotonic()
        with contextlib.suppress(OSError):  # the sandbox is gone; `wait` then says so
            self._sandbox.control.send(b"end")

    def wait(self, most_s: float | None = None) -> str | None:
        """Wait until nothing of the answer is left in the sandbox, and say how it ended.

        None if it has not ended after `most_s` seconds.
        """
        if not self._ended:
            until = None if most_s is None else time.monotonic() + most_s
            end = self._receive_end(until)
            if end is None:
                return None
            self._ended, broken = end
            self._home.give_back(self._sandbox, broken=broken)
        return self._ended

    def _receive_end(self, until: float | None) -> tuple[str, bool] | None:
        """Return how the answer ended, and whether the sandbox must be thrown away."""
        while not self._has_news(until):
            if until is not None and time.monotonic() >= until:
                return None
            if self._killed_at and time.monotonic() - self._killed_at > END_S:
                return "did not end when it was told to", True
        try:
            said = self._sandbox.control.recv(4096)
        except OSError:
            said = b""
        if not said:
            return "ended together with its sandbox", True
        ended = json.loads(said)
        self._home.used_s[self._sandbox] = ended["so_far_s"]
        why = ended["why"] or how_it_ended(ended["code"])
        if ended["code"] == -signal.SIGKILL and not self._killed_at and not ended["why"]:
            why += f" after {ended['processor_s']:.1f} s of processor time"
        return why, ended["left"] > 0

    def _has_news(self, until: float | None) -> bool:
        wait_s = 1.0 if until is None else min(1.0, max(0.0, until - time.monotonic()))
        poll = select.poll()
        poll.register(self._sandbox.control, select.POLLIN)
        return bool(poll.poll(wait_s * 1000))

"""Processes of answers, forked from one that has imported all that they need.

Python's own start takes ten times as long as most answers. Where thousands of answers are put to
cases, this is the `Launcher`: each still has a process of its own, of which nothing is left
afterwards. What a fresh start gives beyond that has tests beside the runner: forks share how
Python hashes texts, and belong to no session of their own.
"""

import contextlib
import os
import select
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from typing import IO

from course_lib.runner import child
from course_lib.runner.answer_process import RunnerError, Started, how_it_ended

STATUS_OCTETS = 8
ONE_THREAD = {"OPENBLAS_NUM_THREADS": "1"}  # what is forked should have no other


class ForkedAnswers:
    """One process that waits to be forked; `launch` is a `Launcher`, for any thread."""

    def __init__(self) -> None:
        self._control, far_end = socket.socketpair(socket.AF_UNIX, socket.SOCK_SEQPACKET)
        with far_end:
            command = [sys.executable, "-I", __file__, str(far_end.fileno())]
            kept = {name: os.environ[name] for name in ("PATH", "LANG", "HOME", "TMPDIR")
                    if name in os.environ} | ONE_THREAD  # fmt: skip
            self._process = subprocess.Popen(command, pass_fds=[far_end.fileno()], env=kept)

    def launch(self) -> Started:
        """Fork a process for an answer."""
        return _Forked(self._control)

    def close(self) -> None:
        """End the process that waits; it ends whatever it has forked."""
        self._control.close()
        self._process.wait()


@contextlib.contextmanager
def forked_answers() -> Iterator[ForkedAnswers]:
    """Start the process that is forked, and end it."""
    forks = ForkedAnswers()
    try:
        yield forks
    finally:
        forks.close()


class _Forked:
    """The process of one answer, seen from the tests."""

    requests: IO[bytes]
    replies: IO[bytes]
    prints: IO[bytes]

    def __init__(self, control: socket.socket) -> None:
        request, requests = os.pipe()
        replies, reply = os.pipe()
        prints, print_ = os.pipe()
        self._status, status = os.pipe()
        self.requests = os.fdopen(requests, "wb")
        self.replies = os.fdopen(replies, "rb")
        self.prints = os.fdopen(prints, "rb", buffering=0)
        self._ended = ""
        theirs = [request, reply, print_, status]
        try:
            socket.send_fds(control, [b"start"], theirs)
        except OSError as problem:
            raise RunnerError(f"the process that is forked is gone: {problem}") from problem
        finally:
            for descriptor in theirs:
                os.close(descriptor)
        self._pid = _number(self._status)

    def pid(self) -> int | None:
        return self._pid

    def kill(self) -> None:
        if not self.wait(0):
            with contextlib.suppress(ProcessLookupError):
                os.killpg(self._pid, signal.SIGKILL)

    def wait(self, most_s: float | None = None) -> str | None:
        if not self._ended:
            ready = select.select([self._status], [], [], most_s)[0]
            if not ready:
                return None
            self._ended = how_it_ended(os.waitstatus_to_exitcode(_number(self._status)))
            os.close(self._status)
        return self._ended


def _number(descriptor: int) -> int:
    octets = os.read(descriptor, STATUS_OCTETS)
    if len(octets) != STATUS_OCTETS:
        raise RunnerError("the process that is forked has ended")
    return int.from_bytes(octets)


def serve(control: socket.socket) -> None:
    """Fork at each message, and say through its last descriptor who it is and how it ended."""
    poll = select.poll()
    poll.register(control, select.POLLIN)
    watched: dict[int, tuple[int, int]] = {}  # by what tells of its end: process, status line
    while True:
        for descriptor, _ in poll.poll():
            if descriptor in watched:
                poll.unregister(descriptor)
                os.close(descriptor)
                pid, status = watched.pop(descriptor)
                _say(status, os.waitpid(pid, 0)[1])
                os.close(status)
                continue
            message, descriptors, _, _ = socket.recv_fds(control, 16, 4)
            if not message:
                for pid, _ in watched.values():
                    os.killpg(pid, signal.SIGKILL)
                return
            pid = os.fork()
            if pid == 0:
                _become_answer(descriptors[:3])
            with contextlib.suppress(OSError):  # it has done so itself, or is gone
                os.setpgid(pid, pid)
            for one in descriptors[:3]:
                os.close(one)
            _say(descriptors[3], pid)
            end = os.pidfd_open(pid)
            watched[end] = pid, descriptors[3]
            poll.register(end, select.POLLIN)


def _become_answer(streams: list[int]) -> None:
    try:
        os.setpgid(0, 0)
        for place, descriptor in enumerate(streams):
            os.dup2(descriptor, place)
        os.closerange(3, 1024)
        child.main()
    finally:
        os._exit(70)


def _say(descriptor: int, number: int) -> None:
    with contextlib.suppress(BrokenPipeError):  # nobody wants to know any more
        os.write(descriptor, number.to_bytes(STATUS_OCTETS))


if __name__ == "__main__":
    import gc

    import numpy  # noqa: F401 - one exercise has arrays, and to load it takes ten times a fork

    gc.collect()
    gc.freeze()  # else the first collection in a fork would copy every page
    serve(socket.socket(fileno=int(sys.argv[1])))

"""Run a command, and leave nothing behind of what it started, however it or we come to an end.

Tests start real servers, schedulers and workers, some in sessions of their own. Who stops the
tests would leave them running. So a guard stands between us and the command. Whoever in there
loses its parent becomes the guard's child (`PR_SET_CHILD_SUBREAPER`, prctl(2)), and when the
command has ended, or our end of the guard's line has closed because we are gone, the guard ends
its children until it has none. Needs nothing but Python; elsewhere than on Linux there is no guard.
"""

__all__ = ["beside", "run_to_the_end"]

import contextlib
import ctypes
import os
import select
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import IO

PR_SET_CHILD_SUBREAPER = 36  # linux/prctl.h
STOP = b"s"  # on the guard's line: ask the command to stop


def run_to_the_end(command: list[str], cwd: Path) -> int:
    """Run a command and return its exit status; the first Ctrl-C asks it to stop, a second ends it.

    Below zero is the number of the signal that ended it.
    """
    if sys.platform != "linux":
        return subprocess.call(command, cwd=cwd)
    guard, line = _guarded(command, cwd)
    asked = False
    with line:
        while True:
            try:
                return _as_signal(guard.wait())
            except KeyboardInterrupt:
                if asked or guard.poll() is not None:
                    break
                asked = True
                line.write(STOP)
    return _as_signal(guard.wait())


@contextlib.contextmanager
def beside(command: list[str], cwd: Path) -> Iterator[Callable[[], object]]:
    """Run a command beside what the `with` block does, without a word; the block's end ends it.

    Yields a function that waits until it has ended by itself. Without a guard nothing is run.
    """
    if sys.platform != "linux":
        yield lambda: None
        return
    guard, line = _guarded(command, cwd, subprocess.DEVNULL)
    try:
        with line:
            yield guard.wait
    finally:
        guard.wait()


def _guarded(
    command: list[str], cwd: Path, says: int | None = None
) -> tuple[subprocess.Popen[bytes], IO[bytes]]:
    """Start a command behind its guard; return the guard, and our end of its line."""
    theirs, ours = os.pipe()
    guard = subprocess.Popen(
        [sys.executable, __file__, str(theirs), *command], cwd=cwd, pass_fds=[theirs],
        stdout=says, stderr=says, start_new_session=True,  # Ctrl-C is for us to pass on
    )  # fmt: skip
    os.close(theirs)
    return guard, os.fdopen(ours, "wb", buffering=0)


def _guard(line: int, command: list[str]) -> int:
    """Run a command as its guard; return its exit status."""
    ctypes.CDLL(None).prctl(PR_SET_CHILD_SUBREAPER, 1, 0, 0, 0)
    process = subprocess.Popen(command)
    try:
        return _watch(process, line)
    finally:
        _end_all_children()


def _watch(process: subprocess.Popen[bytes], line: int) -> int:
    """Wait until the command ends, or until nobody holds the other end of the line."""
    poll = select.poll()
    end = os.pidfd_open(process.pid)
    for descriptor in (end, line):
        poll.register(descriptor, select.POLLIN)
    while True:
        ready = {descriptor for descriptor, _ in poll.poll()}
        if end in ready:
            return process.wait()
        if line in ready:
            if not os.read(line, 1):
                return -signal.SIGKILL
            process.send_signal(signal.SIGINT)


def _end_all_children() -> None:
    """End children until there are none: those of each that ends become ours."""
    while True:
        for number in _children():
            os.kill(number, signal.SIGKILL)  # not waited for yet, so it is still that process
        try:
            os.waitpid(-1, 0)
        except ChildProcessError:
            return


def _children() -> list[int]:
    lists = Path(f"/proc/{os.getpid()}/task").glob("*/children")
    return [int(word) for path in lists for word in path.read_text().split()]


def _as_signal(status: int) -> int:
    """Turn the exit status by which a guard says a signal's number back into one below zero."""
    return 128 - status if status > 128 else status


if __name__ == "__main__":
    ended = _guard(int(sys.argv[1]), sys.argv[2:])
    sys.exit(ended if ended >= 0 else 128 - ended)

"""Watch, from outside, the memory of a sandbox that was made for one answer alone.

Each process of an answer is limited by itself; an answer may have many. In a warm sandbox
the warm process adds up what all of them use (`warm_server.py`). A sandbox that is started
afresh has nobody inside who could: so the judge looks at the processes below the one that
it started, some times a second, and ends them when together they use too much.

What processes share is counted for each of them, as in a warm sandbox: an answer that forks
seems larger than it is, never smaller. Needs `/proc/PID/task/TID/children` (proc(5); nearly
every Linux has it); where there is none, the probe finds that nothing is enforced.

A library that finds children by reading every process of the machine (psutil) is too slow here:
1.8 ms a look among 95 processes and 6.8 ms among 395, where this takes 0.3 ms whatever else runs.
"""

__all__ = ["WatchedChild", "with_all_below"]

import glob
import os
import threading
from collections.abc import Sequence
from itertools import chain
from pathlib import Path

from course_lib.runner.answer_process import Child

LOOK_S = 0.05  # between two looks at the memory that an answer uses
PAGE_OCTETS = os.sysconf("SC_PAGE_SIZE")


class WatchedChild(Child):
    """A child process that is ended when it and all below it use too much memory together."""

    def __init__(
        self, command: Sequence[str], environment: dict[str, str], keep: Sequence[int],
        most_octets: int,
    ) -> None:  # fmt: skip
        super().__init__(command, environment, keep)
        self._most_octets = most_octets
        self._why = ""
        self._ended = threading.Event()
        threading.Thread(target=self._watch, daemon=True).start()

    def pid(self) -> int | None:
        """Return the process furthest below the one that was started: the walls are between."""
        return with_all_below(self._process.pid)[-1]

    def wait(self, most_s: float | None = None) -> str | None:
        """Wait for its end and say how it came; None if it does not come in time."""
        ended = super().wait(most_s)
        if ended is None:
            return None
        self._ended.set()
        return self._why or ended

    def _watch(self) -> None:
        while not self._ended.wait(LOOK_S):
            if memory_octets(self._process.pid) > self._most_octets:
                self._why = f"used more than {self._most_octets >> 20} MiB of memory in all"
                self.kill()
                return


def memory_octets(pid: int) -> int:
    """Return what a process and all below it use; one that ends while we look counts nothing."""
    pages = (_numbers(f"/proc/{one}/statm")[1:2] for one in with_all_below(pid))  # proc(5)
    return sum(chain.from_iterable(pages)) * PAGE_OCTETS


def with_all_below(pid: int) -> list[int]:
    """Return a process, those that it started, those that they started, and so on.

    Whoever loses the process that started it gets the sandbox's first one in its place, so
    nobody in a sandbox is ever missing here.
    """
    found = [pid]
    for one in found:  # which grows on the way
        # `Path.glob` raises if a process ends just then; this does not.
        for path in glob.iglob(f"/proc/{one}/task/*/children"):  # noqa: PTH207
            found += _numbers(path)
    return found


def _numbers(path: str) -> list[int]:
    """Return the numbers in a file about a process; none if the process has ended."""
    try:
        return [int(word) for word in Path(path).read_text().split()]
    except OSError:
        return []

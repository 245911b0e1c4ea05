"""The workers of this machine: processes, each with a sandbox of its own.

Each worker is a pool of one process, so that the end of one concerns no other. It is
forked before anything is read, and before the gradebook is opened. It ends with us: when we
close it, when we stop early, and also when we are killed (`PR_SET_PDEATHSIG`, prctl(2)).
Ctrl-C reaches all processes of a terminal; workers leave it to us.
"""

__all__ = ["LocalCrew", "local_run"]

import contextlib
import ctypes
import gc
import multiprocessing
import os
import select
import signal
import sys
import threading
import uuid
import warnings
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import BrokenExecutor, CancelledError, Future, ProcessPoolExecutor
from pathlib import Path

from rich.console import Console

from instructor.grading.examiner import Cases
from instructor.grading.sandbox.sandboxed_run import sandbox_to_use
from instructor.grading.workers.bench import (
    Examined,
    Terms,
    ToExamine,
    close_bench,
    examine,
    open_bench,
    take_cases,
)
from instructor.grading.workers.crew import ProcessorTime
from instructor.release.gradebook_tools import load_gradebook_code

PR_SET_PDEATHSIG = 1  # linux/prctl.h
START_S = 10.0  # for a fork to say its number
LOOK_S = 0.02  # between two looks at what nobody reads any more
PLACES = 2  # hand-ins that a worker has: one that it examines, and the next


@contextlib.contextmanager
def local_run(
    console: Console, trusted: bool, workers: int | None, limits: Path | None = None
) -> Iterator["LocalCrew"]:
    """Start the workers, try the sandbox, and yield them ready to work.

    `limits` is a file that keeps what was found about limits (see `known_limits`).

    Raises `GradingRefusedError` if there is no sound sandbox and `trusted` was not said.
    """
    with LocalCrew(workers or os.cpu_count() or 1) as crew:
        loading = threading.Thread(target=load_gradebook_code, daemon=True)
        loading.start()  # trying the walls is mostly waiting
        kinds, probed_s = sandbox_to_use(console, trusted, limits)
        loading.join()
        crew.open(Terms(uuid.uuid4().hex, trusted, kinds))
        yield crew
        if kinds == ("warm",):
            used_s = probed_s + crew.used.sum_s
            console.print(f"Processor time in the sandbox: {used_s:.2f} s.")


class LocalCrew(contextlib.AbstractContextManager["LocalCrew"]):
    """So many worker processes. Leaving the `with` block ends them, early if by an exception."""

    def __init__(self, size: int) -> None:
        self.used = ProcessorTime()
        self._terms: Terms | None = None
        self._cases: Mapping[str, Cases] = {}
        self._lanes = [_ProcessLane() for _ in range(size)]

    def __exit__(self, problem: type[BaseException] | None, *_: object) -> None:
        for lane in self._lanes:
            lane.begin_to_end(at_once=problem is not None)
        for lane in self._lanes:
            lane.wait_until_gone()

    def open(self, terms: Terms) -> None:
        """Have each worker open its sandbox; nobody waits for that."""
        self._terms = terms
        for lane in self._lanes:
            lane.open(terms)

    def begin(self, cases: Mapping[str, Cases]) -> None:
        """Send the cases to each worker."""
        self._cases = cases
        for lane in self._lanes:
            lane.take(cases)

    def lanes(self) -> Sequence["_ProcessLane"]:
        """Return all workers."""
        return tuple(self._lanes)

    def drop(self, lane: object) -> None:
        """Replace a worker that has ended by a new one."""
        assert self._terms is not None
        for place, one in enumerate(self._lanes):
            if one is lane:
                one.begin_to_end(at_once=True)
                one.wait_until_gone()
                self._lanes[place] = new = _ProcessLane()
                new.open(self._terms)
                new.take(self._cases)


class _ProcessLane:
    """One worker process."""

    places = PLACES

    def __init__(self) -> None:
        kind = "fork" if sys.platform == "linux" else "spawn"
        self._pool = ProcessPoolExecutor(
            1, multiprocessing.get_context(kind), _become_worker, (os.getpid(),)
        )
        self._run = ""
        with _left_alone_by_ctrl_c(), warnings.catch_warnings():
            warnings.simplefilter("ignore", DeprecationWarning)  # of threads that wait, and forks
            self._process = self._pool.submit(os.getpid)
        queue = getattr(self._pool, "_call_queue")  # noqa: B009  # what it is told comes this way
        self._unread = os.dup(queue._reader.fileno()) if os.name == "posix" else None

    def open(self, terms: Terms) -> None:
        self._run = terms.run
        self._ask(open_bench, terms)

    def take(self, cases: Mapping[str, Cases]) -> None:
        self._ask(take_cases, self._run, cases)

    def send(self, work: ToExamine) -> Future[Examined]:
        return self._pool.submit(examine, self._run, work)

    def begin_to_end(self, *, at_once: bool) -> None:
        """Have the worker close its sandbox; or end it, which ends its sandbox too."""
        if not at_once:
            self._ask(close_bench, self._run)
        elif (number := self._number()) is not None:
            with contextlib.suppress(ProcessLookupError):
                os.kill(number, signal.SIGKILL)

    def wait_until_gone(self) -> None:
        """Wait for the end of the process, and of the thread that was telling it something.

        A message is larger than a pipe. Where the process ends before it has read all of one, that
        thread would wait for ever: other workers hold the pipe open. So we read the rest.
        """
        ending = threading.Thread(
            target=self._pool.shutdown, kwargs={"wait": True, "cancel_futures": True}, daemon=True
        )
        ending.start()
        while ending.is_alive():
            ending.join(LOOK_S)
            if getattr(self._pool, "_broken", False):
                self._read_the_rest()
        if self._unread is not None:
            os.close(self._unread)
            self._unread = None

    def _read_the_rest(self) -> None:
        if self._unread is None:
            return
        poll = select.poll()
        poll.register(self._unread, select.POLLIN)
        while poll.poll(0) and os.read(self._unread, 1 << 16):
            pass

    def _ask(self, function: Callable[..., object], *given: object) -> None:
        with contextlib.suppress(BrokenExecutor):  # whoever sends it a hand-in is told
            self._pool.submit(function, *given)

    def _number(self) -> int | None:
        """Return the number of its process; None if it has none any more."""
        try:
            return self._process.result(timeout=START_S)
        except (BrokenExecutor, TimeoutError, CancelledError):
            return None


def _become_worker(coordinator: int) -> None:
    """Make of this process one that leaves Ctrl-C to its coordinator, and ends with it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    signal.pthread_sigmask(signal.SIG_UNBLOCK, [signal.SIGINT])
    if sys.platform == "linux":
        ctypes.CDLL(None).prctl(PR_SET_PDEATHSIG, signal.SIGKILL)
        if os.getppid() != coordinator:
            os._exit(1)  # it ended before we asked to be told
    gc.freeze()  # what was there before the fork stays there: no need to look through it


@contextlib.contextmanager
def _left_alone_by_ctrl_c() -> Iterator[None]:
    """Hold Ctrl-C back while a process is forked, which would get it before it can ignore it."""
    signal.pthread_sigmask(signal.SIG_BLOCK, [signal.SIGINT])
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_UNBLOCK, [signal.SIGINT])

"""The workers of a Dask cluster: processes of other machines, found through a scheduler.

Each worker process opens a sandbox of its own and tries its walls itself, and must have
the same version of this course as we. One that does not fit is named, and gets nothing. A worker
that comes later is looked at in the same way. What is sent goes to one worker by
name, so that it is known who had what when one ends. All is sent as packed calls: the
scheduler needs no course, and does not open student records.

Whoever can reach a scheduler can run programs on it and on its workers, and reads what
passes: it belongs into a closed network, or behind TLS as Dask's own configuration says.
"""

__all__ = ["ClusterCrew", "cluster_run"]

import contextlib
import logging
import pickle
import time
import uuid
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import CancelledError, Executor, Future, wait
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from rich.console import Console

from instructor.grading.examiner import Cases
from instructor.grading.sandbox.sandboxed_run import GradingRefusedError
from instructor.grading.workers.bench import (
    Call,
    Examined,
    Opened,
    Terms,
    ToExamine,
    close_bench,
    examine,
    open_bench,
    take_cases,
)
from instructor.grading.workers.course_version import course_version
from instructor.grading.workers.crew import ProcessorTime, WorkersLostError, has_result

if TYPE_CHECKING:
    from distributed import Client

CONNECT_S = 10.0
OPEN_S = 120.0  # for all workers there are to open and try their sandboxes
CLOSE_S = 10.0
LOOK_S = 1.0  # between two looks at who is there
NOBODY_S = 60.0  # without any worker, before grading stops
START_WORKERS = (
    "Start some on each machine, in a checkout of this very version of the course and with its"
    " Python:\ndask worker --nworkers auto --nthreads 1"
)


@contextlib.contextmanager
def cluster_run(console: Console, trusted: bool, address: str) -> Iterator["ClusterCrew"]:
    """Connect to a scheduler and yield its workers, ready to work.

    Raises `GradingRefusedError` if there is no scheduler, or no worker that can be used.
    """
    with _connected(address) as client, ClusterCrew(client, console, trusted, address) as crew:
        try:
            crew.gather()
        except WorkersLostError as problem:
            raise GradingRefusedError(f"Grading has not started: {problem}") from problem
        yield crew
        console.print(f"Processor time in the sandbox: {crew.used.sum_s:.2f} s.")


@contextlib.contextmanager
def _connected(address: str) -> "Iterator[Client]":
    try:
        from distributed import Client
    except ImportError as problem:
        raise GradingRefusedError(
            f"Grading over a cluster needs the package distributed ({problem}): "
            "pip install 'hop-by-hop[instructor]'"
        ) from problem
    for name in ("distributed", "distributed.client"):  # we say it in our own words
        logging.getLogger(name).setLevel(logging.CRITICAL)
    try:
        client = Client(address, timeout=CONNECT_S, set_as_default=False)
    except (OSError, ValueError, TypeError) as problem:
        raise GradingRefusedError(
            f"Grading has not started: no scheduler answers at {address} ({problem}).\n"
            "Start one with `dask scheduler`, and name its address as tcp://HOST:PORT. It runs "
            "whatever anybody who can reach it sends: only in a closed network, or with TLS."
        ) from problem
    try:
        yield client
    finally:
        client.close(timeout=CONNECT_S)


class ClusterCrew(contextlib.AbstractContextManager["ClusterCrew"]):
    """The workers of one scheduler. Leaving the `with` block closes their sandboxes."""

    def __init__(self, client: "Client", console: Console, trusted: bool, address: str) -> None:
        self.used = ProcessorTime()
        self._client = client
        self._console = console
        self._address = address
        self._terms = Terms(uuid.uuid4().hex, trusted, far=True, version=course_version())
        self._cases: bytes | None = None
        self._lanes: dict[str, _WorkerLane] = {}  # by the worker's address
        self._unfit: set[str] = set()
        self._said: set[tuple[str, ...]] = set()
        self._looked_at = self._seen_at = 0.0

    def __exit__(self, problem: type[BaseException] | None, *_: object) -> None:
        if self._client.status != "running":
            return  # a sandbox that nobody uses closes by itself
        closing = [lane.close() for lane in self._lanes.values()]
        wait(closing, CLOSE_S if problem is None else LOOK_S)

    def gather(self) -> None:
        """Wait until every worker that is there has tried its sandbox, and say what was found.

        Raises `GradingRefusedError` if there is none that can be used.
        """
        end = time.monotonic() + OPEN_S
        self._look()
        while any(not lane.is_open for lane in self._lanes.values()) and time.monotonic() < end:
            wait([lane.opening for lane in self._lanes.values()], LOOK_S)
            self._look()
        usable = [lane for lane in self._lanes.values() if lane.is_open]
        if not usable:
            some = self._unfit or self._lanes
            who = "none of its workers can be used" if some else "it has no workers"
            raise GradingRefusedError(
                f"Grading has not started: the scheduler at {self._address} answers, but {who}.\n"
                f"{START_WORKERS} {self._address}"
            )
        machines = len({lane.machine for lane in usable})
        self._console.print(f"{len(usable)} workers on {machines} machines.")

    def begin(self, cases: Mapping[str, Cases]) -> None:
        """Send the cases to each worker, and wait until they are there."""
        self._cases = pickle.dumps(Call(take_cases, self._terms.run, cases))
        self._look()
        wait([lane.taking for lane in self._lanes.values() if lane.taking], OPEN_S)
        self._seen_at = time.monotonic()
        self._look()

    def lanes(self) -> Sequence["_WorkerLane"]:
        """Return the workers that are ready now; raise `WorkersLostError` if none will come."""
        now = time.monotonic()
        if now - self._looked_at > LOOK_S:
            self._look()
        ready = tuple(lane for lane in self._lanes.values() if lane.is_ready)
        if ready or any(not lane.is_open for lane in self._lanes.values()):
            self._seen_at = now
        if now - self._seen_at > NOBODY_S:
            raise WorkersLostError(
                f"The scheduler at {self._address} has had no worker for {NOBODY_S:g} s."
            )
        return ready

    def drop(self, lane: object) -> None:
        """Forget a worker; if it is still there, it is asked anew to open a sandbox."""
        self._must_be_connected()
        self._lanes = {name: one for name, one in self._lanes.items() if one is not lane}

    def _must_be_connected(self) -> None:
        if self._client.status != "running":
            raise WorkersLostError(f"The scheduler at {self._address} is gone.")

    def _look(self) -> None:
        """See who is there, and take everybody a step further."""
        self._must_be_connected()
        try:
            there: dict[str, int] = self._client.nthreads()
        except (OSError, TimeoutError, CancelledError, RuntimeError) as problem:
            raise WorkersLostError(f"The scheduler at {self._address} is gone.") from problem
        self._looked_at = time.monotonic()
        self._unfit &= there.keys()
        self._lanes = {name: lane for name, lane in self._lanes.items() if name in there}
        for name in there.keys() - self._lanes.keys() - self._unfit:
            self._lanes[name] = _WorkerLane(self._client, name, there[name], self._terms)
        for name, lane in list(self._lanes.items()):
            if lane.problem:
                del self._lanes[name]
                self._unfit.add(name)
                self._say((f"Worker {name}{lane.on_machine} is not used: {lane.problem}.",))
            elif lane.is_open:
                self._say(lane.lines)
                lane.take_once(self._cases)

    def _say(self, lines: tuple[str, ...]) -> None:
        if lines and lines not in self._said:
            self._said.add(lines)
            for line in lines:
                self._console.print(line, markup=False, highlight=False)


class _WorkerLane:
    """One worker process of the cluster, by its address."""

    def __init__(self, client: "Client", address: str, threads: int, terms: Terms) -> None:
        self.places = threads + 1
        self._run = terms.run
        self._pool: Executor = client.get_executor(
            workers=[address], allow_other_workers=False, pure=False
        )
        self.opening: Future[Opened] = self._call(open_bench, replace(terms, at_a_time=threads))
        self.taking: Future[None] | None = None

    @property
    def is_open(self) -> bool:
        """Tell whether it has looked at itself and can be used."""
        return self.opening.done() and not self.problem

    @property
    def is_ready(self) -> bool:
        """Tell whether it has the cases too."""
        return self.is_open and self.taking is not None and self.taking.done()

    @property
    def problem(self) -> str:
        """Return why it cannot be used, or nothing."""
        for step in (self.opening, self.taking):
            if step is not None and step.done():
                if step.cancelled():
                    return "it ended"
                if (failure := step.exception()) is not None:
                    return f"it cannot run this course ({type(failure).__name__}: {failure})"
        return self.opening.result().problem if self.opening.done() else ""

    @property
    def machine(self) -> str:
        """Return the name of its machine; only of one that is open."""
        return self.opening.result().machine

    @property
    def on_machine(self) -> str:
        """Return the same as words, as far as it is known."""
        return f" on {self.machine}" if has_result(self.opening) else ""

    @property
    def lines(self) -> tuple[str, ...]:
        """Return what it found about its sandbox."""
        found = self.opening.result().lines
        return (f"On {self.machine}:", *found) if found else ()

    def take_once(self, cases: bytes | None) -> None:
        """Send it the cases, if they are there and it has not got them."""
        if cases is not None and self.taking is None:
            self.taking = self._pool.submit(pickle.loads, cases)

    def send(self, work: ToExamine) -> Future[Examined]:
        """Send it a hand-in."""
        return self._call(examine, self._run, work)

    def close(self) -> Future[None]:
        """Have it close its sandbox, when it has come to the end of what it is at."""
        return self._call(close_bench, self._run)

    def _call(self, function: Callable[..., Any], *given: object) -> Future[Any]:
        return self._pool.submit(pickle.loads, pickle.dumps(Call(function, *given)))

"""Workers as the one who sends them hand-ins sees them, wherever they are.

A *lane* is one worker. What is sent into it comes out again one after the other, or the
lane breaks and nothing more comes out. A *crew* is all lanes that there are at a moment.
"""

__all__ = ["Crew", "ProcessorTime", "WorkerLane", "WorkersLostError", "has_result"]

from collections.abc import Mapping, Sequence
from concurrent.futures import Future
from typing import Any, Protocol

from instructor.grading.examiner import Cases
from instructor.grading.workers.bench import Examined, ToExamine


class WorkersLostError(RuntimeError):
    """There is nobody left who could examine anything; the text says what to do."""


class ProcessorTime:
    """Processor time in the sandboxes, in seconds, summed over all workers there ever were."""

    def __init__(self) -> None:
        self._used_s: dict[tuple[str, int], float] = {}

    def note(self, examined: Examined) -> None:
        """Keep the newest of what a worker says; what comes late says less."""
        used_s = max(examined.processor_s, self._used_s.get(examined.worker, 0.0))
        self._used_s[examined.worker] = used_s

    @property
    def sum_s(self) -> float:
        """Return the sum."""
        return sum(self._used_s.values())


class WorkerLane(Protocol):
    """One worker, and how many hand-ins it may have at a time, waiting ones included."""

    @property
    def places(self) -> int:
        """Return how many hand-ins it may have at a time."""

    def send(self, work: ToExamine) -> Future[Examined]:
        """Send one hand-in; may raise `BrokenExecutor` if the worker is gone already."""


class Crew(Protocol):
    """All workers of a run, and the processor time that they say they used."""

    used: ProcessorTime

    def begin(self, cases: Mapping[str, Cases]) -> None:
        """Give every worker, also those that come later, the cases of all units."""

    def lanes(self) -> Sequence[WorkerLane]:
        """Return the workers that are there now; raise `WorkersLostError` if none will come."""

    def drop(self, lane: WorkerLane) -> None:
        """Forget a worker that is gone, and replace it if that can be done."""


def has_result(future: Future[Any]) -> bool:
    """Tell whether a worker has done what it was asked, and did not fail at it."""
    return future.done() and not future.cancelled() and future.exception() is None

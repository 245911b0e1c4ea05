"""Threads of this process as workers, for whoever has a sandbox open already."""

__all__ = ["ThreadCrew"]

from collections.abc import Mapping, Sequence
from concurrent.futures import Future, ThreadPoolExecutor

from course_lib.runner.answer_process import Launcher
from instructor.grading.examiner import Cases
from instructor.grading.workers.bench import Bench, Examined, ToExamine


class ThreadCrew:
    """So many threads, all of them in one lane, that start answers with the same launcher."""

    def __init__(self, size: int, launcher: Launcher | None) -> None:
        self.places = 2 * size
        self._bench = Bench(launcher)
        self._pool = ThreadPoolExecutor(size)

    def __enter__(self) -> "ThreadCrew":
        return self

    def __exit__(self, *_: object) -> None:
        self._pool.shutdown(wait=True, cancel_futures=True)

    def begin(self, cases: Mapping[str, Cases]) -> None:
        """Make the examiners."""
        self._bench.take(cases)

    def send(self, work: ToExamine) -> Future[Examined]:
        """Have one of the threads examine a hand-in."""
        return self._pool.submit(self._bench.examine, work)

    def lanes(self) -> Sequence["ThreadCrew"]:
        """Return the one lane."""
        return (self,)

    def drop(self, lane: object) -> None:
        """Do nothing: threads do not end."""

    def note(self, examined: Examined) -> None:
        """Do nothing: whoever has opened the sandbox knows."""

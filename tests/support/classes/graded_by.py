"""Grade hand-ins without a course folder: by any crew, or by threads of this very process."""

import os
from concurrent.futures import ThreadPoolExecutor

from instructor.grading.examiner import all_cases
from instructor.grading.workers.batch import grade_batch
from instructor.grading.workers.bench import Bench
from instructor.grading.workers.crew import ProcessorTime


class ThreadCrew:
    """So many threads, all of them in one lane, that start answers with the same launcher."""

    def __init__(self, size, launcher):
        self.used = ProcessorTime()
        self.places = 2 * size
        self._bench = Bench(launcher)
        self._pool = ThreadPoolExecutor(size)

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self._pool.shutdown(wait=True, cancel_futures=True)

    def begin(self, cases):
        """Make the examiners."""
        self._bench.take(cases)

    def send(self, work):
        """Have one of the threads examine a hand-in."""
        return self._pool.submit(self._bench.examine, work)

    def lanes(self):
        """Return the one lane."""
        return (self,)

    def drop(self, lane):
        """Do nothing: threads do not end."""


def graded_by(crew, intake, seed, **more):
    """Grade with a crew; what is not said is as for a class that nobody has graded before."""
    choices = {
        "cases": lambda unit: all_cases(unit, seed), "known": lambda hand_in: {},
        "keep": lambda hand_in, marked, prints: None, "progress": lambda done, of: None,
    }  # fmt: skip
    return grade_batch(intake, crew, **(choices | more))


def graded_by_threads(intake, seed, launcher, workers=None, **more):
    """Grade with threads that start answers by `launcher`: so many as said, else one a core."""
    with ThreadCrew(workers or os.cpu_count() or 1, launcher) as crew:
        return graded_by(crew, intake, seed, **more)

"""Grade everything that a class handed in: several at a time, one line for each file.

Workers only compute. One thread, this one, writes: each hand-in is in the
gradebook and on its page before the next one is touched.
"""

__all__ = ["BatchResult", "grade_batch"]

import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor, as_completed
from dataclasses import dataclass

from course_lib.exercises.runner import Launcher
from instructor.grading.examiner import Cases, Examiner, MarkedAnswer, MarkedHandIn
from instructor.grading.intake import HandIn, Intake, NotGraded

TRIES = 2  # of a hand-in at which the grader itself fails
Progress = Callable[[int, int], None]
Known = Callable[[HandIn], Mapping[str, MarkedAnswer]]


@dataclass(frozen=True, slots=True)
class BatchResult:
    """Everything that became of a class's hand-ins, in a fixed order."""

    marked: tuple[MarkedHandIn, ...]
    not_graded: tuple[NotGraded, ...]


def grade_batch(
    intake: Intake,
    seed: str,
    *,
    launcher: Launcher | None,
    keep: Callable[[HandIn, MarkedHandIn], None] = lambda hand_in, marked: None,
    progress: Progress = lambda done, of: None,
    workers: int | None = None,
    cases: Callable[[str], Cases | None] = lambda unit: None,
    known: Known = lambda hand_in: {},
) -> BatchResult:
    """Mark all hand-ins; call `keep` with each as soon as it is marked, never two at a time.

    `cases` gives a unit's cases where they are at hand already, and `known` the answers
    of a hand-in that need not be run again, by the exercise's id.

    The result does not depend on `workers` or on which hand-in is ready first.
    A hand-in at which the grader itself fails becomes a line for a person.
    """
    units = sorted({one.unit for one in intake.hand_ins})
    examiners = {unit: Examiner(unit, seed, launcher, cases(unit)) for unit in units}
    marked: list[MarkedHandIn] = []
    failed: list[NotGraded] = []
    size = workers or os.cpu_count() or 1
    for hand_in, result in _examined(intake.hand_ins, examiners, known, size):
        if isinstance(result, MarkedHandIn):
            keep(hand_in, result)
            marked.append(result)
        else:
            failed.append(result)
        progress(len(marked) + len(failed), len(intake.hand_ins))
    return BatchResult(
        tuple(sorted(marked, key=lambda one: (one.unit, one.student))),
        (*intake.not_graded, *sorted(failed, key=lambda one: str(one.path))),
    )


def _examined(
    hand_ins: Sequence[HandIn], examiners: Mapping[str, Examiner], known: Known, workers: int
) -> Iterator[tuple[HandIn, MarkedHandIn | NotGraded]]:
    """Yield each result as it is ready; whoever stops early waits only for what is running."""
    with ThreadPoolExecutor(max_workers=workers) as pool:
        try:
            waiting = {
                pool.submit(_examine, examiners[one.unit], one, known(one)): one for one in hand_ins
            }
            for future in as_completed(waiting):
                yield waiting[future], future.result()
        finally:
            pool.shutdown(wait=False, cancel_futures=True)


def _examine(
    examiner: Examiner, hand_in: HandIn, known: Mapping[str, MarkedAnswer]
) -> MarkedHandIn | NotGraded:
    """Examine one hand-in; a fault of ours is tried again, and never stops the others."""
    for _ in range(TRIES):
        try:
            return examiner.examine(hand_in, known)
        except Exception as problem:  # whatever it is, the line for the grader says it
            failure = f"{type(problem).__name__}: {problem}"
    return NotGraded(
        hand_in.path,
        f"could not tell: the grader failed ({failure}); this is not the student's fault",
        hand_in.student,
        hand_in.unit,
    )

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
from instructor.grading.examiner import Examiner, MarkedHandIn
from instructor.grading.intake import HandIn, Intake, NotGraded

TRIES = 2  # of a hand-in at which the grader itself fails
Progress = Callable[[int, int], None]


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
) -> BatchResult:
    """Mark all hand-ins; call `keep` with each as soon as it is marked, never two at a time.

    The result does not depend on `workers` or on which hand-in is ready first.
    A hand-in at which the grader itself fails becomes a line for a person.
    """
    units = sorted({one.unit for one in intake.hand_ins})
    examiners = {unit: Examiner(unit, seed, launcher) for unit in units}
    marked: list[MarkedHandIn] = []
    failed: list[NotGraded] = []
    for hand_in, result in _examined(intake.hand_ins, examiners, workers or os.cpu_count() or 1):
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
    hand_ins: Sequence[HandIn], examiners: Mapping[str, Examiner], workers: int
) -> Iterator[tuple[HandIn, MarkedHandIn | NotGraded]]:
    with ThreadPoolExecutor(max_workers=workers) as pool:
        waiting = {pool.submit(_examine, examiners[one.unit], one): one for one in hand_ins}
        for future in as_completed(waiting):
            yield waiting[future], future.result()


def _examine(examiner: Examiner, hand_in: HandIn) -> MarkedHandIn | NotGraded:
    """Examine one hand-in; a fault of ours is tried again, and never stops the others."""
    for _ in range(TRIES):
        try:
            return examiner.examine(hand_in)
        except Exception as problem:  # whatever it is, the line for the grader says it
            failure = f"{type(problem).__name__}: {problem}"
    return NotGraded(
        hand_in.path,
        f"could not tell: the grader failed ({failure}); this is not the student's fault",
        hand_in.student,
        hand_in.unit,
    )

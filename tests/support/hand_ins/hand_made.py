"""Verdicts, hand-ins and wording made by hand, for tests of pages and reports."""

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from course_lib.exercises import feedback
from course_lib.exercises.registry import Aspect, Case, Exercise, Expected
from course_lib.exercises.verdict import Outcome, Verdict, without_run
from course_lib.runner.runner import Result
from instructor.grading.intake.hand_ins import NotGraded
from instructor.grading.marked import BatchResult, MarkedAnswer, MarkedHandIn
from instructor.reporting import words

UNIT = "01-frames-and-headers"

WORD = Exercise(
    "1.1", UNIT, "read_word", "Read a 16-bit word", (Aspect("words", 1), Aspect("refusals", 1)),
    "variation", "", hex="results",
)  # fmt: skip
FRAGMENT = Exercise(
    "1.3", UNIT, "fragment_fields", "Flags and fragment offset",
    (Aspect("flags", 1), Aspect("offset", 2)), "variation", "",
)  # fmt: skip
FOLD = Exercise(
    "2.1", "02-checksums", "fold", "Bring the carries back in",
    (Aspect("one carry", 1), Aspect("more carries", 1)), "variation", "", hex="results",
)  # fmt: skip

ROWS: Mapping[str, Any] = {
    "1.1": {
        "asked": "Read two octets at an offset as one number, the high octet first.",
        "next": "Write the two octets down in hexadecimal and join them by hand.",
        "hints": ["Which octet counts more?"],
        "misconceptions": {
            "low-octet-first": {
                "belief": "the first octet on the wire is the low one",
                "next": "Read 12 34 aloud as one number: which half did you say first?",
            },
        },
    },
    "1.3": {
        "asked": "Take flags and offset out of one word; the offset in octets.",
        "next": "Write the word in binary and mark where the flags end.",
        "hints": ["How many bits are flags?"],
        "misconceptions": {
            "offset-in-octets": {
                "belief": "the offset field already counts octets",
                "next": "The field has 13 bits, a packet up to 65,535 octets. Does that fit?",
            },
            "flags-in-low-bits": {
                "belief": "the flags are the lowest bits of the word",
                "next": "Which bits does the sender put on the wire first?",
            },
        },
    },
    "2.1": {
        "asked": "Add what was carried out of 16 bits back in at the bottom.",
        "next": "Fold 0x1FFFF by hand.",
        "hints": ["What does a carry of 2 mean?"],
        "misconceptions": {
            "folds-once": {
                "belief": "one fold always suffices",
                "next": "Fold 0x1FFFF once. How many bits has the result?",
            },
        },
    },
}


@contextmanager
def wording() -> Iterator[None]:
    """Use the wording above in place of the course's own, whatever that says today."""
    table = {**feedback.table(), "exercise": ROWS}
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(feedback, "table", lambda: table)
        patch.setattr(words, "table", lambda: table)
        yield


def verdict(
    exercise: Exercise,
    outcome: Outcome,
    earned: Sequence[float] = (),
    misconception: str = "",
    *,
    given: Any = 0x3412,
    note: str = "",
) -> Verdict:
    """Judge as `judge` would: `earned` are the points of the aspects, in their order."""
    earned = earned or [0.0] * len(exercise.aspects)
    if outcome is Outcome.COULD_NOT_TELL:
        return without_run(exercise, outcome, note, points=None)
    if outcome in (Outcome.NO_ANSWER, Outcome.DAMAGED):
        return without_run(exercise, outcome, note)
    if outcome is Outcome.RIGHT:
        earned = [aspect.points for aspect in exercise.aspects]
    parts = tuple(
        (aspect.name, got, aspect.points)
        for aspect, got in zip(exercise.aspects, earned, strict=True)
    )
    case = Case(exercise.aspects[0].name, (b"\x12\x34", 0), Expected(0x1234), "made up", {})
    wrong = outcome is not Outcome.RIGHT
    return Verdict(
        exercise, outcome, float(sum(earned)), parts, misconception,
        first_wrong=case if wrong else None, seen=Result("value", given) if wrong else None,
        note=note, right_cases=6, all_cases=9,
    )  # fmt: skip


def answer(
    exercise: Exercise,
    outcome: Outcome,
    earned: Sequence[float] = (),
    misconception: str = "",
    *,
    source: str = "def read_word(data, offset):\n    return data[offset]\n",
    notes: Sequence[str] = (),
    given: Any = 0x3412,
    note: str = "",
) -> MarkedAnswer:
    made = verdict(exercise, outcome, earned, misconception, given=given, note=note)
    return MarkedAnswer(made, source, tuple(notes))


def hand_in(student: str, *answers: MarkedAnswer, notes: Sequence[str] = ()) -> MarkedHandIn:
    unit = answers[0].verdict.exercise.unit if answers else UNIT
    return MarkedHandIn(student, unit, answers, tuple(notes))


def refused(name: str, why: str, student: str = "") -> NotGraded:
    return NotGraded(Path("handed-in") / name, why, student)


def batch(hand_ins: Sequence[MarkedHandIn], not_graded: Sequence[NotGraded] = ()) -> BatchResult:
    return BatchResult(tuple(hand_ins), tuple(not_graded))


def without_points(exercise: Exercise) -> Exercise:
    return replace(exercise, aspects=tuple(Aspect(one.name, 0) for one in exercise.aspects))

"""Three short lines about an answer: what was asked, what was seen, what to do next.

All wording comes from tables (`wording/`: one for each unit, and a general one), which a
teacher can edit without touching code. This module picks the rows and fills in the values.
"""

__all__ = [
    "Feedback",
    "alone_note",
    "difference",
    "feedback",
    "hints",
    "listed",
    "misconception_title",
    "table",
]

import functools
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from importlib import resources
from typing import Any

from course_lib.exercises.beliefs import agrees
from course_lib.exercises.calls import call_text
from course_lib.exercises.case_in_words import (
    case_in_words,
    gave_both,
    problem_in_words,
    way_of_raising,
)
from course_lib.exercises.registry import UNITS, Case, Exercise, all_exercises
from course_lib.exercises.verdict import Outcome, Verdict
from course_lib.runner.runner import Result, Run

# Here the note says more than the table could: a borrowed answer, or cases not shown.
SEEN_IN_NOTE = (Outcome.NO_ANSWER, Outcome.WRONG, Outcome.PARTLY_RIGHT, Outcome.BAD_VALUE)
NAMED = 10  # names of a student's own in one note, and characters of each
NAME_LENGTH = 60


@dataclass(frozen=True, slots=True)
class Feedback:
    """What a student reads: three lines, and the points of each aspect."""

    heading: str
    asked: str
    seen: str
    next: str
    aspects: tuple[tuple[str, float, float], ...]
    outcome: Outcome
    note: str = ""


@functools.cache
def table() -> Mapping[str, Any]:
    """Return all wording: the general rows, and those of each exercise under "exercise"."""
    return {**_read("general"), "exercise": _ExerciseRows()}


class _ExerciseRows(Mapping[str, Any]):
    """The rows of each exercise, by its id; those of a unit are read when they are asked for."""

    def __getitem__(self, exercise_id: str) -> Any:
        unit = exercise_id.partition(".")[0].zfill(2)
        if unit not in UNITS:
            raise KeyError(exercise_id)
        return _read(f"unit_{unit}")["exercise"][exercise_id]

    def __iter__(self) -> Iterator[str]:
        return iter(one.id for one in all_exercises())

    def __len__(self) -> int:
        return len(all_exercises())


@functools.cache
def _read(name: str) -> Mapping[str, Any]:
    path = resources.files(__package__) / "wording" / f"{name}.toml"
    return tomllib.loads(path.read_text(encoding="utf-8"))


def hints(exercise_id: str) -> tuple[str, ...]:
    """Return the hints for an exercise, from a nudge to a worked step."""
    return tuple(table()["exercise"][exercise_id]["hints"])


def misconception_title(exercise_id: str, name: str) -> str:
    """Return the belief behind a misconception, in words."""
    belief: str = table()["exercise"][exercise_id]["misconceptions"][name]["belief"]
    return belief


def feedback(verdict: Verdict) -> Feedback:
    """Put a verdict into words."""
    item = verdict.exercise
    words = table()["exercise"][item.id]
    return Feedback(
        heading=_heading(verdict),
        asked=words["asked"],
        seen=_seen(verdict),
        next=_next(verdict, words),
        aspects=verdict.earned,
        outcome=verdict.outcome,
        note=_note(verdict),
    )


def listed(names: Sequence[str]) -> str:
    """Name a few things, each cut to a sensible length, and say how many more there are."""
    more = f" and {len(names) - NAMED} more" if len(names) > NAMED else ""
    return ", ".join(name[:NAME_LENGTH] for name in names[:NAMED]) + more


def difference(item: Exercise, cases: Sequence[Case], one: Run, other: Run) -> str:
    """Say where two runs of what should be one answer part; '' if they do not."""
    for case, left, right in zip(cases, one.results, other.results, strict=False):
        ok = [agrees(case.expected, result, whole=item.whole) for result in (left, right)]
        if ok[0] != ok[1]:
            text: str = table()["note"]["other order"]
            here, fresh = gave_both(left, right, item)
            return text.format(call=call_text(item, case.arguments), here=here, fresh=fresh)
    return ""


def alone_note(item: Exercise, seen: Result, alone: Result) -> str:
    """Say what a call gives when no other goes before it, where that is not what was `seen`."""
    text: str = table()["note"]["alone"]
    return text.format(alone=gave_both(alone, seen, item)[0])


def _heading(verdict: Verdict) -> str:
    item = verdict.exercise
    points = "not marked" if verdict.points is None else f"{verdict.points:g} of {item.points:g}"
    unit = "" if verdict.points is None else (" point" if item.points == 1 else " points")
    return f"Exercise {item.id} · {item.title} · {verdict.outcome.value} · {points}{unit}"


def _seen(verdict: Verdict) -> str:
    outcomes = table()["outcome"]
    if verdict.first_wrong is None or verdict.seen is None:
        if verdict.note and verdict.outcome in SEEN_IN_NOTE:
            note = verdict.note[0].upper() + verdict.note[1:]
            return note if note.endswith((".", "?")) else f"{note}."
        text: str = outcomes[verdict.outcome.value]["seen"]
        note = verdict.note
        if verdict.outcome is Outcome.ERROR and verdict.problem is not None:
            note = problem_in_words(verdict.problem)
        return text.format(function=verdict.exercise.function, note=note, cases=verdict.all_cases)
    return case_in_words(verdict.exercise, verdict.first_wrong, verdict.seen)


def _next(verdict: Verdict, words: Mapping[str, Any]) -> str:
    beliefs = words["misconceptions"]
    if verdict.misconception:
        entry = beliefs[verdict.misconception]
        return f"It looks as if {entry['belief']}. {entry['next']}"
    if verdict.either:
        one, other = (beliefs[name]["belief"] for name in verdict.either)
        return f"It looks as if either {one}, or {other}. {words['next']}"
    row = _row_without_a_value(verdict)
    if row:
        return str(table()["without a value"][row])
    if verdict.outcome in (Outcome.WRONG, Outcome.PARTLY_RIGHT):
        if verdict.first_wrong is None and verdict.all_cases:  # no case that could be shown
            lost = (f"“{name}”" for name, got, points in verdict.earned if got < points)
            return str(table()["without a case"]["next"]).format(aspects=" and ".join(lost))
        return str(words["next"])
    text: str = table()["outcome"][verdict.outcome.value]["next"]
    return text.format(id=verdict.exercise.id, function=verdict.exercise.function)


def _row_without_a_value(verdict: Verdict) -> str:
    """Choose the row with advice where nothing was returned, or should have been; "" elsewhere."""
    if verdict.first_wrong is None or verdict.seen is None:
        return ""
    kind = verdict.seen.kind
    if kind == "changed":
        return kind
    way = "" if verdict.problem is None else way_of_raising(verdict.problem)
    if verdict.first_wrong.expected.raises and way != "not written" and kind in ("value", "raised"):
        return "refused otherwise" if way in ("refused", "assertion") else "not refused"
    if verdict.outcome is Outcome.BAD_VALUE and kind == "value" and verdict.seen.value is None:
        return "nothing returned"
    return way


def _note(verdict: Verdict) -> str:
    flood = table()["note"]["prints"]
    printed = verdict.printed_octets
    lines = [verdict.note if verdict.first_wrong is not None else ""]
    lines += [flood.format(octets=printed) if printed > 20_000 else ""]
    return " ".join(line for line in lines if line)

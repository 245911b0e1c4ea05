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
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from importlib import resources
from typing import Any

from course_lib.exercises.beliefs import agrees
from course_lib.exercises.calls import call_text, shown
from course_lib.exercises.differences import NOTHING, Difference, first_difference
from course_lib.exercises.registry import UNITS, Case, Exercise, Expected
from course_lib.exercises.verdict import Outcome, Verdict
from course_lib.runner.runner import Result, Run

# Here the note says more than the table could: a borrowed answer, or cases not shown.
SEEN_IN_NOTE = (Outcome.NO_ANSWER, Outcome.WRONG, Outcome.PARTLY_RIGHT, Outcome.BAD_VALUE)
VALUE_LIMIT = 160  # characters of a value that are shown whole
CUT = 60  # characters of each part of a longer one
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
    note: str = ""


@functools.cache
def table() -> Mapping[str, Any]:
    """Return all wording: the general rows, and those of each exercise under "exercise"."""
    folder = resources.files(__package__) / "wording"
    read = [
        tomllib.loads((folder / f"{name}.toml").read_text(encoding="utf-8"))
        for name in ("general", *(f"unit_{unit}" for unit in UNITS))
    ]
    exercises = {number: rows for one in read[1:] for number, rows in one["exercise"].items()}
    return {**read[0], "exercise": exercises}


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
            return text.format(
                call=call_text(item, case.arguments),
                here=_gave(left, item),
                fresh=_gave(right, item),
            )
    return ""


def alone_note(item: Exercise, alone: Result) -> str:
    """Say what a call gives when no other goes before it."""
    text: str = table()["note"]["alone"]
    return text.format(alone=_gave(alone, item))


def _heading(verdict: Verdict) -> str:
    item = verdict.exercise
    points = "not marked" if verdict.points is None else f"{verdict.points:g} of {item.points:g}"
    unit = "" if verdict.points is None else (" point" if item.points == 1 else " points")
    return f"Exercise {item.id} · {item.title} · {verdict.outcome.value} · {points}{unit}"


def _seen(verdict: Verdict) -> str:
    outcomes = table()["outcome"]
    if verdict.first_wrong is None or verdict.seen is None:
        if verdict.note and verdict.outcome in SEEN_IN_NOTE:
            return verdict.note[0].upper() + verdict.note[1:].rstrip(".") + "."
        text: str = outcomes[verdict.outcome.value]["seen"]
        return text.format(
            function=verdict.exercise.function, note=verdict.note, cases=verdict.all_cases
        )
    return _case_text(verdict.exercise, verdict.first_wrong, verdict.seen)


def _case_text(item: Exercise, case: Case, got: Result) -> str:
    """Write a case, what it gave and what was expected, with the part that differs."""
    expected = case.expected
    if expected.raises or got.kind != "value":
        call = call_text(item, case.arguments)
        return f"{call} {_gave(got, item)}; {_wanted(expected, item)}."
    parts = first_difference(expected.value, got.value, whole=item.whole)
    if item.driver == "operate" and parts is not None and parts.place[:1] == "[":
        return _step_text(item, case, got, parts)
    call = call_text(item, case.arguments)
    texts = [_value(value, item) for value in (got.value, expected.value)]
    if parts is None or (parts.place.count("[") < 2 and max(map(len, texts)) <= VALUE_LIMIT):
        return f"{call} {_gave(got, item)}; {_wanted(expected, item)}."
    if max(map(len, texts)) <= VALUE_LIMIT:
        return f"{call} {_gave(got, item)}; {_wanted(expected, item)}. {_at(parts, item)}"
    return f"{call} returned {texts[0][:CUT]} ... {_at(parts, item)}"


def _step_text(item: Exercise, case: Case, got: Result, parts: Difference) -> str:
    """Write the calls up to the first that gave something else, and what that one gave."""
    number = int(parts.place[1:].partition("]")[0])
    call = call_text(item, case.arguments, number + 1)
    if parts.expected is NOTHING or parts.given is NOTHING:
        return f"{call} {_gave(got, item)}; {_wanted(case.expected, item)}."
    gave, wanted = got.value[number], case.expected.value[number]
    return (
        f"{call}: the last of these calls returned {_value(gave, item)}{_type_of(gave)}; "
        f"expected {_value(wanted, item)}{_type_of(wanted)}."
    )


def _at(parts: Difference, item: Exercise) -> str:
    """Say which part of a value differs, and what stands there."""
    if parts.given is NOTHING:
        return f"It ends too early: at {parts.place}, {_value(parts.expected, item)} was expected."
    if parts.expected is NOTHING:
        return f"It goes on too far: at {parts.place} stands {_value(parts.given, item)}."
    gave, wanted = _value(parts.given, item), _value(parts.expected, item)
    where = f"At {parts.place} stands" if parts.place else "It is"
    return f"{where} {gave}{_type_of(parts.given)}; expected {wanted}{_type_of(parts.expected)}."


def _value(value: Any, item: Exercise) -> str:
    return shown(value, in_hex=item.hex in ("results", "both"))


def _gave(result: Result, item: Exercise) -> str:
    if result.kind == "value":
        return f"returned {_value(result.value, item)}{_type_of(result.value)}"
    problem = result.problem
    if problem is not None:
        line = "" if problem.line is None else f" in line {problem.line}"
        what = "is refused: it raised" if problem.on_purpose else "raised"
        return f"{what} {problem.kind}{line} ({problem.message or 'no text'})"
    words = {"not plain": "returned", "out of time": "gave", "died": "was cut off: it"}
    return f"{words[result.kind]} {result.note}"


def _wanted(expected: Expected, item: Exercise) -> str:
    if expected.raises:
        return f"a {expected.raises} was expected"
    return f"expected {_value(expected.value, item)}{_type_of(expected.value)}"


def _type_of(value: Any) -> str:
    """Name the type where the value alone does not tell it apart."""
    return f" (a {type(value).__name__})" if isinstance(value, float | str) else ""


def _next(verdict: Verdict, words: Mapping[str, Any]) -> str:
    beliefs = words["misconceptions"]
    if verdict.misconception:
        entry = beliefs[verdict.misconception]
        return f"It looks as if {entry['belief']}. {entry['next']}"
    if verdict.either:
        one, other = (beliefs[name]["belief"] for name in verdict.either)
        return f"It looks as if either {one}, or {other}. {words['next']}"
    text: str = table()["outcome"][_next_row(verdict)]["next"]
    if verdict.outcome in (Outcome.WRONG, Outcome.PARTLY_RIGHT) and not _is_about_refusing(verdict):
        text = words["next"]
    return text.format(id=verdict.exercise.id, function=verdict.exercise.function)


def _next_row(verdict: Verdict) -> str:
    """Choose the row with advice: refusals have rows of their own."""
    if not _is_about_refusing(verdict) or verdict.first_wrong is None:
        return verdict.outcome.value
    if not verdict.first_wrong.expected.raises:
        return "refused"
    return "not refused" if verdict.problem is None else "refused otherwise"


def _is_about_refusing(verdict: Verdict) -> bool:
    """Tell whether an input was refused, or should have been."""
    if verdict.first_wrong is None or verdict.seen is None:
        return False
    on_purpose = verdict.problem is not None and verdict.problem.on_purpose
    wanted = bool(verdict.first_wrong.expected.raises)
    return on_purpose or (wanted and verdict.seen.kind == "value")


def _note(verdict: Verdict) -> str:
    flood = table()["note"]["prints"]
    printed = verdict.printed_octets
    lines = [verdict.note if verdict.first_wrong is not None else ""]
    lines += [flood.format(octets=printed) if printed > 20_000 else ""]
    return " ".join(line for line in lines if line)

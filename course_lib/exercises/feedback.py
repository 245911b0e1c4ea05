"""Three short lines about an answer: what was asked, what was seen, what to do next.

All wording comes from one table, `feedback.toml`, which a teacher can edit without
touching code. This module picks the rows and fills in the values.
"""

__all__ = ["Feedback", "feedback", "hints", "misconception_title", "table"]

import functools
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from importlib import resources
from typing import Any

from course_lib.exercises.registry import Case, Exercise, Expected
from course_lib.exercises.verdict import Outcome, Verdict
from course_lib.runner.runner import Result

# Here the note says more than the table could: a borrowed answer, or cases not shown.
SEEN_IN_NOTE = (Outcome.NO_ANSWER, Outcome.WRONG, Outcome.PARTLY_RIGHT, Outcome.BAD_VALUE)
VALUE_LIMIT = 160  # characters of a value that are shown


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
    """Return the whole table of wording."""
    text = (resources.files(__package__) / "feedback.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


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


def shown(value: Any, *, in_hex: bool = False) -> str:
    """Write a value for people, cut to a sensible length; octets as Python that can be pasted.

    >>> shown(0x4500, in_hex=True), shown(bytes(4))
    ('0x4500', 'bytes.fromhex("0000 0000")')
    """
    text = _written(value, in_hex)
    return text if len(text) <= VALUE_LIMIT else text[: VALUE_LIMIT - 4] + " ..."


def call_text(item: Exercise, case: Case) -> str:
    """Write a case as the call that a student could type."""
    in_hex = item.hex in ("arguments", "both")
    arguments = ", ".join(shown(argument, in_hex=in_hex) for argument in case.arguments)
    return f"{item.function}({arguments})"


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
    call = call_text(verdict.exercise, verdict.first_wrong)
    in_hex = verdict.exercise.hex in ("results", "both")
    gave = _gave(verdict.seen, in_hex)
    return f"{call} {gave}; {_wanted(verdict.first_wrong.expected, in_hex)}."


def _gave(result: Result, in_hex: bool) -> str:
    if result.kind == "value":
        return f"returned {shown(result.value, in_hex=in_hex)}{_type_of(result.value)}"
    if result.problem is not None:
        line = "" if result.problem.line is None else f" in line {result.problem.line}"
        return f"raised {result.problem.kind}{line} ({result.problem.message or 'no text'})"
    words = {"not plain": "returned", "out of time": "gave", "died": "was cut off: it"}
    return f"{words[result.kind]} {result.note}"


def _wanted(expected: Expected, in_hex: bool) -> str:
    if expected.raises:
        return f"a {expected.raises} was expected"
    return f"expected {shown(expected.value, in_hex=in_hex)}{_type_of(expected.value)}"


def _type_of(value: Any) -> str:
    """Name the type where the value alone does not tell it apart."""
    return f" (a {type(value).__name__})" if isinstance(value, float | str) else ""


def _next(verdict: Verdict, words: Mapping[str, Any]) -> str:
    if verdict.misconception:
        entry = words["misconceptions"][verdict.misconception]
        return f"It looks as if {entry['belief']}. {entry['next']}"
    text: str = table()["outcome"][verdict.outcome.value]["next"]
    if verdict.outcome in (Outcome.WRONG, Outcome.PARTLY_RIGHT):
        text = words["next"]
    return text.format(id=verdict.exercise.id, function=verdict.exercise.function)


def _note(verdict: Verdict) -> str:
    flood = table()["note"]["prints"]
    return flood.format(octets=verdict.printed_octets) if verdict.printed_octets > 20_000 else ""


def _written(value: Any, in_hex: bool) -> str:
    if isinstance(value, bytes) and value:
        return f'bytes.fromhex("{value.hex(" ", -2)}")'
    if isinstance(value, list | tuple):
        return "[" + ", ".join(_written(item, in_hex) for item in value) + "]"
    if isinstance(value, dict):
        pairs = (f"{key!r}: {_written(item, in_hex)}" for key, item in value.items())
        return "{" + ", ".join(pairs) + "}"
    if in_hex and isinstance(value, int) and not isinstance(value, bool) and value >= 0:
        return f"{value:#06x}"
    return repr(value)

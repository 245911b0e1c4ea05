"""What one case gave and what was expected, in one line that shows where the two part.

The call stands there whole, so that it can be typed. A long value does not: then the line shows
the first place at which it differs, and both parts there, each cut around the difference.
"""

__all__ = ["case_in_words", "gave_both", "problem_in_words", "way_of_raising"]

from collections.abc import Sequence
from typing import Any, Literal

from course_lib.exercises.calls import call_text, shown
from course_lib.exercises.differences import NOTHING, Difference, first_difference
from course_lib.exercises.registry import Case, Exercise
from course_lib.runner.runner import Problem, Result

VALUE_LIMIT = 160  # characters of a value that are shown whole
CUT = 60  # characters of each part of a longer one

WayOfRaising = Literal["accident", "refused", "assertion", "not written"]

RAISED: dict[WayOfRaising, str] = {
    "accident": "raised",
    "refused": "is refused: it raised",
    "assertion": "is stopped by an assertion: it raised",
    "not written": "is not written to its end: it raised",
}


def case_in_words(item: Exercise, case: Case, got: Result) -> str:
    """Write a case, what it gave and what was expected, with the part that differs."""
    expected = case.expected
    call = call_text(item, case.arguments)
    if expected.raises:
        return f"{call} {_gave(got, item)}; a {expected.raises} was expected."
    if got.kind != "value":
        return f"{call} {_gave(got, item)}; expected {_alone(expected.value, item)}."
    parts = first_difference(expected.value, got.value, whole=item.whole)
    if parts is None:
        parts = Difference((), expected.value, got.value)
    if item.driver in ("operate", "with_parts") and parts.path and not _is_a_call_missing(parts):
        return _step_in_words(item, case, got, parts)
    return f"{call} {_parted(expected.value, got.value, parts, item)}"


def _gave(result: Result, item: Exercise) -> str:
    """Say what came of a call: "returned 5"; the head alone of what is long."""
    if result.kind == "value":
        return f"returned {_alone(result.value, item)}"
    problem = result.problem
    if problem is not None:
        return f"{RAISED[way_of_raising(problem)]} {problem_in_words(problem)}"
    if not result.was_tried:
        return f"was {result.note}"
    words = {
        "not plain": "returned", "out of time": "gave", "died": "was cut off: it",
        "changed": "changed",
    }  # fmt: skip
    return f"{words[result.kind]} {result.note}"


def gave_both(one: Result, other: Result, item: Exercise) -> tuple[str, str]:
    """Say what came of one call twice, so that the difference is seen."""
    if one.kind != "value" or other.kind != "value":
        return _gave(one, item), _gave(other, item)
    texts = _side_by_side(one.value, other.value, item)
    return f"returned {texts[0]}", f"returned {texts[1]}"


def problem_in_words(problem: Problem) -> str:
    """Write what was raised, where, and the text with it."""
    line = "" if problem.line is None else f" in line {problem.line}"
    return f"{problem.kind}{line} ({problem.message or 'no text'})"


def way_of_raising(problem: Problem) -> WayOfRaising:
    """Tell what an answer refuses from what it asserts, has not written yet, or never meant."""
    if problem.kind == "NotImplementedError":
        return "not written"
    if not problem.on_purpose or "Exception" not in problem.kinds:
        return "accident"  # an exit refuses nothing
    return "assertion" if problem.kind == "AssertionError" else "refused"


def _is_a_call_missing(parts: Difference) -> bool:
    """Tell whether there are more or fewer results than calls."""
    return len(parts.path) == 1 and (parts.expected is NOTHING or parts.given is NOTHING)


def _step_in_words(item: Exercise, case: Case, got: Result, parts: Difference) -> str:
    """Write the calls up to the first that gave something else, and what that one gave."""
    number, *inner = parts.path
    call = call_text(item, case.arguments, number + 1)
    values = case.expected.value[number], got.value[number]
    told = _parted(*values, parts._replace(path=tuple(inner)), item)
    return f"{call}: the last of these calls {told}"


def _parted(expected: Any, given: Any, parts: Difference, item: Exercise) -> str:
    """Say what was returned, what was expected, and where they differ if that is hard to see."""
    texts = _value(given, item), _value(expected, item)
    longest = max(map(len, texts))
    if not parts.path or (len(parts.path) == 1 and longest <= CUT):
        one, other = _side_by_side(given, expected, item)
        return f"returned {one}; expected {other}."
    where = _at(parts, item)
    if isinstance(_inside(expected, parts.path[:-1]), bytes):
        where = f"At {parts.place} stands {_octet(parts.given)}; expected {_octet(parts.expected)}."
    if longest <= VALUE_LIMIT:
        return f"returned {texts[0]}; expected {texts[1]}. {where}"
    head = texts[0] if len(texts[0]) <= CUT else f"{_piece(texts[0], 0)} ({_type_of(given)})"
    return f"returned {head}. {where}"


def _at(parts: Difference, item: Exercise) -> str:
    """Say at which place two values differ, and what stands there."""
    place = _piece(parts.place, 0) if len(parts.place) > VALUE_LIMIT else parts.place
    if parts.given is NOTHING:
        return f"At {place} stands nothing; expected {_alone(parts.expected, item)}."
    if parts.expected is NOTHING:
        return f"At {place} stands {_alone(parts.given, item)}; nothing was expected there."
    given, wanted = _side_by_side(parts.given, parts.expected, item)
    return f"At {place} stands {given}; expected {wanted}."


def _octet(value: Any) -> str:
    return "nothing" if value is NOTHING else f"{value:#04x}"


def _inside(value: Any, path: Sequence[Any]) -> Any:
    for step in path:
        value = value[step]
    return value


def _side_by_side(one: Any, other: Any, item: Exercise) -> tuple[str, str]:
    """Write two values, each with its type if that matters.

    Long ones are cut around the first character in which they differ.
    """
    texts = [_value(one, item), _value(other, item)]
    if max(map(len, texts)) > VALUE_LIMIT:
        pairs = enumerate(zip(*texts, strict=False))
        part = next((place for place, (a, b) in pairs if a != b), min(map(len, texts)))
        texts = [_piece(text, max(0, part - CUT // 2)) for text in texts]
    if _types_matter(one, other, item):
        return f"{texts[0]} ({_type_of(one)})", f"{texts[1]} ({_type_of(other)})"
    return texts[0], texts[1]


def _types_matter(one: Any, other: Any, item: Exercise) -> bool:
    """Tell whether two values are of types that the contract tells apart."""
    if isinstance(one, int | float) and isinstance(other, int | float):
        return item.whole and isinstance(one, float) != isinstance(other, float)
    return type(one) is not type(other) and one is not None and other is not None


def _alone(value: Any, item: Exercise) -> str:
    text = _value(value, item)
    return text if len(text) <= VALUE_LIMIT else f"{_piece(text, 0)} ({_type_of(value)})"


def _piece(text: str, start: int) -> str:
    before = "... " if start else ""
    after = " ..." if len(text) > start + CUT else ""
    return f"{before}{text[start : start + CUT].strip()}{after}"


def _value(value: Any, item: Exercise) -> str:
    return shown(value, in_hex=item.hex in ("results", "both"))


def _type_of(value: Any) -> str:
    name = type(value).__name__
    return name if name == "bytes" else f"{'an' if name == 'int' else 'a'} {name}"

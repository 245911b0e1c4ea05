"""Write the public cases that ship with the library.

    python -m instructor.units.build_cases [UNIT ...]

For every public case the file holds the input, the right result, and what each
misconception would give: null if that is right. The library can then name a
mistake without holding the code of any answer. A test rebuilds the files and compares.
"""

__all__ = ["build_unit", "case_to_data", "expected_to_data", "main", "unit_text"]

import json
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import course_lib.exercises
from course_lib.exercises.registry import UNITS, Case, Expected
from course_lib.runner.plain_data import encode, same
from instructor.units.items import (
    Evaluate,
    Item,
    after_a_trip,
    cases_for,
    evaluate,
    unit_items,
)

FOLDER = Path(course_lib.exercises.__file__).parent / "cases"


class DisagreesWithSourceError(ValueError):
    """The model answer does not give what a published source says."""


def main() -> None:
    """Rebuild the case files of all units, or of those named, and say which changed."""
    named = sys.argv[1:]
    if unknown := set(named) - set(UNITS):
        raise SystemExit(f"No unit {', '.join(sorted(unknown))}. There are: {', '.join(UNITS)}.")
    for unit in named or UNITS:
        path = FOLDER / f"unit_{unit}.json"
        text = unit_text(unit)
        changed = not path.exists() or path.read_text(encoding="utf-8") != text
        path.write_text(text, encoding="utf-8")
        print(f"{path.name}: {'rewritten' if changed else 'as it was'}")


def unit_text(unit: str, work_out: Callable[[Item], Evaluate] = lambda one: evaluate) -> str:
    """Return the case file of one unit, ready to be written: a line for each case.

    `work_out` says how the cases of an item are worked out: else each answer has its own process.
    """
    exercises = []
    for name, cases in build_unit(unit, work_out).items():
        lines = ",\n".join(json.dumps(case, ensure_ascii=False) for case in cases)
        exercises.append(f'"{name}": [\n{lines}\n]')
    return "{\n" + ",\n".join(exercises) + "\n}\n"


def build_unit(
    unit: str, work_out: Callable[[Item], Evaluate] = lambda one: evaluate
) -> dict[str, list[dict[str, Any]]]:
    """Return the public cases of one unit as JSON-ready data."""
    return {
        one.exercise.id: [
            _without_repeats(case_to_data(case)) for case in _checked_cases(one, work_out(one))
        ]
        for one in unit_items(unit)
    }


def expected_to_data(expected: Expected) -> dict[str, Any]:
    """Write an expected result as JSON-ready data."""
    if expected.raises:
        return {"raises": expected.raises}
    if expected.out_of_time:
        return {"out_of_time": True}
    value = {"value": encode(expected.value)}
    return value | {"any_value": True} if expected.any_value else value


def case_to_data(case: Case) -> dict[str, Any]:
    """Write a case as JSON-ready data."""
    return {
        "aspect": case.aspect,
        "arguments": [encode(argument) for argument in case.arguments],
        "expected": expected_to_data(case.expected),
        "source": case.source,
        "variants": {name: expected_to_data(item) for name, item in case.variants.items()},
    }


def _without_repeats(data: dict[str, Any]) -> dict[str, Any]:
    """Write null for a misconception that gives what is right: most do, in most cases."""
    right = json.dumps(data["expected"])
    variants = {
        name: None if json.dumps(given) == right else given
        for name, given in data["variants"].items()
    }
    return data | {"variants": variants}


def _checked_cases(one: Item, work_out: Evaluate) -> tuple[Case, ...]:
    cases = cases_for(one, one.public, work_out=work_out)
    for question, case in zip(one.public, cases, strict=True):
        published = question.published
        if published is None:
            continue
        agree = published.raises == case.expected.raises and same(
            after_a_trip(published.value), case.expected.value
        )
        if not agree:
            raise DisagreesWithSourceError(
                f"exercise {one.exercise.id}: the model answer gives {case.expected}, "
                f"but {question.source} says {published}"
            )
    return cases


if __name__ == "__main__":
    main()

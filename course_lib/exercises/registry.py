"""What an exercise is, and where all of them are found.

An exercise here is only its shape: which function, for how many points, in which
aspects. Its public cases lie beside it as data (`cases/unit_NN.json`), with the
value that is right and the value that each known misconception would give. So a
mistake can be named without the mistake, or the answer, being shipped.
"""

__all__ = ["Aspect", "Case", "Exercise", "Expected", "all_exercises", "exercise", "public_cases"]

import functools
import importlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from importlib import resources
from typing import Any, Literal

from course_lib.runner.plain_data import decode, same

UNITS = tuple(sorted(
    file.name[5:7]
    for file in (resources.files(__package__) / "units").iterdir()
    if file.name.startswith("unit_")
))  # fmt: skip

Apart = Literal["variation", "later", "open"]
Hex = Literal["nothing", "arguments", "results", "both"]


@dataclass(frozen=True, slots=True)
class Aspect:
    """One behaviour that earns points of its own, all or nothing.

    `refusals` is set where only that is asked, what is refused and what is not: which value comes
    out is for the other aspects to ask.
    """

    name: str
    points: float
    refusals: bool = False


@dataclass(frozen=True, slots=True)
class Exercise:
    """The shape of one exercise.

    `apart` says how the exercise stays apart from the library that students
    import: a *variation* that the library does not have, something that the
    library gains in a *later* unit, or *open* on purpose and without points.
    `differs` says it in words. `may_use` lists what of the library an answer may
    import, `may_not_use` what of Python it may not: what would be the answer. `hex` names the
    numbers that feedback writes in hexadecimal. `whole` is set where the contract asks for whole
    numbers: there 20.0 is not 20. `time_limit_s` is wall time for one case.
    """

    id: str
    unit: str
    function: str
    title: str
    aspects: tuple[Aspect, ...]
    apart: Apart
    differs: str
    driver: str = "call"
    hex: Hex = "nothing"
    whole: bool = False
    may_use: tuple[str, ...] = ()
    may_not_use: tuple[str, ...] = ()
    time_limit_s: float = 2.0

    @property
    def points(self) -> float:
        """Return the points of all aspects together."""
        return sum(aspect.points for aspect in self.aspects)

    @property
    def cell_name(self) -> str:
        """Return the name of the cell that holds the answer."""
        return "answer-" + self.id.replace(".", "-")

    @property
    def mark_name(self) -> str:
        """Return the name of the cell that marks the answer."""
        return "mark-" + self.id.replace(".", "-")


@dataclass(frozen=True, slots=True)
class Expected:
    """What a case should give: a value, or an exception of the named kind."""

    value: Any = None
    raises: str = ""
    out_of_time: bool = False  # only a misconception may have this one
    any_value: bool = False  # another value than `value` will do, but no refusal

    def is_same(self, other: "Expected", *, whole: bool) -> bool:
        """Tell whether both are the same value, or the same kind of exception."""
        if self.any_value:
            return not (other.raises or other.out_of_time)
        if self.raises or other.raises or self.out_of_time or other.out_of_time:
            return (self.raises, self.out_of_time) == (other.raises, other.out_of_time)
        return same(self.value, other.value, whole=whole)


@dataclass(frozen=True)
class Case:
    """One input with what is right, and what each misconception would make of it."""

    aspect: str
    arguments: tuple[Any, ...]
    expected: Expected
    source: str
    variants: Mapping[str, Expected]

    @functools.cached_property
    def wrong_in(self) -> frozenset[str]:
        """Return the misconceptions that give something else than what is right."""
        return self._wrong_in(whole=False)

    @functools.cached_property
    def wrong_in_whole_numbers(self) -> frozenset[str]:
        """Return the same where a whole number is asked for."""
        return self._wrong_in(whole=True)

    def _wrong_in(self, *, whole: bool) -> frozenset[str]:
        return frozenset(
            name for name, given in self.variants.items()
            if not self.expected.is_same(given, whole=whole)
        )  # fmt: skip


def all_exercises() -> tuple[Exercise, ...]:
    """Return the exercises of all units, in the order of the course."""
    return tuple(item for unit in UNITS for item in unit_exercises(unit))


def exercise(exercise_id: str) -> Exercise:
    """Return the exercise with this id; raise `LookupError` with the ids there are."""
    for item in all_exercises():
        if item.id == exercise_id:
            return item
    known = ", ".join(item.id for item in all_exercises())
    raise LookupError(f"there is no exercise {exercise_id!r}; there are {known}")


@functools.cache
def public_cases(exercise_id: str) -> tuple[Case, ...]:
    """Return the public cases of an exercise, in the order in which they are tried."""
    unit = exercise_id.partition(".")[0]
    return tuple(case_from_data(item) for item in _unit_cases(int(unit))[exercise_id])


@functools.lru_cache(maxsize=1)  # who asks for one exercise of a unit mostly asks for the next
def _unit_cases(unit: int) -> dict[str, Any]:
    path = resources.files(__package__) / "cases" / f"unit_{unit:02}.json"
    cases: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return cases


def unit_exercises(unit: str) -> tuple[Exercise, ...]:
    """Return the exercises of one unit, given by its number ("01")."""
    module = importlib.import_module(f"{__package__}.units.unit_{unit}")
    exercises: tuple[Exercise, ...] = module.EXERCISES
    return exercises


def case_from_data(data: dict[str, Any]) -> Case:
    """Read what the instructor's side has written; a variant of null is what is right."""
    right = expected_from_data(data["expected"])
    return Case(
        aspect=data["aspect"],
        arguments=tuple(decode(argument) for argument in data["arguments"]),
        expected=right,
        source=data["source"],
        variants={
            name: right if item is None else expected_from_data(item)
            for name, item in data["variants"].items()
        },
    )


def expected_from_data(data: dict[str, Any]) -> Expected:
    """Read what `expected_to_data` on the instructor's side has written."""
    if "raises" in data:
        return Expected(raises=data["raises"])
    if data.get("out_of_time"):
        return Expected(out_of_time=True)
    return Expected(value=decode(data["value"]), any_value=data.get("any_value", False))

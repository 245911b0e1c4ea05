"""Answers that nobody took from the library: written apart, or the course's own."""

import importlib
from collections.abc import Iterator
from typing import NamedTuple

from instructor.units.items import all_items, source_of

STYLES = ("loops", "tools", "pieces")


class Honest(NamedTuple):
    """One answer: its exercise, whose it is or what it gets wrong, and its source."""

    exercise: str
    unit: str
    name: str
    source: str


def written_apart() -> Iterator[Honest]:
    """Yield the right answers of `written_apart`, three for each exercise."""
    for one in all_items():
        shape = one.exercise
        for style in STYLES:
            module = importlib.import_module(f"written_apart.unit_{shape.unit[:2]}_{style}")
            source = source_of(getattr(module, shape.function), shape.function)
            yield Honest(shape.id, shape.unit, style, source)


def known_answers() -> Iterator[Honest]:
    """Yield the course's own answers, and its misconceptions."""
    for one in all_items():
        for place, function in enumerate((one.answer, *one.others)):
            yield Honest(one.exercise.id, one.exercise.unit, f"right-{place}", source_of(function))
        for name, function in one.misconceptions.items():
            yield Honest(one.exercise.id, one.exercise.unit, name, source_of(function))

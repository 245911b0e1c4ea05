"""A page of the handbook: its text, joined with what workbook, checks and plan say themselves.

Beliefs and the questions that repair them come from the exercises' own tables, questions to discuss
from the workbook, minutes from `unit.toml`. So none of these can be told differently here; a page
that names something that is not there is refused.
"""

__all__ = ["Belief", "Exercise", "Question", "Route", "UnitPage", "all_pages", "unit_page"]

import pathlib
import re
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

from course_lib.exercises.feedback import table
from course_lib.exercises.registry import exercise
from instructor.handbook.page_text import HandbookError, PageText, Path, Step, Trouble, page_text
from instructor.handbook.shown_by import Example, example_of
from instructor.release.workbook_files import ROOT, read_workbook, unit_names

TEXTS = pathlib.Path(__file__).parent / "texts"
SLOWER_BY = 1.5  # a slower room needs so many times the minutes: our own choice, no source
DISCUSSED = "## To discuss"


class Exercise(NamedTuple):
    """An exercise with its minutes, and whether a slower and a faster room does it."""

    id: str
    title: str
    points: float
    minutes: int
    slower: bool
    faster: bool


class Belief(NamedTuple):
    """What to ask, the belief behind a wrong answer, a call that shows it, what to ask then."""

    exercise: str
    name: str
    question: str
    belief: str
    example: Example | None
    next: str


class Question(NamedTuple):
    """A question of the workbook, and what good answers contain."""

    text: str
    good: str


class Route(NamedTuple):
    """A way through the exercises: how long it takes, and words about it."""

    minutes: int
    words: str


@dataclass(frozen=True, slots=True)
class UnitPage:
    """All that stands on a page; texts are Markdown, minutes whole numbers."""

    name: str
    title: str
    question: str
    goals: tuple[str, ...]
    needs: tuple[str, ...]
    minutes: Mapping[str, int]
    say: str
    steps: tuple[Step, ...]
    troubles: tuple[Trouble, ...]
    beliefs: tuple[Belief, ...]
    questions: tuple[Question, ...]
    exercises: tuple[Exercise, ...]
    slower: Route
    faster: Route

    @property
    def number(self) -> str:
        """The first word of its name, such as 02."""
        return self.name.partition("-")[0]


def all_pages(units: Sequence[str] = ()) -> Iterator[tuple[str, UnitPage | None]]:
    """Yield the name of each unit, or of those named, with its page; None if it has no text."""
    for unit in units or unit_names():
        yield unit, unit_page(unit) if (TEXTS / f"{unit}.md").exists() else None


def unit_page(unit: str) -> UnitPage:
    """Return the page of a unit; raises `HandbookError`."""
    path = TEXTS / f"{unit}.md"
    facts = tomllib.loads((ROOT / "workbooks" / unit / "unit.toml").read_text(encoding="utf-8"))
    text = page_text(path.read_text(encoding="utf-8"), path.name)
    exercises = tuple(_exercises(facts, text, path.name))
    return UnitPage(
        name=unit,
        title=facts["title"],
        question=facts["question"],
        goals=tuple(facts["goals"]),
        needs=tuple(facts["prerequisites"]),
        minutes=facts["minutes"],
        say=text.say,
        steps=text.steps,
        troubles=text.troubles,
        beliefs=tuple(_beliefs(facts, text, path.name)),
        questions=tuple(_questions(unit, text, path.name)),
        exercises=exercises,
        slower=_route(text.slower, [one.minutes for one in exercises if one.slower]),
        faster=_route(text.faster, [one.minutes for one in exercises if one.faster]),
    )


def _exercises(facts: Mapping[str, Any], text: PageText, name: str) -> Iterator[Exercise]:
    minutes = {part["exercise"]: part["minutes"] for part in facts["parts"]}
    for where, path in (("slower", text.slower), ("faster", text.faster)):
        for one in path.exercises:
            if one not in facts["exercises"]:
                raise HandbookError(f"{name}: the {where} path names {one}, which is not there.")
    for one in facts["exercises"]:
        item = exercise(one)
        yield Exercise(
            one, item.title, item.points, minutes[one], one in text.slower.exercises,
            one in text.faster.exercises,
        )  # fmt: skip


def _beliefs(facts: Mapping[str, Any], text: PageText, name: str) -> Iterator[Belief]:
    for one in text.listens:
        rows = table()["exercise"].get(one.exercise, {}).get("misconceptions", {})
        if one.exercise not in facts["exercises"] or one.belief not in rows:
            raise HandbookError(
                f"{name}: `{one.exercise} {one.belief}` is no belief that this unit's checks name. "
                f"They stand in course_lib/exercises/wording/unit_{name[:2]}.toml."
            )
        row = rows[one.belief]
        example = example_of(one.exercise, one.belief)
        yield Belief(one.exercise, one.belief, one.question, row["belief"], example, row["next"])


def _questions(unit: str, text: PageText, name: str) -> Iterator[Question]:
    asked = discussed(unit)
    if len(asked) != len(text.prompts):
        raise HandbookError(
            f"{name}: it answers {len(text.prompts)} questions to discuss; the workbook has "
            f"{len(asked)}."
        )
    for question, prompt in zip(asked, text.prompts, strict=True):
        if prompt.words not in question:
            raise HandbookError(
                f"{name}: “{prompt.words}” stands nowhere in the workbook's question “{question}”. "
                "Has it changed? Then look whether the answer still fits."
            )
        yield Question(question, prompt.good)


def discussed(unit: str) -> tuple[str, ...]:
    """Return the questions that a workbook has under "To discuss"."""
    (cell,) = (one.source for one in read_workbook(unit).cells if DISCUSSED in one.source)
    below = cell.partition(DISCUSSED)[2]
    return tuple(re.findall(r"^\d+\. (.+)$", below, re.MULTILINE))


def _route(path: Path, minutes: Sequence[int]) -> Route:
    return Route(sum(minutes), path.words)

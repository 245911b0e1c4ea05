"""Put the same idea together that stands behind beliefs of several exercises, and rank all.

Which beliefs belong together is declared in `ideas.toml`. A belief in none of them, and an idea of
which a class shows one belief alone, stand for themselves.
"""

__all__ = ["SHARED_BY", "Idea", "declared", "ideas"]

import functools
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from instructor.reporting.class_report import SMALLEST_GROUP, ClassReport, MisconceptionFigures
from instructor.reporting.intervals import Estimate, wilson

DECLARED = Path(__file__).parent / "ideas.toml"
SHARED_BY = 3  # students; what fewer share is folded


@dataclass(frozen=True, slots=True)
class Idea:
    """What some students misunderstood: `beliefs` with the most shared first.

    `title` is '' where there is one belief alone. `who` showed one of the beliefs at least, and
    `tried` are how many tried one of their exercises; `share` is None if those are too few.
    """

    title: str
    beliefs: tuple[MisconceptionFigures, ...]
    who: tuple[str, ...]
    tried: int
    share: Estimate | None


@functools.cache
def declared() -> Mapping[tuple[str, str], str]:
    """Return the title of the idea behind each belief that is in one, by exercise and name."""
    read = tomllib.loads(DECLARED.read_text(encoding="utf-8"))
    return {
        (exercise, name): one["title"]
        for one in read["idea"]
        for exercise, name in (belief.split() for belief in one["beliefs"])
    }


def ideas(report: ClassReport) -> tuple[Idea, ...]:
    """Return all that a class misunderstood, what most students share first."""
    together: dict[str, list[MisconceptionFigures]] = {}
    for one in report.misconceptions:  # in the order of their weight
        alone = f"{one.exercise.id} {one.name}"
        together.setdefault(declared().get((one.exercise.id, one.name), alone), []).append(one)
    tried = {one.exercise.id: one.tried for one in report.exercises}
    found = [_idea(title, beliefs, tried) for title, beliefs in together.items()]
    return tuple(sorted(found, key=_weight))


def _idea(
    title: str, beliefs: Sequence[MisconceptionFigures], tried: Mapping[str, frozenset[str]]
) -> Idea:
    who = frozenset(student for one in beliefs for student in one.who)
    of = len(frozenset[str]().union(*(tried[one.exercise.id] for one in beliefs)))
    is_known = of >= SMALLEST_GROUP and any(one.share for one in beliefs)
    return Idea(
        title=title if len(beliefs) > 1 else "",
        beliefs=tuple(beliefs),
        who=tuple(sorted(who)),
        tried=of,
        share=wilson(len(who), of) if is_known else None,
    )


def _weight(one: Idea) -> tuple[int, float]:
    return (-len(one.who), -(one.share.share if one.share else 0.0))

"""What to change before the next class, ranked by how much of it is certain.

Each finding has a strength: how large a part of the class it concerns at least, by the lower end of
an interval. For an exercise that does not tell students apart it is how far, at least, its
correlation lies below what is called poor. What rests on a wide interval comes late, however large
it looks.
"""

__all__ = ["Finding", "to_change"]

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from instructor.comparing.changes import Change, is_against
from instructor.comparing.class_tables import ClassTables, Row, estimate
from instructor.reporting.intervals import wilson
from instructor.statistics.discrimination import POOR_BELOW
from instructor.statistics.exercise_statistics import Judgement
from instructor.statistics.statistics_words import plain

LEAST = 0.02  # of a class; what concerns fewer, at least, is no finding


class Finding(NamedTuple):
    """One thing to change: what was seen, what to do, and how strong it is."""

    what: str
    seen: str
    do: str
    strength: float
    is_part: bool = True  # of the class; else how far a correlation lies below what is poor


def to_change(this: ClassTables, changed: Sequence[Change]) -> tuple[Finding, ...]:
    """Return what this class and its changes against the last one say, the strongest first."""
    found = [
        *_beliefs(this), *_exercises(this), *_unnamed(this), *_survey(this), *_worse(changed),
    ]  # fmt: skip
    strong = [one for one in found if one.strength >= LEAST]
    return tuple(sorted(strong, key=lambda one: -one.strength))


def _beliefs(this: ClassTables) -> Iterator[Finding]:
    for row in this.rows["misconceptions"]:
        share = estimate(row, "share")
        if share:
            seen = f"{row['students']} of the {row['tried']} who tried {row['exercise']}"
            yield Finding(row["belief"], seen, f"Say, or ask: {row['next']}", share.low)


def _exercises(this: ClassTables) -> Iterator[Finding]:
    for row in this.rows["statistics"]:
        found = estimate(row, "course_rest") or estimate(row, "unit_rest")
        if found is None:
            continue
        name = f"{row['exercise']} {row['title']}"
        seen = f"{row['judgement']}: correlation {plain(found.share)}, at most {plain(found.high)}"
        if row["judgement"] == Judgement.LOOKS_BROKEN.value:
            do = "Read its text beside its cases: who does well elsewhere does worse here."
            yield Finding(name, seen, do, POOR_BELOW - found.high, is_part=False)
        elif row["judgement"] == Judgement.TELLS_NOTHING.value:
            do = "Ask for one idea, or cut what asks for patience alone."
            yield Finding(name, seen, do, POOR_BELOW - found.high, is_part=False)


def _unnamed(this: ClassTables) -> Iterator[Finding]:
    for row in this.rows["unnamed"]:
        share = wilson(int(row["students"]), int(row["tried"]))
        seen = f"{row['students']} of the {row['tried']} who tried go wrong alike"
        do = "Look at the example in unnamed.csv; if there is an idea in it, list it as a belief."
        yield Finding(f"{row['exercise']}: a belief without a name", seen, do, share.low)


def _survey(this: ClassTables) -> Iterator[Finding]:
    for row in this.rows["exit-survey"]:
        levels = _levels(row)
        if not levels:
            continue
        unhappy = sum(levels[3:]) if is_against(row["statement"]) else sum(levels[:2])
        share = wilson(unhappy, sum(levels))
        seen = f"{unhappy} of {sum(levels)} are of the other opinion"
        if is_against(row["statement"]):
            seen = f"{unhappy} of {sum(levels)} agree"
        yield Finding(f"“{row['text']}”", seen, "Read what they would change.", share.low)


def _levels(row: Row) -> list[int]:
    cells = [row.get(f"level_{level}", "") for level in range(1, 6)]
    return [int(cell) for cell in cells] if all(cells) else []


def _worse(changed: Sequence[Change]) -> Iterator[Finding]:
    for one in changed:
        if one.kind == "exercise" and one.is_sure and one.better < 0:
            seen = f"earned {one.last.share:.0%} of its points last time, {one.this.share:.0%} now"
            do = "Look at what is new in its unit, or in how it was taught."
            yield Finding(f"{one.name} {one.what}", seen, do, -one.by.high)

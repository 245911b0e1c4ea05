"""What is other in a class than in the one before, with intervals, and which of it is no chance.

Two classes are separate groups, so differences have the interval of R. G. Newcombe's method 10
(Statistics in Medicine 17, 1998), from both intervals. Where many figures are compared, some differ
by chance alone. So each difference gets the probability that chance gives one as large, and those
count as sure that Y. Benjamini and Y. Hochberg's rule lets pass (J. R. Stat. Soc. B 57, 1995): of
these, one in twenty at most is expected to be chance.
"""

__all__ = ["Change", "changes", "is_against"]

from collections.abc import Iterator
from dataclasses import dataclass, replace

from instructor.comparing.class_tables import ClassTables, estimate
from instructor.reporting.intervals import Estimate, difference, wilson

MAY_BE_CHANCE = 0.05  # of those called sure, this part
TOOL = "the workbooks as a tool, of 100"
DEVIATIONS = 1.959963984540054  # of a normal variable, within which 95 % of it lie


@dataclass(frozen=True, slots=True)
class Change:
    """One figure in both classes; `more_is_better` says which way is up.

    `by` is this class less the last; `chance` the probability by the rule above.
    """

    kind: str
    name: str
    what: str
    last: Estimate
    this: Estimate
    more_is_better: bool
    chance: float = 1.0

    @property
    def by(self) -> Estimate:
        """Return the difference with its interval."""
        return difference(self.this, self.last)

    @property
    def better(self) -> float:
        """Return by how much it got better; below 0 it got worse."""
        return self.by.share if self.more_is_better else -self.by.share

    @property
    def is_sure(self) -> bool:
        """Tell whether chance is a poor excuse, with all that is compared in mind."""
        return self.chance <= MAY_BE_CHANCE


def changes(last: ClassTables, this: ClassTables) -> tuple[Change, ...]:
    """Return all that both classes have a figure of, the surest first."""
    found = [
        *_exercises(last, this), *_beliefs(last, this), *_test(last, this), *_survey(last, this),
    ]  # fmt: skip
    if not found:
        return ()
    from scipy import stats  # takes a second to load: nobody else has to wait for it

    alone = [float(2 * stats.norm.sf(_deviations(one))) for one in found]
    together = stats.false_discovery_control(alone, method="bh")
    known = [
        replace(one, chance=float(chance)) for one, chance in zip(found, together, strict=True)
    ]
    order = sorted(range(len(known)), key=lambda place: alone[place])
    return tuple(known[place] for place in order)


def _deviations(one: Change) -> float:
    """Return how many standard deviations the difference is away from none."""
    by = one.by
    half = by.share - by.low if by.share > 0 else by.high - by.share
    return DEVIATIONS * abs(by.share) / half if half > 0 else 0.0


def _exercises(last: ClassTables, this: ClassTables) -> Iterator[Change]:
    before = last.by("exercises", "exercise")
    for name, row in this.by("exercises", "exercise").items():
        one, other = estimate(before.get(name, {}), "share"), estimate(row, "share")
        if one and other:
            yield Change("exercise", name, row["title"], one, other, True)


def _beliefs(last: ClassTables, this: ClassTables) -> Iterator[Change]:
    """Yield beliefs that were seen in one class at least: in the other one, nobody showed it."""
    tables = (last, this)
    rows = [one.by("misconceptions", "exercise", "misconception") for one in tables]
    tried = [{row["exercise"]: row["tried"] for row in one.rows["exercises"]} for one in tables]
    for name in dict.fromkeys([*rows[1], *rows[0]]):
        row = rows[1].get(name) or rows[0][name]
        shares = [
            estimate(own[name], "share") if name in own
            else _nobody(row["exercise"], known, table)
            for own, known, table in zip(rows, tried, tables, strict=True)
        ]  # fmt: skip
        if shares[0] and shares[1]:
            yield Change("belief", name, row["belief"], shares[0], shares[1], False)


def _nobody(exercise: str, tried: dict[str, str], table: ClassTables) -> Estimate | None:
    many = int(tried.get(exercise) or 0)
    has_figure = estimate(table.by("exercises", "exercise").get(exercise, {}), "share")
    return wilson(0, many) if many and has_figure else None


def _test(last: ClassTables, this: ClassTables) -> Iterator[Change]:
    for one, other in zip(last.rows["concept-gain"], this.rows["concept-gain"], strict=False):
        known, now = estimate(one, "gain"), estimate(other, "gain")
        if known and now:
            yield Change("gain", "", "normalised gain of the concept test", known, now, True)
    before = last.by("concept-test", "question")
    for name, row in this.by("concept-test", "question").items():
        known, now = estimate(before.get(name, {}), "after"), estimate(row, "after")
        if known and now:
            what = f"{name.replace('-', ' ')}, after the course"
            yield Change("question", name, what, known, now, True)


def _survey(last: ClassTables, this: ClassTables) -> Iterator[Change]:
    before = last.by("exit-survey", "statement")
    for name, row in this.by("exit-survey", "statement").items():
        known, now = estimate(before.get(name, {}), "agree"), estimate(row, "agree")
        if known is None or now is None or before[name]["text"] != row["text"]:
            continue
        if name == "usability":
            yield Change("survey", name, TOOL, _of_hundred(known), _of_hundred(now), True)
        else:
            yield Change("survey", name, row["text"], known, now, not is_against(name))


def _of_hundred(score: Estimate) -> Estimate:
    return Estimate(*(part / 100 for part in score))


def is_against(statement: str) -> bool:
    """Tell whether to agree with a statement is no praise: every second one about the tool."""
    part, _, number = statement.partition("-")
    return part == "usability" and number.isdecimal() and int(number) % 2 == 0

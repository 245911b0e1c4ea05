"""The rules of a class in sentences: for students, who read what being late cost, and for staff."""

__all__ = ["excuse_in_words", "how_known", "late_rule_in_words", "lateness_in_words"]

from instructor.deadlines.class_rules import Excuse
from instructor.deadlines.counted import Counted
from instructor.deadlines.late_rule import DAY_S, LateRule
from instructor.deadlines.moments import in_words

HOW_KNOWN = {
    "a person": "as a person said",
    "timestamp.txt": "by the time stamp beside it",
    "handed-in.csv": "by the upload page's report",
    "the file": "by the time of the file",
    "the archive": "by the time in the archive",
}
HOUR_S, MINUTE_S = 3600, 60


def late_rule_in_words(rule: LateRule) -> str:
    """Return the rule as one or more sentences.

    >>> late_rule_in_words(LateRule({1: 0.9, 2: 0.8}, 600, last_day=3))
    'From day 1 after the deadline on 90 %, from day 2 on 80 % of the points count; what comes \
more than 3 days late earns nothing. A day that has begun counts, and 10 minutes are not counted.'
    """
    parts = [f"from day {day}{' after the deadline' if place == 0 else ''} on {100 * share:g} %"
             for place, (day, share) in enumerate(sorted(rule.kept.items()))]  # fmt: skip
    told = [f"{', '.join(parts)} of the points count"] if parts else []
    if rule.last_day is not None:
        after = "after the deadline" if rule.last_day == 0 else (
            f"more than {_days(rule.last_day)} late")  # fmt: skip
        told.append(f"what comes {after} earns nothing")
    if not told:
        return "Being late costs nothing."
    first = "; ".join(told)
    more = "A day that has begun counts"
    if rule.grace_s:
        more += f", and {rule.grace_s / MINUTE_S:g} minutes are not counted"
    free = f" {_days(rule.free_days)} in all cost nothing." if rule.free_days else ""
    return f"{first[0].upper()}{first[1:]}. {more}.{free}"


def lateness_in_words(one: Counted) -> str:
    """Say when a hand-in came, how that is known, and what it costs; '' where nothing was due."""
    if one.due is None or not one.is_there:
        return ""
    due = f"due {in_words(one.due)}"
    if one.is_open:
        hint = ""
        if one.arrival.time is not None:
            hint = f" ({in_words(one.arrival.time)} {how_known(one)}, which is not believed)"
        return f"{due}; when it was handed in is not known{hint}, so a person has to say"
    if one.arrival.time is None:
        return ""
    came = f"handed in {in_words(one.arrival.time)} ({how_known(one)}), {due}"
    if not one.late_s:
        return f"{came}: in time"
    free = f", {one.free} of them free" if one.free else ""
    if not one.days:
        return f"{came}: {_span(one.late_s)} late, which is not counted"
    return (
        f"{came}: {_span(one.late_s)} late, counted as {_days(one.days)}{free}; "
        f"{100 * one.share:g} % of the points count"
    )


def excuse_in_words(one: Excuse) -> str:
    """Say from what somebody is excused, and what becomes of the points."""
    what = f"exercise {one.exercise}" if one.exercise else "this unit"
    if one.counts == "left out":
        return f"excused from {what}: it is left out of the points that there are"
    return f"excused from {what}: it stays in the points that there are"


def how_known(one: Counted) -> str:
    """Say how the time of handing in is known."""
    return HOW_KNOWN.get(one.arrival.source, "not known")


def _span(seconds: float) -> str:
    """Write a time in its two largest units.

    >>> _span(93_600), _span(61)
    ('1 day 2 hours', '1 minute')
    """
    left, parts = int(seconds), []
    for size, name in ((DAY_S, "day"), (HOUR_S, "hour"), (MINUTE_S, "minute"), (1, "second")):
        amount, left = divmod(left, size)
        if amount:
            parts.append(f"{amount} {name}{'' if amount == 1 else 's'}")
    return " ".join(parts[: 2 if seconds >= HOUR_S else 1]) or "less than a second"


def _days(amount: int) -> str:
    return f"{amount} day{'' if amount == 1 else 's'}"

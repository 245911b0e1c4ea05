"""On record beside the scores: when hand-ins came, and what counted of each unit after the rules.

Rows of `counted` are only ever added, one for each unit of a student of which anything else counts
than before. They are the history of what deadlines and excuses did.
"""

__all__ = ["CountedChange", "CountingRecord", "why_in_words"]

import sqlite3
from collections.abc import Iterable, Mapping
from datetime import UTC, datetime
from typing import NamedTuple

from instructor.deadlines.class_rules import Key
from instructor.deadlines.counted import Arrival, Counted
from instructor.deadlines.rule_words import excuse_in_words, lateness_in_words

NEAR = 1e-9  # points that are the same but for the last digits of a sum
NOTHING_OFF = "no rule takes anything off"


class CountedChange(NamedTuple):
    """A unit of a student of which something else is taken off, or left out, than before."""

    student: str
    unit: str
    old_points: float
    new_points: float
    old_max: float
    new_max: float
    old_why: str
    new_why: str


class CountingRecord:
    """What a class's record says of times and of what counts; open as long as the record is."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self._db = connection

    def note_arrivals(self, arrivals: Mapping[Key, Arrival]) -> None:
        """Note when hand-ins came; what is known of others stays."""
        rows = [
            (*key, "" if one.time is None else one.time.isoformat(), one.source)
            for key, one in arrivals.items()
        ]
        with self._db:
            self._db.executemany("INSERT OR REPLACE INTO arrival VALUES (?, ?, ?, ?)", rows)

    def arrivals(self) -> dict[Key, Arrival]:
        """Return when each hand-in came, by student and unit."""
        return {
            (student, unit): Arrival(datetime.fromisoformat(time) if time else None, source)
            for student, unit, time, source in self._db.execute("SELECT * FROM arrival")
        }

    def note_counted(self, round_: int, counted: Iterable[Counted]) -> None:
        """Note what counts in this round, where that is anything else than before."""
        last = {
            (student, unit): rest
            for student, unit, *rest in self._db.execute(
                "SELECT student, unit, points, max_points, raw, raw_max, why FROM counted"
                " ORDER BY id"
            )
        }
        rows = []
        for one in counted:
            now = [one.points, one.of, one.raw, one.raw_of, why_in_words(one)]
            before = last.get((one.student, one.unit))
            if before != now and (before or _matters(one)):
                rows.append((round_, one.student, one.unit, *now, _now()))
        with self._db:
            self._db.executemany(
                "INSERT INTO counted (round, student, unit, points, max_points, raw, raw_max, why,"
                " at) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)", rows,
            )  # fmt: skip

    def changes(self, round_: int) -> tuple[CountedChange, ...]:
        """Return of whom the rules take something else off than before this round.

        Points that changed while the rules did the same are among the scores that changed, and
        what was graded for the first time has not changed.
        """
        known = {
            (student, unit)
            for student, unit in self._db.execute(
                "SELECT DISTINCT student, unit FROM score WHERE round < ?", (round_,)
            )
        }
        before, now = self._last("<", round_), self._last("=", round_)
        changes = []
        for key in sorted(now.keys() & (known | before.keys())):
            points, of, raw, raw_of, why = now[key]
            old_points, old_of, _, _, old_why = before.get(key, (raw, raw_of, raw, raw_of, ""))
            if old_why != why and (_far(old_points, points) or _far(old_of, of)):
                changes.append(CountedChange(
                    *key, old_points, points, old_of, of, old_why or NOTHING_OFF,
                    why or NOTHING_OFF,
                ))  # fmt: skip
        return tuple(changes)

    def _last(self, which: str, round_: int) -> dict[Key, tuple[float, float, float, float, str]]:
        rows = self._db.execute(
            "SELECT student, unit, points, max_points, raw, raw_max, why FROM counted"
            f" WHERE round {which} ? ORDER BY id", (round_,),
        )  # fmt: skip
        return {(student, unit): tuple(rest) for student, unit, *rest in rows}


def why_in_words(one: Counted) -> str:
    """Say all that takes something off a unit, or leaves something out; '' if nothing does."""
    late = lateness_in_words(one) if one.late_s or one.is_open else ""
    return "; ".join(part for part in (late, *map(excuse_in_words, one.excused)) if part)


def _matters(one: Counted) -> bool:
    return bool(one.lost or one.excused or one.is_open)


def _far(one: float, other: float) -> bool:
    return abs(one - other) > NEAR


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="seconds")

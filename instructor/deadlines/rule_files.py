"""The rules of a class as two files, which people read and may edit.

`deadlines.toml` says when units are due and what being late costs:

    [due]
    01-frames-and-headers = 2026-05-04T18:00:00+02:00

    [late]
    grace_minutes = 10      # so much later is still in time
    last_day = 7            # what comes later than that many days earns nothing
    free_days = 0           # that each student may be late in all, over all units, at no cost
    believed = ["timestamp.txt", "handed-in.csv"]

    [late.kept_percent]     # share of the points that is kept, from that day on
    1 = 90
    2 = 80

`exceptions.csv` has a row for each decision about one student:

    student,unit,exercise,decision,time,why
    alder,01-frames-and-headers,,longer until,2026-05-06T18:00:00+02:00,asked on Monday
    bracken,01-frames-and-headers,1.4,excused: left out,,joined late
    clover,01-frames-and-headers,,handed in,2026-05-04T17:50:00+02:00,by electronic mail

What counts are the copies of both whose names begin with `confirmed-`: only a confirmed change
writes them.
"""

__all__ = [
    "CONFIRMED",
    "EXCEPTIONS_FILE",
    "HANDED_IN",
    "LONGER",
    "RULES_FILE",
    "RulesError",
    "read_rules",
    "rules_text",
    "whole_unit",
    "write_rules",
]

import tomllib
from collections.abc import Collection, Iterator, Mapping
from datetime import datetime
from pathlib import Path
from typing import Any, NamedTuple

from course_lib.exercises.whole_file import write_whole
from instructor.deadlines.class_rules import SOURCES, ClassRules, Counts, Excuse, Key
from instructor.deadlines.late_rule import LateRule
from instructor.deadlines.moments import read_moment
from instructor.output.tables import write_table
from instructor.roster.typed_table import TypedTableError, read_table

RULES_FILE, EXCEPTIONS_FILE, CONFIRMED = "deadlines.toml", "exceptions.csv", "confirmed-"
COLUMNS = ("student", "unit", "exercise", "decision", "time", "why")
LONGER, HANDED_IN = "longer until", "handed in"
EXCUSED: Mapping[str, Counts] = {
    "excused: left out": "left out", "excused: in the maximum": "in the maximum",
}  # fmt: skip
DECISIONS = (LONGER, *EXCUSED, HANDED_IN)
STAFF_ALONE = 0o600
HEAD = """\
# When units are due, and what being late costs. Change it here or by command:
# `hopbyhop deadlines` shows whose points a change would change, and makes it
# count. Until then, what was confirmed last counts.
"""


class RulesError(ValueError):
    """The rules of a class cannot be read; the text says where, why, and what to do."""


def read_rules(folder: Path, units: Collection[str], prefix: str = "") -> ClassRules:
    """Read the rules in a folder, for a class with these units; raise `RulesError`.

    Without files there are no rules. A unit may be named by its number alone. With the `prefix`
    CONFIRMED it is the rules that count, else those that people edit.
    """
    settings = _settings(folder / f"{prefix}{RULES_FILE}", units)
    path = folder / f"{prefix}{EXCEPTIONS_FILE}"
    taken = _Taken({}, {}, set(), {})
    try:
        rows = read_table(path, COLUMNS[:5], COLUMNS[5:]) if path.exists() else []
    except TypedTableError as problem:
        raise RulesError(str(problem)) from problem
    for row in rows:
        try:
            _take(row.cells, units, taken)
        except ValueError as problem:
            raise RulesError(f"{path}, line {row.number}: {problem}.") from problem
    return ClassRules(
        extensions=taken.extensions, handed_in=taken.handed_in, excuses=frozenset(taken.excuses),
        reasons=taken.reasons, **settings,
    )  # fmt: skip


def write_rules(folder: Path, rules: ClassRules) -> None:
    """Write what people edit and what counts, each file whole or not at all, the latter last."""
    rows = sorted(_rows(rules))
    for prefix in ("", CONFIRMED):
        write_whole(folder / f"{prefix}{RULES_FILE}", rules_text(rules), STAFF_ALONE)
        write_table(folder / f"{prefix}{EXCEPTIONS_FILE}", COLUMNS, rows, mode=STAFF_ALONE)


def rules_text(rules: ClassRules) -> str:
    """Return the settings as they stand in their file."""
    late = rules.late
    due = [f"{unit} = {moment.isoformat()}" for unit, moment in sorted(rules.due.items())]
    last = "# last_day = 7\n" if late.last_day is None else f"last_day = {late.last_day}\n"
    kept = [f"{day} = {100 * share:g}" for day, share in sorted(late.kept.items())]
    believed = ", ".join(f'"{one}"' for one in rules.believed)
    return (
        f"{HEAD}\n[due]\n" + "".join(f"{line}\n" for line in due) + "\n[late]\n"
        f"grace_minutes = {late.grace_s / 60:g}   # so much later is still in time\n"
        f"{last}free_days = {late.free_days}   # late at no cost, in all, for each student\n"
        f"believed = [{believed}]\n"
        "\n[late.kept_percent]   # share of the points that is kept, from that day on\n"
        + "".join(f"{line}\n" for line in kept)
    )


def whole_unit(named: str, units: Collection[str]) -> str:
    """Return the unit that is named, perhaps by its number; raise `ValueError`."""
    found = [unit for unit in units if named in (unit, unit.partition("-")[0])]
    if len(found) != 1:
        raise ValueError(f"the class has no unit {named!r}; it has {', '.join(sorted(units))}")
    return found[0]


def _settings(path: Path, units: Collection[str]) -> dict[str, Any]:
    if not path.exists():
        return {}
    try:
        data = tomllib.loads(path.read_text(encoding="utf-8-sig"))
        _only(data, ("due", "late"), "")
        late = _table(data, "late")
        _only(late, ("grace_minutes", "last_day", "free_days", "believed", "kept_percent"), "late")
        due = {whole_unit(name, units): _moment(name, one)
               for name, one in _table(data, "due").items()}  # fmt: skip
        return {"due": due, "late": _late_rule(late), "believed": _believed(late)}
    except (OSError, ValueError, TypeError) as problem:
        raise RulesError(f"{path}: {problem}.") from problem


def _late_rule(late: Mapping[str, Any]) -> LateRule:
    kept = {}
    for day, share in _table(late, "kept_percent").items():
        if not day.isdecimal():
            raise ValueError(f"kept_percent: {day!r} is no number of days")
        kept[int(day)] = _number("kept_percent", share) / 100
    last = late.get("last_day")
    return LateRule(
        kept,
        60 * _number("grace_minutes", late.get("grace_minutes", 0)),
        None if last is None else _whole("last_day", last),
        _whole("free_days", late.get("free_days", 0)),
    )


def _believed(late: Mapping[str, Any]) -> tuple[str, ...]:
    named = late.get("believed", ClassRules().believed)
    for one in named:
        if one not in SOURCES:
            raise ValueError(f"believed: {one!r} is unknown; there are {', '.join(SOURCES)}")
    return tuple(one for one in SOURCES if one in named or one == SOURCES[0])


class _Taken(NamedTuple):
    """What was read of the exceptions so far."""

    extensions: dict[Key, datetime]
    handed_in: dict[Key, datetime]
    excuses: set[Excuse]
    reasons: dict[tuple[str, str, str], str]


def _take(row: Mapping[str, str], units: Collection[str], taken: _Taken) -> None:
    """Take a decision about a student in; raise `ValueError` in words."""
    if not row["student"]:
        raise ValueError("no student's id")
    if row["decision"] not in DECISIONS:
        raise ValueError(f"{row['decision']!r} is no decision; there are {'; '.join(DECISIONS)}")
    key = row["student"], whole_unit(row["unit"], units)
    if row["decision"] in EXCUSED:
        counts = EXCUSED[row["decision"]]
        taken.excuses.add(Excuse(*key, row["exercise"], counts, row.get("why", "")))
        return
    times = taken.extensions if row["decision"] == LONGER else taken.handed_in
    if key in times:
        raise ValueError(f"a second row says {row['decision']!r} of {key[0]} and {key[1]}")
    times[key] = read_moment(row["time"])
    taken.reasons[*key, row["decision"]] = row.get("why", "")


def _rows(rules: ClassRules) -> Iterator[tuple[str, ...]]:
    for word, times in ((LONGER, rules.extensions), (HANDED_IN, rules.handed_in)):
        for key, moment in times.items():
            yield *key, "", word, moment.isoformat(), rules.reasons.get((*key, word), "")
    for one in rules.excuses:
        yield one.student, one.unit, one.exercise, f"excused: {one.counts}", "", one.why


def _only(data: Mapping[str, Any], known: Collection[str], where: str) -> None:
    if strange := [name for name in data if name not in known]:
        inside = f"[{where}] " if where else ""
        raise ValueError(f"{inside}{strange[0]!r} is unknown; there are {', '.join(known)}")


def _table(data: Mapping[str, Any], name: str) -> Mapping[str, Any]:
    found = data.get(name, {})
    if not isinstance(found, dict):
        raise ValueError(f"{name} is a table: it begins with a line [{name}]")
    return found


def _moment(name: str, value: object) -> datetime:
    if isinstance(value, str):
        return read_moment(value)
    if not isinstance(value, datetime) or value.tzinfo is None:
        raise ValueError(f"{name}: {value} needs a date, a time of day and an offset from UTC, "
                         "as 2026-05-04T18:00:00+02:00")  # fmt: skip
    return value


def _number(name: str, value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError(f"{name}: {value!r} is no number")
    return float(value)


def _whole(name: str, value: object) -> int:
    if isinstance(value, bool) or not isinstance(value, int):
        raise ValueError(f"{name}: {value!r} is no whole number")
    return value

"""How far everybody in a room is, from whatever there is: one progress for each machine.

A folder may hold progress files as students share or copy them (`NAME.json`, `NAME/progress.json`),
or be a course folder that has been graded (`results/scores.csv`). What comes from students is
read as data, within bounds; what is none of it is counted, and stops nobody.

Who works in pairs has one file, and counts as one. Where each of a pair has handed in a copy, a
table says who belong together: a line for each pair, their ids with commas between.
"""

__all__ = ["EVERYBODY_MOST", "Room", "read_pairs", "read_room"]

import csv
import json
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any, NamedTuple

from course_lib.exercises.feedback import table
from course_lib.exercises.progress import FILE_NAME, NOT_TRIED, Entry, Progress
from course_lib.exercises.registry import Exercise, all_exercises
from course_lib.exercises.verdict import Outcome

LARGEST = 1 << 18  # octets of a file; one with all exercises has about 10,000
EVERYBODY_MOST = 2_000  # files
GRADED = Path("results") / "scores.csv"
HANDED_IN = 3  # attempts that a handed-in answer stands for: it is not being worked on any more
OUTCOMES = {one.value for one in Outcome} | {NOT_TRIED}


class Room(NamedTuple):
    """One progress for each machine, in no order that tells whose; and files that are none."""

    everybody: tuple[Progress, ...]
    unreadable: int = 0


def read_room(folder: Path, pairs: Sequence[frozenset[str]] = ()) -> Room:
    """Read all progress in a folder, or in a graded course folder."""
    if (folder / GRADED).is_file():
        found: dict[str, Progress | None] = {**_graded(folder / GRADED)}
    else:
        paths = [*folder.glob("*.json"), *folder.glob(f"*/{FILE_NAME}")][:EVERYBODY_MOST]
        found = {_name_of(path): _progress(path) for path in paths}
    together: dict[str, list[Progress]] = {}
    for name, one in sorted(found.items()):
        if one is not None:
            group = next((each for each in pairs if name in each), frozenset({name}))
            together.setdefault(min(group), []).append(one)
    everybody = tuple(_joined(each) for each in together.values())
    return Room(everybody, sum(one is None for one in found.values()))


def read_pairs(path: Path) -> tuple[frozenset[str], ...]:
    """Read who belong together; raises `ValueError` for an id that stands in two lines."""
    with path.open(encoding="utf-8-sig", newline="") as lines:
        rows = [
            frozenset(cell.strip() for cell in row if cell.strip()) for row in csv.reader(lines)
        ]
    seen: set[str] = set()
    for number, row in enumerate(rows, 1):
        if twice := seen & row:
            raise ValueError(f"{path}, line {number}: {min(twice)} stands in an earlier line, too.")
        seen |= row
    return tuple(row for row in rows if len(row) > 1)


def _name_of(path: Path) -> str:
    return path.parent.name if path.name == FILE_NAME else path.stem


def _progress(path: Path) -> Progress | None:
    try:
        if path.stat().st_size > LARGEST:
            return None
        told = json.loads(path.read_text(encoding="utf-8"))
        known = {item.id: item for item in all_exercises()}
        return {name: _entry(known[name], one) for name, one in told.items() if name in known}
    except (OSError, ValueError, TypeError, AttributeError, KeyError, RecursionError):
        return None  # it is counted


def _entry(item: Exercise, told: Mapping[str, Any]) -> Entry:
    best, attempts = told["best"], told["attempts"]
    if not isinstance(best, int | float) or not math.isfinite(best):
        raise ValueError("points are no number")
    if not isinstance(attempts, int) or told["outcome"] not in OUTCOMES:
        raise ValueError("it is no entry")
    minutes = told.get("minutes", 0.0)
    if not isinstance(minutes, int | float) or not 0 <= minutes < math.inf:
        raise ValueError("minutes are no length of time")
    belief = told.get("belief", "")
    known = table()["exercise"][item.id]["misconceptions"]
    known_belief = belief if belief in known else ""
    return Entry(best, told["outcome"], attempts, belief=known_belief, minutes=minutes)


def _graded(path: Path) -> Mapping[str, Progress]:
    found: dict[str, dict[str, Entry]] = {}
    known = {item.id for item in all_exercises()}
    with path.open(encoding="utf-8", newline="") as lines:
        for row in csv.DictReader(lines):
            one = found.setdefault(row["student"], {})
            if row["exercise"] in known and row["outcome"] != Outcome.NO_ANSWER.value:
                points = float(row["points"] or 0)
                one[row["exercise"]] = Entry(
                    points, row["outcome"], HANDED_IN, belief=row["misconception"]
                )
    return found


def _joined(each: Sequence[Progress]) -> Progress:
    """Return the progress of a pair: of each exercise the better entry, theirs as one."""
    joined: dict[str, Entry] = {}
    for name, entry in _entries(each):
        before = joined.pop(name, entry)
        better = max(before, entry, key=lambda one: (one.best, one.attempts))
        joined[name] = replace(
            better, attempts=max(before.attempts, entry.attempts),
            minutes=max(before.minutes, entry.minutes),
        )  # fmt: skip
    return joined


def _entries(each: Sequence[Progress]) -> Iterator[tuple[str, Entry]]:
    for one in each:
        yield from one.items()

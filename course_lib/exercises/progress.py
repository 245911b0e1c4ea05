"""What a student has done so far, over all units, kept in one small file.

The file lies beside the workbooks, so that it goes with them and survives a
restart. It is for the student alone: nothing in it counts for a grade. Who hands
it over of their own will lets a class see how long exercises take.

Whoever wants to may share it with the board of a room: then a copy goes to a folder there whenever
something is marked, under a name drawn by lot that says nothing of whose it is.
"""

__all__ = [
    "Entry",
    "Progress",
    "ProgressFileError",
    "by_unit",
    "load",
    "mark_of",
    "newest_of",
    "points_of",
    "progress_file",
    "record",
    "send_copy",
    "share",
    "share_no_more",
]

import json
import secrets
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from course_lib.exercises.registry import Exercise, all_exercises
from course_lib.exercises.verdict import Outcome
from course_lib.exercises.whole_file import write_whole

FILE_NAME = "progress.json"
NOT_TRIED = "not tried"
STUDENT_ALONE = 0o600  # reads and writes it
SHARED_WITH = "progress-shared.json"  # beside it: the folder of the board, and our name there
LONGEST_WORK = timedelta(minutes=30)  # between two marks or hints; what is longer was a pause
BUNDLE_MARK = ".hop-by-hop"  # an empty file in the folder that holds the workbooks


@dataclass(frozen=True, slots=True)
class Entry:
    """One exercise: the best points so far, the last outcome, attempts and hints.

    `belief` is the name of the belief that the last attempt showed; '' for none. `minutes` is how
    long the student worked on it, at least: what passed since the last mark or hint, of whichever
    exercise, unless that was a pause. `at` is the last time, in UTC; '' if none was noted.
    """

    best: float = 0.0
    outcome: str = NOT_TRIED
    attempts: int = 0
    hints: int = 0
    belief: str = ""
    minutes: float = 0.0
    at: str = ""


Progress = Mapping[str, Entry]
"""Entries by exercise, in the order in which these were last worked on."""


class ProgressFileError(ValueError):
    """The progress file cannot be read; the text says where it was put aside."""


def progress_file(start: Path | None = None) -> Path:
    """Return where progress is kept: beside the workbooks, or in the current folder."""
    here = (start or Path.cwd()).resolve()
    for folder in (here, *here.parents):
        if (folder / BUNDLE_MARK).exists():
            return folder / FILE_NAME
    return here / FILE_NAME


def newest_of(folder: Path, unit: str) -> Path | None:
    """Return the workbook of a unit in a folder; of several releases, the one last written to."""
    found = [folder / f"{unit}.ipynb", *folder.glob(f"{unit}-release-*.ipynb")]
    return max(
        (path for path in found if path.is_file()),
        key=lambda path: path.stat().st_mtime_ns,
        default=None,
    )


def load(path: Path) -> Progress:
    """Read progress; a missing file is an empty one.

    A file that cannot be read is renamed, so that the next mark starts a new one,
    and `ProgressFileError` says so.
    """
    if not path.exists():
        return {}
    try:
        data = json.loads(path.read_text(encoding="utf-8"))
        return {name: _entry(told) for name, told in data.items()}
    except (ValueError, TypeError, AttributeError) as problem:
        aside = path.with_suffix(".damaged.json")
        path.replace(aside)
        raise ProgressFileError(
            f"the progress file could not be read and now lies in {aside.name} ({problem})"
        ) from problem


def _entry(told: Mapping[str, Any]) -> Entry:
    """Return an entry; what a later release has added is left out."""
    entry = Entry(**{name: value for name, value in told.items() if name in Entry.__slots__})
    if entry.at:
        datetime.fromisoformat(entry.at)  # who edited it hears of it now, not at the next mark
    return entry


def record(
    path: Path, exercise_id: str, *, points: float = 0.0, outcome: str = "", belief: str = "",
    hint: bool = False, now: datetime | None = None,
) -> Entry:  # fmt: skip
    """Note one attempt, or one hint taken, and return the entry as it is now.

    Where there is no answer yet, nothing was attempted: the entry stays as it is. `now` is the
    time with its offset; the clock's, if none is given.
    """
    progress = dict(load(path))
    entry = progress.get(exercise_id, Entry())
    if outcome == Outcome.NO_ANSWER.value:
        return entry
    now = now or datetime.now(UTC)
    entry = replace(
        entry, minutes=round(entry.minutes + _worked_min(progress, now), 1),
        at=now.astimezone(UTC).isoformat(timespec="seconds"),
    )  # fmt: skip
    if hint:
        entry = replace(entry, hints=entry.hints + 1)
    else:
        entry = replace(
            entry, best=max(entry.best, points), outcome=outcome, attempts=entry.attempts + 1,
            belief=belief,
        )  # fmt: skip
    progress.pop(exercise_id, None)
    progress[exercise_id] = entry  # behind all others: the one last worked on
    entries = {name: asdict(one) for name, one in progress.items()}
    write_whole(path, json.dumps(entries, indent=1), STUDENT_ALONE)
    return entry


def _worked_min(progress: Mapping[str, Entry], now: datetime) -> float:
    """Return the minutes since anything was noted; 0 if that was a pause, or the clock set back."""
    last = max((one.at for one in progress.values()), default="")
    if not last:
        return 0.0
    passed = now - datetime.fromisoformat(last).astimezone(UTC)
    return passed / timedelta(minutes=1) if timedelta(0) <= passed <= LONGEST_WORK else 0.0


def share(path: Path, folder: Path) -> Path:
    """Send a copy of the progress file to a folder from now on; return where the first one lies.

    Raises `OSError` if it cannot be written.
    """
    told = {"folder": str(folder.resolve()), "name": secrets.token_hex(8)}
    _write_copy(path, told)
    write_whole(path.with_name(SHARED_WITH), json.dumps(told), STUDENT_ALONE)
    return folder / f"{told['name']}.json"


def share_no_more(path: Path) -> bool:
    """Send no more copies, and take the last one back; return whether there were any."""
    shared = path.with_name(SHARED_WITH)
    if not shared.exists():
        return False
    told = json.loads(shared.read_text(encoding="utf-8"))
    (Path(told["folder"]) / f"{told['name']}.json").unlink(missing_ok=True)
    shared.unlink()
    return True


def send_copy(path: Path) -> None:
    """Send a copy if the student shares it; raises `OSError` or `ValueError` if that fails."""
    shared = path.with_name(SHARED_WITH)
    if shared.exists():
        _write_copy(path, json.loads(shared.read_text(encoding="utf-8")))


def _write_copy(path: Path, told: Mapping[str, str]) -> None:
    entries = {name: asdict(replace(one, hints=0, at="")) for name, one in load(path).items()}
    write_whole(Path(told["folder"]) / f"{told['name']}.json", json.dumps(entries, indent=1), 0o644)


def by_unit(progress: Progress) -> dict[str, list[tuple[Exercise, Entry]]]:
    """Return the exercises of each unit, in the order of the course, with what was done."""
    units: dict[str, list[tuple[Exercise, Entry]]] = {}
    for item in all_exercises():
        units.setdefault(item.unit, []).append((item, progress.get(item.id, Entry())))
    return units


def mark_of(item: Exercise, entry: Entry) -> Outcome:
    """Choose the mark that goes with the best points of an exercise so far."""
    if entry.attempts == 0:
        return Outcome.NO_ANSWER
    if entry.best >= item.points:
        return Outcome.RIGHT
    return Outcome.PARTLY_RIGHT if entry.best > 0 else Outcome.WRONG


def points_of(done: Iterable[tuple[Exercise, Entry]]) -> tuple[float, float]:
    """Return the best points of some exercises together, and the points there are."""
    pairs = [(entry.best, item.points) for item, entry in done]
    return sum(best for best, _ in pairs), sum(of for _, of in pairs)

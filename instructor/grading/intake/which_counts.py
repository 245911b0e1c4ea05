"""Of several workbooks of one student for one unit, which one counts?

The last one, or, if the class was told so, the best: then all are kept, to be marked. Where
two have one time, or two members of an archive one name, and they are not the same, nobody can
tell which is the last. Then none of them counts, and a line asks a person.
"""

__all__ = ["each_once", "under_id", "which_count"]

from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path

from instructor.grading.intake.archives import shown
from instructor.grading.intake.hand_ins import Attempts, HandIn, NotGraded

Open = list[NotGraded]


def each_once(found: Iterable[HandIn], refused: Iterable[NotGraded]) -> tuple[list[HandIn], Open]:
    """Keep one of several members of one name if all are the same; else none, and a line.

    That one of them is among the `refused` makes them different.
    """
    groups: dict[Path, list[HandIn]] = {}
    for one in found:
        groups.setdefault(one.path, []).append(one)
    broken = {one.path for one in refused}
    kept: list[HandIn] = []
    open_ones: Open = []
    for path, (one, *others) in groups.items():
        if path in broken or any(other.notebook != one.notebook for other in others):
            why = "several members of this name, and not the same: which one counts?"
            open_ones.append(NotGraded(path, why, one.student, one.unit, one.where))
        else:
            kept.append(one)
    return kept, open_ones


def which_count(found: Iterable[HandIn], attempts: Attempts) -> tuple[tuple[HandIn, ...], Open]:
    """Keep the last file of each student and unit, or all of them, with notes on the others."""
    groups: dict[tuple[str, str], list[HandIn]] = {}
    for one in sorted(found, key=lambda one: (one.changed, str(one.path))):
        groups.setdefault((one.unit, one.student), []).append(one)
    counting: list[HandIn] = []
    open_ones: Open = []
    for _, files in sorted(groups.items()):
        if attempts == "best":
            counting += _each_with_note(files)
        elif len(same := _not_to_be_told_apart(files)) > 1:
            open_ones.append(_asked(same))
        else:
            counting.append(_last_with_note(files))
    return tuple(counting), open_ones


def under_id(seen: str) -> str:
    """Say that a hand-in came under another id than its student's."""
    return f"handed in under the id {shown(seen)}"


def _not_to_be_told_apart(files: Sequence[HandIn]) -> list[HandIn]:
    """Return those that are as new as the last one, if not all of them are the same."""
    newest = files[-1]
    same = [one for one in files if one.changed == newest.changed]
    differ = any(one.notebook != newest.notebook for one in same)
    return same if differ else [newest]


def _asked(files: Sequence[HandIn]) -> NotGraded:
    newest = files[-1]
    others = ", ".join(one.shown for one in files[:-1])
    why = f"as new as {others}, and not the same: which one counts? Leave only that one here"
    return NotGraded(newest.path, why, newest.student, newest.unit, newest.where)


def _last_with_note(files: Sequence[HandIn]) -> HandIn:
    *older, newest = files
    if not older:
        return newest
    names = ", ".join(one.shown for one in older)
    return replace(newest, notes=(*newest.notes, f"the newest file counts; older: {names}"))


def _each_with_note(files: Sequence[HandIn]) -> list[HandIn]:
    if len(files) == 1:
        return list(files)
    note = f"the best of {len(files)} files counts: this one is "
    return [replace(one, notes=(*one.notes, note + one.shown)) for one in files]

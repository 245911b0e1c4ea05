"""Whose a file is, and for which unit: read off where it lies and what it is called.

Two shapes are known: the gradebook's own (`STUDENT/UNIT/UNIT.ipynb`), and files side by side
as they come out of a mailbox or an upload page. In the second one a file's name begins with
the student's id and an underscore. A name of either shape may contain an id of the roster.
"""

__all__ = [
    "PROGRAMS_OWN",
    "folder_too_many",
    "is_left_by_program",
    "is_of_several",
    "seen_in",
    "unit_in",
    "who",
]

import re
from collections.abc import Collection, Sequence
from pathlib import PurePath

NAME_IN_FILE = re.compile(r"^([A-Za-z0-9.@-]+?)_")  # the id in `alder_01-frames.ipynb`
BETWEEN_WORDS = re.compile(r"[_\s(),;\[\]]+|(?:\.(?:ipynb|json|txt|html?|zip|tar|gz|tgz))+$")
PROGRAMS_OWN = frozenset({".ipynb_checkpoints", "__MACOSX", ".DS_Store", "Thumbs.db"})
STARTS_OF_COPIES = ("._", ".~", "~$", ".#")
ENDS_OF_COPIES = ("~", ".swp", ".swo", ".swx", "#")
FEWEST_IDS = 3  # so many different ones are a class, and not one person's three versions


def is_left_by_program(place: PurePath) -> bool:
    """Tell whether a program left this beside the work: copies of an editor, of an archive.

    >>> [name for name in ("work.ipynb", "work.ipynb~", ".work.ipynb.swp", "#work.ipynb#")
    ...  if is_left_by_program(PurePath(name))]
    ['work.ipynb~', '.work.ipynb.swp', '#work.ipynb#']
    """
    name = place.name
    is_copy = name.startswith(STARTS_OF_COPIES) or name.endswith(ENDS_OF_COPIES)
    return is_copy or not PROGRAMS_OWN.isdisjoint(place.parts)


def who(place: PurePath, roster: Collection[str]) -> str:
    """Return the student's id for a place below the class's folder; '' if nobody can tell."""
    top = place.parts[0] if place.parts else ""
    for whole in (top, PurePath(top).stem):
        if whole in roster:
            return whole
    listed = {word for word in BETWEEN_WORDS.split(top) if word in roster}
    if len(listed) == 1:
        return listed.pop()
    if len(place.parts) > 1:
        return top
    return seen_in(place.name) if not roster and NAME_IN_FILE.match(place.name) else ""


def seen_in(name: str) -> str:
    """Return what stands in the place of an id in a file's name: a word in front, or all of it.

    Said to be somebody's, it is found again by `who`.

    >>> seen_in("S-102_02-checksums.ipynb"), seen_in("Some Name.ipynb")
    ('S-102', 'Some Name')
    """
    match = NAME_IN_FILE.match(name)
    return match.group(1) if match else PurePath(name).stem


def unit_in(places: Sequence[PurePath], units: Sequence[str]) -> str:
    """Return the unit that the first of these places names, if it names one, else the next."""
    return next((unit for place in places for unit in units if unit in str(place)), "")


def is_of_several(workbooks: Sequence[PurePath], roster: Collection[str]) -> bool:
    """Tell whether the names of these say that several students handed them in."""
    students = {who(place, roster) for place in workbooks} - {""}
    return bool(students & set(roster)) if roster else len(students) >= FEWEST_IDS


def folder_too_many(
    workbooks: Sequence[PurePath], units: Sequence[str], roster: Collection[str]
) -> bool | None:
    """Tell whether all workbooks lie in a folder that is no student's; None if nobody can tell.

    Such a folder comes from packing the folder instead of what is in it.
    """
    tops = {place.parts[0] for place in workbooks}
    if not tops or any(len(place.parts) == 1 for place in workbooks):
        return False
    if tops <= set(units):
        return True
    if len(tops) > 1 or tops & set(roster):
        return False
    if all(len(place.parts) > 2 and place.parts[1] in units for place in workbooks):
        return False  # STUDENT/UNIT/file
    if all(len(place.parts) > 3 and place.parts[2] in units for place in workbooks):
        return True
    below = [place.relative_to(*tops) for place in workbooks]
    students = {who(place, roster) for place in below} - {""}
    if roster:
        return True if students & set(roster) else None
    named = all(len(place.parts) == 1 and unit_in([place], units) for place in below)
    return True if named and len(students) >= FEWEST_IDS else None

"""Hand-ins that are alike: a list for a look, and never an accusation.

Two people may have worked together where that was allowed, or used the same book. So
the list only says where to look. Subtracted are the workbook as it was handed out, the
course's own answers and known mistakes (whoever thinks alike arrives there alone), and
what more than a fifth of the class has.

Short answers cannot tell: there are only so many ways to write three lines. A pair is
listed when it shares at least `FEWEST` fingerprints and these are at least three in ten of
what the smaller one has of its own.
"""

__all__ = ["Alike", "alike", "common_ground", "write_alike"]

import functools
import inspect
from collections import Counter
from collections.abc import Collection, Iterable, Mapping
from itertools import combinations
from pathlib import Path
from typing import NamedTuple

from instructor.grading.fingerprints import all_hashes, fingerprints
from instructor.grading.intake import HandIn
from instructor.items import unit_items
from instructor.release.workbook_files import read_workbook
from instructor.tables import write_table

FEWEST = 12  # fingerprints; about as many as thirty lines of one's own leave
LEAST_SHARE = 0.3
SHARED_BY = 0.2  # of the class: what so many have is nobody's own
SHARED_BY_FEWEST = 5  # hand-ins; in a small class a fifth is too few to say "everybody"
COLUMNS = ("unit", "student", "other_student", "shared", "of", "share", "where")


class Alike(NamedTuple):
    """Two hand-ins that share `shared` of the `of` fingerprints which the smaller one has."""

    unit: str
    student: str
    other_student: str
    shared: int
    of: int
    where: tuple[str, ...]

    @property
    def share(self) -> float:
        """Return the share of the smaller one that is in both."""
        return self.shared / self.of


def alike(hand_ins: Iterable[HandIn]) -> tuple[Alike, ...]:
    """Return the pairs of hand-ins worth a look, most alike first, in a fixed order."""
    by_unit: dict[str, dict[str, list[str]]] = {}
    for one in hand_ins:
        by_unit.setdefault(one.unit, {})[one.student] = [
            source for source in one.notebook.code if source.strip() not in _handed_out(one.unit)
        ]
    found = [
        pair for unit, cells in by_unit.items() for pair in _pairs(unit, cells, common_ground(unit))
    ]
    return tuple(sorted(found, key=lambda one: (-one.share, -one.shared, one)))


def common_ground(unit: str) -> frozenset[int]:
    """Return the hashes that say nothing: the workbook's own, and all answers that we know."""
    functions = [
        function
        for one in unit_items(unit[:2])
        for function in (one.answer, *one.others, *one.misconceptions.values())
    ]
    modules = dict.fromkeys(inspect.getmodule(function) for function in functions)
    sources = [inspect.getsource(module) for module in modules if module is not None]
    return frozenset().union(*(all_hashes([cell]) for cell in (*_handed_out(unit), *sources)))


def write_alike(path: Path, pairs: Iterable[Alike]) -> None:
    """Write the list as a table."""
    write_table(path, COLUMNS, (
        (one.unit, one.student, one.other_student, str(one.shared), str(one.of),
         f"{one.share:.2f}", " ".join(one.where))
        for one in pairs
    ))  # fmt: skip


@functools.cache
def _handed_out(unit: str) -> frozenset[str]:
    """Return the code cells of the workbook as it was handed out."""
    cells = read_workbook(unit).cells
    return frozenset(cell.source.strip() for cell in cells if cell.cell_type == "code")


def _pairs(
    unit: str, cells: Mapping[str, Collection[str]], ground: frozenset[int]
) -> Iterable[Alike]:
    prints = {student: fingerprints(own) for student, own in sorted(cells.items())}
    holders = Counter(one for own in prints.values() for one in own)
    most = max(SHARED_BY_FEWEST, SHARED_BY * len(prints))
    own = {
        student: {one for one in found if one not in ground and holders[one] <= most}
        for student, found in prints.items()
    }
    for student, other in combinations(own, 2):
        shared = own[student] & own[other]
        of = min(len(own[student]), len(own[other]))
        if len(shared) >= FEWEST and len(shared) >= LEAST_SHARE * of:
            where = sorted({prints[student][one] for one in shared} - {""})
            yield Alike(unit, student, other, len(shared), of, tuple(where))

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
from collections import Counter, defaultdict
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from itertools import chain
from pathlib import Path
from typing import NamedTuple

from instructor.grading.similarity.fingerprints import all_hashes
from instructor.output.tables import write_table
from instructor.release.workbook_files import plain_master
from instructor.units.items import unit_items

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


def alike(
    found: Iterable[tuple[str, str, Mapping[int, str]]], ground_of: Callable[[str], frozenset[int]]
) -> tuple[Alike, ...]:
    """Return the pairs of hand-ins worth a look, most alike first, in a fixed order.

    Each hand-in is its unit, its student and its fingerprints; `ground_of` gives a unit's
    `common_ground`.
    """
    by_unit: dict[str, dict[str, Mapping[int, str]]] = {}
    for unit, student, prints in found:
        by_unit.setdefault(unit, {})[student] = prints
    pairs = [pair for unit, own in by_unit.items() for pair in _pairs(unit, own, ground_of(unit))]
    return tuple(sorted(pairs, key=lambda one: (-one.share, -one.shared, one)))


@functools.cache
def common_ground(unit: str) -> frozenset[int]:
    """Return the hashes that say nothing: the workbook's own, and all answers that we know."""
    functions = [
        function
        for one in unit_items(unit[:2])
        for function in (one.answer, *one.others, *one.misconceptions.values())
    ]
    modules = dict.fromkeys(inspect.getmodule(function) for function in functions)
    sources = [inspect.getsource(module) for module in modules if module is not None]
    cells = [one.source for one in plain_master(unit).cells if one.cell_type == "code"]
    return frozenset().union(*(all_hashes([one]) for one in (*cells, *sources)))


def write_alike(path: Path, pairs: Iterable[Alike]) -> None:
    """Write the list as a table."""
    write_table(path, COLUMNS, (
        (one.unit, one.student, one.other_student, str(one.shared), str(one.of),
         f"{one.share:.2f}", " ".join(one.where))
        for one in pairs
    ))  # fmt: skip


def _pairs(
    unit: str, found: Mapping[str, Mapping[int, str]], ground: frozenset[int]
) -> Iterable[Alike]:
    students = sorted(found)
    holders = Counter(chain.from_iterable(found.values()))
    most = max(SHARED_BY_FEWEST, SHARED_BY * len(found))
    own = [
        {mark for mark in found[student] if mark not in ground and holders[mark] <= most}
        for student in students
    ]
    for one, other in _worth_a_look(own):
        shared = own[one] & own[other]
        of = min(len(own[one]), len(own[other]))
        where = sorted({found[students[one]][mark] for mark in shared} - {""})
        yield Alike(unit, students[one], students[other], len(shared), of, tuple(where))


def _worth_a_look(own: Sequence[Collection[int]]) -> Iterator[tuple[int, int]]:
    """Yield the pairs of places that share enough, counted from who else has a fingerprint."""
    places: defaultdict[int, list[int]] = defaultdict(list)
    for place, marks in enumerate(own):
        for mark in marks:
            places[mark].append(place)
    for one, marks in enumerate(own):
        with_mark = (places[mark] for mark in marks if len(places[mark]) > 1)
        for other, shared in sorted(Counter(chain.from_iterable(with_mark)).items()):
            least = max(FEWEST, LEAST_SHARE * min(len(marks), len(own[other])))
            if other > one and shared >= least:
                yield one, other

"""Which statements of a notebook an answer needs, and in which order they run.

An answer sees what it would see if the cells above its check were run in order. So of all
statements above, those are taken that bind or change a name it needs, and what these need in
turn; what only shows something stays behind. A name that nothing above binds is looked for
below. Where a name is that of a built-in function, and is used as one, a number or a text of
another cell that happens to be called so is skipped: `sum = 3` is scratch work, `def sum(x)` not.

Each statement that changes a name reads it too. So one step back for each name is enough: the
statement found there leads on to those before it, and nothing is looked at twice.
"""

__all__ = ["Needed", "needed"]

import ast
import bisect
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from course_lib.exercises.cells.built_in_names import BUILTINS, binds_function, used_as_functions
from course_lib.exercises.cells.changes import names_changed
from course_lib.exercises.cells.changing_calls import CHANGES_PYTHON
from course_lib.exercises.cells.statements import Statement

ALL_NAMES = "*"  # stands for whatever `from module import *` binds
AT_CALL = -1  # in place of a statement's number: behind all of them, when the answer is called


@dataclass(frozen=True, slots=True)
class Needed:
    """Statements by their numbers: those of the answer's cell, and others before and after them.

    `added` are names that other cells bring; `late` are names that are bound only behind what
    needs them, `missing` those that are bound nowhere.
    """

    own: tuple[int, ...]
    before: tuple[int, ...]
    after: tuple[int, ...]
    added: frozenset[str]
    late: frozenset[str]
    missing: frozenset[str]


def needed(function: str, line: Sequence[tuple[int, Statement]], end: int, home: int) -> Needed:
    """Find what `function`, bound by statement `home`, needs when it is called behind `end`.

    `line` holds all statements, each with the number of its cell.
    """
    search = _Search(function, line, end, home)
    search.follow()
    return search.result()


class _Search:
    """One search through all statements, from the check backwards."""

    def __init__(
        self, function: str, line: Sequence[tuple[int, Statement]], end: int, home: int
    ) -> None:
        self._function = function
        self._line = line
        self._end = end
        self._cell = line[home][0]
        self._touches = names_changed([one for _, one in line], function)
        self._bound_inside = frozenset[str]().union(
            *(body.binds_outside for _, one in line for _, body in one.bodies)
        )
        self._touching: defaultdict[str, list[int]] = defaultdict(list)
        self._binding: dict[str, int] = {}  # the first statement that may bind each name
        self._with_method: defaultdict[str, list[int]] = defaultdict(list)
        self._index(line[home][1].is_placeholder)
        self._run_by: dict[str, frozenset[str]] = {}
        self._changing_in: dict[str, tuple[frozenset[str], int]] = {}
        self._reach_own: set[str] = set()  # functions that reach a name of the answer's cell
        self._needs_own: set[int] = set()  # statements that call one of them
        self._needs: defaultdict[int, set[int]] = defaultdict(set)
        self._taken: set[int] = set()
        self._used_as_functions: set[str] = set()
        self._added: set[str] = set()
        self._late: set[str] = set()
        self._missing: set[str] = set()

    def _index(self, home_is_placeholder: bool) -> None:
        """List the statements that bind or change each name, in order."""
        for number, (_, one) in enumerate(self._line):
            names = self._touches[number]
            if self._function in names and one.is_placeholder and not home_is_placeholder:
                names -= {self._function}  # what was handed out never hides what was written
            if one.imports_all:
                names |= {ALL_NAMES}
            for name in names:
                self._touching[name].append(number)
                if name in one.may_bind or name in self._bound_inside:
                    self._binding.setdefault(name, number)
            for name, _ in one.bodies:
                if name.startswith("."):
                    self._with_method[name].append(number)

    def follow(self) -> None:
        """Take all that the function needs when it is called behind the last statement."""
        for number, (cell, one) in enumerate(self._line[: self._end]):
            if one.is_for_the_compiler and cell <= self._cell:
                self._taken.add(number)
        waiting = [(self._function, AT_CALL), (CHANGES_PYTHON, AT_CALL)]
        built_in: list[tuple[str, int]] = []  # looked for last: then it is known how they are used
        seen: set[tuple[str, int]] = set()
        while waiting or built_in:
            if not waiting:
                waiting, built_in = built_in, []
            place = waiting.pop()
            if place in seen:
                continue
            seen.add(place)
            found = self._bringing(*place)
            if found is None:
                continue
            self._needs[place[1]].add(found)
            if place[0] in self._line[found][1].binds_first:  # the loop may run not even once
                waiting.append((place[0], found))
            if found not in self._taken:
                self._taken.add(found)
                for name, at in self._needed_by(found):
                    (built_in if name in BUILTINS else waiting).append((name, at))

    def result(self) -> Needed:
        """Put what was taken into the order in which it runs, and part it by cells."""
        turns = self._in_order()
        own = [number for number in turns if self._line[number][0] == self._cell]
        last = turns.index(own[-1])
        waits: set[int] = set(own)  # what needs something of the answer's cell while it runs
        before: list[int] = []
        after: list[int] = []
        for place, number in enumerate(turns):
            if self._line[number][0] == self._cell:
                continue
            if place > last or number in self._needs_own or self._needs[number] & waits:
                waits.add(number)
                after.append(number)
            else:
                before.append(number)
        return Needed(
            tuple(self._compiler_first(own)),
            tuple(self._compiler_first(before)),
            tuple(after),
            frozenset(self._added - {self._function}),
            frozenset(self._late),
            frozenset(self._missing),
        )

    def _needed_by(self, number: int) -> Iterable[tuple[str, int]]:
        """Yield the names that a statement needs, each with the place behind what brings it."""
        one = self._line[number][1]
        self._used_as_functions |= used_as_functions(one.node)
        now = (one.reads | (self._touches[number] - one.binds)) - one.binds_first
        if one.imports_all:
            now |= {ALL_NAMES}
        called = {f".{call.function}" if call.is_method else call.function
                  for call in one.deeds.calls}  # fmt: skip
        for function in called | one.deeds.handed_on:
            now |= self._read_when_called(function, number)
        for name in sorted(now):
            yield name, number
        for name in sorted(one.reads_later):
            yield name, AT_CALL

    def _bringing(self, name: str, at: int) -> int | None:
        """Return the statement that makes a name what it is before statement `at`."""
        above = self._end if at == AT_CALL else at
        places = self._places(name)
        here = bisect.bisect_left(places, above)
        found = places[here - 1] if here else None
        first = self._binding.get(name)
        is_bound = first is not None and first < above
        if at != AT_CALL:  # a loop binds the name that its body reads
            is_bound = is_bound or name in self._line[at][1].may_bind
        if not is_bound and name not in BUILTINS and name not in (CHANGES_PYTHON, ALL_NAMES):
            found = self._not_above(name, places[here:], above)
        if found is not None and self._line[found][0] != self._cell:
            self._added |= {name} - {CHANGES_PYTHON, ALL_NAMES}
        return found

    def _not_above(self, name: str, below: list[int], end: int) -> int | None:
        """Return what else may bring a name: all of a module above, or what stands below."""
        stars = self._touching[ALL_NAMES]
        above = bisect.bisect_left(stars, end)
        if above:
            return stars[above - 1]
        found = None
        for number in below:  # the first that binds it, and what changes that one
            if name in self._line[number][1].binds:
                if found is not None and name not in self._line[number][1].reads:
                    break
                found = number
            elif found is not None:
                found = number
        if found is not None:
            self._late.add(name)
        elif name not in self._bound_inside:
            self._missing.add(name)
        return found

    def _places(self, name: str) -> list[int]:
        """Return the statements that touch a name; those that count of a built-in one's."""
        places = self._touching.get(name, [])
        if name not in BUILTINS or name not in self._used_as_functions:
            return places
        counting: list[int] = []
        for number in places:
            cell, one = self._line[number]
            if cell == self._cell or binds_function(one.node, name):
                counting.append(number)
            elif isinstance(one.node, ast.Delete) and counting:
                counting.append(number)  # it gives Python's own back
        return counting

    def _read_when_called(self, called: str, number: int) -> frozenset[str]:
        """Return the names to look for where statement `number` calls an own function.

        Names that are bound once, above, need that only for the first call.
        """
        names = self._read_in(called)
        first = called not in self._changing_in
        if first:
            most = 0 if self._touching.get(ALL_NAMES) else -1
            once = {name for name in names if most < len(self._touching.get(name, ())) < 2}
            places = {place for name in once for place in self._touching.get(name, ())}
            self._changing_in[called] = names - once, max(places, default=-1)
            if any(self._line[place][0] == self._cell for place in places):
                self._reach_own.add(called)
        if called in self._reach_own:
            self._needs_own.add(number)
        changing, last = self._changing_in[called]
        return names if first or last >= number else changing

    def _read_in(self, called: str) -> frozenset[str]:
        """Return what an own function reads when it is called, those included that it calls."""
        if called not in self._run_by:
            names: set[str] = set()
            waiting = [called]
            while waiting:
                one = waiting.pop()
                places = self._with_method if one.startswith(".") else self._touching
                for number in places.get(one, []):
                    statement = self._line[number][1]
                    if one in statement.binds or one.startswith("."):
                        waiting += statement.reads_later - names
                        names |= statement.reads_later
            self._run_by[called] = frozenset(names)
        return self._run_by[called]

    def _in_order(self) -> list[int]:
        """Order statements as they stand; what stands too late runs in front of what needs it."""
        turns: list[int] = []
        entered: set[int] = set()
        for root in sorted(self._taken):
            path = [(root, iter(sorted(self._needs[root])))] if root not in entered else []
            entered.add(root)
            while path:
                following = next((one for one in path[-1][1] if one not in entered), None)
                if following is None:
                    turns.append(path.pop()[0])
                else:
                    entered.add(following)
                    path.append((following, iter(sorted(self._needs[following]))))
        return turns

    def _compiler_first(self, numbers: list[int]) -> list[int]:
        return sorted(numbers, key=lambda number: not self._line[number][1].is_for_the_compiler)

"""Find an answer among cells, with all of them that it needs, and see what it leans on.

An answer sees what it would see if the cells above its check were run in order. So of all
statements above, those are taken that bind or change a name it needs, and what these need
in turn; what only shows something stays behind. `mark` and grading take the same. A name
that nothing above binds is looked for below, and the student is told so. Nothing is run here.
"""

__all__ = ["library_uses", "stand_alone"]

import ast
import bisect
import builtins
import re
from collections import defaultdict
from collections.abc import Sequence

from course_lib.exercises.statements import CHANGES_PYTHON, Statement, parse_cell, statements_of
from course_lib.runner.out_of_reach import LIBRARIES
from course_lib.runner.runner import StandAlone

BUILTINS = frozenset(dir(builtins))
Turn = tuple[int, int]  # when a statement runs: the number of one, and how far in front of it


def stand_alone(function: str, cells: Sequence[str], above: int | None = None) -> StandAlone | None:
    """Return the answer that binds `function`, standing alone; None if no cell binds it.

    `above` is the number of cells that stand above the answer's check; None: all do.
    """
    return _Search(function, cells, len(cells) if above is None else above).result()


def library_uses(source: str, may_use: Sequence[str] = ()) -> tuple[str, ...]:
    """Name what an answer takes from the course's library or a packet library.

    Imports count, and so does a text that names such a module, since an import can
    be written that way too. `may_use` lists what this exercise allows.
    """
    tree = parse_cell(source)
    if tree is None:
        return ()
    used: list[str] = []
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            used += [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            used += [f"{node.module}.{alias.name}" for alias in node.names]
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            used += re.findall(rf"^(?:{'|'.join(LIBRARIES)})(?:\.\w+)*$", node.value)
    return tuple(
        dict.fromkeys(
            name for name in used if name.partition(".")[0] in LIBRARIES and name not in may_use
        )
    )


class _Search:
    """One search through all statements of all cells, from the check backwards."""

    def __init__(self, function: str, cells: Sequence[str], above: int) -> None:
        self._function = function
        self._cells = cells
        self._above = above
        self._line: list[tuple[int, Statement]] = []  # each with the number of its cell
        self._end = 0  # how many statements stand above the check
        for number, cell in enumerate(cells):
            self._line += [(number, one) for one in statements_of(cell)]
            if number < above:
                self._end = len(self._line)
        self._bound_inside = frozenset[str]().union(
            *(one.changes_later[0] for _, one in self._line)
        )
        self._touching = self._index()
        self._taken: dict[int, Turn] = {}
        self._called: set[str] = set()
        self._added: set[str] = set()
        self._below: set[str] = set()
        self._missing: set[str] = set()

    def result(self) -> StandAlone | None:
        """Search, and put what was found into the order in which it runs."""
        home = self._home()
        if home is None or home >= self._end or self._line[home][1].is_placeholder:
            broken = _not_readable(self._function, self._cells[: self._above])
            if broken is not None or home is None:
                return broken
        self._answer_cell = self._line[home][0]
        self._end = max(self._end, home + 1)
        self._follow()
        turns = sorted(self._taken, key=lambda number: (self._taken[number], number))
        own = [number for number in turns if self._line[number][0] == self._answer_cell]
        first = turns.index(own[0])
        before = turns[:first]
        after = [number for number in turns[first:] if number not in own]
        return StandAlone(
            source=_as_it_stands([self._line[number][1] for number in own]),
            before="\n".join(self._line[number][1].text for number in before),
            after="\n".join(self._line[number][1].text for number in after),
            added=tuple(sorted(self._added - {self._function})),
            below=tuple(sorted(self._below)),
            missing=tuple(sorted(self._missing)),
            cell=self._cells[self._answer_cell],
        )

    def _home(self) -> int | None:
        """Return the statement that last binds the function, one with code in it if there is."""
        binding = [
            number for number in self._touching[self._function]
            if self._function in self._line[number][1].may_bind
        ]  # fmt: skip
        written = [one for one in binding if not self._line[one][1].is_placeholder]
        if written:  # what was handed out does not take the place of what was written
            handed_out = set(binding) - set(written)
            self._touching[self._function] = [
                one for one in self._touching[self._function] if one not in handed_out
            ]
        found = written or binding
        above = [number for number in found if number < self._end] or found[:1]
        return above[-1] if above else None

    def _index(self) -> defaultdict[str, list[int]]:
        """List the statements that bind or change each name, in order."""
        changes = {
            name: one.changes_later for _, one in self._line for name in one.binds
        }  # fmt: skip
        modules = {
            name for _, one in self._line if isinstance(one.node, ast.Import | ast.ImportFrom)
            for name in one.binds
        }  # fmt: skip
        touching: defaultdict[str, list[int]] = defaultdict(list)
        for number, (_, one) in enumerate(self._line):
            names = one.touches | (one.registers - modules)
            for called, given in one.calls.items():
                outside, arguments = changes.get(called, (frozenset(), False))
                names = names | outside | (given if arguments else frozenset())
            for name in names:
                touching[name].append(number)
        return touching

    def _follow(self) -> None:
        """Take all that the function needs when it is called behind the last statement."""
        last = (self._end, 0)
        waiting = [(self._function, self._end, last), (CHANGES_PYTHON, self._end, last)]
        seen: set[tuple[str, int]] = set()
        while waiting:
            name, at, turn = waiting.pop()
            if (name, at) in seen:
                continue
            seen.add((name, at))
            for number, its_turn in self._bringing(name, at, turn):
                if self._taken.get(number, last) < its_turn:
                    continue
                self._taken[number] = its_turn
                statement = self._line[number][1]
                self._called |= statement.called
                now = statement.reads.union(*(self._read_by(one) for one in statement.calls))
                waiting += [(one, number, its_turn) for one in sorted(now)]
                waiting += [(one, self._end, last) for one in sorted(statement.reads_later)]

    def _bringing(self, name: str, at: int, turn: Turn) -> list[tuple[int, Turn]]:
        """Return what makes a name what it is before statement `at`, each with its turn."""
        places = [number for number in self._touching[name] if self._counts(name, number)]
        here = bisect.bisect_left(places, at)
        found: list[int] = []
        for number in reversed(places[:here]):
            found.append(number)
            if name in self._line[number][1].binds:
                break
        is_bound = any(self._may_bind(name, number) for number in found)
        if at < len(self._line):  # a loop binds the name that its body reads
            is_bound = is_bound or name in self._line[at][1].may_bind
        if not is_bound and name not in BUILTINS and name != CHANGES_PYTHON:
            stars = [number for number, (_, one) in enumerate(self._line[:at]) if one.imports_all]
            below = [one for one in places[here:] if name in self._line[one][1].binds][:1]
            if not stars and below:
                self._below.add(name)
            if not stars and not below and name not in self._bound_inside:
                self._missing.add(name)
            found += stars or below
        if any(self._line[number][0] != self._answer_cell for number in found):
            self._added |= {name} - {CHANGES_PYTHON}
        # What stands too late in order runs just in front of what needs it.
        return [(number, min((number, 0), (turn[0], turn[1] - 1))) for number in found]

    def _may_bind(self, name: str, number: int) -> bool:
        """Tell whether a statement may bind a name, itself or in a function that it calls."""
        statement = self._line[number][1]
        return name in statement.may_bind or name not in statement.touches

    def _counts(self, name: str, number: int) -> bool:
        """Leave out a number or text of another cell that has a built-in function's name."""
        cell, statement = self._line[number]
        if name not in BUILTINS or name not in self._called or cell == self._answer_cell:
            return True
        node = statement.node
        if isinstance(node, ast.Assign):
            return isinstance(node.value, ast.Lambda | ast.Name | ast.Attribute)
        return name in statement.binds

    def _read_by(self, called: str) -> set[str]:
        """Return what a function of the cells reads when it is called, and those that it calls."""
        names: set[str] = set()
        waiting = [called]
        while waiting:
            one = waiting.pop()
            for number in self._touching.get(one, ()):
                statement = self._line[number][1]
                if one in statement.binds:
                    waiting += statement.reads_later - names
                    names |= statement.reads_later
        return names


def _as_it_stands(statements: Sequence[Statement]) -> str:
    """Write statements of one cell at the lines where they stand in it."""
    text, line = "", 1
    for one in statements:
        gap = one.first_line - line
        text += "\n" * gap if gap > 0 or not text else "; "
        text += one.text
        line = one.last_line
    return text + "\n"


def _not_readable(function: str, cells: Sequence[str]) -> StandAlone | None:
    """Return the cell that would bind the function if it were Python, for its error to be told."""
    looks_so = re.compile(rf"^(?:async\s+)?(?:def|class)\s+{function}\b|^{function}\s*=", re.M)
    for cell in reversed(cells):
        if looks_so.search(cell) and not statements_of(cell):
            return StandAlone(cell, cell=cell)
    return None

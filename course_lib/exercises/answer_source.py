"""Find an answer among cells, with all of them that it needs, and see what it leans on.

`mark` and grading take the same: the statement that binds the function, and all statements that
it needs (`needed_statements` has the rule: what a run of the cells above the check would show it,
without what only shows something; a number that is called like a built-in function is skipped
where that function is called). Nothing is run here.
"""

__all__ = ["library_uses", "stand_alone"]

import ast
import re
from collections.abc import Sequence

from course_lib.exercises.cells.cell_text import parse_cell, without_magics
from course_lib.exercises.cells.needed_statements import needed
from course_lib.exercises.cells.statements import Statement, statements_of
from course_lib.runner.out_of_reach import LIBRARIES
from course_lib.runner.runner import StandAlone

Line = list[tuple[int, Statement]]  # all statements, each with the number of its cell
# What binds a name at the left margin, where a cell is not Python and cannot be asked.
_LOOKS_BOUND = re.compile(
    r"^(?:async\s+)?(?:def|class)\s+(\w+)|^(\w+)\s*(?::[^=\n]*)?=(?!=)|^(?:from|import)\s(.*)$",
    re.MULTILINE,
)


def stand_alone(function: str, cells: Sequence[str], above: int | None = None) -> StandAlone | None:
    """Return the answer that binds `function`, standing alone; None if no cell binds it.

    `above` is the number of cells that stand above the answer's check; None: all do.
    """
    above = len(cells) if above is None else above
    line = [(number, one) for number, cell in enumerate(cells) for one in statements_of(cell)]
    end = sum(number < above for number, _ in line)
    home = _home(function, line, end)
    if home is None or home >= end or line[home][1].is_placeholder:
        broken = _not_readable(function, cells[:above])
        if broken is not None or home is None:
            return broken
    cell = line[home][0]
    end = max(end, sum(number <= cell for number, _ in line))
    found = needed(function, line, end, home)
    late = found.late | {function} if cell > above else found.late  # `above` is the check's own
    unread = found.missing & _bound_by_unread(cells) if found.missing else found.missing
    return StandAlone(
        source=_as_it_stands([line[number][1] for number in found.own]),
        before="\n".join(line[number][1].text for number in found.before),
        after="\n".join(line[number][1].text for number in found.after),
        added=tuple(sorted(found.added)),
        below=tuple(sorted(late)),
        missing=tuple(sorted(found.missing - unread)),
        unread=tuple(sorted(unread)),
        cell=cells[cell],
    )


def library_uses(
    source: str, may_use: Sequence[str] = (), may_not_use: Sequence[str] = ()
) -> tuple[str, ...]:
    """Name what an answer takes from the course's library or a packet library.

    Imports count, and so does a text that names such a module, since an import can
    be written that way too. `may_use` lists what this exercise allows, `may_not_use` what of
    Python's own library it does not.
    """
    shut = (*LIBRARIES, *may_not_use)
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
            used += re.findall(rf"^(?:{'|'.join(shut)})(?:\.\w+)*$", node.value)
    return tuple(
        dict.fromkeys(
            name for name in used if name.partition(".")[0] in shut and name not in may_use
        )
    )


def _home(function: str, line: Line, end: int) -> int | None:
    """Return the statement that last binds the function, one with code in it if there is."""
    binding = [number for number, (_, one) in enumerate(line) if function in one.may_bind]
    written = [number for number in binding if not line[number][1].is_placeholder]
    found = written or binding
    above = [number for number in found if number < end] or found[:1]
    return above[-1] if above else None


def _as_it_stands(statements: Sequence[Statement]) -> str:
    """Write statements of one cell at the lines where they stand in it, as far as that goes."""
    text, last = "", None
    for one in statements:
        if last is not None and _go_on_one_line(last, one):
            text += "; "
        else:
            lines = text.count("\n") + 1
            text += "\n" * max(one.first_line - lines, 1 if text else 0)
        text += one.text
        last = one
    return text + "\n"


def _go_on_one_line(one: Statement, other: Statement) -> bool:
    """Tell whether two statements stand on one line in this order, with nothing but a semicolon."""
    in_order = one.node.lineno, one.node.col_offset
    return (
        one.last_line == other.first_line
        and in_order < (other.node.lineno, other.node.col_offset)
        and not one.has_block
        and not other.has_block
    )


def _not_readable(function: str, cells: Sequence[str]) -> StandAlone | None:
    """Return the cell that would bind the function if it were Python, for its error to be told."""
    for cell in reversed(cells):
        if function in _looks_bound(cell) and not statements_of(cell):
            return StandAlone(cell, cell=cell)
    return None


def _bound_by_unread(cells: Sequence[str]) -> frozenset[str]:
    """Return the names that cells would bind if all of each were Python."""
    return frozenset[str]().union(*map(_looks_bound, cells))


def _looks_bound(cell: str) -> set[str]:
    names: set[str] = set()
    for defined, assigned, imported in _LOOKS_BOUND.findall(without_magics(cell)):
        names |= {defined, assigned, *re.findall(r"\w+", imported)}
    return names - {""}

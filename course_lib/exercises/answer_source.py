"""Find the source of an answer, make it stand alone, and see what it leans on.

An answer is one cell. It may use a helper or an import from another cell of the
same workbook; these definitions are then put in front of it, and the student is
told so. Everything here reads source text; nothing is run.
"""

__all__ = [
    "cell_that_defines",
    "library_uses",
    "parse_cell",
    "stand_alone",
    "without_magics",
]

import ast
import builtins
import contextlib
import functools
import re
import symtable
import threading
from collections.abc import Mapping, Sequence

from course_lib.runner.out_of_reach import LIBRARIES
from course_lib.runner.runner import StandAlone

# Python 3.11 loses count when several threads parse at once, and raises SystemError.
_PARSING = threading.Lock()
KEPT_CELL = 2_000  # characters; of longer cells few are kept: trees are large
UNREADABLE = (SyntaxError, ValueError, RecursionError, MemoryError)  # what no parser can take
BUILTINS = frozenset(dir(builtins))


def without_magics(source: str) -> str:
    """Blank out notebook commands (lines that start with % or !), keeping line numbers.

    Source that is Python as it stands is left alone: there, such a line may be the
    second half of a division with remainder.
    """
    try:
        _tree(source)
    except UNREADABLE:
        return _without_marked_lines(source)
    return source


def cell_that_defines(name: str, cells: Sequence[str]) -> str | None:
    """Return the last cell that binds `name` at its top level, or None."""
    for cell in reversed(cells):
        if name in _bindings(cell):
            return cell
    return None


def stand_alone(answer: str, cells: Sequence[str]) -> StandAlone:
    """Find the definitions in other `cells` that `answer` needs, what they need included."""
    source = without_magics(answer)
    defined = _last_definitions(cells)
    found: set[str] = set()
    missing: set[str] = set()
    texts: dict[ast.stmt | None, str | None] = {}  # each statement is written out once
    before: dict[str, None] = {}  # in order: each behind all that it needs
    waiting = _stack(_names_needed(source))
    while waiting:
        name, needs_are_there = waiting.pop()
        statement = defined.get(name)
        is_new = statement not in texts  # else two that need each other would go round
        if is_new:
            texts[statement] = _text_of(statement)
        text = texts[statement]
        if text is None:
            missing |= {name} - BUILTINS
            continue
        found.add(name)
        if needs_are_there:
            before[text] = None
        elif is_new:
            waiting += [(name, True), *_stack(_names_needed(text))]
    return StandAlone(source, "\n".join(before), tuple(sorted(found)), tuple(sorted(missing)))


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


def parse_cell(source: str) -> ast.Module | None:
    """Parse a cell; a cell that is not Python simply defines nothing."""
    for text in (source, _without_marked_lines(source)):
        with contextlib.suppress(*UNREADABLE):
            return _tree(text)
    return None


def _without_marked_lines(source: str) -> str:
    return re.sub(r"^[ \t]*[%!].*$", "", source, flags=re.MULTILINE)


def _tree(source: str) -> ast.Module:
    """Parse; the tree may be somebody else's too, so it is only read."""
    return _kept_tree(source) if len(source) <= KEPT_CELL else _read_tree(source)


@functools.lru_cache(maxsize=64)  # an answer is looked at a dozen times, one after the other
def _kept_tree(source: str) -> ast.Module:
    return _read_tree(source)


def _read_tree(source: str) -> ast.Module:
    with _PARSING:
        return ast.parse(source)


def _bindings(source: str) -> Mapping[str, ast.stmt]:
    """Return each name that a cell binds at its top level, with the last statement that does.

    Most cells of a class's workbooks are as they were handed out, so they are kept.
    """
    return _kept_bindings(source) if len(source) <= KEPT_CELL else _long_bindings(source)


@functools.lru_cache(maxsize=512)
def _kept_bindings(source: str) -> Mapping[str, ast.stmt]:
    return _read_bindings(source)


@functools.lru_cache(maxsize=2)  # each answer of a workbook looks at the same long cell
def _long_bindings(source: str) -> Mapping[str, ast.stmt]:
    return _read_bindings(source)


def _read_bindings(source: str) -> Mapping[str, ast.stmt]:
    tree = parse_cell(source)
    return (
        {}
        if tree is None
        else {name: statement for statement in tree.body for name in _bound_by(statement)}
    )


def _bound_by(statement: ast.stmt) -> list[str]:
    if isinstance(statement, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
        return [statement.name]
    if isinstance(statement, ast.Import | ast.ImportFrom):
        return [(alias.asname or alias.name).partition(".")[0] for alias in statement.names]
    if isinstance(statement, ast.Assign | ast.AnnAssign):
        return [
            node.id
            for node in ast.walk(statement)
            if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store)
        ]
    return []


def _last_definitions(cells: Sequence[str]) -> dict[str, ast.stmt]:
    """Return each name that the cells bind, with the last statement of the last cell that does."""
    defined: dict[str, ast.stmt] = {}
    for cell in cells:
        defined |= _bindings(cell)
    return defined


def _text_of(statement: ast.stmt | None) -> str | None:
    """Write a statement out; None if there is none, or if it cannot be written."""
    if statement is None:
        return None
    try:
        return ast.unparse(statement)
    except UNREADABLE:  # nested as no person writes, or a number too long for the decimal system
        return None


def _stack(names: set[str]) -> list[tuple[str, bool]]:
    """Return names to look for, the first in the alphabet on top."""
    return [(name, False) for name in sorted(names, reverse=True)]


def _names_needed(source: str) -> set[str]:
    """Return the global names that a piece of source reads but does not bind itself."""
    try:
        table = symtable.symtable(without_magics(source), "<cell>", "exec")
    except UNREADABLE:  # no Python, or such as a `nonlocal` outside of any function
        return set()
    own = {symbol.get_name() for symbol in table.get_symbols() if symbol.is_assigned()}
    own |= {symbol.get_name() for symbol in table.get_symbols() if symbol.is_imported()}
    read = _globals_read(table)
    return {name for name in read if name not in own}


def _globals_read(table: symtable.SymbolTable) -> set[str]:
    names: set[str] = set()
    waiting = [table]
    while waiting:
        scope = waiting.pop()
        top = scope.get_type() == "module"
        names |= {
            symbol.get_name()
            for symbol in scope.get_symbols()
            if symbol.is_referenced() and (top or symbol.is_global())
        }
        waiting += scope.get_children()
    return names - {"__name__", "__file__", "__doc__"}

"""The statements of a cell, each with what its text says of it.

A cell is cut into its top-level statements: `TABLE = []` binds a name for sure, `if big: TABLE = 1`
perhaps, `TABLE.append(1)` changes what it names (`changes` finds that out), `print(TABLE)` only
shows it. Names inside a function are read later, when it is called.
"""

__all__ = ["Statement", "statements_of"]

import ast
import functools
import re
from dataclasses import dataclass

from course_lib.exercises.cells.bound_before_read import bound_before_read
from course_lib.exercises.cells.cell_text import KEPT, PARSING, UNREADABLE, tree_of, without_magics
from course_lib.exercises.cells.function_bodies import Body, bodies_in
from course_lib.exercises.cells.names_in_code import (
    FUNCTIONS,
    Deeds,
    bound,
    deeds,
    reads,
    runs_here,
)

LINE_ENDS = re.compile(r"\r\n|\r|\n")  # as Python counts lines; `str.splitlines` knows more
_SURE = (*FUNCTIONS, ast.ClassDef, ast.Import, ast.ImportFrom, ast.Assign, ast.AnnAssign)
_WITH_BLOCK = (
    *FUNCTIONS, ast.ClassDef, ast.If, ast.For, ast.AsyncFor, ast.While, ast.With, ast.AsyncWith,
    ast.Try, ast.TryStar, ast.Match,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Statement:
    """One top-level statement of a cell.

    `binds` are names that are bound whenever it runs; `may_bind` adds those that are bound on
    some way through it, `binds_first` are those that a loop reads only behind its own binding.
    `deeds` tells what it does when it runs, `bodies` what functions in it do
    when they are called. `first_line` and `last_line` count from 1 in the cell.
    """

    node: ast.stmt
    text: str
    first_line: int
    last_line: int
    binds: frozenset[str]
    may_bind: frozenset[str]
    binds_first: frozenset[str]
    deeds: Deeds
    bodies: tuple[tuple[str, Body], ...]

    @property
    def reads(self) -> frozenset[str]:
        """Return the names that it reads when it runs."""
        return reads(self.text)[0]

    @property
    def reads_later(self) -> frozenset[str]:
        """Return the global names that functions in it read when they are called."""
        return reads(self.text)[1]

    @property
    def imports_all(self) -> bool:
        """Tell whether it binds whatever names a module has."""
        return isinstance(self.node, ast.ImportFrom) and self.node.names[0].name == "*"

    @property
    def is_for_the_compiler(self) -> bool:
        """Tell whether it says how the code behind it is to be read."""
        return isinstance(self.node, ast.ImportFrom) and self.node.module == "__future__"

    @property
    def has_block(self) -> bool:
        """Tell whether it is one such as `for` or `def`, which needs a line of its own."""
        return isinstance(self.node, _WITH_BLOCK)

    @property
    def is_placeholder(self) -> bool:
        """Tell whether it is a function or class as it was handed out, without any code."""
        return _is_placeholder(self.node)


def statements_of(source: str) -> tuple[Statement, ...]:
    """Cut a cell into statements; a cell that cannot run as a whole has none.

    Most cells of a class's workbooks are as they were handed out, so these are kept.
    """
    return _kept_statements(source) if len(source) <= KEPT else _long_statements(source)


@functools.lru_cache(maxsize=512)
def _kept_statements(source: str) -> tuple[Statement, ...]:
    return _cut(source)


@functools.lru_cache(maxsize=2)  # each answer of a workbook looks at the same long cell
def _long_statements(source: str) -> tuple[Statement, ...]:
    return _cut(source)


def _cut(source: str) -> tuple[Statement, ...]:
    text = without_magics(source)
    try:
        tree = tree_of(text)
        with PARSING:  # what parses may still be no program, such as a `return` outside
            compile(text, "<cell>", "exec", ast.PyCF_ALLOW_TOP_LEVEL_AWAIT, dont_inherit=True)
    except UNREADABLE:
        return ()
    lines = LINE_ENDS.split(text)
    return tuple(_statement(node, lines) for node in tree.body if not _awaits(node))


def _awaits(node: ast.stmt) -> bool:
    """Tell whether only a notebook runs it: elsewhere, `await` stands in functions."""
    return any(
        isinstance(one, ast.Await | ast.AsyncFor | ast.AsyncWith)
        or (isinstance(one, ast.comprehension) and one.is_async)
        for one in runs_here(node)
    )


def _statement(node: ast.stmt, lines: list[str]) -> Statement:
    first, start = node.lineno, node.col_offset
    decorators = getattr(node, "decorator_list", [])
    if decorators:  # the sign in front of the first one is in no node
        first, start = min(one.lineno for one in decorators), 0
    last = node.end_lineno or first
    cut = [line.encode() for line in lines[first - 1 : last]]
    if not cut[-1][node.end_col_offset :].lstrip().startswith(b"#"):  # a comment stays
        cut[-1] = cut[-1][: node.end_col_offset]
    cut[0] = cut[0][start:]
    may_bind = bound(node)
    return Statement(
        node=node,
        text="\n".join(line.decode() for line in cut),
        first_line=first,
        last_line=last,
        binds=may_bind if isinstance(node, _SURE) and _has_value(node) else frozenset(),
        may_bind=may_bind,
        binds_first=bound_before_read(node),
        deeds=deeds(runs_here(node)),
        bodies=tuple(bodies_in(node)),
    )


@functools.lru_cache(maxsize=512)  # each answer of a workbook looks at the same statements
def _is_placeholder(statement: ast.stmt) -> bool:
    bodies = [node.body for node in ast.walk(statement) if isinstance(node, FUNCTIONS)]
    return bool(bodies) and all(_only_raises(body) for body in bodies)


def _has_value(node: ast.stmt) -> bool:
    return not isinstance(node, ast.AnnAssign) or node.value is not None


def _only_raises(body: list[ast.stmt]) -> bool:
    rest = [
        one for one in body
        if not (isinstance(one, ast.Expr) and isinstance(one.value, ast.Constant))
    ]  # fmt: skip
    if len(rest) != 1 or not isinstance(rest[0], ast.Raise):
        return False
    raised = rest[0].exc
    name = raised.func if isinstance(raised, ast.Call) else raised
    return isinstance(name, ast.Name) and name.id == "NotImplementedError"

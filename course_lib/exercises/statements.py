"""What each statement of a cell binds, changes and reads, as its text says it.

A cell is cut into its top-level statements. Nothing is run, so this is what a reader would
say: `TABLE = []` binds a name for sure, `for i in range(256): TABLE.append(i)` changes what
it names, `print(TABLE)` only shows it. Names inside a function are read later, when it is called.
"""

__all__ = [
    "CHANGES_PYTHON",
    "UNREADABLE",
    "Statement",
    "parse_cell",
    "statements_of",
    "without_magics",
]

import ast
import contextlib
import functools
import re
import symtable
import threading
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

# Python 3.11 loses count when several threads parse at once, and raises SystemError.
_PARSING = threading.Lock()
KEPT_CELL = 2_000  # characters; of longer cells few are kept: trees are large
UNREADABLE = (SyntaxError, ValueError, RecursionError, MemoryError)  # what no parser can take
SCOPES = (ast.FunctionDef, ast.AsyncFunctionDef, ast.ClassDef, ast.Lambda)
FUNCTIONS = (ast.FunctionDef, ast.AsyncFunctionDef)
CHANGES_PYTHON = "setrecursionlimit"
LINE_ENDS = re.compile(r"\r\n|\r|\n")  # as Python counts lines; `str.splitlines` knows more


@dataclass(frozen=True, slots=True)
class Statement:
    """One top-level statement of a cell.

    `binds` are names that are bound whenever it runs; `may_bind` adds those that are bound on
    some way through it, and `touches` those that it changes in place; `registers` are those that
    a function is handed to by a decorator (`@answers.register`). `calls` tells which
    functions it calls, and the names given to each; `changes_later`, of a function, which global
    names it changes when it is called, and whether it changes arguments. `first_line` and
    `last_line` count from 1 in the cell.
    """

    node: ast.stmt
    text: str
    first_line: int
    last_line: int
    binds: frozenset[str]
    may_bind: frozenset[str]
    touches: frozenset[str]
    registers: frozenset[str]
    calls: Mapping[str, frozenset[str]]
    changes_later: tuple[frozenset[str], bool]

    @property
    def reads(self) -> frozenset[str]:
        """Return the names that it reads when it runs."""
        return _reads(self.text)[0] | (self.touches - self.binds)

    @property
    def reads_later(self) -> frozenset[str]:
        """Return the global names that functions in it read when they are called."""
        return _reads(self.text)[1]

    @property
    def imports_all(self) -> bool:
        """Tell whether it binds whatever names a module has."""
        return isinstance(self.node, ast.ImportFrom) and self.node.names[0].name == "*"

    @property
    def is_placeholder(self) -> bool:
        """Tell whether it is a function or class as it was handed out, without any code."""
        bodies = [
            node.body for node in ast.walk(self.node)
            if isinstance(node, FUNCTIONS)
        ]  # fmt: skip
        return bool(bodies) and all(_only_raises(body) for body in bodies)

    @property
    def called(self) -> frozenset[str]:
        """Return every name that it calls, at once or later."""
        return frozenset(
            node.func.id for node in ast.walk(self.node)
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
        )  # fmt: skip


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


def parse_cell(source: str) -> ast.Module | None:
    """Parse a cell; a cell that is not Python simply defines nothing."""
    for text in (source, _without_marked_lines(source)):
        with contextlib.suppress(*UNREADABLE):
            return _tree(text)
    return None


def statements_of(source: str) -> tuple[Statement, ...]:
    """Cut a cell into statements; a cell that cannot run as a whole has none.

    Most cells of a class's workbooks are as they were handed out, so these are kept.
    """
    return _kept_statements(source) if len(source) <= KEPT_CELL else _long_statements(source)


_NOTHING: tuple[frozenset[str], bool] = (frozenset(), False)


@functools.lru_cache(maxsize=512)
def _kept_statements(source: str) -> tuple[Statement, ...]:
    return _cut(source)


@functools.lru_cache(maxsize=2)  # each answer of a workbook looks at the same long cell
def _long_statements(source: str) -> tuple[Statement, ...]:
    return _cut(source)


def _cut(source: str) -> tuple[Statement, ...]:
    text = without_magics(source)
    try:
        tree = _tree(text)
        with _PARSING:  # what parses may still be no program, such as a `return` outside
            compile(text, "<cell>", "exec", ast.PyCF_ALLOW_TOP_LEVEL_AWAIT, dont_inherit=True)
    except UNREADABLE:
        return ()
    lines = LINE_ENDS.split(text)
    return tuple(_statement(node, lines) for node in tree.body)


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
    bound = _bound(node)
    return Statement(
        node=node,
        text="\n".join(line.decode() for line in cut),
        first_line=first,
        last_line=last,
        binds=bound if isinstance(node, _SURE) and _has_value(node) else frozenset(),
        may_bind=bound,
        touches=bound | _changed(node),
        registers=frozenset().union(*map(_base, map(_called, decorators))),
        calls=_calls(node),
        changes_later=_changes_later(node) if isinstance(node, FUNCTIONS) else _NOTHING,
    )


_SURE = (*FUNCTIONS, ast.ClassDef, ast.Import, ast.ImportFrom, ast.Assign, ast.AnnAssign)


def _has_value(node: ast.stmt) -> bool:
    return not isinstance(node, ast.AnnAssign) or node.value is not None


def _here(node: ast.AST) -> Iterator[ast.AST]:
    """Yield a node and what runs with it, not what functions and classes in it hold."""
    waiting = [node]
    while waiting:
        one = waiting.pop()
        yield one
        if not isinstance(one, SCOPES):
            waiting += ast.iter_child_nodes(one)


def _bound(node: ast.stmt) -> frozenset[str]:
    names: set[str] = set()
    local = {  # of comprehensions: gone when these are done
        name.id
        for one in _here(node) if isinstance(one, ast.comprehension)
        for name in ast.walk(one.target) if isinstance(name, ast.Name)
    }  # fmt: skip
    for one in _here(node):
        if isinstance(one, (*FUNCTIONS, ast.ClassDef)):
            names.add(one.name)
        elif isinstance(one, ast.alias):
            names.add((one.asname or one.name).partition(".")[0])
        elif isinstance(one, ast.Name) and isinstance(one.ctx, ast.Store | ast.Del):
            names |= {one.id} - local
        elif isinstance(one, ast.ExceptHandler | ast.MatchAs | ast.MatchStar) and one.name:
            names.add(one.name)
    return frozenset(names - {"*"})


def _changed(node: ast.AST) -> frozenset[str]:
    """Name what a node changes in place: by an assignment to a part, or by a call for its own sake.

    `rows[3] = x`, `Dropper.count = 0`, `rows.append(x)` and `heapq.heappush(rows, x)` change rows
    and Dropper (and heapq); `print(rows)` changes nothing. The name of a function that changes
    Python itself stands for what it changes.
    """
    names: set[str] = set()
    for one in _here(node):
        if isinstance(one, ast.Attribute | ast.Subscript) and not isinstance(one.ctx, ast.Load):
            names |= _base(one)
        elif isinstance(one, ast.Expr) and isinstance(one.value, ast.Call):
            call = one.value
            called = call.func.id if isinstance(call.func, ast.Name) else ""
            if isinstance(call.func, ast.Attribute):
                called = call.func.attr
                names |= _base(call.func) | _given(call)
            elif called in ("setattr", "delattr"):
                names |= _given(call)
            names |= {called} & {CHANGES_PYTHON}
    return frozenset(names)


def _called(node: ast.AST) -> ast.AST:
    return node.func if isinstance(node, ast.Call) else node


def _base(node: ast.AST) -> set[str]:
    while isinstance(node, ast.Attribute | ast.Subscript):
        node = node.value
    return {node.id} if isinstance(node, ast.Name) else set()


def _given(call: ast.Call) -> set[str]:
    arguments = [*call.args, *(keyword.value for keyword in call.keywords)]
    return {one.id for one in arguments if isinstance(one, ast.Name)}


def _calls(node: ast.stmt) -> dict[str, frozenset[str]]:
    given: dict[str, frozenset[str]] = {}
    for one in _here(node):
        if isinstance(one, ast.Call) and isinstance(one.func, ast.Name):
            name = one.func.id
            given[name] = given.get(name, frozenset()) | _given(one)
    return given


def _changes_later(
    node: ast.FunctionDef | ast.AsyncFunctionDef,
) -> tuple[frozenset[str], bool]:
    inside: set[str] = set()
    declared: set[str] = set()
    bound: set[str] = set()
    for part in node.body:
        inside |= _changed(part)
        bound |= _bound(part)
        declared |= {
            name for one in _here(part) if isinstance(one, ast.Global) for name in one.names
        }
    arguments = node.args
    own = {one.arg for one in (*arguments.posonlyargs, *arguments.args, *arguments.kwonlyargs)}
    outside = (inside - own - (bound - declared)) | (bound & declared)
    return frozenset(outside), bool(inside & own)


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


@functools.lru_cache(maxsize=2048)
def _reads(text: str) -> tuple[frozenset[str], frozenset[str]]:
    """Return the names that a statement reads at once, and those that it reads later."""
    with _PARSING:
        table = symtable.symtable(text, "<cell>", "exec")
    now: set[str] = set()
    later: set[str] = set()
    waiting = [(table, now)]
    while waiting:
        scope, names = waiting.pop()
        top = scope.get_type() == "module"
        names |= {
            symbol.get_name()
            for symbol in scope.get_symbols()
            if (symbol.is_referenced() and (top or symbol.is_global()))
            or symbol.is_declared_global()  # `count += 1` reads it, and says only that it is bound
        }
        for child in scope.get_children():
            waits = child.get_type() == "function" and child.get_name() not in _COMPREHENSIONS
            waiting.append((child, later if waits else names))
    not_needed = {"__name__", "__file__", "__doc__"}
    return frozenset(now - not_needed), frozenset(later - not_needed)


_COMPREHENSIONS = ("listcomp", "setcomp", "dictcomp", "genexpr")


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

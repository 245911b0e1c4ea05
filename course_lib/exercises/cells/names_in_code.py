"""Which names a piece of code binds, changes, calls and reads, as its text says it.

Nothing is run, so this is what a reader would say: `TABLE = []` binds a name, `TABLE[0] = 1`
changes what it names, `TABLE.append(1)` calls a method on it, and `first = TABLE[0]` gives a part
of it one more name. What a called function does in turn is a question for `changes`.
"""

__all__ = ["FUNCTIONS", "Call", "Deeds", "bound", "deeds", "reads", "runs_here"]

import ast
import functools
import symtable
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from course_lib.exercises.cells.cell_text import PARSING

FUNCTIONS = (ast.FunctionDef, ast.AsyncFunctionDef)
# What these make is new: it shares no part with the names in it.
_NEW = (ast.BinOp, ast.UnaryOp, ast.Compare, ast.JoinedStr, ast.Lambda, ast.Constant)
_HAND_ON_PARTS = ("iter", "next", "zip", "enumerate", "reversed", "map", "filter", "max", "min")
_COMPREHENSIONS = ("listcomp", "setcomp", "dictcomp", "genexpr")


@dataclass(frozen=True, slots=True)
class Call:
    """One call: of a function, or of a method `on` something ('' if it has no name).

    `given` are names that are handed over; `alone` is set where nobody uses what comes back.
    """

    function: str
    is_method: bool
    on: str
    given: frozenset[str]
    alone: bool = False


@dataclass(frozen=True, slots=True)
class Deeds:
    """What code does when it runs: names of which it sets a part, calls, and second names.

    `parts_of` tells for a name of what it may name a part; `handed_on` are names given to calls.
    """

    sets_part: frozenset[str]
    calls: tuple[Call, ...]
    parts_of: Mapping[str, frozenset[str]]
    handed_on: frozenset[str]


def runs_here(node: ast.AST) -> Iterator[ast.AST]:
    """Yield a node and all that runs with it: of a function its decorators and defaults only."""
    waiting = [node]
    while waiting:
        one = waiting.pop()
        yield one
        if isinstance(one, FUNCTIONS):
            waiting += [*one.decorator_list, one.args]
        elif isinstance(one, ast.Lambda):
            waiting.append(one.args)
        else:
            waiting += ast.iter_child_nodes(one)


def bound(node: ast.AST) -> frozenset[str]:
    """Return the names that code binds in its own scope, on some way through it."""
    names: set[str] = set()
    elsewhere: set[int] = set()  # nodes whose names live in a comprehension or in a class only
    for one in runs_here(node):
        if isinstance(one, ast.comprehension):
            elsewhere |= {id(target) for target in ast.walk(one.target)}
        elif isinstance(one, ast.ClassDef):
            elsewhere |= {id(inner) for part in one.body for inner in ast.walk(part)}
    for one in runs_here(node):
        if id(one) in elsewhere:
            continue
        if isinstance(one, (*FUNCTIONS, ast.ClassDef)):
            names.add(one.name)
        elif isinstance(one, ast.alias):
            names.add((one.asname or one.name).partition(".")[0])
        elif isinstance(one, ast.Name) and isinstance(one.ctx, ast.Store | ast.Del):
            names.add(one.id)
        elif isinstance(one, ast.ExceptHandler | ast.MatchAs | ast.MatchStar) and one.name:
            names.add(one.name)
        elif isinstance(one, ast.MatchMapping) and one.rest:
            names.add(one.rest)
    return frozenset(names - {"*"})


def deeds(nodes: Iterable[ast.AST]) -> Deeds:
    """Return what these nodes do, each taken for itself."""
    sets_part: set[str] = set()
    calls: list[Call] = []
    parts_of: dict[str, frozenset[str]] = {}
    alone: set[int] = set()
    handed_on: set[str] = set()
    for one in nodes:
        if isinstance(one, ast.Attribute | ast.Subscript) and not isinstance(one.ctx, ast.Load):
            sets_part |= _owner(one)
        elif isinstance(one, ast.Expr):
            alone.add(id(one.value))
        elif isinstance(one, ast.Call):
            call = _call(one.func, _given(one), alone=id(one) in alone)
            calls.append(call)
            handed_on |= call.given
        elif isinstance(one, ast.Attribute):  # `map(rows.append, more)` calls it too
            calls.append(_call(one, frozenset(), alone=False))
        for function in getattr(one, "decorator_list", ()):
            more = _given(function) if isinstance(function, ast.Call) else frozenset()
            decorator = function.func if isinstance(function, ast.Call) else function
            calls.append(_call(decorator, more | {getattr(one, "name", "")}, alone=True))
        for target, value in _second_names(one):
            for name in _names(target):
                parts_of[name] = parts_of.get(name, frozenset()) | value
    return Deeds(frozenset(sets_part), tuple(calls), parts_of, frozenset(handed_on))


@functools.lru_cache(maxsize=2048)
def reads(text: str) -> tuple[frozenset[str], frozenset[str]]:
    """Return the global names that a statement reads at once, and those that it reads later."""
    with PARSING:
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


def _call(called: ast.AST, given: frozenset[str], *, alone: bool) -> Call:
    if isinstance(called, ast.Attribute):
        return Call(called.attr, True, next(iter(_owner(called)), ""), given, alone)
    name = called.id if isinstance(called, ast.Name) else ""
    return Call(name, False, "", given, alone)


def _given(call: ast.Call) -> frozenset[str]:
    arguments = [*call.args, *(keyword.value for keyword in call.keywords)]
    return frozenset[str]().union(*map(_held, arguments))


def _owner(node: ast.AST) -> set[str]:
    """Name what a part is a part of: `rows` for `rows[3].hop` and `rows.setdefault(3, []).hop`."""
    while isinstance(node, ast.Attribute | ast.Subscript | ast.Call):
        node = node.func if isinstance(node, ast.Call) else node.value
    return {node.id} if isinstance(node, ast.Name) else set()


def _second_names(node: ast.AST) -> Iterator[tuple[ast.AST, frozenset[str]]]:
    """Yield targets that get a value, each with the names that share a part with it."""
    if isinstance(node, ast.For | ast.AsyncFor | ast.comprehension):
        yield node.target, _held(node.iter)
    elif isinstance(node, ast.Assign):
        for target in node.targets:
            yield target, _held(node.value)
    elif isinstance(node, ast.AnnAssign | ast.NamedExpr) and node.value is not None:
        yield node.target, _held(node.value)
    elif isinstance(node, ast.withitem) and node.optional_vars is not None:
        yield node.optional_vars, _held(node.context_expr)


def _names(target: ast.AST) -> set[str]:
    return {
        one.id for one in ast.walk(target)
        if isinstance(one, ast.Name) and isinstance(one.ctx, ast.Store)
    }  # fmt: skip


def _held(value: ast.AST) -> frozenset[str]:
    """Return the names of which a value may hold a part, as `[rows[0], *d.items()]` does of two."""
    names: set[str] = set()
    waiting = [value]
    while waiting:
        one = waiting.pop()
        if isinstance(one, ast.Name):
            names.add(one.id)
        elif isinstance(one, ast.Call):
            plain = one.func.id if isinstance(one.func, ast.Name) else ""
            if isinstance(one.func, ast.Attribute):
                waiting.append(one.func.value)
            elif plain in _HAND_ON_PARTS or plain[:1].isupper() or plain == "partial":
                waiting += one.args
        elif isinstance(one, ast.Subscript):
            waiting.append(one.value)
        elif not isinstance(one, _NEW):
            waiting += ast.iter_child_nodes(one)
    return frozenset(names)

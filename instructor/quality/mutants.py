"""Small faults put into a model answer by machine: a sound set of cases notices each.

Each mutant differs from the answer in one place: a constant one higher or lower,
an operator exchanged, a condition turned, a statement left out. A mutant that no
case notices shows a gap in the cases, or a change that makes no difference.
"""

__all__ = ["Mutant", "mutants"]

import ast
import copy
from collections.abc import Callable, Iterator
from dataclasses import dataclass

OPERATORS: dict[type[ast.AST], type[ast.AST]] = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Add, ast.FloorDiv: ast.Mult,
    ast.Mod: ast.FloorDiv, ast.BitAnd: ast.BitOr, ast.BitOr: ast.BitAnd, ast.BitXor: ast.BitOr,
    ast.LShift: ast.RShift, ast.RShift: ast.LShift,
    ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq, ast.NotEq: ast.Eq, ast.Is: ast.IsNot, ast.IsNot: ast.Is,
    ast.In: ast.NotIn, ast.NotIn: ast.In, ast.And: ast.Or, ast.Or: ast.And,
}  # fmt: skip

Change = Callable[[], None]


@dataclass(frozen=True, slots=True)
class Mutant:
    """One changed answer, and what was changed, in words that stay the same."""

    what: str
    source: str


def mutants(source: str) -> list[Mutant]:
    """Return every mutant of a piece of source, each with one change."""
    found: list[Mutant] = []
    unchanged = ast.unparse(ast.parse(source))
    number = 0
    while True:
        tree = ast.parse(source)
        changes = list(_changes(tree))
        if number >= len(changes):
            return found
        what, change = changes[number]
        change()
        text = ast.unparse(ast.fix_missing_locations(tree))
        if text != unchanged:
            found.append(Mutant(what, text))
        number += 1


def _changes(tree: ast.Module) -> Iterator[tuple[str, Change]]:
    """Yield every possible change, as words and a function that makes it in `tree`."""
    for function in ast.walk(tree):
        if isinstance(function, ast.FunctionDef):
            function.returns = None
            for node in _code_of(function):
                yield from _changes_at(node, function.name)


def _code_of(function: ast.FunctionDef) -> Iterator[ast.AST]:
    """Walk a function's own statements, without its docstring, types and inner functions."""
    waiting: list[ast.AST] = list(
        function.body[1:] if ast.get_docstring(function) else function.body
    )
    while waiting:
        node = waiting.pop(0)
        if isinstance(node, ast.FunctionDef):
            continue
        yield node
        children = list(ast.iter_child_nodes(node))
        if isinstance(node, ast.AnnAssign):
            children.remove(node.annotation)
        waiting += children


def _changes_at(node: ast.AST, where: str) -> Iterator[tuple[str, Change]]:
    place = f"{where}: {_words(node)}"
    if isinstance(node, ast.Constant):
        yield from _constant_changes(node, place)
    elif isinstance(node, ast.BinOp | ast.BoolOp | ast.AugAssign):
        other = OPERATORS.get(type(node.op))
        if other:
            yield f"{place}: operator becomes {other.__name__}", _setter(node, "op", other())
    elif isinstance(node, ast.Compare):
        for number, operator in enumerate(node.ops):
            other = OPERATORS[type(operator)]
            operators = copy.copy(node.ops)
            operators[number] = other()  # type: ignore[call-overload]
            yield f"{place}: comparison becomes {other.__name__}", _setter(node, "ops", operators)
    elif isinstance(node, ast.If | ast.While | ast.IfExp):
        for value in (True, False):
            if not (isinstance(node, ast.While) and value):
                yield f"{place}: condition {value}", _setter(node, "test", ast.Constant(value))
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
        yield f"{place}: not left out", _setter(node, "op", ast.UAdd())
    if isinstance(node, ast.If | ast.For | ast.While | ast.With):
        for number, statement in enumerate(node.body):
            if not isinstance(statement, ast.Pass):
                body = [*node.body[:number], ast.Pass(), *node.body[number + 1 :]]
                yield f"{where}: {_words(statement)}: left out", _setter(node, "body", body)


def _constant_changes(node: ast.Constant, place: str) -> Iterator[tuple[str, Change]]:
    value = node.value
    if isinstance(value, bool):
        yield f"{place} becomes {not value}", _setter(node, "value", not value)
    elif isinstance(value, int):
        yield f"{place} becomes {value + 1}", _setter(node, "value", value + 1)
        yield f"{place} becomes {value - 1}", _setter(node, "value", value - 1)
    elif isinstance(value, str) and value in ("big", "little"):
        other = "little" if value == "big" else "big"
        yield f"{place} becomes {other}", _setter(node, "value", other)
    elif isinstance(value, bytes):
        yield f"{place} gets an octet more", _setter(node, "value", value + b"\1")


def _setter(node: ast.AST, name: str, value: object) -> Change:
    return lambda: setattr(node, name, value)


def _words(node: ast.AST) -> str:
    """Return the piece of source, on one line and not too long."""
    if isinstance(node, ast.If | ast.While):
        return f"{type(node).__name__.lower()} {ast.unparse(node.test)}"
    if isinstance(node, ast.For):
        return f"for {ast.unparse(node.target)} in {ast.unparse(node.iter)}"
    text = " ".join(ast.unparse(node).split()) if isinstance(node, ast.expr | ast.stmt) else ""
    return text if len(text) <= 70 else text[:67] + "..."

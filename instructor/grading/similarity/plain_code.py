"""Python code in a plain form, in which the usual ways to dress up a copy leave no trace.

What says nothing about how something is done goes: type hints, texts and messages, which
exception is raised, names of attributes and keywords, imports, assertions, values that
nobody reads. Where a name stands for a value from the top of a module, the value is written
out. What is left does the same in the same order; it is compared, and never run.
"""

__all__ = ["Constants", "constants_of", "plain_code"]

import ast
from collections.abc import Iterable, Mapping
from copy import deepcopy

from course_lib.exercises.answer_source import UNREADABLE, parse_anew
from instructor.grading.similarity.fingerprints import LONGEST_CELL

Constants = Mapping[str, ast.expr]
BUILT_IN = (bytearray, bytes, dict, float, int, list, set, str, tuple)
METHODS = frozenset(name for kind in BUILT_IN for name in dir(kind))
PLAIN_PARTS = (
    ast.Attribute, ast.BinOp, ast.Constant, ast.Name, ast.UnaryOp,
    ast.expr_context, ast.operator, ast.unaryop,
)  # fmt: skip
WITH_EFFECTS = (ast.Await, ast.Call, ast.NamedExpr, ast.Yield, ast.YieldFrom)


def plain_code(source: str, constants: Constants | None = None) -> str:
    """Return source in its plain form; '' for what is no Python or was made to hurt.

    `constants` are known beside those that the source gives names to.

    >>> plain_code("STEP = 2\\ndef f(a: int) -> int:\\n    spare = 1\\n    return a.size + STEP")
    'STEP = 2\\n\\ndef f(a):\\n    return a[...] + 2'
    """
    if len(source) > LONGEST_CELL:
        return ""
    tree = parse_anew(source)
    if tree is None:
        return ""
    try:
        known = {**(constants or {}), **constants_of(tree)}
        return ast.unparse(_Plain(known, _names_read(tree)).visit(tree))
    except UNREADABLE:
        return ""


def constants_of(tree: ast.Module) -> Constants:
    """Return the names that stand for a value at the top of a module, one by one or in a row."""
    found: dict[str, ast.expr] = {}
    for statement in tree.body:
        if isinstance(statement, ast.Assign) and len(statement.targets) == 1:
            found.update(_named(statement.targets[0], statement.value))
        elif isinstance(statement, ast.AnnAssign) and statement.value is not None:
            found.update(_named(statement.target, statement.value))
    return found


def _named(target: ast.expr, value: ast.expr) -> Iterable[tuple[str, ast.expr]]:
    if isinstance(target, ast.Name):
        is_plain = all(isinstance(part, PLAIN_PARTS) for part in ast.walk(value))
        return [(target.id, value)] if is_plain else []
    if isinstance(target, ast.Tuple) and isinstance(value, ast.Tuple):
        return [
            pair for both in zip(target.elts, value.elts, strict=False) for pair in _named(*both)
        ]
    return []


def _names_read(tree: ast.AST) -> frozenset[str]:
    return frozenset(
        node.id
        for node in ast.walk(tree)
        if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Load)
    )


class _Plain(ast.NodeTransformer):
    """Rewrite a tree into its plain form."""

    def __init__(self, constants: Constants, read: frozenset[str]) -> None:
        self._constants: Constants = {}
        self._read = read
        self._constants = {name: self.visit(deepcopy(value)) for name, value in constants.items()}

    def generic_visit(self, node: ast.AST) -> ast.AST:
        super().generic_visit(node)
        if getattr(node, "body", None) == []:
            node.body = [ast.Pass()]  # type: ignore[attr-defined]  # nothing was left of it
        return node

    def visit_Name(self, node: ast.Name) -> ast.expr:
        return self._constants.get(node.id, node) if isinstance(node.ctx, ast.Load) else node

    def visit_Constant(self, node: ast.Constant) -> ast.Constant:
        return ast.Constant("") if isinstance(node.value, str) else node

    def visit_JoinedStr(self, node: ast.JoinedStr) -> ast.Constant:
        return ast.Constant("")

    def visit_Attribute(self, node: ast.Attribute) -> ast.AST:
        """Keep the built-in types' methods, under names that nobody gives; all others are alike."""
        if node.attr in METHODS:
            return self.generic_visit(ast.Attribute(node.value, f"its_{node.attr}", node.ctx))
        return self.generic_visit(ast.Subscript(node.value, ast.Constant(...), node.ctx))

    def visit_keyword(self, node: ast.keyword) -> ast.AST:
        return self.generic_visit(ast.keyword(node.arg and "given", node.value))

    def visit_arg(self, node: ast.arg) -> ast.arg:
        return ast.arg(node.arg)

    def visit_FunctionDef(self, node: ast.FunctionDef) -> ast.AST:
        node.decorator_list, node.returns = [], None
        return self.generic_visit(node)

    def visit_Raise(self, node: ast.Raise) -> ast.Raise:
        return ast.Raise()

    def visit_AnnAssign(self, node: ast.AnnAssign) -> ast.AST | None:
        if node.value is None:
            return None
        return self.visit_Assign(ast.Assign([node.target], node.value, lineno=node.lineno))

    def visit_Assign(self, node: ast.Assign) -> ast.AST | None:
        return None if self._says_nothing(node) else self.generic_visit(node)

    def visit_Expr(self, node: ast.Expr) -> ast.AST | None:
        bare = isinstance(node.value, ast.Constant | ast.Name)
        return None if bare else self.generic_visit(node)

    def _leave_out(self, node: ast.AST) -> None:
        return None

    visit_Import = visit_ImportFrom = visit_Assert = visit_Pass = _leave_out  # noqa: N815

    def _says_nothing(self, node: ast.Assign) -> bool:
        """Tell whether nobody reads what is assigned, or it is given to itself."""
        if any(isinstance(part, WITH_EFFECTS) for part in ast.walk(node.value)):
            return False
        names = [target.id for target in node.targets if isinstance(target, ast.Name)]
        if len(names) < len(node.targets):
            return False
        itself = isinstance(node.value, ast.Name) and names == [node.value.id]
        return itself or self._read.isdisjoint(names)

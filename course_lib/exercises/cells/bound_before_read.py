"""Names that a loop binds before its own code reads them: it needs nothing from above for these.

    for line in LINES:
        words, number = line.split(",")
        TABLE[words] = number

This reads `line`, `words` and `number`, but only what it bound itself a moment before. What stands
above under these names matters to somebody else at most: to who reads them behind the loop, which
may have run not even once.
"""

__all__ = ["bound_before_read"]

import ast
from collections.abc import Iterable

from course_lib.exercises.cells.names_in_code import FUNCTIONS


def bound_before_read(node: ast.stmt) -> frozenset[str]:
    """Return the names that a `for` statement binds in each round before anything in it reads them.

    What is not seen at a glance is left out: names that are bound under a condition, and all that
    functions in the loop read.
    """
    if not isinstance(node, ast.For):
        return frozenset()
    outside = _read_by([node.iter, *node.orelse])
    found = _plain_names(node.target) - outside
    for one in node.body:
        outside |= _read_by([one]) - found
        if isinstance(one, ast.Assign):
            found |= frozenset().union(*map(_plain_names, one.targets)) - outside
    return frozenset(found)


def _plain_names(target: ast.expr) -> frozenset[str]:
    """Return the names of a target that it binds itself: not `TABLE` of `TABLE[0]`."""
    if isinstance(target, ast.Name):
        return frozenset({target.id})
    if isinstance(target, ast.Starred):
        return _plain_names(target.value)
    if isinstance(target, ast.Tuple | ast.List):
        return frozenset().union(*map(_plain_names, target.elts))
    return frozenset()


def _read_by(nodes: Iterable[ast.AST]) -> frozenset[str]:
    """Return every name that code loads, deletes or adds to, now or when it is called."""
    names: set[str] = set()
    for node in nodes:
        for one in ast.walk(node):
            if isinstance(one, ast.Name) and not isinstance(one.ctx, ast.Store):
                names.add(one.id)
            elif isinstance(one, ast.AugAssign) and isinstance(one.target, ast.Name):
                names.add(one.target.id)
            elif isinstance(one, (*FUNCTIONS, ast.ClassDef, ast.Lambda)):
                names |= {inner.id for inner in ast.walk(one) if isinstance(inner, ast.Name)}
            elif isinstance(one, ast.Global | ast.Nonlocal):
                names |= set(one.names)
    return frozenset(names)

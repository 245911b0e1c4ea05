"""Names that Python has already: is one used as that function, or as a name of one's own?"""

__all__ = ["BUILTINS", "binds_function", "used_as_functions"]

import ast
import builtins
import functools

from course_lib.exercises.cells.names_in_code import FUNCTIONS, runs_here

BUILTINS = frozenset(dir(builtins))


@functools.lru_cache(maxsize=512)  # all answers of a workbook lead through the same statements
def used_as_functions(node: ast.AST) -> frozenset[str]:
    """Return the names that code calls, hands over, takes methods of, or names as a type."""
    used: list[ast.AST | None] = []
    for one in ast.walk(node):
        if isinstance(one, ast.Call):
            used += [one.func, *one.args, *(keyword.value for keyword in one.keywords)]
        elif isinstance(one, ast.Attribute):
            used.append(one.value)
        elif isinstance(one, ast.arg | ast.AnnAssign) and one.annotation is not None:
            used += ast.walk(one.annotation)
        elif isinstance(one, FUNCTIONS) and one.returns is not None:
            used += ast.walk(one.returns)
        elif isinstance(one, ast.ExceptHandler):
            used.append(one.type)
    names = set[str]()
    for part in used:
        if isinstance(part, ast.Name):
            names.add(part.id)
        elif isinstance(part, ast.Tuple):  # `isinstance(x, (int, list))`
            names |= {one.id for one in part.elts if isinstance(one, ast.Name)}
    return frozenset(names)


def binds_function(node: ast.stmt, name: str) -> bool:
    """Tell whether a statement binds a name to something that can be called."""
    if isinstance(node, ast.Assign):
        return isinstance(node.value, ast.Lambda | ast.Name | ast.Attribute)
    return any(
        (isinstance(one, (*FUNCTIONS, ast.ClassDef)) and one.name == name)
        or (isinstance(one, ast.alias) and name in (one.name, one.asname))
        for one in runs_here(node)
    )

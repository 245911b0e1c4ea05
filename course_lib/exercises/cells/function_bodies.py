"""What stands in the functions and methods of a statement: what they do when they are called."""

__all__ = ["Body", "bodies_in"]

import ast
from collections.abc import Iterator
from dataclasses import dataclass

from course_lib.exercises.cells.changing_calls import changes_owner
from course_lib.exercises.cells.names_in_code import FUNCTIONS, Deeds, bound, deeds, runs_here

_MAKING = ("__init__", "__new__", "__post_init__")  # what runs when an object is made
_Function = ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda


@dataclass(frozen=True, slots=True)
class Body:
    """One function: `parameters` are given by the caller, `local` are names of its own.

    `owner` is the first parameter of a method. `keeps` is set where functions inside of it change
    names of its own, which so live on from one call to the next.
    """

    deeds: Deeds
    parameters: frozenset[str] = frozenset()
    local: frozenset[str] = frozenset()
    binds_outside: frozenset[str] = frozenset()
    owner: str = ""
    keeps: bool = False


def bodies_in(node: ast.stmt) -> Iterator[tuple[str, Body]]:
    """Yield each function by the name that calls it: `fill`, `.method`, and classes by theirs."""
    methods: set[int] = set()
    for one in runs_here(node):
        if isinstance(one, ast.ClassDef):
            methods |= {id(part) for part in one.body}
            yield from _of_class(one)
        elif isinstance(one, FUNCTIONS) and id(one) not in methods:
            yield one.name, _body(one)
        elif isinstance(one, ast.Assign | ast.AnnAssign) and one.value is not None:
            targets = one.targets if isinstance(one, ast.Assign) else [one.target]
            for name in (target.id for target in targets if isinstance(target, ast.Name)):
                if isinstance(one.value, ast.Lambda):
                    yield name, _body(one.value)
                elif isinstance(one.value, ast.Attribute):  # `add = rows.append`
                    yield name, Body(deeds([one.value]))


def _of_class(node: ast.ClassDef) -> Iterator[tuple[str, Body]]:
    for one in node.body:
        if isinstance(one, FUNCTIONS):
            body = _body(one, is_method=True)
            yield f".{one.name}", body
            if one.name in _MAKING:
                yield node.name, body
    bases = frozenset(base.id for base in node.bases if isinstance(base, ast.Name))
    yield node.name, Body(Deeds(frozenset(), (), {}, bases))  # made as its bases are


def _body(node: _Function, *, is_method: bool = False) -> Body:
    arguments = node.args
    ordered = [one.arg for one in (*arguments.posonlyargs, *arguments.args)]
    parameters = {*ordered, *(one.arg for one in arguments.kwonlyargs)}
    parameters |= {one.arg for one in (arguments.vararg, arguments.kwarg) if one is not None}
    body: list[ast.AST] = [node.body] if isinstance(node, ast.Lambda) else [*node.body]
    inside = [one for part in body for one in ast.walk(part)]
    declared = {name for one in inside if isinstance(one, ast.Global) for name in one.names}
    bound_inside = _bound_inside(inside)
    owner = ordered[0] if is_method and ordered else ""
    return Body(
        deeds(inside),
        frozenset(parameters),
        frozenset(bound_inside - declared - parameters),
        frozenset(bound_inside & declared),
        owner,
        _keeps(inside, frozenset(parameters).union(*map(bound, body))),
    )


def _bound_inside(inside: list[ast.AST]) -> set[str]:
    names: set[str] = set()
    for one in inside:
        if isinstance(one, ast.Name) and not isinstance(one.ctx, ast.Load):
            names.add(one.id)
        elif isinstance(one, (*FUNCTIONS, ast.ClassDef)):
            names.add(one.name)
        elif isinstance(one, ast.arg):
            names.add(one.arg)
        elif isinstance(one, ast.alias):
            names.add((one.asname or one.name).partition(".")[0])
    return names


def _keeps(inside: list[ast.AST], own: frozenset[str]) -> bool:
    """Tell whether a function inside changes a name of the one around it."""
    for one in inside:
        if isinstance(one, ast.Nonlocal):
            return True
        if isinstance(one, (*FUNCTIONS, ast.Lambda)):
            body = one.body if isinstance(one.body, list) else [one.body]
            nested = [part for line in body for part in ast.walk(line)]
            done = deeds(nested)
            changed = set(done.sets_part)
            changed |= {
                call.on for call in done.calls
                if call.is_method and changes_owner(call.function, alone=call.alone)
            }  # fmt: skip
            if changed & own - _bound_inside(nested):
                return True
    return False

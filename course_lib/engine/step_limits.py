"""Count how often loops go round, so that a rule which would never end can be stopped.

A loop in machine code cannot be interrupted. So a student's function is rewritten before it is
compiled: at the beginning of each pass through a `while`, a `for` or a comprehension it counts, and
with more than `PASSES` in one call it raises an error. The functions that it calls are rewritten
as well and count on the same counter. What was

    while memory[0] > 0:               while memory[0] > 0:
        memory[0] -= part(view)            count(passes)
    return True                            memory[0] -= part_twin(passes, view)
                                       passes[1] = 3
                                       return True

runs so in plain Python too, with the student's own line numbers. Which `return` gave the answer is
noted beside the count.

Only what is seen in the source can be counted: not `sum(itertools.count())`, for one.
"""

__all__ = [
    "PASSES",
    "CannotCountError",
    "TooManyPassesError",
    "all_helpers",
    "count",
    "helpers_of",
    "new_counter",
    "plain_function",
    "returned_in",
    "with_counter",
]

import ast
import copy
import dis
import inspect
import sys
import textwrap
from collections.abc import Callable, Iterator
from types import CellType, CodeType, FunctionType
from typing import Any

import numpy as np

from course_lib.engine.compiled import HOMES
from course_lib.engine.machine_types import Counts

PASSES = 1_000_000  # in one call: some milliseconds compiled, less than a second in plain Python
_PASSES, _RETURN_LINE = range(2)  # places in the counter

# Names in rewritten functions, which nobody would choose for something else.
_COUNTER, _COUNT, _TWIN = "__counter__", "__count__", "__twin_of__"


class CannotCountError(TypeError):
    """A function cannot be rewritten; the message says why."""


class TooManyPassesError(RuntimeError):
    """Loops went round more than `PASSES` times in one call."""


def new_counter() -> Counts:
    """Return a counter for one call."""
    return np.zeros(2, np.int64)


def returned_in(counter: Counts) -> int:
    """Return the line of the file in which the function returned, 0 if it has no such line."""
    return int(counter[_RETURN_LINE])


def count(counter: Counts) -> bool:
    """Count one pass through a loop; always True."""
    counter[0] += 1
    if counter[0] > PASSES:
        raise TooManyPassesError
    return True


def with_counter(
    function: FunctionType, finish: Callable[[Any], Any] = lambda twin: twin, *, recursion: bool
) -> Any:
    """Return a twin of `function` that takes a counter before its other arguments.

    `finish` is applied to it and to the twins of all functions that it calls: Numba's `njit`, say.
    Raises CannotCountError; also for functions that call themselves, if `recursion` is False.
    """
    return _Twins(finish, recursion).twin_of(function)


def helpers_of(function: FunctionType) -> dict[str, FunctionType]:
    """Return the functions from the same file or notebook, or this package, that it mentions."""
    used = {name for code in _codes(function.__code__) for name in _global_names(code)}
    things = {name: function.__globals__.get(name) for name in used} | _enclosed(function)
    homes = (function.__module__, *HOMES)
    plain = {name: plain_function(thing) for name, thing in things.items()}
    return {
        name: thing
        for name, thing in plain.items()
        if isinstance(thing, FunctionType) and (thing.__module__ or "").startswith(homes)
    }


def all_helpers(function: FunctionType) -> list[FunctionType]:
    """Return the functions that `function` calls, directly or by others; not itself."""
    found: list[FunctionType] = []
    ahead = [function]
    while ahead:
        new = [one for one in helpers_of(ahead.pop()).values() if one not in (function, *found)]
        found += new
        ahead += new
    return found


def plain_function(thing: Any) -> Any:
    """Return what is inside a function that a student has given to Numba; all else as it is."""
    return getattr(thing, "py_func", thing)


class _Twins:
    """Twins of a function and of all that it calls, each made once."""

    def __init__(self, finish: Callable[[Any], Any], recursion: bool) -> None:
        self._finish = finish
        self._recursion = recursion
        self._made: dict[FunctionType, CellType] = {}
        self._count = CellType(finish(count))

    def twin_of(self, function: FunctionType) -> Any:
        return self._cell(function).cell_contents

    def _cell(self, function: FunctionType) -> CellType:
        if function not in self._made:
            cell = self._made[function] = CellType()
            cell.cell_contents = self._finish(self._twin(function))
        return self._made[function]

    def _twin(self, function: FunctionType) -> FunctionType:
        helpers = helpers_of(function)
        if not self._recursion and any(map(self._is_unfinished, helpers.values())):
            raise CannotCountError(f"{function.__name__} calls itself, directly or by others")
        definition = _definition(function)
        if definition is None:
            if helpers or any(map(_has_loop, _codes(function.__code__))):
                raise CannotCountError(f"the source of {function.__name__} cannot be read")
            return _ignoring_the_counter(self._finish(function))
        cells = {
            **dict(zip(function.__code__.co_freevars, function.__closure__ or (), strict=True)),
            **{_TWIN + name: self._cell(helper) for name, helper in helpers.items()},
            _COUNT: self._count,
        }
        _Counting(helpers).rewrite(definition)
        code = _compiled(definition, cells, function)
        closure = tuple(cells[name] for name in code.co_freevars)
        twin = FunctionType(
            code, function.__globals__, function.__name__, function.__defaults__, closure
        )
        twin.__kwdefaults__ = function.__kwdefaults__
        twin.__module__, twin.__qualname__ = function.__module__, function.__qualname__
        return twin

    def _is_unfinished(self, helper: FunctionType) -> bool:
        return helper in self._made and self._made[helper] == CellType()


class _Counting(ast.NodeTransformer):
    """Write the counter into a function: parameter, loops, calls of helpers, returns."""

    def __init__(self, helpers: dict[str, FunctionType]) -> None:
        self._helpers = helpers
        self._depth = 0

    def rewrite(self, definition: ast.FunctionDef) -> None:
        definition.decorator_list = []
        taken = definition.args.posonlyargs or definition.args.args
        taken.insert(0, ast.arg(_COUNTER))
        body = ast.Module(definition.body, [])
        self.generic_visit(body)
        definition.body = body.body
        ast.fix_missing_locations(definition)

    def visit_For(self, loop: ast.For) -> ast.AST:
        return self._counted(loop)

    def visit_While(self, loop: ast.While) -> ast.AST:
        return self._counted(loop)

    def visit_comprehension(self, clause: ast.comprehension) -> ast.AST:
        self.generic_visit(clause)
        clause.ifs.insert(0, ast.copy_location(_call(_COUNT), clause.target))
        return clause

    def visit_Call(self, call: ast.Call) -> ast.AST:
        name = call.func.id if isinstance(call.func, ast.Name) else None
        if name not in self._helpers:
            return self.generic_visit(call)
        call.args = [_name(_COUNTER), *(self.visit(argument) for argument in call.args)]
        call.keywords = [self.visit(keyword) for keyword in call.keywords]
        call.func = ast.copy_location(_name(f"{_TWIN}{name}"), call.func)
        return call

    def visit_Name(self, name: ast.Name) -> ast.AST:
        if name.id in self._helpers:
            raise CannotCountError(f"{name.id} is used here without being called")
        return name

    def visit_Return(self, node: ast.Return) -> Any:
        self.generic_visit(node)
        if self._depth:
            return node
        place = ast.Subscript(_name(_COUNTER), ast.Constant(_RETURN_LINE), ast.Store())
        line = ast.Assign([place], ast.Constant(node.lineno))
        return [ast.copy_location(line, node), node]

    def visit_FunctionDef(self, inner: ast.FunctionDef) -> ast.AST:
        self._depth += 1
        self.generic_visit(inner)
        self._depth -= 1
        return inner

    def _counted(self, loop: Any) -> ast.AST:
        self.generic_visit(loop)
        loop.body.insert(0, ast.copy_location(ast.Expr(_call(_COUNT)), loop))
        return loop  # type: ignore[no-any-return]


def _name(name: str) -> ast.Name:
    return ast.Name(name, ast.Load())


def _call(name: str) -> ast.Call:
    return ast.Call(_name(name), [_name(_COUNTER)], [])


def _definition(function: FunctionType) -> ast.FunctionDef | None:
    """Return the `def` that a function was made from, or None if it cannot be had for certain."""
    code = function.__code__
    try:
        lines, _ = inspect.getsourcelines(code)
        (found,) = ast.parse(textwrap.dedent("".join(lines))).body
    except (OSError, TypeError, SyntaxError, ValueError):
        return None
    if not isinstance(found, ast.FunctionDef):
        return None
    ast.increment_lineno(found, code.co_firstlineno - 1)
    as_written = copy.deepcopy(found)
    as_written.decorator_list = []
    same = _compiled(as_written, dict.fromkeys(code.co_freevars), function)
    return found if _mentions(same) == _mentions(code) else None  # a file may have changed since


def _compiled(definition: ast.FunctionDef, cells: Any, like: FunctionType) -> CodeType:
    """Compile a `def` as if it stood inside a function that has the `cells` as its variables."""
    arguments = ast.arguments([], [ast.arg(name) for name in cells], None, [], [], None, [])
    around = ast.FunctionDef("around", arguments, [definition], [])
    if sys.version_info >= (3, 12):
        around.type_params = []
    module = ast.fix_missing_locations(ast.Module([around], []))
    code = compile(module, like.__code__.co_filename, "exec", dont_inherit=True)
    (outer,) = (part for part in code.co_consts if isinstance(part, CodeType))
    names = {part.co_name: part for part in outer.co_consts if isinstance(part, CodeType)}
    return names[definition.name]


def _mentions(code: CodeType) -> tuple[Any, ...]:
    constants = [repr(thing) for thing in code.co_consts if not isinstance(thing, CodeType)]
    return code.co_varnames, {*code.co_names}, code.co_freevars, constants


def _ignoring_the_counter(function: Any) -> FunctionType:
    def ignoring(counter: Counts, *arguments: Any) -> Any:
        return function(*arguments)

    return ignoring  # type: ignore[return-value]


def _enclosed(function: FunctionType) -> dict[str, Any]:
    cells = zip(function.__code__.co_freevars, function.__closure__ or (), strict=True)
    return {name: cell.cell_contents for name, cell in cells if cell != CellType()}


def _codes(code: CodeType) -> Iterator[CodeType]:
    """Give the code of a function and of all that is defined inside it."""
    yield code
    for part in code.co_consts:
        if isinstance(part, CodeType):
            yield from _codes(part)


def _global_names(code: CodeType) -> set[str]:
    steps = dis.get_instructions(code)
    return {step.argval for step in steps if step.opname in ("LOAD_GLOBAL", "LOAD_NAME")}


def _has_loop(code: CodeType) -> bool:
    return any("BACKWARD" in step.opname for step in dis.get_instructions(code))

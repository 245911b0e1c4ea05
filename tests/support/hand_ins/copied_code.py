"""Functions of the library as they can be handed in, and what people change in what they copy.

A copy is what would run in a cell: the function, and all that it needs of its module.
"""

import ast
import builtins
import functools
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import NamedTuple

import course_lib
from course_lib.exercises.answer_source import stand_alone

ROOT = Path(course_lib.__file__).parent
BUILT_IN = frozenset(dir(builtins))


class Original(NamedTuple):
    """A function of the library: its full name, and the source of a copy that stands alone."""

    name: str
    copy: str


def originals() -> Iterator[Original]:
    """Yield every function and method of the library, but for those that mark exercises."""
    for module in sorted(_paths()):
        yield from _originals(module, module, _tree(module).body)


def original(name: str) -> str:
    """Return a copy of one function of the library."""
    module = max((one for one in _paths() if name.startswith(f"{one}.")), key=len)
    found = _originals(module, module, _tree(module).body, name)
    return next(one.copy for one in found)


def _originals(module: str, where: str, body: list[ast.stmt], only: str = "") -> Iterator[Original]:
    for node in body:
        if isinstance(node, ast.ClassDef):
            yield from _originals(module, f"{where}.{node.name}", node.body, only)
        elif isinstance(node, ast.FunctionDef) and only in ("", f"{where}.{node.name}"):
            plain = ast.FunctionDef(node.name, node.args, node.body, [], node.returns, lineno=1)
            whole = stand_alone(node.name, [*_cells_of(module), ast.unparse(plain)])
            assert whole is not None
            yield Original(f"{where}.{node.name}", whole.whole)


@functools.cache
def _paths() -> dict[str, Path]:
    paths = {
        path.relative_to(ROOT.parent).with_suffix("").parts: path for path in ROOT.rglob("*.py")
    }
    return {".".join(parts): path for parts, path in paths.items() if parts[1] != "exercises"}


@functools.cache
def _tree(module: str) -> ast.Module:
    return ast.parse(_paths()[module].read_text(encoding="utf-8"))


@functools.cache
def _cells_of(module: str) -> tuple[str, ...]:
    """Return a module behind those of ours that it imports, all without our imports."""
    imported = [one.module for one in _tree(module).body if _is_ours(one)]
    cells = [_tree(name) for name in (*imported, module) if name in _paths()]
    return tuple(
        ast.unparse(ast.Module([one for one in tree.body if not _is_ours(one)], []))
        for tree in cells
    )


def _is_ours(node: ast.stmt) -> bool:
    return isinstance(node, ast.ImportFrom) and (node.module or "").startswith("course_lib")


def changed(change: type[ast.NodeTransformer], source: str) -> str:
    return ast.unparse(ast.fix_missing_locations(change().visit(ast.parse(source))))


class Renamed(ast.NodeTransformer):
    """Every name another one, but for those that Python and other libraries give."""

    def __init__(self):
        self.names = {name: name for name in BUILT_IN}

    def new(self, name):
        return name if name.startswith("__") else self.names.setdefault(name, f"mine_{name[::-1]}")

    def visit_Module(self, node):
        imports = [one for one in ast.walk(node) if isinstance(one, ast.Import | ast.ImportFrom)]
        kept = [alias.asname or alias.name for one in imports for alias in one.names]
        self.names.update((name, name) for name in kept)
        return self.generic_visit(node)

    def visit_Name(self, node):
        return ast.Name(self.new(node.id), node.ctx)

    def visit_arg(self, node):
        return ast.arg(self.new(node.arg), node.annotation)

    def visit_FunctionDef(self, node):
        node.name = self.new(node.name)
        return self.generic_visit(node)


class Reworded(ast.NodeTransformer):
    """Another docstring, and no type hints."""

    def visit_arg(self, node):
        return ast.arg(node.arg)

    def visit_FunctionDef(self, node):
        if ast.get_docstring(node) is not None:
            node.body[0] = ast.Expr(ast.Constant("What I thought of in the night."))
        node.returns = None
        return self.generic_visit(node)


def renamed(source: str) -> str:
    return changed(Renamed, source)


def reworded(source: str) -> str:
    """Change docstrings, hints, comments and layout."""
    lines = changed(Reworded, source).splitlines()
    return "# all of this is mine\n\n" + "".join(f"{line}  # so\n\n" for line in lines)


def reordered(source: str) -> str:
    """Turn the order of definitions round; imports and values come first, so that it runs."""
    body = ast.parse(source).body
    values = [one for one in body if not isinstance(one, ast.FunctionDef | ast.ClassDef)]
    rest = [one for one in reversed(body) if one not in values]
    return ast.unparse(ast.Module([*values, *rest], []))


CHANGES: dict[str, Callable[[str], str]] = {
    "as it is": lambda source: source,
    "names changed": renamed,
    "texts and hints changed": reworded,
    "definitions in another order": reordered,
    "all of it": lambda source: reordered(reworded(renamed(source))),
}

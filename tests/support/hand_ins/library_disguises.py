"""Functions of the library, copied and dressed up as somebody might before handing them in.

A copy is what would run in a cell: the function, and all that it needs of its module. Every
disguise is one thing that a person or a tool can do to it without thinking about what it does.
"""

import ast
import builtins
import copy
import functools
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import NamedTuple

import course_lib
from course_lib.exercises.answer_source import stand_alone

ROOT = Path(course_lib.__file__).parent
BUILT_IN = frozenset(dir(builtins))
Cells = list[str]
Disguise = Callable[[ast.Module], Cells]


class Original(NamedTuple):
    """A function of the library: its full name, and a copy of it that stands alone."""

    name: str
    copy: ast.Module


def originals() -> Iterator[Original]:
    """Yield every function and method of the library, but for those that mark exercises."""
    for module in sorted(_trees()):
        yield from _originals(module, module, _trees()[module].body)


def original(name: str) -> Original:
    """Return one function of the library."""
    module = max((one for one in _trees() if name.startswith(f"{one}.")), key=len)
    found = _originals(module, module, _trees()[module].body)
    return next(one for one in found if one.name == name)


def _originals(module: str, where: str, body: list[ast.stmt]) -> Iterator[Original]:
    for node in body:
        if isinstance(node, ast.ClassDef):
            yield from _originals(module, f"{where}.{node.name}", node.body)
        elif isinstance(node, ast.FunctionDef):
            plain = copy.deepcopy(node)
            plain.decorator_list = []
            whole = stand_alone(ast.unparse(plain), _cells_of(module))
            tree = ast.parse(whole.before + "\n" + whole.source)
            yield Original(f"{where}.{node.name}", tree)


@functools.cache
def _trees() -> dict[str, ast.Module]:
    paths = {
        path.relative_to(ROOT.parent).with_suffix("").parts: path for path in ROOT.rglob("*.py")
    }
    return {
        ".".join(parts): ast.parse(path.read_text(encoding="utf-8"))
        for parts, path in paths.items()
        if parts[1] != "exercises"
    }


@functools.cache
def _cells_of(module: str) -> tuple[str, ...]:
    """Return a module behind those of ours that it imports, all without our imports."""
    imported = [one.module for one in _trees()[module].body if _is_ours(one)]
    cells = [_trees()[name] for name in (*imported, module) if name in _trees()]
    return tuple(
        ast.unparse(ast.Module([one for one in tree.body if not _is_ours(one)], []))
        for tree in cells
    )


def _is_ours(node: ast.stmt) -> bool:
    return isinstance(node, ast.ImportFrom) and (node.module or "").startswith("course_lib")


def written(tree: ast.AST) -> str:
    return ast.unparse(ast.fix_missing_locations(tree))


def changed(*changes: Callable[[], ast.NodeTransformer]) -> Disguise:
    """Return a disguise that makes these changes in turn, each on a tree of its own."""

    def disguise(tree: ast.Module) -> Cells:
        tree = copy.deepcopy(tree)
        for change in changes:
            tree = change().visit(tree)
        return [written(tree)]

    return disguise


class Reworded(ast.NodeTransformer):
    """Other docstrings."""

    def visit_FunctionDef(self, node):
        if ast.get_docstring(node) is not None:
            node.body[0] = ast.Expr(ast.Constant("What I thought of in the night."))
        return self.generic_visit(node)


class Renamed(ast.NodeTransformer):
    """Every name another one, but for those that Python gives."""

    def __init__(self):
        self.names = {}

    def new(self, name):
        if name in BUILT_IN or name.startswith("__"):
            return name
        return self.names.setdefault(name, f"mine_{len(self.names)}")

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


class Unhinted(ast.NodeTransformer):
    """No type hints."""

    def visit_arg(self, node):
        return ast.arg(node.arg)

    def visit_FunctionDef(self, node):
        node.returns = None
        return self.generic_visit(node)

    def visit_AnnAssign(self, node):
        return ast.Assign([node.target], node.value) if node.value else ast.Pass()


class WrittenOut(ast.NodeTransformer):
    """Constants written out where they are used."""

    def visit_Module(self, node):
        self.values = {
            target.id: one.value
            for one in node.body
            if isinstance(one, ast.Assign) and isinstance(one.value, ast.Constant)
            for target in one.targets
            if isinstance(target, ast.Name)
        }
        node.body = [one for one in node.body if not self.is_constant(one)]
        return self.generic_visit(node)

    def is_constant(self, node):
        targets = node.targets if isinstance(node, ast.Assign) else []
        return any(isinstance(one, ast.Name) and one.id in self.values for one in targets)

    def visit_Name(self, node):
        return self.values.get(node.id, node) if isinstance(node.ctx, ast.Load) else node


class OtherErrors(ast.NodeTransformer):
    """Every error a ValueError with a text of one's own."""

    def visit_Raise(self, node):
        return ast.parse("raise ValueError('this will not do')").body[0]


class Padded(ast.NodeTransformer):
    """A statement that does nothing before every statement of a function."""

    every = 1

    def __init__(self):
        self.count = 0

    def generic_visit(self, node):
        super().generic_visit(node)
        for part in ("body", "orelse"):
            block = getattr(node, part, None)
            if isinstance(block, list) and not isinstance(node, ast.Module):
                setattr(node, part, [one for old in block for one in (*self.nothing(), old)])
        return node

    def nothing(self):
        self.count += 1
        return ast.parse(f"spare_{self.count} = {self.count}").body * (self.count % self.every == 0)


class PaddedHereAndThere(Padded):
    """The same before every third one."""

    every = 3


def turned_round(tree: ast.Module) -> Cells:
    """Definitions in another order; imports and values first, so that it still runs."""
    values = [one for one in tree.body if not isinstance(one, ast.FunctionDef | ast.ClassDef)]
    rest = [one for one in reversed(tree.body) if one not in values]
    return [written(ast.Module([*values, *rest], []))]


def other_layout(tree: ast.Module) -> Cells:
    lines = written(tree).splitlines()
    return ["# all of this is mine\n\n" + "".join(f"{line}  # so\n\n" for line in lines)]


def in_other_cells(tree: ast.Module) -> Cells:
    """Each definition in a cell of its own, and a thin function that calls the last one."""
    thin = f"def answer(*given):\n    return {tree.body[-1].name}(*given)\n"
    return [*(written(one) for one in tree.body), thin]


def in_a_class(tree: ast.Module) -> Cells:
    *before, last = copy.deepcopy(tree.body)
    last.decorator_list = [ast.Name("staticmethod", ast.Load())]
    tool = ast.ClassDef("Tool", [], [], [last], [])
    thin = f"\n\ndef answer(*given):\n    return Tool.{last.name}(*given)\n"
    return [written(ast.Module([*before, tool], [])) + thin]


def cut_in_two(tree: ast.Module) -> Cells:
    """The second half of the function as a helper; its values go along by luck, or not at all."""
    *before, last = copy.deepcopy(tree.body)
    half = len(last.body) // 2
    rest = ast.FunctionDef("rest_of_it", last.args, last.body[half:], [])
    last.body = [*last.body[:half], *ast.parse("return rest_of_it()").body]
    return [written(ast.Module([*before, rest, last], []))]


ALL_AT_ONCE = (Reworded, Unhinted, WrittenOut, OtherErrors, Renamed)
DISGUISES: dict[str, Disguise] = {
    "as it is": changed(),
    "other docstring": changed(Reworded),
    "comments and layout": other_layout,
    "names changed": changed(Renamed),
    "type hints dropped": changed(Unhinted),
    "constants written out": changed(WrittenOut),
    "other errors and texts": changed(OtherErrors),
    "definitions in another order": turned_round,
    "helpers in other cells": in_other_cells,
    "wrapped in a class": in_a_class,
    "nothing said, one in three": changed(PaddedHereAndThere),
    "nothing said before each": changed(Padded),
    "cut in two": cut_in_two,
    "all but padding": changed(*ALL_AT_ONCE),
    "all, padded one in three": changed(*ALL_AT_ONCE, PaddedHereAndThere),
    "all, padded before each": changed(*ALL_AT_ONCE, Padded),
}

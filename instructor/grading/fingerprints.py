"""Fingerprints of Python code that do not change when names or the order of functions do.

The method is winnowing (Schleimer, Wilkerson, Aiken: Winnowing: Local Algorithms for
Document Fingerprinting, SIGMOD 2003). Code is parsed, so layout and comments are gone.
Docstrings and type hints are left out. Every run of `GRAM` pieces of the tree is hashed, with
the writer's own names numbered as they come up in that run. Of `WINDOW` neighbouring
hashes the smallest is kept: whatever two texts share in `GRAM + WINDOW - 1` pieces or
more leaves at least one fingerprint in both. No run reaches over the end of a function.
"""

__all__ = ["GRAM", "WINDOW", "all_hashes", "fingerprints"]

import ast
import builtins
import hashlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from course_lib.exercises.answer_source import parse_cell

GRAM, WINDOW = 16, 6  # pieces of the tree; hashes
LONGEST_CELL = 200_000  # characters; what is longer was not written by hand
BUILTINS = frozenset(dir(builtins))
LEFT_OUT = (ast.expr_context, ast.Import, ast.ImportFrom, ast.Pass)
HINTS = frozenset({"annotation", "returns", "type_comment", "type_params"})
Scope = ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef


@dataclass(frozen=True, slots=True)
class Own:
    """A name that the writer chose; which one it is does not count, only where it comes again."""

    name: str


Piece = str | Own


def fingerprints(cells: Iterable[str]) -> dict[int, str]:
    """Return the fingerprints of some cells, each with the name of a function it is found in."""
    found: dict[int, str] = {}
    for name, hashes in _hashed(cells):
        for start in range(max(1, len(hashes) - WINDOW + 1) if hashes else 0):
            found.setdefault(min(hashes[start : start + WINDOW]), name)
    return found


def all_hashes(cells: Iterable[str]) -> frozenset[int]:
    """Return every hash of some cells: what is to be subtracted is subtracted in full."""
    return frozenset(one for _, hashes in _hashed(cells) for one in hashes)


def _hashed(cells: Iterable[str]) -> Iterator[tuple[str, list[int]]]:
    """Yield the name and all hashes of each function, method and other statement."""
    trees = [tree for cell in cells if (tree := _tree(cell)) is not None]
    given = _given_names(trees)
    own = _own_attributes(trees)
    for tree in trees:
        for statement in _parts(tree.body):
            pieces = list(_pieces(statement, given, own))
            grams = range(len(pieces) - GRAM + 1)
            name = statement.name if isinstance(statement, Scope) else ""
            yield name, [_hash(pieces[start : start + GRAM]) for start in grams]


def _tree(cell: str) -> ast.Module | None:
    if len(cell) > LONGEST_CELL:
        return None
    try:
        return parse_cell(cell)
    except (RecursionError, MemoryError):  # what a cell made to hurt gives
        return None


def _parts(body: Sequence[ast.stmt]) -> Iterator[ast.stmt]:
    """Yield the statements that may change places: at the top, and in classes."""
    for statement in body:
        if isinstance(statement, ast.ClassDef):
            yield from _parts(statement.body)
        elif not isinstance(statement, LEFT_OUT):
            yield statement


def _given_names(trees: Sequence[ast.Module]) -> Mapping[str, str]:
    """Return the names that are not the writer's: imported ones, by what they stand for."""
    return {
        alias.asname or alias.name.partition(".")[0]: alias.name
        for tree in trees
        for node in ast.walk(tree)
        if isinstance(node, ast.Import | ast.ImportFrom)
        for alias in node.names
    }


def _own_attributes(trees: Sequence[ast.Module]) -> frozenset[str]:
    """Return the names behind a dot that are the writer's: methods, and what is assigned to."""
    nodes = [node for tree in trees for node in ast.walk(tree)]
    return frozenset(
        [node.name for node in nodes if isinstance(node, Scope) and not node.name.startswith("__")]
        + [node.attr for node in nodes
           if isinstance(node, ast.Attribute) and isinstance(node.ctx, ast.Store)]
    )  # fmt: skip


def _pieces(start: ast.stmt, given: Mapping[str, str], own: frozenset[str]) -> Iterator[Piece]:
    """Yield the tree piece by piece, a node before its parts."""
    waiting: list[ast.AST] = [start]
    while waiting:
        node = waiting.pop()
        yield type(node).__name__
        yield from _names(node, given, own)
        waiting += reversed(list(_below(node)))


def _names(node: ast.AST, given: Mapping[str, str], own: frozenset[str]) -> Iterator[Piece]:
    if isinstance(node, ast.Name):
        fixed = node.id in BUILTINS or node.id in given
        yield given.get(node.id, node.id) if fixed else Own(node.id)
    elif isinstance(node, Scope):
        yield Own(node.name)
    elif isinstance(node, ast.arg):
        yield Own(node.arg)
    elif isinstance(node, ast.Attribute):
        yield Own(node.attr) if node.attr in own else node.attr
    elif isinstance(node, ast.keyword):
        yield node.arg or "**"
    elif isinstance(node, ast.Constant):
        yield _constant(node.value)


def _constant(value: object) -> str:
    """Write a constant with its type; a whole number in hexadecimal, which has no longest one."""
    text = hex(value) if type(value) is int else repr(value)
    return f"{type(value).__name__} {text[:200]}"


def _below(node: ast.AST) -> Iterator[ast.AST]:
    """Yield the parts of a node, without type hints, docstrings and what says nothing."""
    for field, value in ast.iter_fields(node):
        if field in HINTS:
            continue
        for part in value if isinstance(value, list) else [value]:
            if isinstance(part, ast.AST) and not isinstance(part, LEFT_OUT) and not _is_text(part):
                yield part


def _is_text(node: ast.AST) -> bool:
    """Tell whether a statement is a mere text: a docstring, or a comment written as one."""
    return (
        isinstance(node, ast.Expr)
        and isinstance(node.value, ast.Constant)
        and isinstance(node.value.value, str)
    )


def _hash(pieces: Sequence[Piece]) -> int:
    numbers: dict[str, int] = {}
    words = [
        piece if isinstance(piece, str) else f"own {numbers.setdefault(piece.name, len(numbers))}"
        for piece in pieces
    ]
    text = "\x1f".join(words).encode("utf-8", "surrogatepass")
    return int.from_bytes(hashlib.blake2b(text, digest_size=8).digest())

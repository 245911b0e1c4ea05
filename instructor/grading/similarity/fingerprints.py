"""Fingerprints of Python code that do not change when names or the order of functions do.

The method is winnowing (Schleimer, Wilkerson, Aiken: Winnowing: Local Algorithms for
Document Fingerprinting, SIGMOD 2003). Code is parsed, so layout and comments are gone.
Docstrings and type hints are left out. Every run of `GRAM` pieces of the tree is hashed; a
name that the writer chose stands in there as the way back to where it came before in that
run, since which name it is does not count. Of `WINDOW` neighbouring hashes the smallest is
kept: whatever two texts share in `GRAM + WINDOW - 1` pieces or more leaves at least one
fingerprint in both. No run reaches over the end of a function.

All runs of a hand-in are hashed together, by NumPy: parsing included, that nearly halves the time.
"""

__all__ = ["GRAM", "WINDOW", "all_hashes", "fingerprints"]

import ast
import builtins
import functools
import hashlib
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from course_lib.exercises.cells.cell_text import parse_cell

GRAM, WINDOW = 16, 6  # pieces of the tree; hashes
LONGEST_CELL = 200_000  # characters; what is longer was not written by hand
LONGEST_PIECE = 200  # characters of a name or a constant that count
BUILTINS = frozenset(dir(builtins))
NOT_SAID = (ast.expr_context, ast.Pass)
IMPORTS = (ast.Import, ast.ImportFrom)
HINTS = frozenset({"annotation", "returns", "type_comment", "type_params"})
BASE = np.uint64(0x9E3779B97F4A7C15)  # odd; the hash of a run is a polynomial in it, mod 2**64
Scope = ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef


@dataclass(slots=True)
class _Code:
    """Some cells, read: statements that may change places, each with its nodes in order.

    `given` are names that are not the writer's: imported ones, by what they stand for;
    `own` those behind a dot that are: methods, and what is assigned to.
    """

    parts: list[tuple[str, list[ast.AST]]] = field(default_factory=list)
    given: dict[str, str] = field(default_factory=dict)
    own: set[str] = field(default_factory=set)


@dataclass(slots=True)
class _Pieces:
    """All pieces in a row: a code each, or 0 and how far back the writer's name came before."""

    codes: list[int] = field(default_factory=list)
    back: list[int] = field(default_factory=list)
    last: dict[str, int] = field(default_factory=dict)

    def add(self, text: str) -> None:
        self.codes.append(_code(text[:LONGEST_PIECE]))
        self.back.append(0)

    def add_own(self, name: str) -> None:
        place = len(self.codes)
        self.codes.append(0)
        self.back.append(place - self.last.get(name, place))
        self.last[name] = place


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
    code = _Code()
    for cell in cells:
        tree = _tree(cell)
        if tree is not None:
            _read(tree.body, code)
    pieces, ends = _Pieces(), []
    for _, nodes in code.parts:
        pieces.last.clear()
        for node in nodes:
            pieces.add(type(node).__name__)
            _add_names(pieces, node, code)
        ends.append(len(pieces.codes))
    hashes = _run_hashes(pieces).tolist()
    for (name, _), start, end in zip(code.parts, [0, *ends], ends, strict=False):
        yield name, hashes[start : max(start, end - GRAM + 1)]


def _tree(cell: str) -> ast.Module | None:
    if len(cell) > LONGEST_CELL:
        return None
    try:
        return parse_cell(cell)
    except (RecursionError, MemoryError):  # what a cell made to hurt gives
        return None


def _read(body: Sequence[ast.stmt], code: _Code) -> None:
    """Take apart the statements at the top, and in classes."""
    for statement in body:
        if isinstance(statement, ast.ClassDef):
            _note_own(statement, code)
            _read(statement.body, code)
        elif not isinstance(statement, NOT_SAID):
            name = statement.name if isinstance(statement, Scope) else ""
            code.parts.append((name, list(_nodes(statement, code))))


def _nodes(start: ast.stmt, code: _Code) -> Iterator[ast.AST]:
    """Yield the tree node by node, each before its parts; note names on the way."""
    waiting: list[ast.AST] = [start]
    while waiting:
        node = waiting.pop()
        if isinstance(node, IMPORTS):
            _note_imports(node, code)
            continue
        if isinstance(node, Scope | ast.Attribute):
            _note_own(node, code)
        yield node
        parts = [
            part
            for name in node._fields
            if name not in HINTS
            for part in _listed(getattr(node, name, None))
            if isinstance(part, ast.AST) and not isinstance(part, NOT_SAID) and not _is_text(part)
        ]
        waiting += reversed(parts)


def _listed(value: object) -> Sequence[object]:
    return value if isinstance(value, list) else (value,)


def _note_imports(statement: ast.Import | ast.ImportFrom, code: _Code) -> None:
    for alias in statement.names:
        code.given[alias.asname or alias.name.partition(".")[0]] = alias.name


def _note_own(node: Scope | ast.Attribute, code: _Code) -> None:
    if isinstance(node, ast.Attribute):
        if isinstance(node.ctx, ast.Store):
            code.own.add(node.attr)
    elif not node.name.startswith("__"):
        code.own.add(node.name)


def _add_names(pieces: _Pieces, node: ast.AST, code: _Code) -> None:
    if isinstance(node, ast.Name):
        if node.id in code.given or node.id in BUILTINS:
            pieces.add(code.given.get(node.id, node.id))
        else:
            pieces.add_own(node.id)
    elif isinstance(node, ast.Constant):
        pieces.add(_constant(node.value))
    elif isinstance(node, ast.Attribute):
        (pieces.add_own if node.attr in code.own else pieces.add)(node.attr)
    elif isinstance(node, ast.arg):
        pieces.add_own(node.arg)
    elif isinstance(node, ast.keyword):
        pieces.add(node.arg or "**")
    elif isinstance(node, Scope):
        pieces.add_own(node.name)


def _constant(value: object) -> str:
    """Write a constant with its type; a whole number in hexadecimal, which has no longest one."""
    text = hex(value) if type(value) is int else repr(value)
    return f"{type(value).__name__} {text}"


def _is_text(node: ast.AST) -> bool:
    """Tell whether a statement is a mere text: a docstring, or a comment written as one."""
    match node:
        case ast.Expr(value=ast.Constant(value=str())):
            return True
    return False


@functools.lru_cache(maxsize=4096)
def _code(text: str) -> int:
    """Return a number for a piece of text, the same on every machine, and never 0."""
    octets = text.encode("utf-8", "surrogatepass")
    return int.from_bytes(hashlib.blake2b(octets, digest_size=8).digest()) | 1


def _run_hashes(pieces: _Pieces) -> NDArray[np.uint64]:
    """Hash every run of `GRAM` pieces; a way back that leaves the run counts as none."""
    count = max(0, len(pieces.codes) - GRAM + 1)
    codes = np.array(pieces.codes, dtype=np.uint64)
    back = np.array(pieces.back, dtype=np.int64)
    own = np.array([_code(f"own {distance}") for distance in range(GRAM)], dtype=np.uint64)
    hashes = np.zeros(count, dtype=np.uint64)
    for place in range(GRAM):
        here = slice(place, place + count)
        inside = np.where(back[here] <= place, back[here], 0)
        hashes *= BASE
        hashes += np.where(codes[here] == 0, own[inside], codes[here])
    return hashes

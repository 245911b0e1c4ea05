"""Functions of the course's library that stand in an answer: what they share, and how much.

Students read the library as a textbook, so its code is at hand. Two looks find what was
taken from there. The first costs next to nothing: the fingerprints of all that a student
wrote, which the list of pairs (`similar`) needs anyway, are looked up among those of the
library. Where two meet in one module, the second look brings each answer and the module's
functions into a plain form (`plain_code`) and counts what share of each function is in
the answer: names, texts, type hints, order and layout play no part.

Subtracted is what was handed out and all answers and mistakes that we know: whoever thinks
alike arrives there alone. Short functions say nothing, since there are only so many ways
to write three lines: a function counts from `FEWEST` pieces of its own on, and is named if
at least half of them are in the answer.
"""

__all__ = ["FEWEST", "LEAST_SHARE", "Copy", "copies_in", "modules_met"]

import ast
import functools
import textwrap
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import NamedTuple

import course_lib
from instructor.grading.similarity.fingerprints import all_hashes
from instructor.grading.similarity.pairs import common_ground, known_sources
from instructor.grading.similarity.plain_code import Constants, constants_of, plain_code

LEAST_MET = 2  # fingerprints in one module of the library, for a second look
FEWEST = 12  # hashes that a function has of its own
LEAST_SHARE = 0.5
MOST_NAMED = 5  # functions for one answer: who took a whole module need not see them all
NOT_READ = ("exercises",)  # how answers are marked; no part of a router
SAYS_NOTHING = ("__init__",)  # puts its arguments away, as everybody's does


class Copy(NamedTuple):
    """A function of the library of which `shared` of `of` pieces are in an answer."""

    function: str
    shared: int
    of: int

    @property
    def share(self) -> float:
        """Return the share of the function that is in the answer."""
        return self.shared / self.of


class _Function(NamedTuple):
    """A function or method of the library: its full name, and its source as it stands alone."""

    name: str
    source: str


def modules_met(unit: str, prints: Iterable[int]) -> tuple[str, ...]:
    """Return the library's modules that are worth a second look, mostly none.

    `prints` are the fingerprints of all that a student wrote in this unit.
    """
    library = _library()
    shared = library.hashes_among(prints) - common_ground(unit)
    met = Counter(module for one in shared for module in library.modules_with(one))
    return tuple(sorted(module for module, times in met.items() if times >= LEAST_MET))


def copies_in(answer: str, unit: str, modules: Iterable[str]) -> tuple[Copy, ...]:
    """Return the functions of these modules that are in an answer, most of them shared first.

    `answer` is its source with all that it needs from other cells.
    """
    library, known = _library(), _known(unit)
    left = all_hashes([plain_code(answer)]) - known
    there = []
    for module in modules:
        for name, whole in library.plain(module).items():
            own = whole - known
            shared = own & left
            if len(own) >= FEWEST and len(shared) >= LEAST_SHARE * len(own):
                there.append((Copy(name, len(shared), len(own)), shared))
    copies = []
    for copy, shared in sorted(there, key=lambda one: (-one[0].shared, one[0])):
        if len(shared & left) > len(shared) / 2:  # else a function before it accounts for them
            copies.append(copy)
            left -= shared
    return tuple(copies[:MOST_NAMED])


@functools.cache
def _known(unit: str) -> frozenset[int]:
    """Return the hashes of what we know, in plain form."""
    return frozenset().union(*(all_hashes([plain_code(text)]) for text in known_sources(unit)))


@functools.cache
def _library() -> "_Library":
    return _Library(Path(course_lib.__file__).parent)


class _Library:
    """The library's functions by module, with an index of their hashes."""

    def __init__(self, folder: Path) -> None:
        self._trees: dict[str, ast.Module] = {}
        self._functions: dict[str, tuple[_Function, ...]] = {}
        self._plain: dict[str, Mapping[str, frozenset[int]]] = {}
        index: dict[int, set[str]] = defaultdict(set)
        for path in sorted(folder.rglob("*.py")):
            parts = path.relative_to(folder.parent).with_suffix("").parts
            if parts[1] in NOT_READ:
                continue
            module = ".".join(parts)
            source = path.read_text(encoding="utf-8")
            tree = self._trees[module] = ast.parse(source)
            imports = _imports_from_elsewhere(tree)
            self._functions[module] = tuple(_functions(module, tree.body, source.splitlines()))
            for function in self._functions[module]:
                for one in all_hashes([imports, function.source]):
                    index[one].add(module)
        self._index = {one: tuple(sorted(modules)) for one, modules in index.items()}

    def hashes_among(self, prints: Iterable[int]) -> set[int]:
        """Return which of these hashes are in the library at all."""
        return self._index.keys() & set(prints)

    def modules_with(self, one: int) -> tuple[str, ...]:
        """Return the modules that a hash is found in."""
        return self._index[one]

    def plain(self, module: str) -> Mapping[str, frozenset[int]]:
        """Return the hashes of each function of a module in its plain form, worked out once."""
        if module not in self._plain:
            constants = self._constants(module)
            self._plain[module] = {
                function.name: all_hashes([plain_code(function.source, constants)])
                for function in self._functions[module]
            }
        return self._plain[module]

    def _constants(self, module: str) -> Constants:
        """Return the constants that a module names, and those that it imports."""
        tree = self._trees[module]
        imported = {
            alias.asname or alias.name: constants_of(self._trees[node.module])[alias.name]
            for node in ast.walk(tree)
            if isinstance(node, ast.ImportFrom) and node.module in self._trees
            for alias in node.names
            if alias.name in constants_of(self._trees[node.module])
        }
        return {**imported, **constants_of(tree)}


def _functions(where: str, body: list[ast.stmt], lines: list[str]) -> Iterator[_Function]:
    for statement in body:
        if isinstance(statement, ast.ClassDef):
            yield from _functions(f"{where}.{statement.name}", statement.body, lines)
        elif isinstance(statement, ast.FunctionDef) and statement.name not in SAYS_NOTHING:
            text = "\n".join(lines[statement.lineno - 1 : statement.end_lineno])
            yield _Function(f"{where}.{statement.name}", textwrap.dedent(text))


def _imports_from_elsewhere(tree: ast.Module) -> str:
    """Return the imports that a copy brings along: those of other libraries than ours."""
    return "\n".join(
        ast.unparse(node)
        for node in tree.body
        if isinstance(node, ast.Import)
        or (isinstance(node, ast.ImportFrom) and not (node.module or "").startswith("course_lib"))
    )

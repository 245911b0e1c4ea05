"""Functions of the course's library that an answer has much in common with, for a look.

Students read the library as a textbook, so its code is at hand. Here the library is one more
hand-in: what an answer shares with each of its functions is counted by the fingerprints by
which two workbooks are compared (`fingerprints`), so names, type hints, texts beside the code,
order and layout play no part. Being alike says nothing about why.

Subtracted is what was handed out and all answers and mistakes that we know: whoever thinks
alike arrives there alone. Short functions say nothing, since there are only so many ways
to write three lines: a function counts from `FEWEST` hashes of its own on, and is named if
at least `LEAST_SHARE` of them are in the answer. With less than half, known answers would be
named if they were not subtracted; with half, none is (`test_library_copies`).
"""

__all__ = ["FEWEST", "LibraryCopy", "copies_in", "library_copies", "read_library",
           "write_library_copies"]  # fmt: skip

import ast
import functools
import textwrap
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import NamedTuple

import course_lib
from instructor.grading.intake.hand_ins import HandIn
from instructor.grading.similarity.code_prints import CodePrints
from instructor.grading.similarity.fingerprints import all_hashes
from instructor.grading.similarity.library_prints import Library, library_from
from instructor.output.tables import write_table

FEWEST = 12  # hashes that a function has of its own
LEAST_SHARE = 0.5
MOST_NAMED = 5  # functions for one answer: who took a whole module need not see them all
NOT_READ = ("exercises",)  # how answers are marked; no part of a router
SAYS_NOTHING = ("__init__",)  # puts its arguments away, as everybody's does
COLUMNS = ("unit", "student", "exercise", "name", "shared", "of", "share")


class LibraryCopy(NamedTuple):
    """A function of the library of which `shared` of `of` hashes are in an answer."""

    unit: str
    student: str
    exercise: str
    name: str
    shared: int
    of: int

    @property
    def share(self) -> float:
        """Return the share of the function that is in the answer."""
        return self.shared / self.of


def library_copies(
    hand_in: HandIn, prints: CodePrints, library: Library, ground: frozenset[int]
) -> tuple[LibraryCopy, ...]:
    """Return what of the library is in a hand-in's answers: mostly nothing, at little cost.

    If the library has no fingerprint of all that a student wrote but the `ground`, which says
    nothing (`common_ground`), no answer is looked at.
    """
    if not library.names_of(prints.own.keys() - ground):
        return ()
    return tuple(
        LibraryCopy(hand_in.unit, hand_in.student, name, *copy)
        for name, hashes in prints.answers.items()
        for copy in copies_in(hashes, ground, library)
    )


def copies_in(
    hashes: frozenset[int], ground: frozenset[int], library: Library
) -> tuple[tuple[str, int, int], ...]:
    """Return the functions that are in an answer, with shared hashes and all of their own.

    `hashes` are those of its source and of all that it needs from other cells. What most is
    shared of comes first; a function is left out if those before it account for what it shares.
    """
    left = hashes - ground
    there = []
    for name in library.names_of(left):
        own = library.hashes_of(name) - ground
        shared = own & left
        if len(own) >= FEWEST and len(shared) >= LEAST_SHARE * len(own):
            there.append((name, shared, len(own)))
    copies = []
    for name, shared, of in sorted(there, key=lambda one: (-len(one[1]), one[0])):
        if len(shared & left) > len(shared) / 2:
            copies.append((name, len(shared), of))
            left -= shared
    return tuple(copies[:MOST_NAMED])


def write_library_copies(path: Path, copies: Iterable[LibraryCopy]) -> None:
    """Write the list as a table."""
    write_table(path, COLUMNS, (
        (one.unit, one.student, one.exercise, one.name, str(one.shared), str(one.of),
         f"{one.share:.2f}")
        for one in copies
    ))  # fmt: skip


@functools.cache
def read_library() -> Library:
    """Read all of the library as it lies here, which takes seconds."""
    folder = Path(course_lib.__file__).parent
    found: dict[str, frozenset[int]] = {}
    for path in sorted(folder.rglob("*.py")):
        module = path.relative_to(folder.parent).with_suffix("").parts
        if module[1] not in NOT_READ:
            source = path.read_text(encoding="utf-8")
            tree = ast.parse(source)
            imports = _imports_from_elsewhere(tree)
            for name, text in _sources(".".join(module), tree.body, source.splitlines()):
                found[name] = all_hashes([imports, text])
    return library_from(found)


def _sources(where: str, body: list[ast.stmt], lines: list[str]) -> Iterator[tuple[str, str]]:
    """Yield the full name of each function, and its source as it stands alone."""
    for statement in body:
        if isinstance(statement, ast.ClassDef):
            yield from _sources(f"{where}.{statement.name}", statement.body, lines)
        elif isinstance(statement, ast.FunctionDef) and statement.name not in SAYS_NOTHING:
            text = "\n".join(lines[statement.lineno - 1 : statement.end_lineno])
            yield f"{where}.{statement.name}", textwrap.dedent(text)


def _imports_from_elsewhere(tree: ast.Module) -> str:
    """Return the imports that a copy brings along: those of other libraries than ours."""
    return "\n".join(
        ast.unparse(node)
        for node in tree.body
        if isinstance(node, ast.Import)
        or (isinstance(node, ast.ImportFrom) and not (node.module or "").startswith("course_lib"))
    )

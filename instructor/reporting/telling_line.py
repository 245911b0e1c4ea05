"""One line of real code that shows a belief: what those who hold it write, and the others do not.

Lines are compared by their shape: which names a writer chose plays no part. A line is the more
telling the more of those who hold the belief wrote it, and the fewer of all others.
"""

__all__ = ["Shapes", "common_shapes", "line_shapes", "telling_line"]

import ast
import builtins
import functools
import keyword
import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from difflib import SequenceMatcher

from course_lib.exercises.cells.cell_text import parse_cell

LONGEST = 88  # characters of a line that are shown
COMMON = 24  # lines of right answers that others are compared with
LONGEST_CELL = 20_000  # characters; a longer answer is no example
KEPT = frozenset(keyword.kwlist) | frozenset(dir(builtins))
NAME = re.compile(r"(?<![.\w])[A-Za-z_]\w*")
NOT_TELLING = (
    ast.FunctionDef, ast.AsyncFunctionDef, ast.ClassDef, ast.Import, ast.ImportFrom, ast.Pass,
)  # fmt: skip

Shapes = Mapping[str, str]  # the shape of each line, and the line


@functools.lru_cache(maxsize=4096)  # the report and the statistics ask for the same
def line_shapes(source: str) -> Shapes:
    """Return the lines of an answer in which a statement begins, each by its shape."""
    return {_shape(line): line for line in _lines(source)}


def telling_line(holding: Sequence[Shapes], others: Sequence[Shapes], right: Sequence[str]) -> str:
    """Choose the line; '' if there is none.

    `others` are answers that do not show the belief. Of lines that tell as much, the one is taken
    that comes closest to a line of those who are `right`: how it differs is the mistake.
    """
    counts = Counter(shape for one in holding for shape in one)
    if not counts:
        return ""
    elsewhere = Counter(shape for one in others for shape in one)
    weights = {
        shape: round(count / len(holding) - elsewhere[shape] / max(1, len(others)), 6)
        for shape, count in counts.items()
    }
    heaviest = max(weights.values())
    if heaviest <= 0:  # the others write all of it as often
        return ""
    best = max(
        (shape for shape, weight in weights.items() if weight == heaviest),
        key=lambda shape: max((_likeness(shape, one) for one in right if one != shape), default=0),
    )
    line = next(one[best] for one in holding if best in one)
    return line if len(line) <= LONGEST else f"{line[: LONGEST - 1]}…"


def common_shapes(answers: Sequence[Shapes]) -> Sequence[str]:
    """Return the shapes of lines that most answers have."""
    counts = Counter(shape for one in answers for shape in one)
    return [shape for shape, _ in counts.most_common(COMMON)]


def _likeness(one: str, other: str) -> float:
    return SequenceMatcher(None, one, other, autojunk=False).ratio()


def _lines(source: str) -> Iterator[str]:
    """Yield the first line of each statement in functions: no heads, hints, texts or prints."""
    tree = parse_cell(source) if len(source) <= LONGEST_CELL else None
    if tree is None:
        return
    lines = source.split("\n")  # as Python counts them
    for function in _functions(tree):
        for node in ast.walk(function):
            if isinstance(node, ast.stmt) and not isinstance(node, NOT_TELLING):
                if isinstance(node, ast.Expr) and _says_nothing(node.value):
                    continue
                if node.lineno <= len(lines) and (line := lines[node.lineno - 1].strip()):
                    yield line


def _functions(tree: ast.Module) -> Iterable[ast.stmt]:
    return (one for one in tree.body if isinstance(one, ast.FunctionDef | ast.ClassDef))


def _says_nothing(value: ast.expr) -> bool:
    """Tell a docstring and a print, which honest people leave behind, from a call that counts."""
    if isinstance(value, ast.Call):
        return isinstance(value.func, ast.Name) and value.func.id == "print"
    return isinstance(value, ast.Constant)


def _shape(line: str) -> str:
    """Write a line with numbers in place of the names that its writer chose."""
    numbers: dict[str, str] = {}

    def number(found: re.Match[str]) -> str:
        name = found[0]
        return name if name in KEPT else numbers.setdefault(name, f"name{len(numbers)}")

    return "".join(NAME.sub(number, line).split())

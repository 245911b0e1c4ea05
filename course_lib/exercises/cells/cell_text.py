"""Read the text of a cell as Python, as far as it is Python.

A notebook knows more than Python: lines that begin with % or !, questions (`fold?`), cells that
are for another program as a whole (`%%bash`). These are left out and bind nothing; all other
lines keep their numbers.
"""

__all__ = ["KEPT", "PARSING", "UNREADABLE", "parse_cell", "tree_of", "without_magics"]

import ast
import contextlib
import functools
import re
import threading

# Python 3.11 loses count when several threads parse at once, and raises SystemError.
PARSING = threading.Lock()
UNREADABLE = (SyntaxError, ValueError, RecursionError, MemoryError)  # what no parser can take
KEPT = 2_000  # characters; of longer cells no tree is kept: trees are large

_COMMAND = re.compile(r"^[ \t]*[%!?].*$|^[ \t]*[\w.*]+\?\??[ \t]*$", re.MULTILINE)
# Of cells that begin with %%, these are run among the others; the rest is for somebody else.
_RUN_HERE = re.compile(r"\s*%%(?:time|capture|prun)\b")


def without_magics(source: str) -> str:
    """Blank out what only a notebook understands, keeping line numbers.

    Source that is Python as it stands is left alone: there, a line that begins with % may be the
    second half of a division with remainder.
    """
    try:
        tree_of(source)
    except UNREADABLE:
        return _without_commands(source)
    return source


def parse_cell(source: str) -> ast.Module | None:
    """Parse a cell; a cell that is not Python simply defines nothing."""
    for text in (source, _without_commands(source)):
        with contextlib.suppress(*UNREADABLE):
            return tree_of(text)
    return None


def tree_of(source: str) -> ast.Module:
    """Parse; the tree may be somebody else's too, so it is only read."""
    return _kept_tree(source) if len(source) <= KEPT else _read_tree(source)


def _without_commands(source: str) -> str:
    if source.lstrip().startswith("%%") and not _RUN_HERE.match(source):
        return "\n" * source.count("\n")
    return _COMMAND.sub("", source)


@functools.lru_cache(maxsize=64)  # an answer is looked at a dozen times, one after the other
def _kept_tree(source: str) -> ast.Module:
    return _read_tree(source)


def _read_tree(source: str) -> ast.Module:
    with PARSING:
        return ast.parse(source)

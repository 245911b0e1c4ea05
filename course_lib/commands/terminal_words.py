"""Words for a terminal: no line longer than it is wide, and commands that can be copied.

A text is folded between words. A line that begins with a space is left as it is: it is a
command or a row of a table, and whoever wrote it saw to its length.
"""

__all__ = ["columns", "folded", "say", "this_command", "to_type"]

import os
import shlex
import shutil
import sys
import textwrap
from collections.abc import Iterator
from pathlib import Path
from typing import TextIO

USUAL, NARROWEST = 80, 40
INDENT = "    "


def columns() -> int:
    """Return how wide a text may be: as the terminal is, but no wider than reads well."""
    return max(NARROWEST, min(USUAL, shutil.get_terminal_size((USUAL, 24)).columns))


def say(text: str, file: TextIO | None = None) -> None:
    """Print a text, folded."""
    print(folded(text), file=file or sys.stdout)


def folded(text: str, hang: str = "", first: str = "") -> str:
    """Fold every line of a text that is too long; it begins with `first`, its rest with `hang`."""
    return "\n".join(line for given in text.splitlines() for line in _folded(given, hang, first))


def to_type(*words: str | Path) -> str:
    r"""Return a command as a shell takes it, moved in; where it is cut, a backslash says so.

    >>> print(to_type("hopbyhop", "grade", "this year/hand-ins"))
        hopbyhop grade 'this year/hand-ins'
    """
    width = columns() - len(" \\")
    lines, line = [], INDENT
    for word in map(str, words):
        pieces = [
            word if word == "&&" else shlex.quote(piece)
            for piece in _cut(word, width - 2 * len(INDENT) - 2)
        ]
        if line.strip() and len(line) + 1 + len(pieces[0]) > width:
            lines.append(line + " \\")
            line = INDENT + INDENT
        line += f"{' ' if line.strip() else ''}{pieces[0]}"
        for piece in pieces[1:]:
            lines.append(line + "\\")
            line = piece
    return "\n".join([*lines, line])


def this_command() -> str:
    """Return what one types to start `hopbyhop` here, also where it is not on the path."""
    script = Path(sys.executable).with_name("hopbyhop.exe" if os.name == "nt" else "hopbyhop")
    found = shutil.which("hopbyhop")
    if found and script.exists() and Path(found).samefile(script):
        return "hopbyhop"
    if not script.exists():
        return f"{sys.executable} -m course_lib.cli"
    here = Path.cwd()
    return str(script.relative_to(here) if script.is_relative_to(here) else script)


def _folded(given: str, hang: str, first: str) -> Iterator[str]:
    if not given or given.startswith(" "):
        yield given
        return
    width = columns()
    for line in textwrap.wrap(
        given, width, initial_indent=first, subsequent_indent=hang,
        break_long_words=False, break_on_hyphens=False,
    ):  # fmt: skip
        yield from _cut(line, width)


def _cut(word: str, width: int) -> Iterator[str]:
    """Cut a word that fits no line, behind a slash if it has one: mostly it is a path."""
    while len(word) > width:
        place = word.rfind("/", 1, width) + 1 or width
        yield word[:place]
        word = word[place:]
    yield word

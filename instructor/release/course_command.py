"""What all commands about a course folder have in common: how it is named, and how they fail."""

__all__ = ["add_course", "told"]

import argparse
import sys
from collections.abc import Callable
from pathlib import Path

from course_lib.commands.terminal_words import say


def add_course(group: "argparse._ArgumentGroup", what: str = "folder that `release` made") -> None:
    """Let a command name a course folder; `what` is said of it in the help."""
    group.add_argument("course", type=Path, metavar="COURSE", help=what)


def told(act: Callable[[], int | None], *more: type[Exception]) -> int:
    """Do it and return the status; where it cannot be done, say what is wrong and what to do.

    `more` are errors that say so in words, besides those of places and course folders.
    """
    from instructor.output.wrong_places import WrongPlaceError
    from instructor.release.course_folder import CourseFolderError

    in_words: tuple[type[Exception], ...] = (CourseFolderError, WrongPlaceError, *more)
    try:
        return act() or 0
    except in_words as problem:
        say(str(problem), sys.stderr)
        return 1

"""Run the source of a student's own answer, and return its function.

It runs in this process, in a namespace of its own: two answers never see each other's names.
"""

__all__ = ["NotTakenError", "load_answer"]

import __future__

import contextlib
import io
import linecache
from types import CodeType
from typing import Any

from course_lib.exercises.registry import Exercise
from course_lib.my_parts.careful_part import Function, careful, file_name_of
from course_lib.runner.runner import StandAlone

_ANNOTATIONS: int = __future__.annotations.compiler_flag


class NotTakenError(ValueError):
    """An answer that is not taken; the text says why, in a few words for the student."""


def load_answer(item: Exercise, answer: StandAlone) -> Function:
    """Run an answer, and what it needs from other cells, and return its function."""
    names: dict[str, Any] = {"__name__": "__main__"}  # as in the workbook
    others = f"{file_name_of(item)}, other cells"
    nowhere = io.StringIO()
    try:
        with contextlib.redirect_stdout(nowhere), contextlib.redirect_stderr(nowhere):
            flags = _run(answer.before, others, names, 0)
            flags = _run(answer.source, file_name_of(item), names, flags)
            _run(answer.after, others, names, flags)
        return careful(item, names[item.function])
    except (Exception, SystemExit) as problem:
        what = f"{type(problem).__name__}: {problem}"
        raise NotTakenError(f"its cell runs alone, but not here: {what}") from problem


def _run(source: str, place: str, names: dict[str, Any], flags: int) -> int:
    """Run source under a name that errors will show, together with the line itself.

    Return how code behind it is to be compiled: `from __future__` holds for all cells below.
    """
    linecache.cache[place] = (len(source), None, source.splitlines(keepends=True), place)
    code: CodeType = compile(source, place, "exec", flags, dont_inherit=True)
    exec(code, names)
    return flags | code.co_flags & _ANNOTATIONS

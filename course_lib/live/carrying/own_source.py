"""Run source text that somebody wrote, and return the function in it.

The text stands alone: it was cut out of a workbook as `mark` does it, with all that the function
needs. It runs in the process of the router only, never in that of the notebook.
"""

__all__ = ["SourceError", "function_of", "load_library"]

import __future__

import ast
import contextlib
import importlib
import linecache
import traceback
from collections.abc import Callable
from typing import Any

from course_lib.live.carrying.line_settings import OwnSource

PLACE = "your router"
OTHER_CELLS = "your other cells"
_LIBRARY = "course_lib"
_ANNOTATIONS: int = __future__.annotations.compiler_flag


class SourceError(ValueError):
    """Source text from which nothing usable came; the text says what happened, and where."""


def function_of(own: OwnSource) -> Callable[..., Any]:
    """Return the function. Raises `SourceError`."""
    names: dict[str, Any] = {"__name__": "__main__"}  # as in the workbook
    parts = (own.before, OTHER_CELLS), (own.source, PLACE), (own.after, f"{OTHER_CELLS}, below")
    flags = 0
    try:
        for text, place in parts:
            # So that a message can show the line itself.
            linecache.cache[place] = (len(text), None, text.splitlines(keepends=True), place)
            code = compile(text, place, "exec", flags, dont_inherit=True)
            exec(code, names)
            flags |= code.co_flags & _ANNOTATIONS  # it holds for all cells below, as in a notebook
    except (Exception, SystemExit) as error:
        raise SourceError(f"the source of {own.function} {told(error)}") from error
    function: Callable[..., Any] | None = names.get(own.function)
    if function is None or not callable(function):
        raise SourceError(f"the source defines no function called {own.function}")
    return function


def load_library(source: str) -> None:
    """Load what the source imports of this library, before its own time begins to run.

    What is wrong in the source is left for those who run it.
    """
    try:
        statements = ast.parse(source).body
    except (SyntaxError, ValueError):
        return
    for one in statements:
        if isinstance(one, ast.ImportFrom) and str(one.module).startswith(f"{_LIBRARY}."):
            with contextlib.suppress(ImportError):
                module = importlib.import_module(str(one.module))
                for name in one.names:
                    getattr(module, name.name, None)  # a face loads a name when it is asked for


def told(error: BaseException) -> str:
    """Say what was raised, and in which line of the text.

    >>> try:
    ...     function_of(OwnSource("x = 1\\ny = x / 0", "make_router"))
    ... except SourceError as error:
    ...     print(error)
    the source of make_router raised ZeroDivisionError: division by zero (your router, line 2)
    """
    lines = [
        f" ({frame.filename}, line {frame.lineno})"
        for frame in traceback.extract_tb(error.__traceback__)
        if frame.filename.startswith((PLACE, OTHER_CELLS))
    ]
    if isinstance(error, SyntaxError):
        lines = [f" ({error.filename}, line {error.lineno})"]
        return f"raised {type(error).__name__}: {error.msg}{lines[-1]}"
    return f"raised {type(error).__name__}: {error}{lines[-1] if lines else ''}"

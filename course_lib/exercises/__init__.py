"""Exercises: what is asked, how an answer is run, judged and talked about.

In a workbook: `from course_lib.exercises import hint, mark, show_progress`.
"""

__all__ = ["hint", "mark", "show_progress"]

from typing import Any


def __getattr__(name: str) -> Any:
    """Load marking on first use: the process that runs an answer never needs it."""
    if name in __all__:
        from course_lib.exercises import marking

        return getattr(marking, name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")

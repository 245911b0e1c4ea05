"""Exercises: what is asked, how an answer is run, judged and talked about.

In a workbook: `from course_lib.exercises import hint, mark, my_numbers, show_progress`.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach(
    __name__,
    submod_attrs={
        "marking": ["hint", "mark", "show_progress"],
        "personal.shown_numbers": ["my_numbers"],
    },
)

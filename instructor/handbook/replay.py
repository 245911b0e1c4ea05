"""Run a demonstration step by step, and compare what it prints with what the page says."""

__all__ = ["Played", "replay"]

import contextlib
import io
from collections.abc import Iterable, Iterator
from typing import Any, NamedTuple

from course_lib.engine.waiting_note import silence
from instructor.handbook.page_text import Step


class Played(NamedTuple):
    """A step and what it has printed; an exception is told in its last line."""

    step: Step
    printed: str

    @property
    def is_as_written(self) -> bool:
        """Whether it printed what the page says."""
        return self.printed.rstrip() == self.step.output.rstrip()


def replay(steps: Iterable[Step]) -> Iterator[Played]:
    """Run steps one after the other; each finds the names of those before it.

    What a slow machine would say of its waiting is no part of what a step prints.
    """
    names: dict[str, Any] = {"__name__": "demonstration"}
    for number, step in enumerate(steps, 1):
        printed = io.StringIO()
        with contextlib.redirect_stdout(printed), silence():
            try:
                exec(compile(step.code, f"step {number}", "exec"), names)
            except Exception as problem:  # what a step shows may be a refusal
                print(f"{type(problem).__name__}: {problem}")
        yield Played(step, printed.getvalue())

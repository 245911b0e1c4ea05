"""The source of a stage that somebody has written in a cell, with all that it needs.

It is taken as `mark` takes an answer: the statements that the function needs, as they were run.
"""

__all__ = ["source_in_cells"]

from collections.abc import Sequence
from typing import Any

from course_lib.exercises.answer_source import stand_alone
from course_lib.exercises.cells.cells_run import cells_run
from course_lib.widgets.touch.as_written import RefusedError


def source_in_cells(name: str, names: dict[str, Any]) -> str:
    """Return the source of what is called `name`; `names` are those of a cell, history included.

    Raises `RefusedError` where no cell that was run binds it.
    """
    return _source(name, cells_run(names).as_run)


def _source(name: str, cells: Sequence[str]) -> str:
    found = stand_alone(name, cells)
    if found is None:
        raise RefusedError(f"No cell that was run defines {name}.")
    return found.whole

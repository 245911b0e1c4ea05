"""A router of one's own as a recipe, or a stage as a change: source text that another process runs.

What is taken is what `mark` would take: the cell with the function, and all of other cells that it
needs. Of the notebook's memory nothing travels along but which parts `my_parts` has chosen, so a
router is made anew each time, and is the same each time.
"""

__all__ = ["my_recipe", "my_stage"]

import sys
from collections.abc import Sequence
from typing import Any

from course_lib.exercises.answer_source import stand_alone
from course_lib.exercises.cells.cells_run import cells_run
from course_lib.live.carrying.recipes import Route, SourceRecipe
from course_lib.my_parts.carried import with_parts_carried
from course_lib.runner.runner import StandAlone
from course_lib.steering.changes import StagePlace, SwapStage


def my_recipe(function: str = "make_router", routes: Sequence[Route] = ()) -> SourceRecipe:
    """Return the recipe for the router that a function of this notebook makes.

    The function is called with the list of interfaces; with the routes as well if it takes two
    arguments. It returns an object with `receive`, `tick` and `next_tick_s`.

    Raises `LookupError` if no cell that was run defines the function, or if it needs a name that no
    cell binds.
    """
    answer = _cut_out(function, sys._getframe(1).f_globals)
    return SourceRecipe(answer.source, function, answer.before, answer.after, tuple(routes))


def my_stage(function: str, name: str, place: StagePlace = StagePlace.INSTEAD) -> SwapStage:
    """Return the change that puts a stage of this notebook at the stage called `name`.

    Raises `LookupError` as `my_recipe` does.
    """
    answer = _cut_out(function, sys._getframe(1).f_globals)
    return SwapStage(name, answer.whole, function, place)


def _cut_out(function: str, names: dict[str, Any]) -> StandAlone:
    cells = cells_run(names)
    answer = stand_alone(function, cells.in_order, cells.above)
    if answer is None:
        raise LookupError(f"no cell defines {function}: run the cell with its `def`, then this one")
    if missing := ", ".join((*answer.missing, *answer.unread)):
        raise LookupError(f"{function} needs {missing}, which no cell binds")
    return with_parts_carried(answer, names)

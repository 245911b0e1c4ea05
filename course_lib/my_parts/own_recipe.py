"""A router of one's own as a recipe: source text that its own process can run.

What is taken is what `mark` would take: the cell with the function, and all of other cells that it
needs. Nothing of the notebook's memory travels along, so a router is made anew each time, and is
the same each time.
"""

__all__ = ["my_recipe"]

import sys
from collections.abc import Sequence

from course_lib.exercises.answer_source import stand_alone
from course_lib.exercises.cells.cells_run import cells_run
from course_lib.live.carrying.recipes import Route, SourceRecipe


def my_recipe(function: str = "make_router", routes: Sequence[Route] = ()) -> SourceRecipe:
    """Return the recipe for the router that a function of this notebook makes.

    The function is called with the list of interfaces; with the routes as well if it takes two
    arguments. It returns an object with `receive`, `tick` and `next_tick_s`.

    Raises `LookupError` if no cell that was run defines the function, or if it needs a name that no
    cell binds.
    """
    cells = cells_run(sys._getframe(1).f_globals)
    answer = stand_alone(function, cells.in_order, cells.above)
    if answer is None:
        raise LookupError(f"no cell defines {function}: run the cell with its `def`, then this one")
    if missing := ", ".join((*answer.missing, *answer.unread)):
        raise LookupError(f"{function} needs {missing}, which no cell binds")
    return SourceRecipe(answer.source, function, answer.before, answer.after, tuple(routes))

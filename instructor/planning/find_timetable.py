"""Find a timetable that is worth most, or one that keeps close to an earlier one."""

__all__ = ["CannotFitError", "find_timetable", "smallest_conflict"]

from collections.abc import Iterable, Mapping, Sequence

from ortools.sat.python import cp_model

from instructor.planning.request import Request, Wish
from instructor.planning.teaching_units import TeachingUnit
from instructor.planning.timetable import Timetable, lay_out, left_out
from instructor.planning.timetable_model import Place, TimetableModel

SEARCH_S = 45.0
PROCESSES = 2
# A block that moved weighs more than all breaks that units can be spread over.
MOVED, WORTH = 200, 200_000


class CannotFitError(ValueError):
    """No timetable keeps all wishes. `wishes` is a smallest set that cannot be kept together."""

    def __init__(self, wishes: tuple[Wish, ...]) -> None:
        self.wishes = wishes
        if not wishes:
            text = "The sessions are too short even for what begins and ends a course."
        else:
            text = "These wishes cannot all be kept: " + "; ".join(str(one) for one in wishes) + "."
        super().__init__(text)


def find_timetable(
    request: Request, units: Sequence[TeachingUnit], *, wishes: Iterable[Wish] | None = None,
    earlier: Mapping[Place, int] | None = None, search_s: float = SEARCH_S,
    processes: int = PROCESSES,
) -> Timetable:  # fmt: skip
    """Return the best timetable that is found; raises `CannotFitError`.

    `wishes` are those that must be kept; all of the request's, if none are given. With `earlier`,
    sessions by block, of all timetables that are worth as much the one in which least moves.
    """
    kept = tuple(request.wishes if wishes is None else wishes)
    made = TimetableModel(request, units)
    made.keep(kept)
    goal = WORTH * made.worth() - made.spread()
    if earlier is not None:
        goal = goal - MOVED * made.moved(earlier)
        for key, var in made.lies_in.items():
            made.model.add_hint(var, earlier.get(key[0]) == key[1])
    made.model.maximize(goal)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = processes
    solver.parameters.max_time_in_seconds = search_s
    status = solver.solve(made.model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        raise CannotFitError(smallest_conflict(request, units, kept))
    blocks = {place: session for (place, session), var in made.lies_in.items() if solver.value(var)}
    worth = solver.value(made.worth())
    bound = worth if status == cp_model.OPTIMAL else -int(-solver.best_objective_bound // WORTH)
    return Timetable(
        lay_out(request, units, blocks), left_out(request, units, blocks), blocks, worth, bound
    )


def smallest_conflict(
    request: Request, units: Sequence[TeachingUnit], wishes: Sequence[Wish]
) -> tuple[Wish, ...]:
    """Return a smallest set of wishes that no timetable keeps together.

    Every set that cannot be kept meets every set whose loss makes it possible to keep the rest.
    So the smallest set that meets all such sets found so far is tried; if it can be kept, it is
    made as large as it can be, and what is left of the wishes is one more such set.
    """
    losses: list[frozenset[Wish]] = []
    while True:
        tried = _meets_all(wishes, losses)
        if not _can_keep(request, units, tried):
            return tuple(wish for wish in wishes if wish in tried)
        kept = set(tried)
        for wish in wishes:
            if wish not in kept and _can_keep(request, units, {*kept, wish}):
                kept.add(wish)
        losses.append(frozenset(wishes) - kept)
        if not losses[-1]:
            raise AssertionError("all wishes can be kept")


def _can_keep(request: Request, units: Sequence[TeachingUnit], wishes: Iterable[Wish]) -> bool:
    made = TimetableModel(request, units)
    made.keep(wishes)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = PROCESSES
    return solver.solve(made.model) in (cp_model.OPTIMAL, cp_model.FEASIBLE)


def _meets_all(wishes: Sequence[Wish], losses: Sequence[frozenset[Wish]]) -> frozenset[Wish]:
    """Return a smallest set of wishes that has one in common with each of the sets."""
    model = cp_model.CpModel()
    chosen = {wish: model.new_bool_var(str(wish)) for wish in wishes}
    for loss in losses:
        model.add_bool_or([chosen[wish] for wish in loss])
    model.minimize(cp_model.LinearExpr.sum(list(chosen.values())))
    solver = cp_model.CpSolver()
    solver.solve(model)
    return frozenset(wish for wish, var in chosen.items() if solver.value(var))

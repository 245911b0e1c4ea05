"""What counts for a student: points by machine and by hand as the gradebook has them.

Every page, table and line on a terminal asks here, so all of them give one number. Where there is
no gradebook to ask, as for a report made without one, the machine's points are all there is.
"""

__all__ = ["Standing", "answer_standing", "hand_in_standing", "text_standings", "together"]

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from instructor.grading.gradebook.totals import CellPoints, Total
from instructor.grading.marked import MarkedAnswer, MarkedHandIn


class Standing(NamedTuple):
    """Points of `of` that count now, and whether somebody must still look.

    `points` is None where nobody has decided yet, and `by_hand` tells that a person gave some of
    them. `penalty` is what being late took off the points of a hand-in; it is off `points` already.
    """

    points: float | None
    of: float
    waits: bool
    by_hand: bool = False
    comment: str = ""
    penalty: float = 0.0


def answer_standing(answer: MarkedAnswer, total: Total | None) -> Standing:
    """Return what counts for an answer in code; `total` is what the gradebook says of its hand-in.

    What a person entered comes before the machine's points; extra credit is added.
    """
    exercise = answer.verdict.exercise
    cell = _cells(total).get(exercise.mark_name)
    if cell is None:
        return Standing(answer.verdict.points, exercise.points, answer.needs_person)
    if not cell.by_hand:  # the machine's, also where this is another gradebook's older entry
        points = answer.verdict.points
        return Standing(points, exercise.points, cell.waits, comment=cell.comment)
    return _of_cell(cell)


def text_standings(marked: MarkedHandIn, total: Total | None) -> Mapping[str, Standing]:
    """Return what counts for each answer in words, by the name of its cell."""
    in_code = {one.verdict.exercise.mark_name for one in marked.answers}
    known = {name: _of_cell(one) for name, one in _cells(total).items() if name not in in_code}
    waiting = [one.name for one in marked.texts] if total is None else total.waiting
    written = {
        one.name: Standing(None, one.points, True)
        for one in marked.texts
        if one.name in waiting and one.name not in known
    }
    return {**known, **written}


def hand_in_standing(marked: MarkedHandIn, total: Total | None) -> Standing:
    """Return what counts for one hand-in, all its answers together."""
    if total is None:
        waits = bool(marked.texts) or any(one.needs_person for one in marked.answers)
        return Standing(marked.points, marked.of, waits)
    by_hand = any(one.by_hand for one in total.cells)
    return Standing(
        total.points, total.max_points, bool(total.waiting), by_hand, penalty=total.penalty
    )


def together(standings: Iterable[Standing]) -> Standing:
    """Return several as one, such as all units of a student."""
    every: Sequence[Standing] = tuple(standings)
    return Standing(
        sum(one.points or 0.0 for one in every), sum(one.of for one in every),
        any(one.waits for one in every), any(one.by_hand for one in every),
        penalty=sum(one.penalty for one in every),
    )  # fmt: skip


def _of_cell(cell: CellPoints) -> Standing:
    return Standing(cell.points, cell.max_points, cell.waits, cell.by_hand, cell.comment)


def _cells(total: Total | None) -> Mapping[str, CellPoints]:
    return {} if total is None else {one.name: one for one in total.cells}

"""What waits for a person, counted once and in one way for every page and for the terminal.

One thing is a file that could not be graded, an answer about which nobody could tell, a cell
that waits for points by hand, or a hand-in with a deadline of which nobody knows when it came. The
gradebook decides: an answer to which a person gave points there waits no longer.
"""

__all__ = ["Waiting", "marking_page", "waiting"]

from collections.abc import Iterable
from typing import NamedTuple
from urllib.parse import quote

from instructor.grading.gradebook.totals import Total
from instructor.grading.intake.hand_ins import NotGraded
from instructor.grading.marked import BatchResult, MarkedAnswer, MarkedHandIn

# Jupyter's usual address on one's own machine, and where the gradebook's tool has its pages.
USUAL_SERVER = "http://localhost:8888"


class Waiting(NamedTuple):
    """Everything that waits; a cell comes with the total of the hand-in that it stands in."""

    files: tuple[NotGraded, ...]
    answers: tuple[tuple[MarkedHandIn, MarkedAnswer], ...]
    cells: tuple[tuple[Total, str], ...]
    times: tuple[Total, ...] = ()

    @property
    def things(self) -> int:
        """Return how many things wait: the one number."""
        return len(self.files) + len(self.answers) + len(self.cells) + len(self.times)


def waiting(result: BatchResult, totals: Iterable[Total]) -> Waiting:
    """Gather what waits in a class; `totals` are what the gradebook says of it."""
    in_book = {(one.student, one.unit): one for one in totals}
    answers = tuple(
        (hand_in, answer)
        for hand_in in result.marked
        for answer in hand_in.answers
        if answer.needs_person and _waits(answer, in_book.get((hand_in.student, hand_in.unit)))
    )
    taken = {(one.student, one.unit, answer.verdict.exercise.mark_name) for one, answer in answers}
    cells = tuple(
        (one, cell)
        for one in in_book.values()
        for cell in one.waiting
        if (one.student, one.unit, cell) not in taken
    )
    times = tuple(one for one in in_book.values() if one.asks_when)
    return Waiting(result.not_graded, answers, cells, times)


def marking_page(unit: str) -> str:
    """Return where one gives points by hand to the workbooks of a unit.

    >>> marking_page("01-frames-and-headers").partition("8888")[2]
    '/formgrader/gradebook/01-frames-and-headers/01-frames-and-headers'
    """
    name = quote(unit, safe="")
    return f"{USUAL_SERVER}/formgrader/gradebook/{name}/{name}"


def _waits(answer: MarkedAnswer, total: Total | None) -> bool:
    return total is None or answer.verdict.exercise.mark_name in total.waiting

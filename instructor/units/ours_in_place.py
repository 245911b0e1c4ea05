"""What an answer is worth by itself that leans on a wrong one of an earlier exercise.

It is run as it stands first. Only where it loses points then, and reaches the function of an
earlier exercise whose own mark is not full, it is run once more with our answer to that exercise
in place. In that run it could read our answer. So only points are taken from it: what people are
shown (values, texts of exceptions, beliefs) was said in the run as it stands, or is left out. And
it is done in a sandbox only, from which nothing can be carried elsewhere.
"""

__all__ = ["better_of", "leant_on", "with_ours"]

import textwrap
from collections.abc import Sequence
from dataclasses import replace

from course_lib.exercises.cells.statements import statements_of
from course_lib.exercises.feedback import listed
from course_lib.exercises.registry import Exercise
from course_lib.exercises.verdict import Outcome, Verdict
from course_lib.runner.runner import StandAlone
from instructor.units.items import item as item_of
from instructor.units.items import source_of


def leant_on(answer: StandAlone, earlier: Sequence[Verdict]) -> tuple[Exercise, ...]:
    """Return the earlier exercises that an answer reaches and whose own marks are not full.

    A function of that name in the answer's own cell is part of the answer itself.
    """
    return tuple(
        one.exercise
        for one in earlier
        if one.points != one.exercise.points and one.exercise.function in answer.added
    )


def with_ours(cells: Sequence[str], lent: Sequence[Exercise]) -> tuple[str, ...]:
    """Return the cells with our functions in a new one on top, and without those of the student."""
    names = {one.function for one in lent}
    return ("\n\n".join(map(_ours, lent)), *(_without(names, cell) for cell in cells))


def better_of(own: Verdict, lent_to: Verdict, lent: Sequence[Exercise]) -> tuple[Verdict, str]:
    """Return the verdict that counts, with what to say of it; '' where ours changed nothing."""
    if (lent_to.points or 0.0) <= (own.points or 0.0):
        return own, ""
    full = lent_to.points == own.exercise.points
    counts = replace(
        own,
        outcome=Outcome.RIGHT if full else Outcome.PARTLY_RIGHT,
        points=lent_to.points,
        earned=lent_to.earned,
        right_cases=lent_to.right_cases,
        misconception="",
        either=(),
    )
    if full:
        counts = replace(counts, first_wrong=None, seen=None, problem=None, note="")
    ids = listed([one.id for one in lent])
    return counts, (
        f"marked with our {ids} in place of yours, on which it leans and which is not right yet; "
        "alone, as it stands, it would have earned "
        f"{own.points or 0:g} of {own.exercise.points:g}"
    )


def _ours(one: Exercise) -> str:
    """Write our answer as one function that makes it, so that its helpers take nobody's names."""
    inside = textwrap.indent(source_of(item_of(one.id).answer, one.function), "    ")
    maker = f"_ours_{one.function}"
    return f"def {maker}():\n{inside}\n    return {one.function}\n{one.function} = {maker}()\n"


def _without(names: set[str], cell: str) -> str:
    """Blank out the statements of a cell that bind one of these names."""
    lines = cell.split("\n")
    for one in statements_of(cell):
        if one.may_bind & names:
            for number in range(one.first_line - 1, one.last_line):
                lines[number] = ""
    return "\n".join(lines)

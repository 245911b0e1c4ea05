"""What an answer earns that is a copy of the course's library: the grader chooses.

* `look`: what its values are worth. This is the rule if nothing else is said.
* `no-points`: nothing, as for an answer that imports the library, and the student reads why.
  Points given by hand in the gradebook stay, as always.

Both list it for a person (`library_copies`). An import of the library that is plain to see
earns nothing under both: the workbook says so to the student already.
"""

__all__ = ["RULES", "Rule", "refused_copies", "rule_of", "with_refused"]

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Literal

from course_lib.exercises.verdict import Outcome, without_run
from instructor.grading.marked import MarkedAnswer, MarkedHandIn
from instructor.grading.similarity.library_copies import LibraryCopy
from instructor.release.course_folder import (
    CONFIG_FILE,
    CourseFolder,
    CourseFolderError,
    settings,
)

Rule = Literal["look", "no-points"]
RULES: tuple[Rule, ...] = ("look", "no-points")
SETTING = ("HopByHop", "library_copies")  # in the settings of the course folder


def rule_of(course: CourseFolder) -> Rule:
    """Return the rule that a course folder's settings name; raise `CourseFolderError`.

    The line there is `c.HopByHop.library_copies = "no-points"`.
    """
    section, name = SETTING
    chosen = settings(course)[section].get(name, RULES[0])
    for rule in RULES:
        if chosen == rule:
            return rule
    raise CourseFolderError(
        f"{course.path / CONFIG_FILE}: c.{section}.{name} = {chosen!r} is unknown; "
        f"it is {' or '.join(map(repr, RULES))}."
    )


def refused_copies(
    marked: MarkedHandIn, copies: Iterable[LibraryCopy], rule: Rule
) -> Mapping[str, tuple[str, ...]]:
    """Return which answers with points earn none under a rule, and what they are copies of."""
    if rule == "look":
        return {}
    earning = {one.verdict.exercise.id for one in marked.answers if one.verdict.points}
    refused: dict[str, tuple[str, ...]] = {}
    for copy in copies:
        if copy.exercise in earning:
            refused[copy.exercise] = (*refused.get(copy.exercise, ()), copy.name)
    return refused


def with_refused(marked: MarkedHandIn, refused: Mapping[str, tuple[str, ...]]) -> MarkedHandIn:
    """Return a hand-in of which the refused answers earn nothing, and say why."""
    return replace(
        marked,
        answers=tuple(
            _refused(one, refused[name]) if (name := one.verdict.exercise.id) in refused else one
            for one in marked.answers
        ),
    )


def _refused(answer: MarkedAnswer, names: Sequence[str]) -> MarkedAnswer:
    note = f"the answer is a copy of {', '.join(names)} in place of own work; if it is your own, "
    note += "say so: points can be given by hand"
    verdict = without_run(answer.verdict.exercise, Outcome.NO_ANSWER, note)
    return replace(answer, verdict=verdict, notes=(*answer.notes, note))

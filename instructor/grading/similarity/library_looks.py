"""What of the course's library was seen in each answer, and what follows from it.

Two things are listed for a person to look at: functions of the library that are in an answer
(`library_copies`), and means that can reach the library unseen (`ways_round`). Being alike
says nothing about why; a means may be used for something else. So by themselves neither
costs a point. Whoever grades chooses what a copy earns:

* `look`: what its values are worth. This is the rule if nothing else is said.
* `no-points`: nothing, as for an answer that imports the library, and the student reads why.
  Points given by hand in the gradebook stay, as always.

Means alone never take points, under either rule. An import of the library that is plain to
see earns nothing under both: the workbook says so to the student already.
"""

__all__ = [
    "RULES",
    "Look",
    "Rule",
    "looks_at",
    "refused_copies",
    "rule_of",
    "with_refused",
    "write_looks",
]

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Literal, NamedTuple

from course_lib.exercises.answer_source import stand_alone
from course_lib.exercises.verdict import Outcome, without_run
from instructor.grading.intake.hand_ins import HandIn
from instructor.grading.marked import MarkedAnswer, MarkedHandIn
from instructor.grading.similarity.library_copies import copies_in, modules_met
from instructor.grading.similarity.pairs import own_cells, prints_of
from instructor.grading.similarity.ways_round import may_reach_round, ways_round
from instructor.output.tables import write_table
from instructor.release.course_folder import CONFIG_FILE, CourseFolderError, settings

Rule = Literal["look", "no-points"]
RULES: tuple[Rule, ...] = ("look", "no-points")
SETTING = ("HopByHop", "library_copies")  # in the settings of the course folder
COLUMNS = ("unit", "student", "exercise", "seen", "name", "shared", "of", "share")


class Look(NamedTuple):
    """One thing to look at in one answer.

    `seen` says what: "like" for a function of the library, of which `shared` of `of` pieces
    are in the answer; "uses" for a means. `name` says which.
    """

    unit: str
    student: str
    exercise: str
    seen: Literal["like", "uses"]
    name: str
    shared: int = 0
    of: int = 0

    @property
    def share(self) -> float:
        """Return the share of the library's function that is in the answer; 0 for a means."""
        return self.shared / self.of if self.of else 0.0


def looks_at(hand_in: HandIn, marked: MarkedHandIn) -> tuple[Look, ...]:
    """Return what to look at in a hand-in's answers: mostly nothing, and then at little cost."""
    modules = modules_met(hand_in.unit, prints_of(hand_in))
    means = may_reach_round("\n".join(own_cells(hand_in)))
    return tuple(
        look
        for answer in (marked.answers if modules or means else ())
        if answer.source
        for look in _looks(hand_in, answer, modules)
    )


def rule_of(course: Path) -> Rule:
    """Return the rule that a course folder's settings name; raise `CourseFolderError`.

    The line there is `c.HopByHop.library_copies = "no-points"`.
    """
    section, name = SETTING
    chosen = settings(course)[section].get(name, RULES[0])
    for rule in RULES:
        if chosen == rule:
            return rule
    raise CourseFolderError(
        f"{course / CONFIG_FILE}: c.{section}.{name} = {chosen!r} is unknown; "
        f"it is {' or '.join(map(repr, RULES))}."
    )


def refused_copies(
    marked: MarkedHandIn, looks: Iterable[Look], rule: Rule
) -> Mapping[str, tuple[str, ...]]:
    """Return which answers with points earn none under a rule, and what they are copies of."""
    if rule == "look":
        return {}
    earning = {one.verdict.exercise.id for one in marked.answers if one.verdict.points}
    refused: dict[str, tuple[str, ...]] = {}
    for look in looks:
        if look.seen == "like" and look.exercise in earning:
            refused[look.exercise] = (*refused.get(look.exercise, ()), look.name)
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


def write_looks(path: Path, looks: Iterable[Look]) -> None:
    """Write the list as a table; the last three columns are empty for a means."""
    write_table(path, COLUMNS, (
        (one.unit, one.student, one.exercise, one.seen, one.name,
         *((str(one.shared), str(one.of), f"{one.share:.2f}") if one.of else ("", "", "")))
        for one in looks
    ))  # fmt: skip


def _looks(hand_in: HandIn, answer: MarkedAnswer, modules: Sequence[str]) -> Iterator[Look]:
    alone = stand_alone(answer.source, hand_in.notebook.code)
    source = f"{alone.before}\n{alone.source}"
    where = hand_in.unit, hand_in.student, answer.verdict.exercise.id
    for copy in copies_in(source, hand_in.unit, modules) if modules else ():
        yield Look(*where, "like", *copy)
    for name in ways_round(source):
        yield Look(*where, "uses", name)


def _refused(answer: MarkedAnswer, names: Sequence[str]) -> MarkedAnswer:
    note = f"the answer is a copy of {', '.join(names)} in place of own work; if it is your own, "
    note += "say so: points can be given by hand"
    verdict = without_run(answer.verdict.exercise, Outcome.NO_ANSWER, note)
    return replace(answer, verdict=verdict, notes=(*answer.notes, note))

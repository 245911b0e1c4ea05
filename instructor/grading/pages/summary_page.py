"""The page that a grader opens after a run: what is left for a person to do.

It names students by their ids alone and shows nothing of what they wrote but the names
of files, as text. It is for the staff: it speaks of several students at once.
"""

__all__ = ["Summary", "to_look_at", "write_summary"]

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from course_lib.exercises.whole_file import write_whole
from instructor.deadlines.rule_words import excuse_in_words, how_known, lateness_in_words
from instructor.grading.gradebook.totals import Total
from instructor.grading.marked import BatchResult, MarkedAnswer
from instructor.grading.pages.scores import Named
from instructor.grading.pages.waiting import Waiting, marking_page, waiting
from instructor.grading.pages.what_happened import what_happened
from instructor.grading.pages.whose_numbers import NumbersUsed
from instructor.grading.record.changes import points_text
from instructor.grading.record.record import PointsChange
from instructor.grading.similarity.library_copies import LibraryCopy
from instructor.grading.similarity.pairs import Alike
from instructor.output.pages import render_page

TEMPLATE = Path(__file__).parent / "templates" / "summary.html"
HOUR_S = 3600
UNUSUAL = ("its process", "it sent", "it asked", "it ended")  # a wrong value or an error is not


@dataclass(frozen=True, slots=True)
class Summary:
    """Everything that the page is made from."""

    result: BatchResult
    totals: tuple[Total, ...]
    changes: tuple[PointsChange, ...]
    alike: tuple[Alike, ...]
    copies: tuple[LibraryCopy, ...] = ()
    named: Named = field(default_factory=dict)
    numbers: tuple[NumbersUsed, ...] = ()  # those for a look
    missing: Mapping[str, tuple[str, ...]] = field(default_factory=dict)  # ids by unit
    rule: str = ""  # the rule for what is late, in words


def write_summary(path: Path, summary: Summary) -> None:
    """Write the page; one that is there is replaced."""
    waits = waiting(summary.result, summary.totals)
    page = render_page(
        TEMPLATE,
        marked=len(summary.result.marked),
        waits=waits,
        refused=[(one.student, one.shown, one.why) for one in waits.files],
        undecided=[
            (one.student, answer.verdict.exercise.id, _why(answer)) for one, answer in waits.answers
        ],
        by_hand=_by_unit(waits),
        places=[
            (unit, marking_page(unit))
            for unit in sorted(
                {one.unit for one, _ in waits.cells} | {one.unit for one, _ in waits.answers}
            )
        ],
        changes=[
            (one, points_text(one.old_points) or "open", points_text(one.new_points) or "open")
            for one in summary.changes
        ],
        late=[
            (one, one.late_s / HOUR_S, _how_known(one))
            for one in summary.totals
            if one.late_s or one.penalty
        ],
        rule=summary.rule,
        when=[
            (one.student, one.unit, lateness_in_words(one.counted))
            for one in waits.times
            if one.counted
        ],
        excused=[
            (one.student, one.unit, excuse_in_words(excuse))
            for one in summary.totals
            if one.counted
            for excuse in one.counted.excused
        ],
        missing=sorted(summary.missing.items()),
        alike=summary.alike,
        copies=summary.copies,
        numbers=[(one.student, one.unit, one.fact) for one in summary.numbers],
        to_look_at=list(to_look_at(summary)),
        answers_to_read=len({(one.student, one.exercise) for one in summary.copies}),
    )
    write_whole(path, page)


def _how_known(one: Total) -> str:
    return how_known(one.counted) if one.counted and one.counted.due else "by the gradebook"


def _by_unit(waits: Waiting) -> list[tuple[str, str, Sequence[str]]]:
    """Return each unit and cell that waits for points by hand, and the students concerned."""
    cells: dict[tuple[str, str], list[str]] = {}
    for total, cell in waits.cells:
        cells.setdefault((total.unit, cell), []).append(total.student)
    return [(unit, cell, sorted(those)) for (unit, cell), those in sorted(cells.items())]


def to_look_at(summary: Summary) -> Iterator[tuple[str, str, str]]:
    """Yield student, exercise and facts of each answer with an unusual process or code."""
    for hand_in in summary.result.marked:
        named = summary.named.get((hand_in.student, hand_in.unit), {})
        for answer in hand_in.answers:
            name = answer.verdict.exercise.id
            happened = what_happened(answer.verdict)
            ended = [happened] if happened.startswith(UNUSUAL) else []
            if facts := [*ended, *named.get(name, ())]:
                yield hand_in.student, name, "; ".join(facts)


def _why(answer: MarkedAnswer) -> str:
    return "; ".join(note for note in dict.fromkeys([answer.verdict.note, *answer.notes]) if note)

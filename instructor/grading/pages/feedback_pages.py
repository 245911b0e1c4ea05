"""Give each student one page: what was earned, what was seen, what to do next.

What is not right yet comes first and open, what is right last and folded.
A page is one file. It runs nothing, loads nothing, and speaks of one student's work
alone: no class, no rank, no praise, no blame. Whatever the student wrote stands on it
as text (see `output/pages.py`). The examples are cases of the workbook, because a verdict
never carries a secret one.
"""

__all__ = ["page_name", "write_feedback_page"]

import hashlib
import re
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

from course_lib.exercises.display import sign_of
from course_lib.exercises.feedback import Feedback, feedback
from course_lib.exercises.verdict import Outcome, Verdict
from course_lib.exercises.whole_file import write_whole
from instructor.grading.gradebook.standing import (
    Standing,
    answer_standing,
    hand_in_standing,
    text_standings,
    together,
)
from instructor.grading.gradebook.totals import Total
from instructor.grading.intake.hand_ins import NotGraded
from instructor.grading.marked import BatchResult, MarkedAnswer, MarkedHandIn
from instructor.grading.pages.by_rules import ruled
from instructor.grading.pages.waiting import waiting
from instructor.output.pages import count, number, render_page

TEMPLATE = Path(__file__).parent / "templates" / "feedback.html"
CODE_LINES, CODE_WIDTH = 400, 1000  # lines, characters; what is longer is cut and said so
NAME_LENGTH = 40  # characters of an id that a file's name keeps
PLAIN_ID = re.compile(r"[a-z0-9]+(?:[.-][a-z0-9]+)*")
RESERVED = re.compile(r"(?:con|prn|aux|nul|com\d|lpt\d)(?:\..*)?")  # device names on Windows
LINE_END = re.compile(r"\r\n|\r|\n")  # Python's own; other separators do not end a line of code
OUR_FAULT = "the fault was on the marking side, not in your file"


class Code(NamedTuple):
    """A student's code, cut to a sensible size: its lines, and how many are left out."""

    lines: tuple[str, ...]
    left_out: int


class AnswerOnPage(NamedTuple):
    """One answer as the page shows it; `parts` are aspects with a sign and points, as words.

    `to_earn` are the points that are not earned yet.
    """

    verdict: Verdict
    words: Feedback
    sign: str
    tone: str
    points: str
    to_earn: float
    parts: Sequence[tuple[str, str, str]]
    notes: Sequence[str]
    code: Code


def write_feedback_page(
    folder: Path,
    student: str,
    hand_ins: Sequence[MarkedHandIn],
    refused: Sequence[NotGraded],
    totals: Sequence[Total] = (),
    rule: str = "",
) -> Path:
    """Write the page of one student over all units into `folder`, and return its path.

    `hand_ins` and `refused` are those of this student, and `totals` what the gradebook says of
    them: its points are the ones that count, and what a person has marked there waits no longer.
    `rule` says in words what being late costs. A page that is there is replaced.
    """
    waits = waiting(BatchResult(tuple(hand_ins), ()), totals)
    in_book = {one.unit: one for one in totals if one.student == student}
    in_order = sorted(hand_ins, key=lambda one: one.unit)
    standings = [hand_in_standing(one, in_book.get(one.unit)) for one in in_order]
    units = [
        (one, _total(stands), [_answer(each, in_book.get(one.unit)) for each in one.answers])
        for one, stands in zip(in_order, standings, strict=True)
    ]
    texts = [
        (one.unit, stands)
        for one in in_order
        for stands in text_standings(one, in_book.get(one.unit)).values()
    ]
    answers = [answer for _, _, every in units for answer in every]
    page = render_page(
        TEMPLATE,
        student=student,
        total=_total(together(standings)),
        units=units,
        to_do=[
            (hand_in, left)
            for hand_in, _, every in units
            if (left := [one for one in every if not _is_right(one)])
        ],
        right=[one for one in answers if _is_right(one)],
        begin=next((one for one in answers if one.to_earn), None),
        texts=[(unit, one.of) for unit, one in texts if one.waits],
        in_words=[
            (unit, _points(one.points or 0.0, one.of), one.comment)
            for unit, one in texts
            if one.by_hand
        ],
        waiting=[answer.verdict.exercise for _, answer in waits.answers],
        refused=[(one.path.name, one.why) for one in refused],
        ruled=ruled(totals),
        rule=rule,
    )
    path = folder / page_name(student)
    write_whole(path, page)
    return path


def page_name(student: str) -> str:
    """Return the name of a student's page: stable, safe, and never that of another student.

    A plain id (small letters, digits, single dots and dashes) is kept. Any other gets
    an underscore, which no plain id has, and a digest of the whole id.

    >>> page_name("alder"), page_name("../Alder")
    ('alder.html', 'alder_278d47db159d6215.html')
    """
    is_plain = len(student) <= NAME_LENGTH and PLAIN_ID.fullmatch(student)
    if is_plain and not RESERVED.fullmatch(student):
        return f"{student}.html"
    digest = hashlib.sha256(student.encode("utf-8", "surrogatepass")).hexdigest()[:16]
    words = re.sub(r"[^a-z0-9]+", "-", student.lower()).strip("-")[:NAME_LENGTH]
    return f"{words or 'student'}_{digest}.html"


def _total(standing: Standing) -> str:
    points = _points(standing.points or 0.0, standing.of)
    return points + " so far" if standing.waits else points


def _answer(answer: MarkedAnswer, total: Total | None) -> AnswerOnPage:
    verdict = _for_student(answer)
    stands = answer_standing(answer, total)
    words = feedback(verdict)
    sign = sign_of(verdict.outcome)
    return AnswerOnPage(
        verdict, words, sign.character, sign.look,
        points=_decided(stands),
        to_earn=0.0 if stands.points is None else max(0.0, stands.of - stands.points),
        parts=() if answer.needs_person else [_part(*part) for part in words.aspects],
        notes=[*_notes(answer, verdict, words), *filter(None, [stands.comment])],
        code=_code(answer.source),
    )  # fmt: skip


def _decided(stands: Standing) -> str:
    if stands.points is None:
        return "not decided yet"
    points = _points(stands.points, stands.of)
    return f"{points}, given by a person" if stands.by_hand else points


def _is_right(answer: AnswerOnPage) -> bool:
    return answer.verdict.outcome is Outcome.RIGHT


def _for_student(answer: MarkedAnswer) -> Verdict:
    """Keep what went wrong on the marking machine, with its paths, off a student's page."""
    verdict = answer.verdict
    if verdict.outcome is Outcome.COULD_NOT_TELL and verdict.note not in answer.notes:
        return replace(verdict, note=OUR_FAULT)
    return verdict


def _notes(answer: MarkedAnswer, verdict: Verdict, words: Feedback) -> list[str]:
    """Return each note once, and none that the second line has said already."""
    notes = dict.fromkeys([verdict.note, *answer.notes, words.note])
    said = words.seen.casefold()  # a sentence there, and so begun with a capital
    return [note for note in notes if note and note.rstrip(".").casefold() not in said]


def _part(name: str, got: float, of: float) -> tuple[str, str, str]:
    sign = "✓" if got == of else "◐" if got > 0 else "○"
    return sign, name, _points(got, of)


def _points(got: float, of: float) -> str:
    return f"{number(got)} of {count(of, 'point')}" if of else "no points to earn"


def _code(source: str) -> Code:
    lines = LINE_END.split(source.strip("\r\n")) if source.strip() else []
    return Code(tuple(_line(line) for line in lines[:CODE_LINES]), max(0, len(lines) - CODE_LINES))


def _line(line: str) -> str:
    if len(line) <= CODE_WIDTH:
        return line
    return f"{line[:CODE_WIDTH]} … {len(line) - CODE_WIDTH} more characters"

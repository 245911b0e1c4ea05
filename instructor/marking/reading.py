"""One marker at work: what there is to read, in which order, and what is written down.

The same words written by several are read once. Ids are known here and shown nowhere.
"""

__all__ = ["Entry", "Reading", "Row"]

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import NamedTuple

from instructor.marking.agreement import Agreement, agreement
from instructor.marking.likeness import groups
from instructor.marking.marks import SETTLED, Mark, MarkStore, counting
from instructor.marking.written_answers import (
    Question,
    WrittenAnswer,
    questions_of,
    written_answers,
)
from instructor.release.course_folder import CourseFolder
from instructor.release.gradebook_tools import one_transaction, open_gradebook


@dataclass(frozen=True, slots=True)
class Entry:
    """One text to read, everybody's who wrote just that, and the group of texts like it."""

    question: Question
    answers: tuple[WrittenAnswer, ...]
    group: int
    groups: int
    alike: int

    @property
    def text(self) -> str:
        """Return the text, without the ids of those who wrote it."""
        return self.answers[0].shown


class Row(NamedTuple):
    """How far one question is: texts, those read by this marker, and what two do not agree on."""

    question: Question
    texts: int
    read: int
    differ: tuple[int, ...]
    first_open: int
    agree: tuple[tuple[str, str, Agreement], ...]


class Reading:
    """What one marker reads of a class; `marker` is the name under which it is put down.

    Answers that somebody has marked in the gradebook's own pages are left out.
    """

    def __init__(self, course: CourseFolder, url: str, marker: str, store: MarkStore) -> None:
        self.marker = marker
        self._url = url
        self._store = store
        answers = [one for one in written_answers(course, url) if one.waits or store.on(one)]
        self.entries = {
            (one.unit, one.cell): tuple(_entries(one, answers)) for one in questions_of(course)
        }

    def rows(self) -> list[Row]:
        """Return how far each question is that somebody answered."""
        return [self._row(every) for every in self.entries.values() if every]

    def marks(self, entry: Entry) -> tuple[Mark, ...]:
        """Return the marks that a text has."""
        return self._store.on(entry.answers[0])

    def own(self, entry: Entry) -> Mark | None:
        """Return what this marker gave."""
        return next((one for one in self.marks(entry) if one.marker == self.marker), None)

    def others(self, entry: Entry) -> tuple[Mark, ...]:
        """Return what others gave; nothing before this marker has given points as well."""
        marks = self.marks(entry)
        hidden = self.own(entry) is None
        return () if hidden else tuple(one for one in marks if one.marker != self.marker)

    def give(self, entry: Entry, points: float, comment: str, *, settle: bool = False) -> None:
        """Note points for a text, and enter what counts into the gradebook."""
        who = SETTLED if settle else self.marker
        self._store.give(who, entry.answers, points, comment)
        with open_gradebook(self._url) as opened, one_transaction(opened) as book:
            for answer in entry.answers:
                counts = counting(self._store.on(answer))
                assert counts is not None, "a mark was just put down"
                where = answer.unit, answer.unit, answer.student
                grade = book.find_grade(answer.cell, *where)
                grade.manual_score, grade.needs_manual_grade = counts.points, counts.differ
                book.find_comment(answer.cell, *where).manual_comment = counts.comment or None

    def differs(self, entry: Entry) -> bool:
        """Tell whether two markers gave this text different points, and nobody has settled it."""
        counts = counting(self.marks(entry))
        return counts is not None and counts.differ

    def _row(self, entries: Sequence[Entry]) -> Row:
        unread = [place for place, one in enumerate(entries, 1) if self.own(one) is None]
        differ = [
            place
            for place, one in enumerate(entries, 1)
            if self.own(one) is not None and self.differs(one)
        ]
        return Row(
            entries[0].question, len(entries), len(entries) - len(unread), tuple(differ),
            unread[0] if unread else 1, tuple(self._agreements(entries)),
        )  # fmt: skip

    def _agreements(self, entries: Sequence[Entry]) -> Iterator[tuple[str, str, Agreement]]:
        given = [
            {one.marker: one.points for one in self._store.on(answer) if one.marker != SETTLED}
            for entry in entries
            for answer in entry.answers
        ]
        for one, other in combinations(sorted({name for every in given for name in every}), 2):
            both = [(each[one], each[other]) for each in given if one in each and other in each]
            if (found := agreement(both)) is not None:
                yield one, other, found


def _entries(question: Question, answers: Sequence[WrittenAnswer]) -> Iterator[Entry]:
    by_text: dict[str, list[WrittenAnswer]] = {}
    for one in answers:
        if (one.unit, one.cell) == (question.unit, question.cell):
            by_text.setdefault(one.text, []).append(one)
    texts = list(by_text)
    found = groups(texts)
    for place, group in enumerate(found, 1):
        for member in group:
            same = tuple(by_text[texts[member]])
            yield Entry(question, same, place, len(found), len(group))

"""One run over a class, which can be stopped at any moment and taken up again.

For each hand-in, in this order: its answers go on record, it goes into the gradebook,
and that is put on record too. Each step is whole or not at all, and does nothing if
it was done before. So wherever a run ended, the next one goes on from there, and what
comes out is what an undisturbed run would have given.
"""

__all__ = ["ResumableRun"]

import functools
from collections.abc import Collection, Mapping, Sequence
from typing import Protocol

from instructor.class_run.attempts import Attempt, BestAttempts
from instructor.grading.examiner import Cases
from instructor.grading.intake.hand_ins import HandIn
from instructor.grading.marked import BatchResult, MarkedAnswer, MarkedHandIn
from instructor.grading.record.class_cases import class_cases
from instructor.grading.record.identity import Identity, identities, unit_identities
from instructor.grading.record.kept_library import kept_ground, kept_library
from instructor.grading.record.looked_at import looked_from_text, looked_text, rests_on_text
from instructor.grading.record.record import Entered, GradingRecord
from instructor.grading.similarity.code_prints import CodePrints
from instructor.grading.similarity.copies_rule import Rule, refused_copies, with_refused
from instructor.grading.similarity.library_copies import library_copies
from instructor.grading.similarity.library_prints import Library
from instructor.release.gradebook_tools import shown_url


class Book(Protocol):
    """A gradebook, as far as a run needs one."""

    @property
    def url(self) -> str:
        """Return its address."""

    def write(self, hand_in: HandIn, marked: MarkedHandIn, before: Entered) -> Entered:
        """Write one hand-in, if it is not there; return what is there then."""


class ResumableRun:
    """What a run needs to know before, and keep after, each hand-in.

    The answers of the students in `again` are run again whatever the record says. `rule`
    says what copies of the library earn. `name` is what the record calls the gradebook.
    """

    def __init__(
        self, record: GradingRecord, book: Book, seed: str, hand_ins: Sequence[HandIn],
        again: Collection[str] = (), rule: Rule = "look", name: str = "",
    ) -> None:  # fmt: skip
        self._record = record
        self._book = book
        self._name = name or shown_url(book.url)
        self._seed = seed
        self._again = frozenset(again)
        self._rule = rule
        self._attempts = BestAttempts(hand_ins)
        self._cases: dict[str, Cases] = {}
        self._whole: set[str] = set()  # paths of hand-ins of which everything is on record
        self._grounds: dict[str, frozenset[int]] = {}
        self._of_unit: dict[str, Mapping[str, Identity]] = {}
        self._begun: dict[str, tuple[Mapping[str, Identity], Mapping[str, MarkedAnswer]]] = {}
        self._counting: dict[tuple[str, str], Attempt] = {}

    def cases(self, unit: str) -> Cases:
        """Return the cases of a unit, worked out only if they are not on record."""
        if unit not in self._cases:
            self._cases[unit] = class_cases(unit, self._seed, self._record)
        return self._cases[unit]

    def known(self, hand_in: HandIn) -> Mapping[str, MarkedAnswer]:
        """Return the answers of a hand-in that need not be run again."""
        rests_on = self._identities(hand_in)
        known: Mapping[str, MarkedAnswer] = {}
        if hand_in.student not in self._again:
            known = self._record.known(hand_in.student, hand_in.unit, rests_on)
        self._begun[str(hand_in.path)] = rests_on, known
        return known

    def found_before(self, hand_in: HandIn) -> tuple[MarkedHandIn, CodePrints] | None:
        """Return the result of a hand-in of which nothing has to be run or read again."""
        known = self.known(hand_in)
        rests_on, _ = self._begun[str(hand_in.path)]
        if known.keys() != rests_on.keys():
            return None
        key = rests_on_text(hand_in, rests_on)
        if text := self._record.looked(hand_in.student, hand_in.unit, key):
            self._whole.add(str(hand_in.path))
            return looked_from_text(hand_in, [known[name] for name in rests_on], text)
        return None

    def keep(self, hand_in: HandIn, marked: MarkedHandIn, prints: CodePrints) -> None:
        """Put a marked hand-in on record; if it is the one that counts, into the gradebook."""
        rests_on, known = self._begun.pop(str(hand_in.path))
        if str(hand_in.path) not in self._whole:
            self._record.keep_answers(marked, rests_on, known)
            self._record.keep_looked(
                hand_in.student, hand_in.unit, rests_on_text(hand_in, rests_on),
                looked_text(marked, prints),
            )  # fmt: skip
        counting = self._attempts.add(self._by_the_rule(hand_in, marked, rests_on, prints))
        if counting is not None:
            self._enter(counting)

    def finish(self, result: BatchResult) -> BatchResult:
        """Return the result of the class with one hand-in for each student and unit."""
        for attempt in self._attempts.left():
            self._enter(attempt)
        return BatchResult(tuple(one.marked for one in self.counting()), result.not_graded)

    def counting(self) -> tuple[Attempt, ...]:
        """Return the hand-ins that count, by unit and student."""
        return tuple(self._counting[key] for key in sorted(self._counting))

    def _by_the_rule(
        self, hand_in: HandIn, marked: MarkedHandIn, rests_on: Mapping[str, Identity],
        prints: CodePrints,
    ) -> Attempt:  # fmt: skip
        """Return what a hand-in earns by the rule for copies; the record keeps it without."""
        copies = library_copies(hand_in, prints, self._library, self._ground(hand_in.unit))
        refused = refused_copies(marked, copies, self._rule)
        by_rule = {name: rests_on[name]._replace(copies=self._rule) for name in refused}
        return Attempt(
            hand_in, with_refused(marked, refused), {**rests_on, **by_rule}, copies, prints.own,
            prints.named,
        )  # fmt: skip

    @functools.cached_property
    def _library(self) -> Library:
        return kept_library(self._record)

    def _ground(self, unit: str) -> frozenset[int]:
        if unit not in self._grounds:
            self._grounds[unit] = kept_ground(unit, self._record)
        return self._grounds[unit]

    def _enter(self, attempt: Attempt) -> None:
        hand_in, marked, rests_on, *_ = attempt
        before = self._record.entered(self._name, marked.student, marked.unit)
        entered = self._book.write(hand_in, marked, before)
        self._record.note_entered(self._name, marked, rests_on, entered)
        self._counting[marked.unit, marked.student] = attempt

    def _identities(self, hand_in: HandIn) -> Mapping[str, Identity]:
        unit = hand_in.unit
        if unit not in self._of_unit:
            self._of_unit[unit] = unit_identities(unit, self.cases(unit), self._seed)
        return identities(hand_in, self._of_unit[unit])

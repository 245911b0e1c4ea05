"""One run over a class, which can be stopped at any moment and taken up again.

For each hand-in, in this order: its answers go on record, it goes into the gradebook,
and that is put on record too. Each step is whole or not at all, and does nothing if
it was done before. So wherever a run ended, the next one goes on from there, and what
comes out is what an undisturbed run would have given.
"""

__all__ = ["ResumableRun"]

from collections.abc import Collection, Mapping, Sequence

from instructor.class_run.attempts import Attempt, BestAttempts
from instructor.grading.examiner import Cases
from instructor.grading.gradebook.writer import GradebookWriter
from instructor.grading.intake.hand_ins import HandIn
from instructor.grading.marked import BatchResult, MarkedAnswer, MarkedHandIn
from instructor.grading.record.class_cases import class_cases
from instructor.grading.record.identity import Identity, identities
from instructor.grading.record.record import GradingRecord
from instructor.grading.similarity.copies_rule import Rule, refused_copies, with_refused
from instructor.grading.similarity.library_copies import LibraryCopy, library_copies
from instructor.release.gradebook_tools import shown_url


class ResumableRun:
    """What a run needs to know before, and keep after, each hand-in.

    The answers of the students in `again` are run again whatever the record says. `rule`
    says what copies of the library earn.
    """

    def __init__(
        self, record: GradingRecord, book: GradebookWriter, seed: str, hand_ins: Sequence[HandIn],
        again: Collection[str] = (), rule: Rule = "look",
    ) -> None:  # fmt: skip
        self._record = record
        self._book = book
        self._name = shown_url(book.url)
        self._seed = seed
        self._again = frozenset(again)
        self._rule = rule
        self._attempts = BestAttempts(hand_ins)
        self._cases: dict[str, Cases] = {}
        self._rests_on: dict[str, Mapping[str, Identity]] = {}
        self._known: dict[str, Mapping[str, MarkedAnswer]] = {}
        self._counting: dict[tuple[str, str], Attempt] = {}
        self._copies: dict[str, tuple[LibraryCopy, ...]] = {}
        self._refused: dict[str, Collection[str]] = {}
        self.kept = 0

    def cases(self, unit: str) -> Cases:
        """Return the cases of a unit, worked out only if they are not on record."""
        if unit not in self._cases:
            self._cases[unit] = class_cases(unit, self._seed, self._record)
        return self._cases[unit]

    def known(self, hand_in: HandIn) -> Mapping[str, MarkedAnswer]:
        """Return the answers of a hand-in that need not be run again."""
        known: Mapping[str, MarkedAnswer] = {}
        if hand_in.student not in self._again:
            known = self._record.known(hand_in.student, hand_in.unit, self._identities(hand_in))
        self._known[str(hand_in.path)] = known
        return known

    def keep(self, hand_in: HandIn, marked: MarkedHandIn) -> None:
        """Put a marked hand-in on record; if it is the one that counts, into the gradebook."""
        known = self._known.get(str(hand_in.path), {})
        self._record.keep_answers(marked, self._identities(hand_in), known)
        counting = self._attempts.add(hand_in, self._by_the_rule(hand_in, marked))
        if counting is not None:
            self._enter(counting)
        self.kept += 1

    def finish(self, result: BatchResult) -> BatchResult:
        """Return the result of the class with one hand-in for each student and unit."""
        for attempt in self._attempts.left():
            self._enter(attempt)
        marked = tuple(self._counting[key].marked for key in sorted(self._counting))
        return BatchResult(marked, result.not_graded)

    def counting(self) -> tuple[HandIn, ...]:
        """Return the hand-ins that count, by unit and student."""
        return tuple(self._counting[key].hand_in for key in sorted(self._counting))

    def library_copies(self) -> tuple[LibraryCopy, ...]:
        """Return what of the library is in the hand-ins that count."""
        return tuple(copy for one in self.counting() for copy in self._copies[str(one.path)])

    def _by_the_rule(self, hand_in: HandIn, marked: MarkedHandIn) -> MarkedHandIn:
        """Return what a hand-in earns by the rule for copies; the record keeps it without."""
        name = str(hand_in.path)
        self._copies[name] = library_copies(hand_in, marked)
        self._refused[name] = refused = refused_copies(marked, self._copies[name], self._rule)
        return with_refused(marked, refused)

    def _enter(self, attempt: Attempt) -> None:
        hand_in, marked = attempt
        before = self._record.entered(self._name, marked.student, marked.unit)
        entered = self._book.write(hand_in, marked, before)
        refused = self._refused[str(hand_in.path)]
        rests_on = {
            name: one._replace(copies=self._rule) if name in refused else one
            for name, one in self._identities(hand_in).items()
        }
        self._record.note_entered(self._name, marked, rests_on, entered)
        self._counting[marked.unit, marked.student] = attempt

    def _identities(self, hand_in: HandIn) -> Mapping[str, Identity]:
        name = str(hand_in.path)
        if name not in self._rests_on:
            self._rests_on[name] = identities(hand_in, self.cases(hand_in.unit), self._seed)
        return self._rests_on[name]

"""What a class knew before and after the course, question by question and belief by belief."""

__all__ = ["BeliefChange", "ConceptResults", "QuestionResult", "concept_results"]

from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from instructor.questions.collected_sheets import Choices
from instructor.questions.concept_bank import FORMS, Question, questions
from instructor.questions.gain import Gain, class_gain
from instructor.reporting.class_report import SMALLEST_GROUP
from instructor.reporting.intervals import Estimate, wilson
from instructor.statistics.reliability import Reliability, reliability


@dataclass(frozen=True, slots=True)
class QuestionResult:
    """One question: the share of right answers in both forms; None if too few did the test."""

    question: Question
    before: Estimate | None
    after: Estimate | None


@dataclass(frozen=True, slots=True)
class BeliefChange:
    """How many chose what a belief gives, before and after, and their shares of all."""

    exercise: str
    name: str
    students: tuple[int, int]
    before: Estimate | None
    after: Estimate | None


@dataclass(frozen=True, slots=True)
class ConceptResults:
    """All of it. `gain` is of those who did both; `alphas` are of both forms.

    Beliefs come with those first that most still hold; questions in their order.
    """

    students: tuple[int, int]
    both: int
    gain: Gain | None
    questions: tuple[QuestionResult, ...]
    beliefs: tuple[BeliefChange, ...]
    alphas: tuple[Reliability | None, Reliability | None]


def concept_results(before: Mapping[str, Choices], after: Mapping[str, Choices]) -> ConceptResults:
    """Compare both tests; an answer that was left open is not right, and shows no belief."""
    tests = (before, after)
    asked = tuple(map(questions, FORMS))
    both = sorted(before.keys() & after.keys())
    shares = [[_share_right(asked[place], tests[place][one]) for one in both] for place in (0, 1)]
    pairs = list(zip(*asked, strict=True))
    return ConceptResults(
        students=(len(before), len(after)),
        both=len(both),
        gain=class_gain(*shares),
        questions=tuple(
            QuestionResult(pair[0], *(_right(one, test) for one, test in
                                      zip(pair, tests, strict=True)))
            for pair in pairs
        ),
        beliefs=_beliefs(pairs, tests),
        alphas=(_alpha(asked[0], before), _alpha(asked[1], after)),
    )  # fmt: skip


def _beliefs(
    pairs: Sequence[tuple[Question, Question]], tests: Sequence[Mapping[str, Choices]]
) -> tuple[BeliefChange, ...]:
    found = []
    for pair in pairs:
        counts = [_chosen(one, test) for one, test in zip(pair, tests, strict=True)]
        for choice in pair[0].choices:
            if not choice.belief:
                continue
            students = (counts[0][choice.belief], counts[1][choice.belief])
            shares = [_share(many, test) for many, test in zip(students, tests, strict=True)]
            if any(students) and any(shares):
                found.append(BeliefChange(pair[0].exercise, choice.belief, students, *shares))
    return tuple(sorted(found, key=lambda one: (-one.students[1], -one.students[0])))


def _chosen(question: Question, test: Mapping[str, Choices]) -> Counter[str]:
    chosen = (question.by_letter.get(one[question.id]) for one in test.values())
    return Counter(one.belief for one in chosen if one is not None)


def _right(question: Question, test: Mapping[str, Choices]) -> Estimate | None:
    return _share(sum(one[question.id] == question.right for one in test.values()), test)


def _share(many: int, test: Collection[str]) -> Estimate | None:
    return wilson(many, len(test)) if len(test) >= SMALLEST_GROUP else None


def _share_right(asked: Sequence[Question], choices: Choices) -> float:
    return sum(choices[one.id] == one.right for one in asked) / len(asked)


def _alpha(asked: Sequence[Question], test: Mapping[str, Choices]) -> Reliability | None:
    rows = [[float(one[question.id] == question.right) for question in asked]
            for one in test.values()]  # fmt: skip
    return reliability(np.array(rows, float).reshape(len(rows), len(asked)))

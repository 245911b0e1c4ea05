"""The concept test: every choice worked out by the course's code, and no wording gives it away."""

import re
from collections import Counter

import pytest

from classes.computed_questions import COMPUTED, answered
from course_lib.exercises.feedback import misconception_title
from instructor.questions.concept_bank import FORMS, questions

PAIRS = list(zip(*map(questions, FORMS), strict=True))
NUMBER = re.compile(r"[\d,]+(?: ms)?")


@pytest.mark.parametrize("pair", PAIRS, ids=lambda pair: pair[0].id)
def test_right_and_wrong_choices_are_what_the_course_s_own_code_gives(pair):
    for form, question in enumerate(pair):
        assert question.id == pair[0].id
        computed = COMPUTED[question.id]
        for choice in question.choices:
            got = answered(question.exercise, computed, form, choice.belief)
            assert got == choice.text, (question.id, choice.belief)
            if choice.belief:
                assert misconception_title(question.exercise, choice.belief)


def test_there_are_two_parallel_forms_of_24_questions_and_no_question_is_left_unchecked():
    assert len(PAIRS) == len(COMPUTED) >= 24
    units = {one.exercise.partition(".")[0] for one, _ in PAIRS}
    assert len(units) >= 10
    for one, other in PAIRS:
        assert one.asks != other.asks
        # The same sentence, with other names and numbers.
        assert len(one.asks.split()) == len(other.asks.split())
        beliefs = [{choice.belief for choice in form.choices} for form in (one, other)]
        assert beliefs[0] == beliefs[1]
        assert len(beliefs[0]) == 4


@pytest.mark.parametrize("form", FORMS)
def test_right_choices_stand_in_all_places_alike(form):
    letters = "".join(one.right for one in questions(form))
    assert set(Counter(letters).values()) == {len(letters) // 4}
    assert not re.search(r"(.)\1\1", letters)


def test_both_forms_have_other_places():
    """Whoever remembers letters has no advantage: as many agree as chance would have."""
    agree = sum(one.right == other.right for one, other in PAIRS)
    assert agree <= len(PAIRS) / 2


@pytest.mark.parametrize("form", FORMS)
def test_nothing_gives_the_right_choice_away(form):
    asked = questions(form)
    longest = shortest = 0
    ranks = Counter()
    for one in asked:
        texts = [choice.text for choice in one.choices]
        right = one.by_letter[one.right].text
        others = [text for text in texts if text != right]
        assert len(set(texts)) == 4
        longest += len(right) > max(map(len, others))
        shortest += len(right) < min(map(len, others))
        assert not [text for text in texts
                    if re.search(r"\b(always|never|none|only|above|probably)\b", text)]  # fmt: skip
        asked_for = re.split(r"(?<=[.:]) ", one.asks)[-1]
        assert asked_for.endswith("?")
        assert not re.search(r"\b(not|no|except)\b", asked_for)  # nobody has to pick what is wrong
        if all(NUMBER.fullmatch(text) for text in texts):
            values = sorted(int(text.replace(",", "").removesuffix(" ms")) for text in texts)
            ranks[values.index(int(right.replace(",", "").removesuffix(" ms")))] += 1
    assert longest <= len(asked) / 4
    assert shortest <= len(asked) / 4
    assert max(ranks.values()) <= sum(ranks.values()) * 2 / 3  # nor by being in the middle

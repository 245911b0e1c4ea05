"""Beliefs of several exercises behind which one idea stands: declared soundly, counted once."""

import tomllib

import pytest

from course_lib.exercises.feedback import table
from course_lib.exercises.verdict import Outcome
from instructor.reporting import shared_ideas
from instructor.reporting.class_report import class_report
from instructor.reporting.intervals import wilson
from instructor.reporting.shared_ideas import DECLARED, ideas

DECLARATIONS = tomllib.loads(DECLARED.read_text(encoding="utf-8"))["idea"]
BELIEFS = [belief for one in DECLARATIONS for belief in one["beliefs"]]


def test_every_declared_belief_is_one_of_the_course():
    known = {
        f"{exercise} {name}"
        for exercise, rows in table()["exercise"].items()
        for name in rows["misconceptions"]
    }
    assert set(BELIEFS) - known == set()


def test_no_belief_stands_in_two_ideas():
    assert len(BELIEFS) == len(set(BELIEFS))


@pytest.mark.parametrize("one", DECLARATIONS, ids=lambda one: one["title"][:40])
def test_an_idea_reaches_over_two_exercises_at_least_and_reads_on_in_a_sentence(one):
    assert len({belief.split()[0] for belief in one["beliefs"]}) >= 2
    assert one["title"][:1].islower()
    assert not one["title"].endswith(".")


@pytest.fixture
def related(monkeypatch):
    """Declare that two beliefs of different exercises rest on one idea."""
    declared = {("1.3", "offset-in-octets"): "units", ("2.1", "folds-once"): "units"}
    monkeypatch.setattr(shared_ideas, "declared", lambda: declared)


def hand_ins(made, held):
    """Make a hand-in for each exercise and student; `held` says who shows which belief."""
    items = {"1.3": made.FRAGMENT, "2.1": made.FOLD}
    for (exercise, student), name in held.items():
        outcome = Outcome.WRONG if name else Outcome.RIGHT
        yield made.hand_in(student, made.answer(items[exercise], outcome, (), name))


@pytest.mark.usefixtures("own_wording", "related")
@pytest.mark.parametrize(
    ("fragments", "folds", "title", "who", "tried"),
    [
        ("abc", "", "", "abc", 8),
        ("abc", "cde", "units", "abcde", 10),
        ("abc", "abc", "units", "abc", 10),
    ],
    ids=["one belief alone", "two beliefs", "the same students twice"],
)
def test_students_behind_an_idea_are_counted_once(made, fragments, folds, title, who, tried):
    """Eight tried 1.3, eight tried 2.1, ten one of them."""
    held = {("1.3", one): "offset-in-octets" if one in fragments else "" for one in "abcdefgh"}
    held |= {("2.1", one): "folds-once" if one in folds else "" for one in "cdefghij"}
    held |= {("2.1", one): "folds-once" for one in folds}
    report = class_report(made.batch(list(hand_ins(made, held))))
    (first,) = ideas(report)
    assert (first.title, "".join(first.who), first.tried) == (title, who, tried)
    assert first.share == wilson(len(who), tried)


@pytest.mark.usefixtures("own_wording")
def test_what_more_students_share_comes_first(made):
    held = {("1.3", one): "flags-in-low-bits" if one in "ab" else "" for one in "abcdefgh"}
    held |= {("2.1", one): "folds-once" if one in "cde" else "" for one in "abcdefgh"}
    ranked = ideas(class_report(made.batch(list(hand_ins(made, held)))))
    assert [one.beliefs[0].name for one in ranked] == ["folds-once", "flags-in-low-bits"]


@pytest.mark.usefixtures("own_wording", "related")
def test_a_small_group_has_no_share(made):
    held = {("1.3", one): "offset-in-octets" for one in "abc"}
    (one,) = ideas(class_report(made.batch(list(hand_ins(made, held)))))
    assert (one.share, one.who) == (None, ())

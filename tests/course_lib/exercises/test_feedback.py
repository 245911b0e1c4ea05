"""What students read: three short lines, from one table, about the task alone."""

import re
from dataclasses import replace

import pytest

from course_lib.exercises.feedback import difference, feedback, hints, table
from course_lib.exercises.registry import Case, Expected, all_exercises, public_cases
from course_lib.exercises.verdict import Outcome, Verdict, judge, without_run
from course_lib.runner.runner import Problem, Result, Run

EXERCISES = [pytest.param(item, id=item.id) for item in all_exercises()]
BLAME_OR_PRAISE = re.compile(
    r"\b(great|well done|good job|excellent|bad|stupid|careless|failed|fail|wrong again|"
    r"you should have|obviously|simply|easy|other students|most students)\b",
    re.IGNORECASE,
)


def results_of(item, name):
    """Return the run that a misconception would give on the public cases."""
    given = [case.variants[name] for case in public_cases(item.id)]
    return Run(
        tuple(
            Result("out of time", note="no result within 2 s") if one.out_of_time
            else Result("raised", problem=Problem((one.raises,), "text", 2)) if one.raises
            else Result("value", one.value)
            for one in given
        ),
        None, "", 0,
    )  # fmt: skip


@pytest.mark.parametrize("item", EXERCISES)
def test_every_belief_gives_three_short_lines(item):
    for name in table()["exercise"][item.id]["misconceptions"]:
        verdict = judge(item, public_cases(item.id), results_of(item, name))
        words = feedback(verdict)
        assert verdict.misconception == name
        assert words.asked
        assert item.function in words.seen
        assert table()["exercise"][item.id]["misconceptions"][name]["next"] in words.next


@pytest.mark.parametrize("item", EXERCISES)
def test_the_table_and_the_cases_know_the_same_beliefs(item):
    in_table = set(table()["exercise"][item.id]["misconceptions"])
    assert in_table == set(public_cases(item.id)[0].variants)


@pytest.mark.parametrize("item", EXERCISES)
def test_wording_is_short_and_about_the_task(item):
    words = table()["exercise"][item.id]
    lines = [words["asked"], words["next"], *words["hints"]]
    for entry in words["misconceptions"].values():
        assert not entry["belief"].endswith(".")
        assert len((entry["belief"] + entry["next"]).split()) <= 45, entry
        lines += [entry["belief"], entry["next"]]
    assert len(words["asked"].split()) <= 25
    for line in lines:
        assert not BLAME_OR_PRAISE.search(line), line
        assert "!" not in line.replace("!=", "")


@pytest.mark.parametrize("item", EXERCISES)
def test_there_are_hints_in_steps(item):
    assert len(hints(item.id)) >= 3


@pytest.mark.parametrize("outcome", list(Outcome))
def test_every_outcome_has_words(outcome):
    item = all_exercises()[0]
    words = feedback(without_run(item, outcome, note="the reason"))
    assert words.seen
    assert words.next
    assert "{" not in words.seen + words.next


def test_an_answer_nobody_could_mark_shows_no_points():
    verdict = without_run(all_exercises()[0], Outcome.COULD_NOT_TELL, "why", points=None)
    assert "not marked" in feedback(verdict).heading


SHAPE = all_exercises()[0]
LONG = list(range(100, 200))


def shown_for(case, got, **changes):
    item = replace(SHAPE, **changes)
    verdict = Verdict(item, Outcome.WRONG, 0.0, first_wrong=case, seen=got, problem=got.problem)
    return feedback(verdict)


def case_of(*arguments, value=None, raises=""):
    return Case("a", arguments, Expected(value, raises), "", {})


def problem(kind, *, on_purpose):
    return Result("raised", problem=Problem((kind, "Exception"), "too short", 4, on_purpose))


@pytest.mark.parametrize(
    ("case", "got", "words"),
    [
        pytest.param(case_of(1, value=(1, 2)), Result("value", [1, 2]),
                     "f(1) returned [1, 2]; expected (1, 2).", id="list-for-tuple"),
        pytest.param(case_of(1, value=LONG), Result("value", [*LONG[:70], 7, *LONG[71:]]),
                     "At [70] stands 7; expected 170.", id="late-in-a-long-list"),
        pytest.param(case_of(1, value=LONG), Result("value", LONG[:-1]),
                     "It ends too early: at [99], 199 was expected.", id="too-short"),
        pytest.param(case_of(1, value=LONG), Result("value", [*LONG, 5]),
                     "It goes on too far: at [100] stands 5.", id="too-long"),
        pytest.param(case_of(1, value=bytes(90)), Result("value", bytes(80) + b"E" + bytes(9)),
                     "At [80] stands 69; expected 0.", id="octets"),
        pytest.param(case_of(1, value={"mtu": [0] * 80 + [9]}), Result("value", {"mtu": [0] * 81}),
                     'At ["mtu"][80] stands 0; expected 9.', id="inside-a-dict"),
        pytest.param(case_of(1, value=3), problem("ValueError", on_purpose=True),
                     "f(1) is refused: it raised ValueError in line 4 (too short); expected 3.",
                     id="refused"),
        pytest.param(case_of(1, value=3), problem("KeyError", on_purpose=False),
                     "f(1) raised KeyError in line 4 (too short); expected 3.", id="an-accident"),
        pytest.param(case_of(1, raises="ValueError"), Result("value", 5),
                     "f(1) returned 5; a ValueError was expected.", id="not-refused"),
    ],
)  # fmt: skip
def test_the_part_that_differs_is_shown(case, got, words):
    assert words in shown_for(case, got, function="f", hex="nothing").seen


@pytest.mark.parametrize(
    ("case", "got", "row"),
    [
        (case_of(1, value=3), problem("ValueError", on_purpose=True), "refused"),
        (case_of(1, raises="ValueError"), Result("value", 5), "not refused"),
        (
            case_of(1, raises="ValueError"),
            problem("KeyError", on_purpose=True),
            "refused otherwise",
        ),
    ],
)
def test_refusals_get_advice_about_refusing(case, got, row):
    assert shown_for(case, got).next == table()["outcome"][row]["next"]


def test_of_two_beliefs_both_are_said():
    names = tuple(table()["exercise"][SHAPE.id]["misconceptions"])[:2]
    verdict = replace(without_run(SHAPE, Outcome.WRONG), either=names)
    for name in names:
        belief = table()["exercise"][SHAPE.id]["misconceptions"][name]["belief"]
        assert belief in feedback(verdict).next


def test_runs_in_two_orders_are_told_apart_where_they_differ():
    cases = [case_of(number, value=number) for number in (1, 2)]
    same_here = Run((Result("value", 1), Result("value", 2)), None, "", 0)
    other = Run((Result("value", 1), Result("value", 9)), None, "", 0)
    assert difference(SHAPE, cases, same_here, same_here) == ""
    text = difference(SHAPE, cases, same_here, other)
    assert "(2) returned 0x0002; in a run from the top it returned 0x0009" in text

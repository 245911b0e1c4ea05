"""What students read: three short lines, from one table, about the task alone."""

import re

import pytest

from course_lib.exercises.feedback import feedback, hints, shown, table
from course_lib.exercises.registry import all_exercises, public_cases
from course_lib.exercises.verdict import Outcome, judge, without_run
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


@pytest.mark.parametrize(
    ("value", "in_hex", "text"),
    [
        (0x4500, True, "0x4500"),
        (-1, True, "-1"),
        (True, True, "True"),
        ([1, [2, b"ab"]], True, '[0x0001, [0x0002, bytes.fromhex("6162")]]'),
        (b"", False, "b''"),
        ({"a": bytes(3)}, False, "{'a': bytes.fromhex(\"0000 00\")}"),
        (20, False, "20"),
        ("x" * 500, False, "'" + "x" * 155 + " ..."),
    ],
)
def test_values_are_shown_as_people_write_them(value, in_hex, text):
    assert shown(value, in_hex=in_hex) == text

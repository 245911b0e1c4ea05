"""What students read: three short lines, from one table, about the task alone."""

import re
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.exercises.beliefs import agrees
from course_lib.exercises.calls import shown
from course_lib.exercises.feedback import alone_note, difference, feedback, hints, table
from course_lib.exercises.registry import Case, Expected, all_exercises, exercise, public_cases
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
STEPS = (["new"], ["count"], ["count"], ["new"], ["count"])
LONG = list(range(100, 200))


def shown_for(case, got, **changes):
    item = replace(SHAPE, **changes)
    verdict = Verdict(item, Outcome.WRONG, 0.0, first_wrong=case, seen=got, problem=got.problem)
    return feedback(verdict)


def case_of(*arguments, value=None, raises=""):
    return Case("a", arguments, Expected(value, raises), "", {})


def problem(kind, *, on_purpose, text="too short"):
    return Result("raised", problem=Problem((kind, "Exception"), text, 4, on_purpose))


@pytest.mark.parametrize(
    ("case", "got", "words"),
    [
        pytest.param(case_of(1, value=(1, 2)), Result("value", [1, 2]),
                     "f(1) returned [1, 2] (a list); expected (1, 2) (a tuple).",
                     id="list-for-tuple"),
        pytest.param(case_of(1, value=5.5), Result("value", 6), "f(1) returned 6; expected 5.5.",
                     id="numbers"),
        pytest.param(case_of(1, value=b"E"), Result("value", 69),
                     'f(1) returned 69 (an int); expected bytes.fromhex("45") (bytes).',
                     id="a-number-for-octets"),
        pytest.param(case_of(1, value=5), Result("value", None), "f(1) returned None; expected 5.",
                     id="nothing"),
        pytest.param(case_of(1, value=(LONG[:9], {"a": 1})), Result("value", (LONG[:9], {"a": 2})),
                     "At [1]['a'] stands 2; expected 1.", id="deep-inside"),
        pytest.param(case_of(1, value=3), Result("out of time", note="not tried after others"),
                     "f(1) was not tried after others; expected 3.", id="not-tried"),
        pytest.param(case_of(1, value=LONG), Result("value", [*LONG[:70], 7, *LONG[71:]]),
                     "At [70] stands 7; expected 170.", id="late-in-a-long-list"),
        pytest.param(case_of(1, value=LONG), Result("value", LONG[:-1]),
                     "At [99] stands nothing; expected 199.", id="too-short"),
        pytest.param(case_of(1, value=LONG), Result("value", [100]),
                     "f(1) returned [100]. At [1] stands nothing; expected 101.",
                     id="far-too-short"),
        pytest.param(case_of(1, value=LONG), Result("value", [*LONG, 5]),
                     "At [100] stands 5; nothing was expected there.", id="too-long"),
        pytest.param(case_of(1, value=bytes(90)), Result("value", bytes(80) + b"E" + bytes(9)),
                     "At [80] stands 0x45; expected 0x00.", id="octets"),
        pytest.param(case_of(1, value={"mtu": [0] * 80 + [9]}), Result("value", {"mtu": [0] * 81}),
                     "At ['mtu'][80] stands 0; expected 9.", id="inside-a-dict"),
        pytest.param(case_of(1, value=3), problem("ValueError", on_purpose=True),
                     "f(1) is refused: it raised ValueError in line 4 (too short); expected 3.",
                     id="refused"),
        pytest.param(case_of(1, value=3), problem("KeyError", on_purpose=False),
                     "f(1) raised KeyError in line 4 (too short); expected 3.", id="an-accident"),
        pytest.param(case_of(1, raises="ValueError"), Result("value", 5),
                     "f(1) returned 5; a ValueError was expected.", id="not-refused"),
        pytest.param(case_of(1, value=3), problem("NotImplementedError", on_purpose=True, text=""),
                     "f(1) is not written to its end: it raised NotImplementedError in line 4 "
                     "(no text); expected 3.", id="not-written"),
        pytest.param(case_of(1, value=3), problem("AssertionError", on_purpose=True),
                     "f(1) is stopped by an assertion: it raised AssertionError in line 4 "
                     "(too short); expected 3.", id="assertion"),
        pytest.param(case_of(1, value=tuple(LONG)), Result("value", LONG),
                     "f(1) returned [100, 101, 102, 103, 104, 105, 106, 107, 108, 109, 110, 111, "
                     "... (a list); expected (100, 101, 102, 103, 104, 105, 106, 107, 108, 109, "
                     "110, 111, ... (a tuple).", id="a-long-value-of-another-type"),
        pytest.param(case_of(1, value="ab" * 200), Result("value", "ab" * 150 + "c" + "ab" * 50),
                     "babcabab", id="late-in-a-long-text"),
    ],
)  # fmt: skip
def test_the_part_that_differs_is_shown(case, got, words):
    assert words in shown_for(case, got, function="f", hex="nothing").seen


@pytest.mark.parametrize(
    ("wanted", "got", "words"),
    [
        pytest.param([1, 2, 3], [1, 9, 3],
                     "a = f(); [a.count(), a.count()]: the last of these calls returned 9; "
                     "expected 2.", id="a-value"),
        pytest.param([1, [2], 3], [1, [2, 5], 3],
                     "[a.count(), a.count()]: the last of these calls returned [2, 5]; "
                     "expected [2].", id="a-list-that-is-longer"),
        pytest.param([1, {"a": 2}, 3], [1, {}, 3],
                     "the last of these calls returned {}; expected {'a': 2}.", id="a-key-missing"),
        pytest.param([1, LONG, 3], [1, LONG[:-1], 3],
                     "At [99] stands nothing; expected 199.", id="a-long-list-too-short"),
        pytest.param([1, 2, 3], [1, 2], "returned [1, 2]; expected [1, 2, 3].", id="a-call-less"),
    ],
)  # fmt: skip
def test_of_several_calls_the_first_that_differs_is_shown(wanted, got, words):
    case = case_of(STEPS, value=wanted)
    text = shown_for(case, Result("value", got), function="f", hex="nothing", driver="operate").seen
    assert words in text


TEXTS = st.text(alphabet="ab'\"\\\n\u00e4")  # none that looks like the words of a line
PLAIN = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.binary()
    | TEXTS | TEXTS.map(lambda text: "ab" * 150 + text)
    | st.lists(st.integers(), min_size=60, max_size=90),
    lambda inner: st.lists(inner) | st.tuples(inner, inner) | st.lists(inner).map(tuple)
    | st.dictionaries(TEXTS | TEXTS.map(lambda text: text + "b" * 200), inner),
    max_leaves=8,
)  # fmt: skip
FRAMES = st.sampled_from([
    lambda part: part, lambda part: [part], lambda part: [0] * 300 + [part],
    lambda part: {"a" * 200: (1, part)}, lambda part: (*[b"E" * 20] * 30, {"mtu": part}),
    lambda part: f"{'a' * 500}{shown(part)}", lambda part: {1: [part]},
])  # fmt: skip
SIDES = re.compile(r"(?:returned|stands) (.*); expected (.*?)\.(?: At | It |$)", re.DOTALL)


@given(PLAIN, PLAIN, FRAMES, st.sampled_from(["call", "operate"]), st.booleans())
def test_whatever_the_values_a_line_has_a_bound_and_shows_the_difference(
    one, other, frame, driver, whole
):
    wanted, got = frame(one), frame(other)
    arguments = (1,)
    if driver == "operate":
        wanted, got, arguments = [1, wanted, 3], [1, got, 3], (STEPS,)
    case = case_of(*arguments, value=wanted)
    if agrees(case.expected, Result("value", got), whole=whole):
        return
    text = shown_for(case, Result("value", got), driver=driver, whole=whole, hex="nothing").seen
    assert len(text) < 900
    sides = SIDES.search(text)
    assert sides is None or sides[1] != sides[2]
    assert sides or "; nothing was expected there." in text


@given(PLAIN, PLAIN, FRAMES)
def test_whatever_the_values_a_note_about_another_run_has_a_bound(one, other, frame):
    here, fresh = (Result("value", frame(part)) for part in (one, other))
    runs = [Run((result,), None, "", 0) for result in (here, fresh)]
    case = case_of(1, value=here.value)
    assert len(difference(SHAPE, [case], *runs)) < 700
    assert len(alone_note(SHAPE, here, fresh)) < 400
    if not agrees(case.expected, fresh):
        assert alone_note(SHAPE, here, fresh) != alone_note(SHAPE, fresh, here)


@pytest.mark.parametrize(
    ("wanted", "got", "row"),
    [
        (3, problem("ValueError", on_purpose=True), "refused"),
        (3, problem("KeyError", on_purpose=False), "accident"),
        (3, problem("AssertionError", on_purpose=True), "assertion"),
        (3, problem("AssertionError", on_purpose=False), "accident"),
        (3, Result("raised", problem=Problem(("SystemExit",), "", 4, True)), "accident"),
        (3, problem("NotImplementedError", on_purpose=True), "not written"),
        (ValueError, Result("value", 5), "not refused"),
        (ValueError, problem("KeyError", on_purpose=True), "refused otherwise"),
        (ValueError, problem("AssertionError", on_purpose=True), "refused otherwise"),
        (ValueError, problem("IndexError", on_purpose=False), "not refused"),
        (ValueError, problem("NotImplementedError", on_purpose=True), "not written"),
    ],
)
def test_what_is_raised_or_should_be_gets_advice_of_its_own(wanted, got, row):
    case = case_of(1, raises="ValueError") if wanted is ValueError else case_of(1, value=wanted)
    assert shown_for(case, got).next == table()["without a value"][row]


def test_who_returns_nothing_is_told_so():
    verdict = Verdict(SHAPE, Outcome.BAD_VALUE, 0.0, (), "", case_of(1, value=3), Result("value"))
    assert feedback(verdict).next == table()["without a value"]["nothing returned"]
    other = replace(verdict, seen=Result("not plain", note="an object of type object"))
    assert feedback(other).next == table()["outcome"]["bad value"]["next"]


def test_of_a_cell_that_cannot_be_run_the_line_is_named():
    verdict = Verdict(SHAPE, Outcome.ERROR, 0.0, problem=Problem(("SyntaxError",), "bad", 7))
    assert "SyntaxError in line 7 (bad)." in feedback(verdict).seen


def test_of_two_beliefs_both_are_said():
    names = tuple(table()["exercise"][SHAPE.id]["misconceptions"])[:2]
    verdict = replace(without_run(SHAPE, Outcome.WRONG), either=names)
    for name in names:
        belief = table()["exercise"][SHAPE.id]["misconceptions"][name]["belief"]
        assert belief in feedback(verdict).next


def test_where_no_case_can_be_shown_the_contract_is_to_be_read_again():
    item = exercise("4.5")
    earned = (("first level", 1, 1), ("blocks", 0, 2), ("both levels", 0, 1))
    verdict = Verdict(item, Outcome.PARTLY_RIGHT, 1, earned, right_cases=40, all_cases=50)
    assert "about “blocks” and “both levels”: which word" in feedback(verdict).next
    borrowed = without_run(item, Outcome.WRONG, "in place of own work")
    assert feedback(borrowed).next == table()["exercise"]["4.5"]["next"]


def test_runs_in_two_orders_are_told_apart_where_they_differ():
    cases = [case_of(number, value=number) for number in (1, 2)]
    same_here = Run((Result("value", 1), Result("value", 2)), None, "", 0)
    other = Run((Result("value", 1), Result("value", 9)), None, "", 0)
    assert difference(SHAPE, cases, same_here, same_here) == ""
    text = difference(SHAPE, cases, same_here, other)
    assert "(2) returned 0x0002; in a run from the top it returned 0x0009" in text

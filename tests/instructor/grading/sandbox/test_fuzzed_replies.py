"""Whatever comes through an answer's pipe, the judge makes a verdict that can be shown and kept."""

import json
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from course_lib.exercises.registry import all_exercises
from course_lib.exercises.verdict import Outcome
from course_lib.runner.plain_data import MAX_ITEMS, NotPlainError, decode, encode, same
from fuzzed.fuzzed_replies import check, seeds, transcript
from fuzzed.mutations import HASH_MODULUS, LONG, ODD_TEXTS, ODD_VALUES, mutated

fuzzing = settings(max_examples=80, deadline=None, derandomize=True, database=None)
EXERCISES = range(len(all_exercises()))
JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text()
    | st.sampled_from(ODD_TEXTS) | st.sampled_from(ODD_VALUES),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(
        st.sampled_from(["octets", "float", "map", "case", "value", "raised", "kinds", "message",
                         "line", "ended", "not_plain", "load"]) | st.text(max_size=3),
        inner, max_size=3),
    max_leaves=15,
)  # fmt: skip


@fuzzing
@given(st.deferred(lambda: st.sampled_from(seeds())), st.integers(0, 1 << 64))
def test_honest_replies_that_were_tampered_with_are_judged(seed, chance):
    check(mutated(seed, Random(chance), seeds()))


@fuzzing
@given(st.sampled_from(EXERCISES), st.lists(JSON, max_size=4))
def test_any_json_as_a_value_is_judged(place, values):
    check(bytes([place]) + transcript([{"value": value} for value in values]))


@fuzzing
@given(st.sampled_from(EXERCISES), st.lists(JSON, max_size=4))
def test_any_json_as_a_reply_is_judged(place, replies):
    lines = [{"ready": True}, *replies]
    check(bytes([place]) + b"\n".join(json.dumps(line).encode() for line in lines))


@fuzzing
@given(st.binary(max_size=300))
def test_any_octets_are_judged(octets):
    check(octets)


@fuzzing
@given(JSON)
def test_what_is_read_could_have_been_written(data):
    try:
        value = decode(data)
    except NotPlainError:
        return
    assert repr(decode(encode(value))) == repr(value)


def test_honest_replies_are_judged_as_what_they_are():
    outcomes = {check(seed).outcome for seed in seeds()}
    assert {Outcome.RIGHT, Outcome.WRONG, Outcome.PARTLY_RIGHT, Outcome.ERROR,
            Outcome.BAD_VALUE} <= outcomes  # fmt: skip


def reply(value: str) -> bytes:
    return b'{"case": 0, "value": ' + value.encode() + b"}"


COLLIDING = json.dumps({"map": [[k * HASH_MODULUS, 0] for k in range(9000)]})
MANY_KEYS = json.dumps({"map": [[f"{k}" + "x" * 4000, 0] for k in range(190)]})
FOUND = (  # once raised in the judge, hung it, or left something large or unwritable behind
    pytest.param(reply('{"float": 1' + "0" * 400 + "}"), "not plain", id="integer-beyond-floats"),
    pytest.param(reply('{"float": "' + "x" * 900_000 + '"}'), "not plain", id="long-no-number"),
    pytest.param(reply('{"' + "x" * 900_000 + '": 1}'), "not plain", id="long-tag"),
    pytest.param(reply(COLLIDING), "not plain", id="keys-of-one-hash"),
    pytest.param(reply("[0" + ",0" * MAX_ITEMS + "]"), "not plain", id="too-many-items"),
    pytest.param(reply("9" * 4300), "not plain", id="more-bits-than-can-be-kept"),
    pytest.param(reply("[" * 14 + "]" * 14), "not plain", id="deeper-than-can-be-kept"),
    pytest.param(reply(MANY_KEYS), "value", id="long-keys"),
    pytest.param(b'{"ended": ["<b>"]}', "died", id="ended-by-a-list"),
    pytest.param(b'{"ended": "\\ud800"}', "died", id="ended-by-half-a-character"),
    pytest.param(b'{"ended": "' + b"x" * 900_000 + b'"}', "died", id="ended-by-a-long-text"),
)
NEAR = (  # what never did, but lies beside it
    pytest.param(reply("9" * LONG), "not plain", id="more-digits-than-python-reads"),
    pytest.param(reply('"\\ud800"'), "value", id="half-a-character"),
    pytest.param(b'{"case": 0, "not_plain": [1]}', "not plain", id="not-plain-and-no-text"),
    pytest.param(b'{"case": 0, "raised": {"a": 1}}', "raised", id="raised-and-no-text"),
    pytest.param(b'{"case": 0, "raised": "E", "line": ' + b"9" * 4300 + b"}", "raised",
                 id="a-line-far-down"),
)  # fmt: skip


@pytest.mark.parametrize(("line", "kind"), FOUND + NEAR)
def test_what_was_found_is_a_result_like_others(line, kind):
    verdict = check(b"\x00" + transcript([]) + line)
    assert verdict.seen.kind == kind


def test_a_text_nested_just_as_deep_as_can_be_read_is_no_text():
    for depth in range(930, 1000, 2):
        deep = b"[" * depth + b"]" * depth
        check(b"\x00" + transcript([]) + b'{"case": 0, "not_plain": ' + deep + b"}")
        check(b"\x00" + transcript([]) + b'{"ended": ' + deep + b"}")


def test_an_integer_beyond_all_floats_is_not_close_to_one():
    assert not same(0.5, 10**400)
    assert not same(float("inf"), 10**400)

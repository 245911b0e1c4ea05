"""What is shown of a call can be typed into a fresh cell, and gives what is said."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.exercises.calls import call_text, shown
from course_lib.exercises.registry import all_exercises, public_cases
from course_lib.runner.drivers import DRIVERS
from course_lib.runner.paper_parts import PaperParts
from instructor.units.items import item, source_of

SCALARS = (
    st.none()
    | st.booleans()
    | st.integers()
    | st.text()
    | st.binary()
    | st.floats()
    | st.sampled_from([float("inf"), -float("inf"), float("nan")])
)
KEYS = SCALARS | st.tuples(SCALARS)
VALUES = st.recursive(
    SCALARS | st.binary().map(bytearray) | st.sets(KEYS, max_size=1),
    lambda inner: st.lists(inner) | st.tuples(inner) | st.tuples(inner, inner)
    | st.dictionaries(KEYS, inner),
    max_leaves=12,
)  # fmt: skip


@given(VALUES, st.booleans())
def test_a_value_is_written_as_python_that_gives_it(value, in_hex):
    assert repr(eval(shown(value, in_hex=in_hex))) == repr(value)


@given(st.sets(st.integers() | st.text() | st.tuples(st.binary())), st.booleans())
def test_a_set_is_written_as_python_that_gives_it_in_whatever_order(value, in_hex):
    assert eval(shown(value, in_hex=in_hex)) == value


@pytest.mark.parametrize(
    ("value", "in_hex", "text"),
    [
        (0x4500, True, "0x4500"),
        (-1, True, "-1"),
        (True, True, "True"),
        ([1, [2, b"ab"]], True, '[0x0001, [0x0002, bytes.fromhex("6162")]]'),
        (b"", False, "b''"),
        ({"a": bytes(3)}, False, "{'a': bytes.fromhex(\"0000 00\")}"),
        ((20,), False, "(20,)"),
        ([float("inf"), -float("inf")], False, '[float("inf"), -float("inf")]'),
        (1500, False, "1500"),
        (10_000, False, "10_000"),
        (-3221225985, False, "-3_221_225_985"),
        ([65536, {100000: 12345.5}], False, "[65_536, {100_000: 12_345.5}]"),
        (1e16, False, "1e+16"),
        (65536, True, "0x10000"),
        ("65536", False, "'65536'"),
        ("x" * 500, False, "'" + "x" * 500 + "'"),
    ],
)
def test_values_are_shown_as_people_write_them(value, in_hex, text):
    assert shown(value, in_hex=in_hex) == text


@pytest.mark.parametrize("shape", [pytest.param(one, id=one.id) for one in all_exercises()])
def test_each_public_call_can_be_typed_and_gives_what_the_case_says(shape):
    space = {"np": np, "PaperParts": PaperParts}  # as workbooks have them whose calls need them
    exec(source_of(item(shape.id).answer, shape.function), space)
    for case in public_cases(shape.id):
        if case.expected.raises:
            continue
        *before, last = call_text(shape, case.arguments).split("; ")
        for line in before:
            exec(line, space)
        assert repr(eval(last, space)) == repr(case.expected.value)


def test_calls_of_several_objects_are_told_apart():
    shape = replace(all_exercises()[0], driver="operate", function="Gate")
    steps = [["new", 2], ["new", 3], [0, "open", b"a"], ["open", b"b"], [1, "shut"]]
    assert call_text(shape, (steps,)) == (
        'a = Gate(2); b = Gate(3); [a.open(bytes.fromhex("61")), '
        'b.open(bytes.fromhex("62")), b.shut()]'
    )
    assert call_text(shape, (steps,), 1).endswith('; [a.open(bytes.fromhex("61"))]')


def test_objects_made_after_the_last_call_that_is_written_are_left_out():
    shape = replace(all_exercises()[0], driver="operate", function="Gate")
    steps = [["new", 2], ["open"], ["new", 3], ["shut"]]
    assert call_text(shape, (steps,), 1) == "a = Gate(2); [a.open()]"
    assert call_text(shape, (steps,), 2) == "a = Gate(2); b = Gate(3); [a.open(), b.shut()]"


class Counter:
    """Count what it was given, from a number on."""

    def __init__(self, start):
        self.sum = start

    def add(self, more):
        self.sum += more
        return self.sum


def test_steps_reach_the_object_that_they_name():
    steps = [["new", 10], ["add", 1], ["new", 20], ["add", 1], [0, "add", 5], [1, "add", 5]]
    assert DRIVERS["operate"](Counter, steps) == [11, 21, 16, 26]

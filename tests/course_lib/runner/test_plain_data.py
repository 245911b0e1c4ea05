"""Plain data keeps values, refuses the rest, and compares without trusting anybody."""

import contextlib
import math
from typing import NamedTuple

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.runner.plain_data import NotPlainError, decode, encode, same

SCALARS = (
    st.none() | st.booleans() | st.integers() | st.floats() | st.text() | st.binary()
    | st.binary().map(bytearray)
)  # fmt: skip
KEYS = st.text() | st.integers() | st.tuples(st.binary(), st.none())
VALUES = st.recursive(
    SCALARS | st.sets(st.integers(), max_size=1),
    lambda inner: st.lists(inner, max_size=5) | st.tuples(inner, inner)
    | st.dictionaries(KEYS, inner, max_size=5),
    max_leaves=20,
)  # fmt: skip


class Point(NamedTuple):
    """A type of a student's own."""

    x: int
    y: tuple[int, int]


@given(VALUES)
def test_a_value_comes_back_as_it_went(value):
    assert repr(decode(encode(value))) == repr(value)


JSON = st.recursive(
    st.none() | st.integers() | st.text(),
    lambda inner: st.lists(inner) | st.dictionaries(st.text(max_size=8), inner),
    max_leaves=10,
)


@given(JSON)
def test_reading_gives_a_value_or_the_one_error(data):
    with contextlib.suppress(NotPlainError):
        assert encode(decode(data)) is not Ellipsis


@pytest.mark.parametrize(
    ("value", "plain"),
    [
        pytest.param(frozenset({2, 3}), {2, 3}, id="frozen-set"),
        pytest.param(Point(1, (2, 3)), (1, (2, 3)), id="named-tuple"),
        pytest.param(memoryview(b"E"), b"E", id="memoryview"),
        pytest.param(np.uint16(69), 69, id="numpy-integer"),
        pytest.param(np.float64(0.5), 0.5, id="numpy-float"),
        pytest.param(np.bool_(True), True, id="numpy-boolean"),
        pytest.param(np.array([[1, 2], [3, 4]]), [[1, 2], [3, 4]], id="numpy-array"),
        pytest.param({(1, 2): b"x"}, {(1, 2): b"x"}, id="tuple-as-key"),
        pytest.param("\ud800", "\\ud800", id="half-a-character"),
    ],
)
def test_relatives_of_built_in_types_become_built_in(value, plain):
    assert decode(encode(value)) == plain


class Sly(int):
    def __eq__(self, other):
        return True

    __hash__ = int.__hash__


def test_an_object_that_equals_everything_becomes_a_number():
    assert decode(encode(Sly(3))) == 3
    assert not same(4, decode(encode(Sly(3))))


@pytest.mark.parametrize(
    ("value", "words"),
    [
        pytest.param(object(), "type object", id="object"),
        pytest.param(lambda: 0, "type function", id="function"),
        pytest.param(1 << 5000, "5,001 bits", id="huge-integer"),
        pytest.param("x" * (1 << 21), "characters", id="huge-text"),
        pytest.param(b"x" * (1 << 21), "octets", id="huge-octets"),
        pytest.param([0] * 30_000, "items", id="long-list"),
    ],
)
def test_what_is_not_plain_is_refused_in_words(value, words):
    with pytest.raises(NotPlainError, match=words):
        encode(value)


def test_a_list_that_holds_itself_is_refused():
    loop = []
    loop.append(loop)
    with pytest.raises(NotPlainError, match="deep"):
        encode(loop)


@pytest.mark.parametrize(
    "data",
    [{"octets": "4"}, {"octets": 4}, {"float": "x"}, {"map": [[1]]}, {"map": [[{"map": []}, 1]]},
     {"set": [[]]}, {"tuple": 1}, {"other": 1}, {"octets": "", "float": ""}, {}],
)  # fmt: skip
def test_data_that_nobody_wrote_is_refused(data):
    with pytest.raises(NotPlainError):
        decode(data)


@pytest.mark.parametrize(
    ("expected", "given_value", "agree"),
    [
        (True, 1, True),
        (0, False, True),
        (20, 20.0, True),
        ((1, 2), [1, 2], False),
        ([(1, 2)], [(1, 2)], True),
        ([(1, 2)], [[1, 2]], False),
        (b"a", bytearray(b"a"), True),
        ({1, 2}, {2, 1}, True),
        ({1, 2}, [1, 2], False),
        (2**70 + 1, 2**70, False),
        (10**400, 1.5, False),
        (0.1 + 0.2, 0.3, True),
        (2.0, 2, True),
        ("1", 1, False),
        (b"a", "a", False),
        ([1, [2]], [1, [2]], True),
        ([1], [1, 2], False),
        ({"a": 1}, {"a": 1}, True),
        ({"a": 1}, {"b": 1}, False),
        (None, 0, False),
        (math.inf, math.inf, True),
    ],
)
def test_values_agree_when_a_person_would_say_so(expected, given_value, agree):
    assert same(expected, given_value) is agree


@pytest.mark.parametrize(("given_value", "agree"), [(20, True), (True, False), (20.0, False)])
def test_where_a_whole_number_is_wanted_a_float_is_none(given_value, agree):
    assert same([(20,)], [(given_value,)], whole=True) is agree

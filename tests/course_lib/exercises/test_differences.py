"""Where two values differ is said as a place that can be typed behind either of them."""

from hypothesis import example, given
from hypothesis import strategies as st

from course_lib.exercises.differences import NOTHING, first_difference
from course_lib.runner.plain_data import same

KEYS = st.text() | st.integers() | st.binary() | st.none() | st.tuples(st.text())
VALUES = st.recursive(
    st.none() | st.integers() | st.text() | st.binary() | st.floats(allow_nan=False),
    lambda inner: st.lists(inner) | st.tuples(inner, inner) | st.dictionaries(KEYS, inner),
    max_leaves=12,
)


@given(VALUES, VALUES)
@example({'a"b': 1}, {'a"b': 2})
@example({float("inf"): [1]}, {float("inf"): [2]})
def test_the_place_can_be_typed_behind_both_values(expected, got):
    parts = first_difference(expected, got)
    if parts is None:
        assert same(expected, got)
        return
    for value, there in ((expected, parts.expected), (got, parts.given)):
        if there is not NOTHING:
            assert same(eval(f"value{parts.place}", {"value": value}), there)
    assert parts.expected is NOTHING or not same(parts.expected, parts.given)


@given(VALUES, VALUES)
def test_what_stands_before_the_place_is_the_same(expected, got):
    parts = first_difference([1, [2, expected]], [1, [2, got]])
    assert parts is None or parts.path[:2] == (1, 1)

"""Numbers are taken as people write them, and refused with a word where they are none."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.widgets.touch.as_written import RefusedError, decimal_number, whole_number


@given(st.integers(0, 2**32 - 1), st.sampled_from(["{}", "{:#x}", "{:#b}", " {} ", "00{}"]))
def test_one_number_in_any_way_of_writing(number, form):
    assert whole_number(form.format(number), 0, 2**32 - 1) == number


@pytest.mark.parametrize(
    ("text", "number"),
    [("192.0.2.1", 3221225985), ("0x172", 370), ("1_000", 1000), ("007", 7), ("-3", -3)],
)
def test_ways_of_writing(text, number):
    assert whole_number(text, -10, 2**32 - 1) == number


@pytest.mark.parametrize("text", ["", "  ", "2.7", "1e3", "four", "192.0.2.256", "0x", "½", "²"])
def test_what_is_no_whole_number_is_refused(text):
    with pytest.raises(RefusedError, match="is not a whole number"):
        whole_number(text, 0, 255)


@pytest.mark.parametrize("text", ["256", "-1", "0x100"])
def test_what_is_out_of_range_is_refused_with_the_range(text):
    with pytest.raises(RefusedError, match="is not from 0 to 255"):
        whole_number(text, 0, 255)


@pytest.mark.parametrize(
    ("text", "number"),
    [("2.5", 2.5), (" 0.50 ", 0.5), ("5e-1", 0.5), ("0x1f", 31), ("0b101", 5), ("007", 7)],
)
def test_numbers_with_a_point(text, number):
    assert decimal_number(text, 0, 50) == number


@pytest.mark.parametrize("text", ["", "seven", "1,5", "192.0.2", "0x", "--7", "12 34"])
def test_what_is_no_number_is_refused(text):
    with pytest.raises(RefusedError, match="is not a number"):
        decimal_number(text, 0, 50)


@pytest.mark.parametrize("text", ["50.1", "-1", "0x33", "nan", "inf"])
def test_a_number_out_of_range_is_refused_with_the_range(text):
    with pytest.raises(RefusedError, match="is not from 0 to 50"):
        decimal_number(text, 0, 50)

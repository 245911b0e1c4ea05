"""The adder's steps end in the sum of RFC 1071, and every carry that leaves comes in again."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.checksum import ones_complement_sum
from course_lib.figures.checksum.end_around_sum import additions, moved_by, words_of_octets

RFC_1071 = bytes.fromhex("0001 f203 f4f5 f6f7")  # section 3, the worked example
SWAPPED = bytes.fromhex("0100 03f2 f5f4 f7f6")
WORDS = st.lists(st.integers(0, 0xFFFF), min_size=1, max_size=30)


def octets(words):
    return b"".join(word.to_bytes(2) for word in words)


@pytest.mark.parametrize(
    ("data", "plain", "carries", "folded"),
    [(RFC_1071, 0x2DDF0, 2, 0xDDF2), (SWAPPED, 0x1F2DC, 1, 0xF2DD)],
)
def test_the_worked_example_of_rfc_1071_comes_out_with_its_carries(data, plain, carries, folded):
    """Section 3 prints the sum without folding, the carries, and the sum with them added."""
    words = words_of_octets(data)
    steps = additions(words)
    assert sum(words) == plain
    assert sum(step.carry for step in steps) == carries == plain >> 16
    assert steps[-1].sum == folded


def test_the_steps_of_the_worked_example_are_those_of_an_adder_of_16_columns():
    assert [(f"{step.total:x}", step.word, step.words) for step in additions(
        words_of_octets(RFC_1071))] == [
        ("1", 0, 1), ("f204", 1, 2), ("1e6f9", 2, 3), ("e6fa", None, 3), ("1ddf1", 3, 4),
        ("ddf2", None, 4),
    ]  # fmt: skip


@given(WORDS)
def test_the_last_sum_is_the_ones_complement_sum(words):
    assert additions(words)[-1].sum == ones_complement_sum(octets(words))


@given(WORDS)
def test_each_carry_is_the_next_addition_and_no_other_is_made_of_it(words):
    steps = additions(words)
    for step, following in itertools.pairwise(steps):
        assert following.so_far == step.sum
        assert (following.word is None) == bool(step.carry)
    assert all(step.added == 1 and not step.carry for step in steps if step.word is None)
    assert [step.added for step in steps if step.word is not None] == words


@given(st.lists(st.tuples(st.integers(0, 0xFFFF), st.integers(0, 0xFFFF)), min_size=1))
def test_the_sum_has_not_moved_exactly_if_it_is_what_it_was(pairs):
    """But for zeros: a sum of 0x0000 and one of 0xffff are no distance apart (RFC 1624)."""
    before, after = zip(*pairs, strict=True)
    same = (
        ones_complement_sum(octets(before)) % 0xFFFF == ones_complement_sum(octets(after)) % 0xFFFF
    )
    assert (moved_by(before, after) == 0) == same
    assert abs(moved_by(before, after)) <= 0x8000


@pytest.mark.parametrize(
    ("before", "after", "moved"),
    [
        ([0x4500, 0x4011], [0x4501, 0x4011], 1),
        ([0x4500, 0x4011], [0x4501, 0x4010], 0),
        ([0], [0x8000], 0x8000),
        ([0x8000], [0], -0x8000),
        ([0], [0xFFFF], 0),
        ([1], [0xFFFF], -1),
    ],
)
def test_the_way_of_a_move_is_that_of_the_changes_or_the_shorter_one(before, after, moved):
    assert moved_by(before, after) == moved

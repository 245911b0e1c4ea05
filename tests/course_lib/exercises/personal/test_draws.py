"""Numbers drawn from words: the same for ever, and none more often than chance allows."""

import pytest

from course_lib.exercises.personal.draws import Draws


def test_the_same_words_give_the_same_numbers_on_every_machine():
    draws = Draws("own numbers", "3.6", "KQ7W-DX3M-2AD")
    assert [draws.below(1000) for _ in range(5)] == [687, 570, 373, 414, 767]
    assert Draws("a", "b").below(1 << 64) != Draws("a", "c").below(1 << 64)


@pytest.mark.parametrize("end", [2, 7, 32])
def test_each_number_comes_up_as_often_as_chance_allows(end):
    """Pearson's chi-square; nothing here is left to chance, so the bound is a wide one."""
    draws, number = Draws("evenly"), 3200
    counts = [0] * end
    for _ in range(number):
        counts[draws.below(end)] += 1
    chi_square = sum((count - number / end) ** 2 / (number / end) for count in counts)
    assert chi_square < end + 6 * (2 * end) ** 0.5


def test_some_things_are_drawn_once_each():
    assert sorted(Draws("all").some(range(12), 12)) == [*range(12)]
    assert len(set(Draws("few").some("abcdef", 3))) == 3


def test_both_ends_of_a_range_are_drawn():
    draws = Draws("ends")
    assert {draws.between(3, 5) for _ in range(60)} == {3, 4, 5}

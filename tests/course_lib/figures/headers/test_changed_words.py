"""The drawing of 16-bit words shows which bits moved and what that does to the sum."""

import pytest

from course_lib.figures.headers.changed_words import changed_words
from pages.drawn_shapes import looks, shapes, words

BEFORE = bytes.fromhex("0001 fffe")
# Column 15 falls by one in the first word and rises by one in the second.
AFTER = bytes.fromhex("0000 ffff")


def test_flipped_bits_are_marked_old_to_new():
    found = words(changed_words(BEFORE, AFTER))
    assert found.count("1→0") == found.count("0→1") == 1
    assert "0001 → 0000" in found
    assert "ffff = ffff" in found


def test_two_changes_in_one_column_are_framed_together():
    assert len(shapes(changed_words(BEFORE, AFTER), "rect", "changed")) == 1


def test_the_text_tells_every_move_and_both_sums():
    text = changed_words(BEFORE, AFTER).text
    assert "Octets 0 and 1: 0001 becomes 0000 (bit 15 from 1 to 0, minus 1)" in text
    assert "Octets 2 and 3: fffe becomes ffff (bit 15 from 0 to 1, plus 1)" in text
    assert text.endswith("Sum of the words: ffff before, ffff after")


def test_the_title_says_whether_the_sum_gives_the_change_away():
    same, other = changed_words(BEFORE, AFTER), changed_words(BEFORE, bytes.fromhex("0000 fffe"))
    assert same.title == "2 bits changed, and the sum is the same"
    assert other.title == "1 bit changed, and the sum is another"
    assert "ffff ≠ fffe" in words(other)


def test_without_a_change_nothing_is_marked():
    figure = changed_words(BEFORE, BEFORE)
    assert figure.title == "Nothing has changed"
    assert "alert" not in looks(figure)


def test_every_bit_is_there_either_as_it_is_or_as_a_change():
    found = words(changed_words(bytes.fromhex("0001 fffe"), bytes.fromhex("fffe 0003")))
    assert found.count("0→1") == 15 + 1
    assert found.count("1→0") == 1 + 14
    assert found[found.index("octets 2–3") + 1] == "1"  # bit 14 alone has not moved


@pytest.mark.parametrize(
    ("before", "after"), [(b"", b""), (b"\0\0", b"\0\0\0\0"), (b"\0\0\0", b"\0\0\0")]
)
def test_headers_of_other_lengths_are_refused(before, after):
    with pytest.raises(ValueError, match="same even number of octets"):
        changed_words(before, after)

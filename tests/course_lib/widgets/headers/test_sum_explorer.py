"""The sum of words can be played, and follows every bit that is flipped."""

import random

import pytest

from course_lib.checksum import ones_complement_sum
from course_lib.widgets.headers.sum_explorer import explore_sum

RFC_1071 = bytes.fromhex("0001 f203 f4f5 f6f7")  # section 3, the worked example


@pytest.fixture
def explorer():
    return explore_sum(RFC_1071)


def said(explorer):
    return " ".join(explorer.picture.words)


def test_the_worked_example_of_rfc_1071_can_be_played(explorer):
    assert [scene.words.title for scene in explorer.picture.scenes] == [
        "1 of 4 words added: 0x0001",
        "2 of 4 words added: 0xf204",
        "3 of 4 words added: 0xe6f9; a 1 is carried",
        "The carry comes in again at the right: 0xe6fa",
        "4 of 4 words added: 0xddf1; a 1 is carried",
        "The 4 words add up to 0xddf2",
    ]


@pytest.mark.parametrize(
    ("bits", "words"),
    [
        ([15], "Word 0, column 15: 1 → 0, minus 1. 1 bit changed, the words add up to 0xddf1."),
        ([16], "Word 1, column 0: 1 → 0, minus 32768. 1 bit changed, the words add up to 0x5df2."),
        # Without the carries both sums would be what they were; so the sum lacks one more.
        ([16, 32], "Word 2, column 0: 1 → 0, minus 32768. "
                   "2 bits changed, the words add up to 0xddf1."),
        ([15, 15], "Word 0, column 15: 0 → 1, plus 1. The 4 words add up to 0xddf2."),
    ],
)  # fmt: skip
def test_a_flip_is_told_with_its_worth_and_the_sum(explorer, bits, words):
    for bit in bits:
        explorer.act("flip", bit)
    assert said(explorer) == words


def test_words_that_never_passed_are_not_called_a_header(explorer):
    explorer.act("flip", 3)
    for scene in explorer.picture.scenes:
        told = f"{scene.words.title} {scene.words.text} {scene.words.alternative_text}"
        assert not any(word in told for word in ("header", "passes", "missed", "noticed", "Left"))


@pytest.mark.parametrize("seed", range(3))
def test_after_any_flips_the_sum_is_that_of_the_octets(explorer, seed):
    rng = random.Random(seed)
    for _ in range(20):
        explorer.act("flip", rng.randrange(64))
        assert f"add up to {ones_complement_sum(explorer.octets):#06x}" in said(explorer)
    explorer.act("mend")
    assert explorer.octets == RFC_1071


@pytest.mark.parametrize("octets", [b"", b"\0", bytes(3), bytes(62)])
def test_what_is_not_made_of_words_is_refused(octets):
    with pytest.raises(ValueError, match="even number of octets, 2 to 60"):
        explore_sum(octets)


def test_a_page_of_words_still_fits_a_laptop():
    _, height = explore_sum(bytes(20)).picture.scenes[-1].size
    assert height <= 640 - 150

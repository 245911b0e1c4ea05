"""A personal code: forgiving about how it is typed, and no slip of the pen goes unnoticed."""

import itertools

import pytest

from course_lib.exercises.personal.code import (
    NO_CODE,
    CodeError,
    code_typed,
    read_code,
    valid_code,
    whole_code,
)

ALPHABET = "ABCDEFGHIJKLMNOPQRSTUVWXYZ234567"
CODES = [whole_code(letters) for letters in ("KQ7WDX3M2A", "AAAAAAAAAA", "Z7Y6X5W4V3")]


@pytest.mark.parametrize("code", CODES)
def test_any_one_wrong_letter_is_noticed(code):
    letters = code.replace("-", "")
    for place, letter in enumerate(letters):
        for other in ALPHABET.replace(letter, ""):
            with pytest.raises(CodeError, match="one letter is wrong, or two stand"):
                read_code(letters[:place] + other + letters[place + 1 :])


@pytest.mark.parametrize("code", CODES)
def test_any_two_letters_that_changed_places_are_noticed(code):
    letters = list(code.replace("-", ""))
    for one, other in itertools.combinations(range(len(letters)), 2):
        swapped = letters.copy()
        swapped[one], swapped[other] = swapped[other], swapped[one]
        assert (valid_code("".join(swapped)) == NO_CODE) == (swapped != letters)


@pytest.mark.parametrize("typed", [
    "KQ7W-DX3M-2AD", "kq7w-dx3m-2ad", " KQ7WDX3M2AD\n", "KQ7W DX3M 2AD", "k q7wd\u2013x3m\t2ad",
    "\uff2b\uff31\uff17W-DX3M-2AD",
])  # fmt: skip
def test_small_letters_blanks_dashes_and_wide_letters_do_no_harm(typed):
    assert read_code(typed) == "KQ7W-DX3M-2AD"


@pytest.mark.parametrize(("typed", "said"), [
    ("KQ7W-DX3M-2A", "has 10 letters and digits, a code 11"),
    ("KQ7W-DX3M-2ADD", "has 12 letters and digits, a code 11"),
    ("KQ7W-DX3M-20D", "has '0' in it"),
    ("K\u00d67W-DX3M-2AD", "has '\u00d6' in it"),
    ("my code", "has 6 letters"),
    ("\ud800", "in it"),
    ("x" * 10_000, "has 10000 letters"),
])  # fmt: skip
def test_what_is_no_code_is_refused_in_words(typed, said):
    with pytest.raises(CodeError, match=said) as refused:
        read_code(typed)
    assert len(str(refused.value)) < 200
    str(refused.value).encode()  # no half character in it


@pytest.mark.parametrize("typed", ["", "  ", "--", "\n"])
def test_nothing_typed_is_no_code_and_no_mistake(typed):
    assert read_code(typed) == NO_CODE


@pytest.mark.parametrize(("cells", "typed"), [
    (['my_code = "one"'], "one"),
    (['my_code = "one"', "x = 1", "my_code: str = 'two'  # mine"], "two"),
    (['other = my_code = "one"'], "one"),
    (['%matplotlib inline\nmy_code = "one"'], "one"),
    (["my_code = 5"], ""),
    (['my_code = input("code? ")'], ""),
    (['my_code == "one"', "print(my_code)", "def f():\n    my_code = 'x'"], ""),
    (['my_code = "one'], ""),
    ([], ""),
])  # fmt: skip
def test_the_code_is_read_from_the_cells_and_nothing_is_run(cells, typed):
    assert code_typed(cells) == typed

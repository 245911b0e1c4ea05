"""A code of a room: hard to guess, easy to read out, and a slip of typing is noticed."""

import itertools

import pytest

from course_lib.links.keys import two_keys
from course_lib.links.room_codes import ALPHABET, CodeError, _sum, new_code, room_secret


def test_a_code_gives_one_secret_however_it_is_typed():
    code = new_code()
    assert [len(group) for group in code.split("-")] == [3] * 6
    secret = room_secret(code)
    assert secret == room_secret(f"  {code.lower().replace('-', ' ')} ")
    assert len(secret) == 32
    assert secret != room_secret(new_code())


def test_any_wrong_letter_and_any_two_that_changed_places_are_noticed():
    letters = [ALPHABET.index(letter) for letter in new_code().replace("-", "")]
    assert _sum(letters) == 0
    for place, wrong in itertools.product(range(18), range(32)):
        typed = [*letters[:place], wrong, *letters[place + 1 :]]
        assert (_sum(typed) == 0) == (typed == letters)
    for one, other in itertools.combinations(range(18), 2):
        typed = list(letters)
        typed[one], typed[other] = typed[other], typed[one]
        assert (_sum(typed) == 0) == (typed == letters)


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("AAA-AAA-AAA-AAA-AAA-AAB", "a letter is wrong, or two have changed places"),
        ("AAA-AAA-A0A-AAA-AAA-AAA", "group 3 holds '0'.*is it the letter O?"),
        ("AAA-AAA-AAA-AAA-AAA-AÄA", "group 6 holds 'Ä'"),
        ("AAA-AAA-AAA-AAA-AAA-AA", "18 letters and digits, this one has 17"),
        ("", "this one has 0"),
    ],
)
def test_a_slip_is_told_in_words(typed, words):
    with pytest.raises(CodeError, match=words):
        room_secret(typed)


def test_keys_for_two_parties_differ_with_all_they_are_made_of():
    made = {
        each
        for purpose, fresh in [
            ("a", (b"1", b"2")), ("b", (b"1", b"2")), ("a", (b"2", b"1")), ("a", (b"12", b"")),
            ("a", (b"", b"12")), ("a", (b"12",)), ("a", ()),
        ]
        for each in two_keys(bytes(32), purpose, *fresh)
    }  # fmt: skip
    assert len(made) == 14

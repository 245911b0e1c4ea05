"""The code of a room: what the instructor shows, what everybody types, and the secret in it.

A code has eighteen letters and digits in six groups of three: "DPR-H4S-...". Seventeen of them are
drawn by chance, five bits each (the alphabet is base32 of RFC 4648, section 6, which has no 0, 1, 8
and 9 that could be read as letters). The last one is there to tell a slip of typing: as numbers of
the field with 32 elements the letters, each times a power of its own, add up to 0. So any one wrong
letter is noticed, and any two that changed places.

Whoever knows the code is in the room, so it is shown in the room and nowhere else.
"""

__all__ = ["CodeError", "new_code", "room_secret"]

import secrets
from functools import reduce

from course_lib.links.keys import stretched

ALPHABET = "ABCDEFGHIJKLMNOPQRSTUVWXYZ234567"
DRAWN, GROUP = 17, 3
LETTERS = DRAWN + 1
_FIELD = 0b100101  # x^5 + x^2 + 1: its powers of x run through all 31 elements but 0
_ALIKE = {"0": "O", "1": "I or L", "8": "B", "9": "G or P"}
_SALT = b"the code of a room of Hop by Hop"


class CodeError(ValueError):
    """A code that no room can have; the message says what to look at."""


def new_code() -> str:
    """Return a new code, with 85 bits that nobody can guess.

    >>> len(new_code()), new_code() == new_code()
    (23, False)
    """
    drawn = [secrets.randbelow(len(ALPHABET)) for _ in range(DRAWN)]
    code = "".join(ALPHABET[each] for each in [*drawn, _sum([*drawn, 0])])
    return "-".join(code[at : at + GROUP] for at in range(0, LETTERS, GROUP))


def room_secret(code: str) -> bytes:
    """Return the secret of 32 octets that a code stands for; raises `CodeError` for a slip.

    Small letters do as well, and what stands between the groups is as you like.

    >>> room_secret("AAA-AAA-AAA-AAA-AAA-AAB")
    Traceback (most recent call last):
    ...
    course_lib.links.room_codes.CodeError: this is not a code of a room: a letter is wrong, or two \
have changed places. Look at it group by group
    """
    letters = "".join(code.split()).replace("-", "").upper()
    for place, letter in enumerate(letters):
        if letter not in ALPHABET:
            group, alike = place // GROUP + 1, _ALIKE.get(letter)
            hint = f": is it the letter {alike}?" if alike else ""
            raise CodeError(
                f"group {group} holds {letter!r}. A code has the letters A to Z and the digits "
                f"2 to 7{hint}"
            )
    if len(letters) != LETTERS:
        raise CodeError(f"a code has {LETTERS} letters and digits, this one has {len(letters)}")
    if _sum([ALPHABET.index(letter) for letter in letters]):
        raise CodeError(
            "this is not a code of a room: a letter is wrong, or two have changed places. "
            "Look at it group by group"
        )
    return stretched(letters.encode(), _SALT)


def _sum(letters: list[int]) -> int:
    """Add all letters, each times x to the power of its distance from the end."""
    return reduce(lambda total, letter: _times_x(total) ^ letter, letters, 0)


def _times_x(element: int) -> int:
    element <<= 1
    return element ^ _FIELD if element & 32 else element

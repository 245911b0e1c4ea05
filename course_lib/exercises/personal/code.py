"""A student's personal code: ten letters, and a last one by which slips of the pen are noticed.

Letters and digits are those of base32 (RFC 4648, section 6): no 0 and 1, which look like O and I.
They are the coefficients of a polynomial over the field of 32 elements, and the last one makes its
value at a generator 0. So any one wrong letter is noticed, and any two that changed places.

Who has which code only the staff can work out. What can be drawn from a code needs nothing else.
"""

__all__ = ["NO_CODE", "CodeError", "code_typed", "read_code", "valid_code", "whole_code"]

import ast
import re
import unicodedata
from collections.abc import Iterable

from course_lib.exercises.cells.cell_text import parse_cell

LETTERS = 10  # before the last one: 50 bits
NO_CODE = ""
NAME = "my_code"  # what a workbook calls it
_ALPHABET = "ABCDEFGHIJKLMNOPQRSTUVWXYZ234567"
_FIELD = 0b100101  # x^5 + x^2 + 1, irreducible, and x generates all but 0
_BETWEEN = re.compile(r"[\s\-\u2010-\u2015]+")  # blanks and every kind of dash
_SHOWN = 24  # characters of something that is no code


class CodeError(ValueError):
    """What was typed is no code; the text says why."""


def whole_code(letters: str) -> str:
    """Put the last letter behind ten others, and dashes between.

    >>> whole_code("KQ7WDX3M2A")
    'KQ7W-DX3M-2AD'
    """
    last = _ALPHABET[_times_x(_value(letters))]
    return "-".join((letters[:4], letters[4:8], letters[8:] + last))


def read_code(text: str) -> str:
    """Return what was typed as a code is written; blanks, dashes and small letters do no harm.

    Raises `CodeError` if it is none; no code at all is `NO_CODE`.
    """
    letters = _BETWEEN.sub("", unicodedata.normalize("NFKC", text)).upper()
    if not letters:
        return NO_CODE
    seen = repr(text if len(text) <= _SHOWN else f"{text[:_SHOWN]}...")
    strange = [letter for letter in letters if letter not in _ALPHABET]
    if strange:
        raise CodeError(f"{seen} has {strange[0]!r} in it: a code has letters from A to Z and "
                        "digits from 2 to 7")  # fmt: skip
    if len(letters) != LETTERS + 1:
        raise CodeError(f"{seen} has {len(letters)} letters and digits, a code {LETTERS + 1}")
    if _value(letters):
        raise CodeError(f"in {seen} one letter is wrong, or two stand the other way round; "
                        "compare it with the code that you were given")  # fmt: skip
    return whole_code(letters[:LETTERS])


def valid_code(text: str) -> str:
    """Return the code that was typed, `NO_CODE` if it is none."""
    try:
        return read_code(text)
    except CodeError:
        return NO_CODE


def code_typed(cells: Iterable[str]) -> str:
    """Return the text that cells bind to `my_code` last; '' if there is none. Nothing is run."""
    typed = ""
    for cell in cells:
        tree = parse_cell(cell) if NAME in cell else None
        for one in tree.body if tree is not None else ():
            if isinstance(one, ast.Assign | ast.AnnAssign) and _binds(one):
                typed = _text_of(one.value)
    return typed


def _binds(one: ast.Assign | ast.AnnAssign) -> bool:
    targets = one.targets if isinstance(one, ast.Assign) else [one.target]
    return any(isinstance(target, ast.Name) and target.id == NAME for target in targets)


def _text_of(value: ast.expr | None) -> str:
    text = value.value if isinstance(value, ast.Constant) else ""
    return text if isinstance(text, str) else ""


def _value(letters: str) -> int:
    """Return the value of the polynomial at x, worked out from the first letter on."""
    value = 0
    for letter in letters:
        value = _times_x(value) ^ _ALPHABET.index(letter)
    return value


def _times_x(element: int) -> int:
    doubled = element << 1
    return doubled ^ _FIELD if doubled & 32 else doubled

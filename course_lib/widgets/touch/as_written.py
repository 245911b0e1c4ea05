"""Read numbers and addresses as people write them into a field of a figure."""

__all__ = ["RefusedError", "decimal_number", "whole_number"]

from course_lib.prefixes.text import parse_address


class RefusedError(ValueError):
    """What was typed can't be taken; the message says why, for the person who typed it."""


def whole_number(text: str, low: int, high: int) -> int:
    """Return the number that a text says: 47, 0x2f, 0b10_1111, or an IPv4 address.

    Raises `RefusedError` for anything else, and for a number that is not from `low` to `high`.

    >>> whole_number(" 0x2F ", 0, 255), whole_number("192.0.2.1", 0, 2**32 - 1)
    (47, 3221225985)
    """
    try:
        number = parse_address(text.strip()) if "." in text else int(_without_zeros(text), 0)
    except ValueError:
        raise RefusedError(f"{text.strip() or 'nothing'!s} is not a whole number.") from None
    if not low <= number <= high:
        raise RefusedError(f"{text.strip()} is not from {low} to {high}.")
    return number


def decimal_number(text: str, low: float, high: float) -> float:
    """Return the number that a text says, as 2.5 or 0x2f.

    Raises `RefusedError` for anything else, and for a number that is not from `low` to `high`.

    >>> decimal_number(" 2.50 ", 0, 50), decimal_number("0x10", 0, 50)
    (2.5, 16.0)
    """
    plain = text.strip()
    try:
        number = float(int(plain, 0) if plain[:2].lower() in ("0x", "0b") else plain)
    except ValueError:
        raise RefusedError(f"{plain or 'nothing'!s} is not a number.") from None
    if not low <= number <= high:  # and what is no number at all is not, either
        raise RefusedError(f"{plain} is not from {low:g} to {high:g}.")
    return number


def _without_zeros(text: str) -> str:
    """Leave out zeros in front of a decimal number: people write 007, and mean no octal digits."""
    plain = text.strip()
    return plain.lstrip("0") or "0" if plain.isdecimal() else plain

"""Answers to 3.1 that break one clause of the contract and keep all others."""

__all__: list[str] = []

from instructor.units.unit_03.misconceptions.right_parts import (
    right_after,
    right_number,
    right_octets,
    right_text,
)


def after_any_count(address: str, steps: int) -> str:
    """Take the last four of more parts, and put zeros in front of fewer."""
    parts = address.split(".")
    return right_after(".".join((["0"] * 3 + parts)[-4:]) if parts != [""] else "", steps)


def after_three_parts(address: str, steps: int) -> str:
    """Take three parts as well."""
    return right_after(address + ".0" * (address.count(".") == 2), steps)


def after_zero_with_zeros(address: str, steps: int) -> str:
    """Take several zeros for a part of 0."""
    parts = ["0" if part and set(part) == {"0"} else part for part in address.split(".")]
    return right_after(".".join(parts), steps)


def after_zeros_in_front(address: str, steps: int) -> str:
    """Leave out zeros in front of another digit."""
    parts = [part.lstrip("0") or part for part in address.split(".")]
    return right_after(".".join(parts), steps)


def after_underscores(address: str, steps: int) -> str:
    """Leave out underscores."""
    return right_after(address.replace("_", ""), steps)


def after_blanks(address: str, steps: int) -> str:
    """Leave out blanks everywhere."""
    return right_after("".join(address.split()), steps)


def after_plus(address: str, steps: int) -> str:
    """Leave out signs."""
    return right_after(address.replace("+", ""), steps)


def after_comma(address: str, steps: int) -> str:
    """Take any sign that parts numbers."""
    return right_after(address.replace("/", ".").replace(",", "."), steps)


def after_key_error(address: str, steps: int) -> str:
    """Refuse texts with another exception."""
    try:
        right_octets(address)
    except ValueError:
        raise KeyError(address) from None
    return right_after(address, steps)


def after_key_error_for_letters(address: str, steps: int) -> str:
    """Refuse texts with letters with another exception."""
    return (after_key_error if any(map(str.isalpha, address)) else right_after)(address, steps)


def after_in_the_low_half(address: str, steps: int) -> str:
    """Let no carry into the second octet."""
    number = right_number(right_after(address, steps))
    start = right_number(address)
    return right_text((start & 0xFFFF0000 | number & 0xFFFF) if abs(steps) < 1 << 31 else number)


def after_no_number_below_zero(address: str, steps: int) -> str:
    """Go round at the lower end, unless it is a long way."""
    number = right_number(address) + steps
    return right_text(number % 2**32 if -(2**31) < steps < 0 else number)


def after_no_number_too_large(address: str, steps: int) -> str:
    """Go round at the upper end, unless it is a long way."""
    number = right_number(address) + steps
    return right_text(number % 2**32 if 0 < steps < 2**31 else number)


def after_index_error(address: str, steps: int) -> str:
    """Refuse what lies beyond the ends with another exception."""
    number = right_number(address) + steps
    if not 0 <= number < 2**32:
        raise IndexError(number)
    return right_text(number)


def after_index_error_far_away(address: str, steps: int) -> str:
    """Refuse what lies far beyond the ends with another exception."""
    return (after_index_error if abs(steps) >> 31 else right_after)(address, steps)

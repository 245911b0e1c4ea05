"""Misconceptions about addresses as numbers, and as texts: exercise 3.1."""

__all__ = ["ADDRESS_AFTER"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_03.misconceptions.right_parts import (
    right_after,
    right_number,
    right_octets,
    right_text,
)


def after_reading(octets: list[int], steps: int) -> str:
    """Go on from an address that has been read in some other way; parts must be 0 to 255."""
    if any(not 0 <= octet <= 255 for octet in octets):
        raise ValueError("no octet")
    return right_text(int.from_bytes(bytes(octets), "big") + steps)


def four_parts(address: str) -> list[str]:
    """Split an address into four parts."""
    parts = address.split(".")
    if len(parts) != 4:
        raise ValueError("not four parts")
    return parts


def is_decimal(part: str) -> bool:
    """Tell whether a part has digits 0 to 9 and nothing else."""
    return part.isascii() and part.isdigit()


# What is no address


def after_leading_zeros(address: str, steps: int) -> str:
    """Believe that a leading zero is harmless."""
    parts = four_parts(address)
    if not all(map(is_decimal, parts)):
        raise ValueError("not a number")
    return after_reading([int(part) for part in parts], steps)


def after_octal(address: str, steps: int) -> str:
    """Believe that a leading zero makes a number octal."""
    parts = four_parts(address)
    if not all(map(is_decimal, parts)):
        raise ValueError("not a number")
    octets = [int(part, 8) if len(part) > 1 and part[0] == "0" else int(part) for part in parts]
    return after_reading(octets, steps)


def after_int_alone(address: str, steps: int) -> str:
    """Believe that `int` takes digits and nothing else."""
    return after_reading([int(part) for part in four_parts(address)], steps)


def after_any_digits(address: str, steps: int) -> str:
    """Believe that `isdecimal` means the digits 0 to 9."""
    parts = four_parts(address)
    if any(not part.isdecimal() or (part != "0" and part.startswith("0")) for part in parts):
        raise ValueError("not a number")
    return after_reading([int(part) for part in parts], steps)


def after_blanks_around(address: str, steps: int) -> str:
    """Believe that blanks around an address are harmless."""
    return right_after(address.strip(), steps)


def after_first_four(address: str, steps: int) -> str:
    """Believe that four parts are enough, whatever follows."""
    return right_after(".".join(address.split(".")[:4]), steps)


def after_few_parts(address: str, steps: int) -> str:
    """Believe that missing parts are zeros."""
    parts = address.split(".")
    return right_after(".".join([*parts, "0", "0", "0"][: max(4, len(parts))]), steps)


def after_large_parts(address: str, steps: int) -> str:
    """Believe that any number can stand between dots."""
    number = 0
    for part in four_parts(address):
        if not is_decimal(part) or part != str(int(part)):
            raise ValueError("not a number")
        number = number * 256 + int(part)
    return right_text(number + steps)


def after_up_to_256(address: str, steps: int) -> str:
    """Believe that 256 still fits into an octet."""
    number = 0
    for part in four_parts(address):
        if part != "256":
            right_octets(f"{part}.0.0.0")
        number = number * 256 + int(part)
    return right_text(number + steps)


def after_without_empty_parts(address: str, steps: int) -> str:
    """Believe that nothing between two dots is nothing wrong."""
    return right_after(".".join(part for part in address.split(".") if part), steps)


def after_anything(address: str, steps: int) -> str:
    """Believe that whatever comes in is an address."""
    numbers = [int(part) if is_decimal(part) else 0 for part in address.split(".")]
    octets = [number & 255 for number in [*numbers, 0, 0, 0][:4]]
    return right_text(int.from_bytes(bytes(octets), "big") + steps)


def after_or_none(address: str, steps: int) -> str | None:
    """Believe that to refuse is to return nothing."""
    try:
        return right_after(address, steps)
    except ValueError:
        return None


def after_or_empty(address: str, steps: int) -> str:
    """Believe that to refuse is to return an empty text."""
    return after_or_none(address, steps) or ""


def after_or_other_exception(address: str, steps: int) -> str:
    """Believe that any kind of exception will do."""
    found = after_or_none(address, steps)
    if found is None:
        raise Exception("no address")
    return found


# Both ends


def after_round_the_clock(address: str, steps: int) -> str:
    """Believe that the last address is followed by the first one."""
    return right_text((right_number(address) + steps) % 2**32)


def after_up_to_the_end(address: str, steps: int) -> str:
    """Believe that whoever wants to go further stays at the end."""
    return right_text(min(max(right_number(address) + steps, 0), 2**32 - 1))


def after_without_the_ends(address: str, steps: int) -> str:
    """Believe that the very first and the very last address do not count."""
    found = right_number(address) + steps
    if found in (0, 2**32 - 1):
        raise ValueError("at the end")
    return right_text(found)


def after_one_too_far(address: str, steps: int) -> str:
    """Believe that there is an address 256.0.0.0, and one in front of 0.0.0.0."""
    found = right_number(address) + steps
    return {-1: "0.0.0.-1", 2**32: "256.0.0.0"}.get(found) or right_text(found)


# Steps and carries


def after_in_the_last_part(address: str, steps: int) -> str:
    """Believe that the last part goes round and the others stay."""
    octets = right_octets(address)
    return ".".join(map(str, [*octets[:3], (octets[3] + steps) % 256]))


def after_without_carry(address: str, steps: int) -> str:
    """Believe that the last part takes whatever is added."""
    octets = right_octets(address)
    return ".".join(map(str, [*octets[:3], octets[3] + steps]))


def after_one_carry(address: str, steps: int) -> str:
    """Believe that only the last two parts change."""
    octets = right_octets(address)
    low = octets[2] * 256 + octets[3] + steps
    return ".".join(map(str, [*octets[:2], low // 256, low % 256]))


def after_a_carry_of_one(address: str, steps: int) -> str:
    """Believe that a carry is 1, however far one goes."""
    octets = right_octets(address)
    octets[3] += steps
    for place in (3, 2, 1):
        if not 0 <= octets[place] <= 255:
            octets[place - 1] += 1 if octets[place] > 255 else -1
            octets[place] %= 256
    if not 0 <= octets[0] <= 255:
        raise ValueError("no such address")
    return ".".join(map(str, octets))


def after_in_base_255(address: str, steps: int) -> str:
    """Believe that an octet has 255 values."""
    number = 0
    for octet in right_octets(address):
        number = number * 255 + octet
    return ".".join(map(str, in_base(number + steps, 255)))


def after_in_base_1000(address: str, steps: int) -> str:
    """Believe that an address is a decimal number of three digits a part."""
    number = 0
    for octet in right_octets(address):
        number = number * 1000 + octet
    return ".".join(map(str, in_base(number + steps, 1000)))


def in_base(number: int, base: int) -> list[int]:
    """Cut a number into four parts; refuse what does not fit."""
    parts = [number // base**place % base for place in (3, 2, 1, 0)]
    if number < 0 or number >= base**4:
        raise ValueError("no such address")
    return parts


def after_low_octet_first(address: str, steps: int) -> str:
    """Believe that the first part is the lowest octet."""
    number = int.from_bytes(bytes(right_octets(address)), "little") + steps
    if number < 0 or number >> 32:
        raise ValueError("no such address")
    return ".".join(map(str, number.to_bytes(4, "little")))


def after_hosts_alone(address: str, steps: int) -> str:
    """Believe that an address that ends in 0 or 255 is for no host, and leave it out."""
    block, last = divmod(right_number(address), 256)
    if steps == 0:
        return address
    if last in (0, 255):  # the host from which the next one that way is a step
        last = last - 1 if steps > 0 else last + 1
    block, host = divmod(254 * block + last - 1 + steps, 254)
    return right_text(256 * block + host + 1)


def after_counting_the_start(address: str, steps: int) -> str:
    """Believe that the address one stands on is the first step."""
    return right_text(right_number(address) + steps - (steps > 0) + (steps < 0))


def after_forward_only(address: str, steps: int) -> str:
    """Believe that the sign of the steps says nothing."""
    return right_after(address, abs(steps))


def after_never_back(address: str, steps: int) -> str:
    """Believe that there is no way back."""
    if steps < 0:
        raise ValueError("no way back")
    return right_after(address, steps)


def after_as_number(address: str, steps: int) -> int:
    """Believe that the number is asked for."""
    right_after(address, steps)
    return right_number(address) + steps


def after_in_three_digits(address: str, steps: int) -> str:
    """Believe that each part is written with three digits."""
    return ".".join(f"{octet:03}" for octet in right_octets(right_after(address, steps)))


def after_in_hexadecimal(address: str, steps: int) -> str:
    """Believe that an address is written as the octets look on the wire."""
    return ".".join(f"{octet:02x}" for octet in right_octets(right_after(address, steps)))


ADDRESS_AFTER: dict[str, Callable[..., Any]] = {
    "leading-zeros-harmless": after_leading_zeros,
    "leading-zeros-octal": after_octal,
    "int-is-strict": after_int_alone,
    "digits-of-any-script": after_any_digits,
    "blanks-around-harmless": after_blanks_around,
    "more-parts-ignored": after_first_four,
    "missing-parts-are-zero": after_few_parts,
    "parts-of-any-size": after_large_parts,
    "256-fits-an-octet": after_up_to_256,
    "empty-parts-ignored": after_without_empty_parts,
    "everything-is-an-address": after_anything,
    "none-for-refusing": after_or_none,
    "empty-for-refusing": after_or_empty,
    "another-exception": after_or_other_exception,
    "round-the-clock": after_round_the_clock,
    "stays-at-the-end": after_up_to_the_end,
    "ends-refused": after_without_the_ends,
    "one-too-far": after_one_too_far,
    "last-part-goes-round": after_in_the_last_part,
    "last-part-takes-all": after_without_carry,
    "two-parts-change": after_one_carry,
    "carry-is-one": after_a_carry_of_one,
    "255-values": after_in_base_255,
    "three-digits-a-part": after_in_base_1000,
    "low-octet-first": after_low_octet_first,
    "no-hosts-left-out": after_hosts_alone,
    "start-is-a-step": after_counting_the_start,
    "sign-ignored": after_forward_only,
    "no-way-back": after_never_back,
    "number-for-a-text": after_as_number,
    "padded-parts": after_in_three_digits,
    "hexadecimal-parts": after_in_hexadecimal,
}

"""Right parts of answers to unit 03, some of which each misconception bends."""

__all__ = [
    "right_after",
    "right_number",
    "right_octets",
    "right_range",
    "right_split",
    "right_text",
]


def right_octets(address: str) -> list[int]:
    """Read an address strictly, as four numbers."""
    parts = address.split(".")
    if len(parts) != 4 or any(part not in map(str, range(256)) for part in parts):
        raise ValueError("no address")
    return [int(part) for part in parts]


def right_number(address: str) -> int:
    """Read an address strictly, as one number."""
    return int.from_bytes(bytes(right_octets(address)), "big")


def right_text(number: int) -> str:
    """Write an address; refuse what is none."""
    if number < 0 or number >> 32:
        raise ValueError("no such address")
    return ".".join(str(number >> bits & 255) for bits in (24, 16, 8, 0))


def right_after(address: str, steps: int) -> str:
    """Go on by some steps."""
    return right_text(right_number(address) + steps)


def right_split(prefix: str) -> tuple[int, int]:
    """Return the number in front of the slash, and the length behind it."""
    address, length = prefix.split("/")
    return right_number(address), int(length)


def right_range(prefix: str) -> tuple[int, int]:
    """Return the first address of a prefix, and the first one behind it; host bits are cleared."""
    number, length = right_split(prefix)
    size = 2 ** (32 - length)
    first = number // size * size
    return first, first + size

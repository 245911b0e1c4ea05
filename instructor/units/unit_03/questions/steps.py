"""Questions of exercise 3.1: addresses as numbers, and what is no address."""

__all__ = ["STEPS", "step_questions"]

import random

from instructor.units.items import Question
from instructor.units.unit_04.case_parts import MASK, ask, printed, text

CARRIES = "steps and carries"
ENDS = "both ends"
NONE = "what is no address"
# The number of an address is its four octets in network order (RFC 791, appendix B).
AS_NUMBERS = "RFC 791, appendix B: the high-order octet comes first"

STEPS = (
    ask(CARRIES, "203.0.113.1", 4),
    ask(CARRIES, "203.0.113.250", 10),
    ask(CARRIES, "198.51.100.255", 1),
    ask(CARRIES, "192.0.2.0", -1),
    ask(CARRIES, "203.0.113.9", 0),
    ask(CARRIES, "192.0.2.200", -60),
    ask(CARRIES, "198.51.100.20", 700),
    ask(CARRIES, "203.0.113.7", -300),
    ask(CARRIES, "10.0.255.254", 3),
    ask(CARRIES, "10.255.255.250", 10),
    ask(CARRIES, "172.16.0.1", -0x1_0000_02),
    ask(CARRIES, "203.0.113.7", 0x1_0000),
    printed(CARRIES, AS_NUMBERS, "192.0.2.1", "0.0.0.0", 3221225985),
    printed(CARRIES, AS_NUMBERS, "203.0.113.1", "198.51.100.1", 3405803777 - 3325256705),
    ask(ENDS, "255.255.255.250", 5),
    ask(ENDS, "255.255.255.250", 6),
    ask(ENDS, "0.0.0.3", -3),
    ask(ENDS, "0.0.0.3", -4),
    ask(ENDS, "255.255.255.255", 0),
    ask(ENDS, "255.255.255.255", 1),
    ask(ENDS, "0.0.0.0", 0),
    ask(ENDS, "0.0.0.0", -1),
    ask(ENDS, "192.0.2.1", 1 << 32),
    ask(ENDS, "203.0.113.9", -1 << 32),
    *(ask(NONE, address, steps) for address, steps in (
        ("203.0.113.0", 7), ("10.20.30.255", 0), ("198.51.100.40", -8), ("100.101.102.103", 1),
        ("203.0.113.07", 1), ("010.0.0.1", 1), ("203.0.113.00", 1), ("192.000.2.1", 3),
        ("203.0.113.08", 2), ("192.0.2.256", 1), ("192.0.256.1", 2), ("256.0.0.1", -1),
        ("203.0.113.999", -800),
        ("192.0.2", 1), ("10.1", 1), ("10", 2), ("192.0.2.1.5", 1), ("192.0.2.1.", 1),
        ("192.0.2..1", 2), (".192.0.2.1", 2), ("", 1), ("...", 1), ("192.0.2.+1", 1),
        ("192.0.-0.1", 2), ("192.0.2. 1", 1), ("192.0 .2.1", 2), (" 192.0.2.1", 1),
        ("192.0.2.1\n", 1), ("192.0.2.1_0", 1), ("192.0.2.٣", 1), ("192.0.2.１", 1),
        ("192.0.2.²", 1), ("192.0.2.0x1", 1), ("192,0,2,1", 1), ("192.0.2.1/24", 1),
        ("Reed Pier", 1), ("192.0.2.-1", 5),
    )),
)  # fmt: skip


def step_questions(rng: random.Random) -> list[Question]:
    """Draw ways within an octet and across several, to both ends, and texts that are none."""
    return [*_carries(rng), *_ends(rng), *_none(rng)]


def _carries(rng: random.Random) -> list[Question]:
    """Draw steps that stay clear of both ends; each kind of carry is there, both ways."""
    drawn = []
    for bits in (8, 16, 24):
        for way in (1, -1):
            high = rng.randint(3, (MASK >> bits) - 3 if bits > 8 else 0xDF0000) << bits
            near = rng.randint(1, 5)
            beyond = rng.randint(2, 5)
            start = high - near if way > 0 else high + near - 1
            drawn.append((start, way * (near + beyond)))
    start = rng.randint(20, 200) << 24 | rng.getrandbits(16) << 8
    drawn += [(start | rng.randint(1, 90), rng.randint(3, 90))]
    drawn += [(start | rng.randint(150, 250), -rng.randint(3, 90))]
    drawn += [(start | rng.randint(1, 254), rng.choice((1, -1)) * rng.randint(600, 60_000))]
    drawn += [(start | rng.randint(1, 254), rng.choice((1, -1)) * rng.randint(70_000, 9_000_000))]
    return [ask(CARRIES, text(start), steps) for start, steps in drawn]


def _ends(rng: random.Random) -> list[Question]:
    """Draw ways to both ends, up to them and beyond; no octet but the last changes on the way."""
    drawn = []
    for _ in range(rng.randint(2, 3)):
        near = rng.randint(2, 90)
        drawn += [(MASK - near, near), (MASK - near, near + 1), (MASK - near, near + 1 + near)]
        near = rng.randint(2, 90)
        drawn += [(near, -near), (near, -near - 1), (near, -near - 1 - near)]
    drawn += [(rng.getrandbits(32), way << 32) for way in (1, -1)]
    return [ask(ENDS, text(start), steps) for start, steps in drawn]


def _none(rng: random.Random) -> list[Question]:
    """Spoil addresses in every way that there is, and leave some as they are."""
    texts = [text(rng.randint(1 << 24, 0xDFFFFFFF)) for _ in range(rng.randint(3, 5))]
    for spoil in (_zeros, _zeros, _octal, _no_zero, _large, _large, _just_too_large,
                  _just_too_large, _few, _more,
                  _more, _empty, _empty, _sign, _sign, _blank, _blank, _around, _around,
                  _underscore, _digits, _digits):  # fmt: skip
        texts.append(spoil(rng, [str(rng.randint(20, 199)) for _ in range(4)]))
    return [ask(NONE, address, rng.randint(-9, 9)) for address in texts]


def _at(rng: random.Random, parts: list[str], part: str) -> str:
    """Put something in the place of one part."""
    place = rng.randrange(4)
    return ".".join([*parts[:place], part, *parts[place + 1 :]])


def _zeros(rng: random.Random, parts: list[str]) -> str:
    return _at(rng, parts, f"0{rng.randint(8, 9)}")


def _octal(rng: random.Random, parts: list[str]) -> str:
    return _at(rng, parts, f"0{rng.randint(1, 7)}{rng.randint(0, 7)}")


def _no_zero(rng: random.Random, parts: list[str]) -> str:
    return _at(rng, parts, rng.choice(("00", "000")))


def _large(rng: random.Random, parts: list[str]) -> str:
    return ".".join([*parts[:3], str(rng.randint(300, 999))])


def _just_too_large(rng: random.Random, parts: list[str]) -> str:
    return ".".join([parts[0], *rng.sample(["256", *parts[1:3]], 3)])


def _few(rng: random.Random, parts: list[str]) -> str:
    return ".".join(parts[: rng.randint(1, 3)])


def _more(rng: random.Random, parts: list[str]) -> str:
    return ".".join([*parts, str(rng.randint(0, 255))])


def _empty(rng: random.Random, parts: list[str]) -> str:
    place = rng.randint(0, 4)
    return ".".join([*parts[:place], "", *parts[place:]])


def _sign(rng: random.Random, parts: list[str]) -> str:
    return _at(rng, parts, f"+{rng.randint(1, 99)}")


def _blank(rng: random.Random, parts: list[str]) -> str:
    return ".".join([parts[0], rng.choice((f" {parts[1]}", f"{parts[1]} ")), *parts[2:]])


def _around(rng: random.Random, parts: list[str]) -> str:
    whole = ".".join(parts)
    return rng.choice((f" {whole}", f"{whole} ", f"{whole}\n", f"\t{whole}"))


def _underscore(rng: random.Random, parts: list[str]) -> str:
    return _at(rng, parts, f"{rng.randint(1, 9)}_{rng.randint(0, 9)}")


def _digits(rng: random.Random, parts: list[str]) -> str:
    """Write one part in the digits of another script."""
    zero = rng.choice("٠०０")
    return _at(rng, parts, "".join(chr(ord(zero) + int(digit)) for digit in parts[0]))

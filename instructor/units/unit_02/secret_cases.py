"""Questions of unit 02, checksums: the secret ones, drawn anew for each seed.

What one aspect asks must not be in the way of another: so headers and datagrams are drawn until
their sums have no corner (a second carry, a checksum of zero) where no corner is asked for.
"""

__all__ = [
    "fold_questions",
    "header_questions",
    "hop_questions",
    "intact_questions",
    "pair_questions",
    "udp_questions",
]

import random
from collections.abc import Iterable

from instructor.units.items import Question
from instructor.units.unit_02.answers import udp_checksum
from instructor.units.unit_02.case_packets import (
    aimed,
    ask,
    carries_dropped,
    carries_twice,
    carrying_twice,
    datagram,
    field_of,
    flipped,
    header,
    options_left_out,
    payload_covered,
    swapped_field,
    udp_aimed,
    udp_carries_twice,
    udp_carrying_twice,
    with_field,
    without_field,
    words_that_add_up,
)

NETWORKS = ("192.0.2", "198.51.100", "203.0.113")  # RFC 5737


def fold_questions(rng: random.Random) -> list[Question]:
    """Draw totals with no carry, with some, and with carries that carry again."""
    one = [rng.randint(1, 9) << 16 | rng.randrange(0xFFF0) for _ in range(4)]
    one += [rng.randrange(1, 0xFFFF), rng.randint(3, 9) * 0xFFFF, rng.randint(10, 200) * 0xFFFF]
    one += [rng.randint(300, 0xFF00) << 16 | rng.randrange(0x100)]
    more = [_carries(rng, rng.randint(4, 400)) for _ in range(3)]
    more += [_carries_three_times(rng) for _ in range(3)]
    high = rng.randint(20, 900)
    more += [high << 16 | 0x10000 - high, (rng.randrange(1 << 16, 1 << 20) << 16) | 0x1234]
    return [*_ask("one carry", one), *_ask("more carries", more)]


def header_questions(rng: random.Random) -> list[Question]:
    """Draw headers with and without an old field, payload and options, and corners of the sum."""
    plain = [without_field(_any_header(rng)) for _ in range(5)]
    corners = [without_field(aimed(0x0000, *_two_hosts(rng))) for _ in range(rng.randint(2, 4))]
    corners += [
        without_field(carrying_twice(*_two_hosts(rng), fragment=df))
        for df in (0, 0x4000, 0x4000, *rng.choices((0, 0x4000), k=3))
    ]
    field = [with_field(_any_header(rng), rng.randrange(1, 0xFFFF)) for _ in range(3)]
    field += [_any_header(rng), header(*_two_hosts(rng), total_length=24, options=bytes(4))]
    payloads = [_any_payload(rng, odd) for odd in (0, 1, 1)]
    alone = [_any_header(rng, payload_octets=len(one)) + one for one in payloads]
    lengths = [4, 40, *(4 * rng.randint(2, 9) for _ in range(3))]
    alone += [_any_header(rng, _any_options(rng, length)) for length in lengths]
    alone += [_any_header(rng, _any_options(rng, 12)) + _any_payload(rng, 1)]
    return [
        *_ask("plain headers", plain),
        *_ask("corners of the sum", corners),
        *_ask("old field", field),
        *_ask("the header alone", [without_field(packet) for packet in alone]),
    ]


def intact_questions(rng: random.Random) -> list[Question]:
    """Draw headers that pass, damaged ones, and ones that a mistaken sender filled."""
    plain = [_any_header(rng) for _ in range(3)]
    plain += [flipped(_any_header(rng), _any_bit(rng)) for _ in range(2)]
    plain += [carries_dropped(_any_header(rng)), swapped_field(_any_header(rng))]
    for step in (0x0001, 0x0100):
        near = _any_header(rng)
        plain += [with_field(near, field_of(near) + step), with_field(near, field_of(near) - step)]
    zero = [aimed(0x0000, *_two_hosts(rng), fragment=df) for df in (0, 0x4000, 0x4000)]
    zeros = [*zero, *(with_field(packet, 0xFFFF) for packet in zero)]
    zeros += [with_field(zero[0], rng.randrange(1, 0xFFFF))]
    zeros += [without_field(_any_header(rng)) for _ in range(2)]
    zeros += [with_field(_any_header(rng), 0xFFFF)]
    payloads = [_any_payload(rng, odd) for odd in (0, 1, 0)]
    whole = [_any_header(rng, payload_octets=len(one)) + one for one in payloads]
    longer = [_any_header(rng, _any_options(rng, length)) for length in (4, 40, 4 * 7)]
    alone = [*whole, payload_covered(whole[0]), flipped(whole[1], _any_bit(rng))]
    alone += [*longer, options_left_out(longer[0]), flipped(longer[1], rng.randrange(160, 480))]
    alone += [_any_header(rng, payload_octets=rng.randint(30, 900)) for _ in range(2)]
    alone += [_any_header(rng, hops=0) for _ in range(2)]
    return [
        *_ask("plain headers", plain),
        *_ask("both zeros", zeros),
        *_ask("the header alone", alone),
    ]


def udp_questions(rng: random.Random) -> list[Question]:
    """Draw datagrams of both parities, with fields filled, and at the corners of the sum."""
    asked = [("even lengths", 2 * rng.randint(1, 16)) for _ in range(3)]
    asked += [("even lengths", 2 * rng.randint(130, 300)) for _ in range(2)]
    asked += [("odd lengths", 2 * rng.randint(1, 16) + 1) for _ in range(5)]
    questions = [ask(aspect, *_any_datagram(rng, data_octets)) for aspect, data_octets in asked]
    for _ in range(3):
        source, destination, made = _any_datagram(rng, 8)
        old = made[:6] + rng.randrange(1, 0xFFFF).to_bytes(2, "big") + made[8:]
        questions.append(ask("fields", source, destination, old))
        odd_length = rng.choice((0, rng.randint(17, 0xFFFF)))
        questions.append(ask("fields", *_any_datagram(rng, 8, odd_length)))
    corners = (0x0000, 0x0000, 0x0000, rng.randint(1, 9), 0xFFFF - rng.randint(3, 9))
    for checksum in corners:
        hosts = _two_hosts(rng)
        made = udp_aimed(*hosts, 2 * rng.randint(5, 20), checksum)
        questions.append(ask("corners of the sum", *hosts, made))
    for _ in range(3):
        hosts = _two_hosts(rng)
        made = udp_carrying_twice(*hosts, 2 * rng.randint(8, 20))
        questions.append(ask("corners of the sum", *hosts, made))
    return questions


def hop_questions(rng: random.Random) -> list[Question]:
    """Draw headers for the next hop: ordinary, at the corners, and at the end of their time."""
    plain = [_ordinary(rng, fragment=rng.choice((0x4000, 0x2000))) for _ in range(5)]
    corners = [_aimed_anywhere(rng, rng.randint(0xFF00, 0xFFFE)) for _ in range(3)]
    corners += [_aimed_anywhere(rng, 0xFEFF) for _ in range(3)]
    corners += [_aimed_anywhere(rng, 0xFEFE)]
    corners += [with_field(_aimed_anywhere(rng, 0x0000), 0xFFFF) for _ in range(2)]
    options = [_ordinary(rng, _any_options(rng, length)) for length in (4, 40, 4 * 5)]
    lowest = [0, 0, 1, 1, 1, 2, 2, 2, rng.randint(3, 255), rng.randint(3, 255)]
    refusals = [_ordinary(rng, hops=hops) for hops in lowest]
    return [
        *_ask("ordinary headers", plain),
        *_ask("corners of the sum", corners),
        *_ask("options", options),
        *_ask("refusals", refusals),
    ]


def pair_questions(rng: random.Random) -> list[Question]:
    """Draw intact data, very short ones and headers."""
    short = [words_that_add_up(*_parts(rng, count, 0xFFFF)) for count in (1, 2, 3, 4)]
    short += [b"\xff\xff" * rng.randint(3, 5), bytes(2 * rng.randint(2, 4)) + b"\xff\xff"]
    short += [words_that_add_up(*[1 << rng.randint(1, 12)] * rng.randint(2, 4))]
    longer = [_any_header(rng) for _ in range(5)]
    longer += [_any_header(rng, _any_options(rng, length)) for length in (4, 40, 4 * 6)]
    longer += [with_field(aimed(0x0000, *_two_hosts(rng)), 0xFFFF) for _ in range(2)]
    first = 0x0F00 | rng.randrange(0x100)  # octet 0 says 60 octets, as a real header may
    longer += [words_that_add_up(first, *_parts(rng, rng.randint(11, 18), 0xF000))]
    return [*_ask("short data", short), *_ask("longer data", longer)]


def _ask(aspect: str, given: Iterable[object]) -> list[Question]:
    return [ask(aspect, one) for one in given]


def _two_hosts(rng: random.Random) -> tuple[str, str]:
    first, second = rng.sample(NETWORKS, 2)
    return f"{first}.{rng.randint(1, 254)}", f"{second}.{rng.randint(1, 254)}"


def _any_header(
    rng: random.Random,
    options: bytes = b"",
    payload_octets: int = 0,
    hops: int | None = None,
    fragment: int | None = None,
) -> bytes:
    """Draw an intact header without any corner in its sum, or in the sum one hop later."""
    anywhere = (0x0000, 0x4000, 0x2000, rng.randint(1, 185))
    while True:
        drawn = header(
            *_two_hosts(rng),
            word_4=(rng.randint(3, 255) if hops is None else hops) << 8 | rng.choice((1, 6, 17)),
            identification=rng.randrange(1, 0x10000),
            fragment=rng.choice(anywhere) if fragment is None else fragment,
            total_length=20 + len(options) + payload_octets,
            options=options,
        )
        left_out = field_of(options_left_out(drawn)) == field_of(drawn)
        if (
            not carries_twice(drawn)
            and 0x0100 < field_of(drawn) < 0xFE00
            and left_out != bool(options)
        ):
            return drawn


def _ordinary(
    rng: random.Random, options: bytes = b"", hops: int | None = None, fragment: int = 0
) -> bytes:
    """Draw a header whose flags and offset are zero unless something else is asked for."""
    return _any_header(rng, options, hops=hops, fragment=fragment)


def _aimed_anywhere(rng: random.Random, checksum: int) -> bytes:
    word_4 = rng.randint(3, 255) << 8 | rng.choice((6, 17))
    return aimed(checksum, *_two_hosts(rng), word_4=word_4)


def _any_options(rng: random.Random, octets: int) -> bytes:
    """Return options whose last octet is never zero, so that leaving them out is seen."""
    return rng.randbytes(octets - 1) + bytes([rng.randint(1, 255)])


def _any_payload(rng: random.Random, odd: int = 0) -> bytes:
    return bytes(rng.randint(1, 255) for _ in range(2 * rng.randint(2, 12) + odd))


def _any_bit(rng: random.Random) -> int:
    """Return a bit of the header behind octet 0, whose length field must stay."""
    return rng.randrange(8, 160)


def _carries(rng: random.Random, carries: int) -> int:
    """Return a total whose first fold carries again."""
    return (carries + 1 << 16) - rng.randint(1, carries - 1)


def _carries_three_times(rng: random.Random) -> int:
    """Return a total of more than 32 bits whose second fold carries, too."""
    after_one_fold = _carries(rng, rng.randint(3, 12))
    low = rng.randrange(0x10000)
    return (after_one_fold - low << 16) + low


def _parts(rng: random.Random, count: int, whole: int) -> list[int]:
    """Draw numbers that add up to less than a whole."""
    return [rng.randrange(1, whole // count) for _ in range(count)]


def _any_datagram(
    rng: random.Random, data_octets: int, length: int | None = None
) -> tuple[str, str, bytes]:
    """Draw hosts and a datagram without any corner in its sum."""
    while True:
        hosts = _two_hosts(rng)
        data = bytes(rng.randint(1, 255) for _ in range(data_octets))
        ports = rng.randint(1024, 65535), rng.randint(1024, 65535)
        made = datagram(data, 0, *ports, length)
        if not udp_carries_twice(*hosts, made) and udp_checksum(*hosts, made) != 0xFFFF:
            return *hosts, made

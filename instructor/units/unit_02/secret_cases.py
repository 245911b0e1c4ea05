"""Questions of unit 02, checksums: the secret ones, drawn anew for each seed.

They are of the same kinds as the public ones, and every aspect is there for every seed.
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

from instructor.units.items import Question
from instructor.units.unit_02.case_packets import (
    aimed,
    ask,
    carries_dropped,
    datagram,
    flipped,
    header,
    intact_words,
    options_left_out,
    payload_covered,
    udp_aimed,
    with_field,
    without_field,
)

NETWORKS = ("192.0.2", "198.51.100", "203.0.113")  # RFC 5737


def fold_questions(rng: random.Random) -> list[Question]:
    """Draw totals with no carry, with some, and with carries that carry again."""
    one = [rng.randint(1, 9) << 16 | rng.randrange(0xFFF0) for _ in range(5)]
    one += [rng.randrange(1, 0xFFFF), rng.randint(3, 9) * 0xFFFF, rng.randint(10, 200) * 0xFFFF]
    more = [_carries(rng, rng.randint(4, 400)) for _ in range(4)]
    more += [_carries_three_times(rng) for _ in range(3)]
    more += [rng.getrandbits(33) | 1 << 32]
    return [
        *(ask("one carry", total) for total in one),
        *(ask("more carries", total) for total in more),
    ]


def header_questions(rng: random.Random) -> list[Question]:
    """Draw headers with and without an old field, payload and options."""
    plain = [without_field(_any_header(rng)) for _ in range(5)]
    plain += [without_field(aimed(0x0000, *_two_hosts(rng)))]
    field = [with_field(_any_header(rng), rng.randrange(1, 0xFFFF)) for _ in range(3)]
    field += [_any_header(rng)]
    payloads = [_any_payload(rng) for _ in range(3)]
    field += [_any_header(rng, payload_octets=len(payload)) + payload for payload in payloads]
    options = [without_field(_any_header(rng, _any_options(rng))) for _ in range(4)]
    options += [_any_header(rng, _any_options(rng)) + _any_payload(rng)]
    return [
        *(ask("plain headers", packet) for packet in plain),
        *(ask("field and payload", packet) for packet in field),
        *(ask("options", packet) for packet in options),
    ]


def intact_questions(rng: random.Random) -> list[Question]:
    """Draw headers that pass, damaged ones, and ones that a mistaken sender filled."""
    plain = [_any_header(rng) for _ in range(3)]
    plain += [flipped(_any_header(rng), _any_bit(rng)) for _ in range(3)]
    plain += [carries_dropped(_any_header(rng)) for _ in range(2)]
    zero = [aimed(0x0000, *_two_hosts(rng)) for _ in range(2)]
    whole = [_any_header(rng) + _any_payload(rng) for _ in range(3)]
    longer = [_any_header(rng, _any_options(rng)) for _ in range(3)]
    edges = [zero[0], *(with_field(packet, 0xFFFF) for packet in zero)]
    edges += [without_field(_any_header(rng)) for _ in range(2)]
    edges += [*whole, payload_covered(whole[0]), flipped(whole[1], _any_bit(rng))]
    edges += [*longer, options_left_out(longer[0]), flipped(longer[1], _any_bit(rng))]
    return [
        *(ask("plain headers", packet) for packet in plain),
        *(ask("edges", packet) for packet in edges),
    ]


def udp_questions(rng: random.Random) -> list[Question]:
    """Draw datagrams of both parities, and some aimed at zero or just beside it."""
    questions = []
    for aspect, odd in (("even lengths", 0), ("odd lengths", 1)):
        questions += [ask(aspect, *_two_hosts(rng), _any_datagram(rng, odd)) for _ in range(4)]
        filled = datagram(rng.randbytes(6 + odd) + b"\x07\x08", rng.randrange(1, 0xFFFF))
        questions.append(ask(aspect, *_two_hosts(rng), filled))
    for checksum in (0x0000, 0x0000, 0x0000, rng.randint(1, 9), 0xFFFF - rng.randint(1, 9)):
        hosts = _two_hosts(rng)
        made = udp_aimed(*hosts, rng.randint(10, 40), checksum)
        questions.append(ask("zero", *hosts, made))
    return questions


def hop_questions(rng: random.Random) -> list[Question]:
    """Draw headers for the next hop: ordinary, at the corner, and at the end of their time."""
    hosts = [_two_hosts(rng) for _ in range(9)]
    protocols = [rng.choice((6, 17)) for _ in hosts]
    update = [_any_header(rng) for _ in range(4)] + [_any_header(rng, _any_options(rng))]
    update += [
        aimed(rng.randint(0xFF00, 0xFFFE), *hosts[place], word_4=0x4000 | protocols[place])
        for place in range(3)
    ]
    corner = [
        aimed(0xFEFF, *hosts[place], word_4=rng.randint(3, 255) << 8 | protocols[place])
        for place in range(3, 6)
    ]
    corner += [with_field(aimed(0x0000, *hosts[6]), 0xFFFF)]
    lowest = [0, 1, 2, 1, 2, rng.randint(3, 255)]
    refusals = [header(*_two_hosts(rng), word_4=hops << 8 | rng.choice((6, 17))) for hops in lowest]
    return [
        *(ask("update", one) for one in update),
        *(ask("corner of RFC 1624", one) for one in corner),
        *(ask("refusals", one) for one in refusals),
    ]


def pair_questions(rng: random.Random) -> list[Question]:
    """Draw intact data, very short ones and headers."""
    edges = [
        intact_words(*(rng.randrange(0x10000) for _ in range(count))) for count in (1, 2, 3, 4)
    ]
    edges += [b"\xff\xff" * rng.randint(2, 6), bytes(2 * rng.randint(2, 6)) + b"\xff\xff"]
    edges += [intact_words(*([1 << rng.randrange(16)] * rng.randint(3, 5)))]
    headers = [_any_header(rng) for _ in range(6)]
    headers += [_any_header(rng, rng.randbytes(4)), _any_header(rng, rng.randbytes(8))]
    return [
        *(ask("edges", one) for one in edges),
        *(ask("headers", one) for one in headers),
    ]


def _two_hosts(rng: random.Random) -> tuple[str, str]:
    first, second = rng.sample(NETWORKS, 2)
    return f"{first}.{rng.randint(1, 254)}", f"{second}.{rng.randint(1, 254)}"


def _any_header(rng: random.Random, options: bytes = b"", payload_octets: int = 0) -> bytes:
    return header(
        *_two_hosts(rng),
        word_4=rng.randint(3, 255) << 8 | rng.choice((1, 6, 17)),
        identification=rng.randrange(1, 0x10000),
        fragment=rng.choice((0x0000, 0x4000, 0x2000, rng.randint(1, 185))),
        total_length=20 + len(options) + payload_octets,
        options=options,
    )


def _any_options(rng: random.Random) -> bytes:
    """Return 4 to 40 octets, the last never zero, so that leaving them out is seen."""
    return rng.randbytes(4 * rng.randint(1, 10) - 1) + bytes([rng.randint(1, 255)])


def _any_payload(rng: random.Random) -> bytes:
    return bytes(rng.randint(1, 255) for _ in range(rng.randint(3, 24)))


def _any_bit(rng: random.Random) -> int:
    """Return a bit of the header behind octet 0, whose length field must stay."""
    return rng.randrange(8, 160)


def _carries(rng: random.Random, carries: int) -> int:
    """Return a total whose first fold carries again."""
    return (carries + 1 << 16) - rng.randint(1, carries)


def _carries_three_times(rng: random.Random) -> int:
    """Return a total of more than 32 bits whose second fold carries, too."""
    after_one_fold = _carries(rng, rng.randint(2, 3))
    low = rng.randrange(0x10000)
    return (after_one_fold - low << 16) + low


def _any_datagram(rng: random.Random, odd: int) -> bytes:
    data = bytes(rng.randint(1, 255) for _ in range(2 * rng.randint(1, 16) + odd))
    ports = rng.randint(1024, 65535), rng.randint(1024, 65535)
    return datagram(data, rng.choice((0, rng.randrange(1, 0xFFFF))), *ports)

"""Questions of unit 06, the forwarding path: the secret ones of 6.1 and 6.2, drawn for each seed.

Every aspect is there for every seed, and every clause is asked in ways that no public case has.
"""

__all__ = ["fault_questions", "frame_questions"]

import random
from typing import Any

from instructor.units.items import Question
from instructor.units.unit_06.case_parts import (
    aimed,
    ask,
    datagram,
    framed,
    resummed,
    station,
    with_field,
)
from instructor.units.unit_06.public_cases.faults import (
    ALL_ONES,
    NO_OPTIONS,
    for_even_part,
    for_low_halves,
    with_cut_off_carry,
)
from instructor.units.unit_06.public_cases.frames import folding_twice

SUM, HEAD, LENGTHS = "the sum", "version and header length", "lengths"
ENVELOPE, LIFE, BELONGS, REFUSALS = (
    "addresses", "time to live and checksum", "options and padding", "refusals",
)  # fmt: skip

# 6.1


def fault_questions(rng: random.Random) -> list[Question]:
    """Draw datagrams in which the sum, the first octet, or the lengths are at stake."""
    return [*_sums(rng), *_heads(rng), *_lengths(rng)]


def _fields(rng: random.Random) -> dict[str, Any]:
    return {
        "source": f"192.0.2.{rng.randint(1, 254)}",
        "destination": f"203.0.113.{rng.randint(1, 254)}",
        "hops": rng.randint(2, 255),
        "protocol": rng.choice((1, 6, 17, 253)),
        "identification": rng.getrandbits(16),
        "fragment": rng.choice((0, 0x4000, 0x2000 | rng.randint(0, 40))),
    }


def _options(rng: random.Random) -> bytes:
    """Return options whose octets are not zero, so that no sum can overlook them."""
    return bytes([1, rng.randint(2, 200), 4, 1]) * rng.randint(1, 10)


def _sums(rng: random.Random) -> list[Question]:
    plain, options, payload = _fields(rng), _options(rng), rng.randbytes(rng.randint(3, 9))
    whole = datagram(payload, **plain)
    bit = 1 << rng.randrange(152)  # the first octet stays: it says how far the sum goes
    damaged = whole[:1] + (int.from_bytes(whole[1:20], "big") ^ bit).to_bytes(19, "big") + payload
    last = datagram(payload, options=options, **plain)
    place = rng.randrange(20, 20 + len(options))
    damaged_option = last[:place] + bytes([last[place] ^ 0x80]) + last[place + 1 :]
    data = [
        whole,
        last,
        damaged,
        damaged_option,
        with_cut_off_carry(whole),
        resummed(last, 20),
        for_low_halves(datagram(rng.randbytes(2) + b"\1", words=15, total=90, **plain)),
        for_even_part(datagram(rng.randbytes(4) + b"\2", words=12, total=90, **plain)),
        bytes(rng.randint(21, 60)),
        with_field(aimed(0, payload=payload, hops=rng.randint(1, 255)), 0xFFFF),
        with_field(datagram(payload, version=0, **plain), rng.randint(1, 99)),
        _spoilt(rng, datagram(payload, version=rng.choice((0, 5, 6, 15)), **plain)),
        _spoilt(rng, datagram(payload, words=rng.randint(1, 4), **plain)),
        _spoilt(rng, datagram(payload, total=rng.randint(0, 19), **plain)),
        _spoilt(rng, datagram(payload, total=rng.randint(60, 900), **plain)),
    ]
    return [ask(SUM, one) for one in data]


def _spoilt(rng: random.Random, data: bytes) -> bytes:
    field = int.from_bytes(data[10:12], "big")
    return with_field(data, field ^ 1 << rng.randrange(16))


def _heads(rng: random.Random) -> list[Question]:
    plain, none = _fields(rng), NO_OPTIONS * rng.randint(2, 9)
    neutral = plain | ALL_ONES
    payload = bytes(rng.randint(2, 20))
    other = rng.choice((0, 2, 3, 5, 7, 14, 15))
    data = [
        datagram(payload, version=other, **plain),
        datagram(payload, version=6, options=none, **plain),
        datagram(payload, words=4, **neutral),
        datagram(payload, words=3, **neutral),
        datagram(payload, version=other, words=3, **neutral),
        datagram(payload, version=other, total=rng.randint(1, 19), **plain),
        datagram(payload, version=other, total=rng.randint(100, 900), **plain),
        datagram(payload, words=3, total=rng.randint(0, 11), **neutral),
        datagram(payload, words=3, total=rng.randint(100, 900), **neutral),
        datagram(payload, options=none, **plain),
        datagram(payload, **plain),
    ]
    return [ask(HEAD, one) for one in data]


def _lengths(rng: random.Random) -> list[Question]:
    plain, words = _fields(rng), rng.randint(1, 9)
    none, header = NO_OPTIONS * words, 20 + 4 * words
    size = rng.randint(2, 20)
    payload = bytes(size)
    data = [
        datagram(**plain)[: rng.randint(1, 19)],
        datagram(version=6, **plain)[: rng.randint(1, 19)],
        datagram(**plain | {"hops": 1}),
        datagram(payload, options=none, total=rng.randint(20, header - 1), **plain),
        datagram(payload, options=none, total=header, **plain),
        datagram(options=none, **plain),
        datagram(bytes(2 * rng.randint(1, 4)), words=8, total=rng.randint(29, 31), **plain),
        datagram(payload, total=rng.randint(5, 19), **plain),
        datagram(payload, total=20 + size + 1, **plain),
        datagram(payload, total=rng.randint(50, 65535), **plain),
        datagram(payload, options=none, **plain) + bytes(rng.randint(1, 99)),
        datagram(total=rng.randint(30, 99), **plain),
        datagram(bytes(5 + 2 * rng.randint(0, 9)), words=15, total=rng.randint(61, 99), **plain),
        datagram(bytes(rng.randint(1, 7)), words=15, total=rng.randint(30, 59), **plain),
    ]
    return [ask(LENGTHS, one) for one in data]


# 6.2


def frame_questions(rng: random.Random) -> list[Question]:
    """Draw frames that go on, with options and padding among them, and some that may not."""
    return [*_envelopes(rng), *_lives(rng), *_belongings(rng), *_refusals(rng)]


def _calm(rng: random.Random, **fields: Any) -> bytes:
    """Draw a datagram without data, whose checksum can rise without a carry."""
    hops = {"hops": rng.randint(3, 255), "protocol": rng.choice((1, 6, 17, 89, 253))}
    return aimed(rng.randint(0x0100, 0xFD00), **hops | fields)


class _Link:
    """Two stations, and datagrams from one to the other: no address need change."""

    def __init__(self, rng: random.Random) -> None:
        self.hop, self.out = rng.sample(range(256), 2)
        low, high = rng.sample(range(1, 255), 2)
        self.ends: dict[str, Any] = {"source": f"192.0.2.{low}", "destination": f"192.0.2.{high}"}
        self.leaves_by = station(self.out), bytes([192, 0, 2, low])
        self.next_hop = station(self.hop), bytes([192, 0, 2, high])

    def asked(self, aspect: str, data: bytes, padded: int = 0) -> Question:
        frame = framed(data, self.hop, self.out, padded=padded)
        return ask(aspect, frame, self.leaves_by, self.next_hop)


def _envelopes(rng: random.Random) -> list[Question]:
    """Ask for all four addresses at once, and for each of them where the others fit already."""
    link = _Link(rng)
    to, by = (number + 128 & 0xFF for number in (link.hop, link.out))
    ends: dict[str, Any] = {
        "source": f"198.51.100.{rng.randint(1, 254)}",
        "destination": f"203.0.113.{rng.randint(1, 254)}",
    }
    frames = [framed(_calm(rng, **ends), one, other) for one, other in ((to, by), (by, to))]
    frames += [
        framed(_calm(rng, **link.ends), to, link.out),
        framed(_calm(rng, **link.ends), link.hop, by),
    ]
    frames += [
        framed(_calm(rng, **link.ends | {end: ends[end]}), link.hop, link.out) for end in ends
    ]
    return [ask(ENVELOPE, frame, link.leaves_by, link.next_hop) for frame in frames]


def _lives(rng: random.Random) -> list[Question]:
    link = _Link(rng)
    datagrams = [
        datagram(hops=rng.randint(3, 255), protocol=rng.randint(0, 255), **link.ends),
        datagram(hops=128, protocol=0, **link.ends),
        aimed(0xFEFF, hops=rng.randint(3, 255), protocol=rng.randint(0, 255), **link.ends),
        aimed(rng.randint(0xFF01, 0xFFFE), hops=rng.randint(3, 255), **link.ends),
        aimed(0xFF00, hops=rng.randint(3, 255), **link.ends),
        folding_twice(hops=rng.randint(3, 200), **link.ends),
        folding_twice(hops=rng.randint(3, 200), protocol=rng.randint(0, 255), **link.ends),
    ]
    return [link.asked(LIFE, data) for data in datagrams]


def _belongings(rng: random.Random) -> list[Question]:
    link = _Link(rng)
    some = rng.randbytes(rng.randint(1, 5)) + b"\1"
    flags = rng.choice((0x4000, 0x2000 | rng.randint(1, 0x1FFF), 0xA000, rng.randint(1, 0x1FFF)))
    questions = [
        link.asked(BELONGS, _calm(rng, payload=payload, options=options, **link.ends), padded)
        for payload in (b"", some)
        for options, padded in ((b"", 46), (_options(rng)[:20], 46), (_options(rng), 0))
    ]
    long = _calm(rng, payload=rng.randbytes(rng.randint(47, 99)), **link.ends)
    questions.append(link.asked(BELONGS, long, 1500))
    return [
        *questions,
        link.asked(BELONGS, _calm(rng, fragment=flags, service=rng.randint(1, 255), **link.ends)),
    ]


def _refusals(rng: random.Random) -> list[Question]:
    link = _Link(rng)
    return [
        link.asked(REFUSALS, _calm(rng, hops=hops, **link.ends), padded)
        for hops, padded in (
            *((0, 46), (0, 0), (1, 46), (1, 0), (1, 0), (2, 0), (2, 0)),
            *((rng.randint(3, 255), 0) for _ in range(3)),
        )
    ]

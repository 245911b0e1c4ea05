"""Questions of unit 06, the forwarding path: the secret ones of 6.1 and 6.2, drawn for each seed.

They are of the same kinds as the public ones, and every aspect is there for every seed.
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

# 6.1


def fault_questions(rng: random.Random) -> list[Question]:
    """Draw datagrams with one fault, with lengths of all kinds, and with several faults."""
    return [*_one_fault(rng), *_lengths(rng), *_several_faults(rng)]


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
    return bytes([1, rng.randint(2, 200), 4, 1]) * rng.randint(1, 4)


def _one_fault(rng: random.Random) -> list[Question]:
    plain, payload = _fields(rng), rng.randbytes(rng.randint(1, 9))
    whole = datagram(payload, **plain)
    bit = 1 << rng.randrange(160)
    damaged = (int.from_bytes(whole[:20], "big") ^ bit).to_bytes(20, "big") + payload
    field = int.from_bytes(whole[10:12], "big")
    data = [
        whole,
        datagram(**_fields(rng)),
        whole[: rng.randint(1, 19)],
        damaged,
        with_field(whole, (field + rng.randint(1, 3)) & 0xFFFF),
        datagram(version=rng.choice((0, 3, 5, 6, 12)), **plain),
        datagram(payload, words=rng.choice((3, 4)), **plain),
        datagram(payload, total=rng.randint(12, 19), **plain),
        datagram(payload, total=20 + len(payload) + rng.randint(1, 30), **plain),
    ]
    return [ask("one fault", one) for one in data]


def _lengths(rng: random.Random) -> list[Question]:
    plain, options, payload = _fields(rng), _options(rng), rng.randbytes(rng.randint(2, 9))
    header_octets = 20 + len(options)
    data = [
        datagram(payload, options=options, **plain),
        datagram(payload, **plain) + bytes(rng.randint(1, 20)),
        datagram(options=options, **plain) + rng.randbytes(rng.randint(1, 20)),
        resummed(datagram(payload, options=options, **plain), 20),
        datagram(payload, options=options, total=rng.randint(20, header_octets - 1), **plain),
        datagram(payload, options=options, total=header_octets, **plain),
    ]
    return [ask("lengths", one) for one in data]


def _several_faults(rng: random.Random) -> list[Question]:
    plain = _fields(rng)
    payload = rng.randbytes(rng.randint(2, 9))
    other = rng.choice((0, 5, 6, 15))

    def spoilt(data: bytes) -> bytes:
        field = int.from_bytes(data[10:12], "big")
        return with_field(data, field ^ 1 << rng.randrange(16))

    data = [
        spoilt(datagram(payload, version=other, **plain)),
        spoilt(datagram(payload, words=4, **plain)),
        spoilt(datagram(payload, total=rng.randint(60, 900), **plain)),
        datagram(payload, version=other, words=4, **plain),
        datagram(payload, version=other, total=rng.randint(1, 19), **plain),
        datagram(payload, words=4, total=rng.randint(1, 15), **plain),
        datagram(payload, words=4, total=rng.randint(100, 900), **plain),
        datagram(payload, words=rng.randint(9, 15), total=rng.randint(21, 35), **plain),
        datagram(payload, words=rng.randint(9, 15), total=rng.randint(60, 900), **plain),
        datagram(version=other, **plain)[: rng.randint(1, 19)],
    ]
    return [ask("several faults", one) for one in data]


# 6.2


def frame_questions(rng: random.Random) -> list[Question]:
    """Draw frames that go on, with options and padding among them, and some that may not."""
    questions = []
    for _ in range(3):
        questions.append(_frame(rng, "hardware addresses", _whole(rng)))
    for hops in (2, 255, rng.randint(3, 254)):
        questions.append(_frame(rng, "time to live and checksum", _whole(rng, hops)))
    corner, carry = aimed(0xFEFF, **_fields(rng)), aimed(rng.randint(0xFF01, 0xFFFE))
    questions.append(_frame(rng, "time to live and checksum", corner))
    questions.append(_frame(rng, "time to live and checksum", carry))
    for padded in (0, 46, 64):
        with_options = datagram(rng.randbytes(rng.randint(0, 5)), options=_options(rng))
        questions.append(_frame(rng, "options and padding", with_options, padded))
        questions.append(_frame(rng, "options and padding", _whole(rng), padded))
    for hops in (0, 1, 1, 2):
        questions.append(_frame(rng, "refusals", _whole(rng, hops)))
    return questions


def _whole(rng: random.Random, hops: int | None = None) -> bytes:
    fields = _fields(rng)
    if hops is not None:
        fields["hops"] = hops
    return datagram(rng.randbytes(rng.randint(0, 8)), **fields)


def _frame(rng: random.Random, aspect: str, data: bytes, padded: int = 0) -> Question:
    to, by, out, hop = rng.sample(range(256), 4)
    ends = rng.sample(range(1, 255), 2)
    leaves_by, next_hop = (
        (station(number), bytes([192, 0, 2, end]))
        for number, end in zip((out, hop), ends, strict=True)
    )
    return ask(aspect, framed(data, to, by, padded=padded), leaves_by, next_hop)

"""Secret questions of unit 01: drawn anew for each batch, and of more kinds than the public ones.

Every draw holds what tells the misconceptions apart, such as a word whose low octet has one
digit, and leaves the rest to chance. As in public, a slip in one thing shows in one aspect.
"""

__all__ = [
    "build_packet_questions",
    "fragment_fields_questions",
    "list_options_questions",
    "parse_frame_questions",
    "parse_packet_questions",
    "read_word_questions",
]

from random import Random

from instructor.units.items import Question
from instructor.units.unit_01.case_parts import packet

NETWORKS = ((192, 0, 2), (198, 51, 100), (203, 0, 113))  # RFC 5737
EXPERIMENTS = (30, 94, 158, 222)  # option types for experiments, RFC 4727
ALIKE = tuple(16 * high + low for high in range(3, 10) for low in (2, 6))  # nobody assigns these


def read_word_questions(rng: Random) -> list[Question]:
    """Draw words inside the data, at its last octets, and beyond both ends."""
    questions = []
    for _ in range(6):
        data = bytes([rng.randrange(16, 256), rng.randrange(1, 16)]) + rng.randbytes(40)
        questions.append(Question("words", (data, 2 * rng.randrange(1, 10))))
        questions.append(Question("words", (data, rng.choice((0, 1, 3, 5, 19)))))
    pair = bytes([rng.randrange(16, 0x7B)]) * 2
    questions += [
        Question("words", (pair * 3, 1)),
        Question("words", (b"\x45" + pair + b"\x00" * 6, 1)),
        Question("words", (b"\x45\x00" + pair + rng.randbytes(6), 2)),
        *(Question("refusals", (two, 0)) for two in (pair, rng.randbytes(2), rng.randbytes(2))),
    ]
    for size in (1, 2, rng.randrange(3, 9), rng.randrange(9, 40)):
        data = rng.randbytes(size)
        ends = (size - 1, size, size + 1, size + rng.randrange(2, 99), -1, -size, -size - 1)
        questions += [Question("refusals", (data, offset)) for offset in ends]
    return questions


def parse_frame_questions(rng: Random) -> list[Question]:
    """Draw frames with and without a tag, and frames that end or begin wrongly."""
    types = (0x0800, 0x0806, 0x86DD, 0x88A8, rng.randrange(0x0600, 0x8000))
    questions = [
        Question("plain frames", (_hardware(rng) + _two(kind) + rng.randbytes(size),))
        for kind in types
        for size in (0, rng.randrange(5, 20), rng.randrange(47, 1501))
    ]
    high = rng.randrange(0xA0, 0xFF)
    tag_like = b"\x81\x00" + _two(rng.randrange(1, 4095)) + _two(types[-1])
    questions += [
        Question("plain frames", (_alike(rng) + rest,))
        for rest in (
            b"\x08\x00" + tag_like,
            b"\x08\x00" + rng.randbytes(3) + tag_like,
            b"\x08\x06" + rng.randbytes(3) + b"A" + bytes(rng.randrange(1, 5)),
        )
    ]
    questions += [
        Question("plain frames", (octets + b"\x08\x00ahoy",))
        for octets in (
            bytes([0x22, high] + [0x22] * 4) * 2,
            bytes([0x02, 0x10, rng.randrange(1, 10)] * 4),
            bytes([ALIKE[0]] * 6 + [rng.choice(ALIKE[1:])] * 6),
        )
    ]
    for kind in types:
        tag = rng.randrange(1, 8) << 13 | rng.randrange(0x0100, 0x0FFF)
        behind = _two(kind) + rng.randbytes(rng.randrange(1, 9)) + b"A"
        frame = _alike(rng) + b"\x81\x00" + _two(tag) + behind
        questions.append(Question("tagged frames", (frame,)))
        questions.append(Question("refusals", (frame[: rng.randrange(14, 18)],)))
        questions.append(Question("refusals", (frame[: rng.randrange(1, 14)],)))
    for tag in (0, rng.randrange(1, 256)):
        frame = _alike(rng) + b"\x81\x00" + _two(tag) + b"\x08\x00" + rng.randbytes(3) + b"A"
        questions.append(Question("tagged frames", (frame,)))
    lengths = (0, rng.randrange(1, 256), rng.randrange(0x0100, 0x05DD), 0x05E0, 0x05FF)
    for length in (*lengths, 0x0600, rng.randrange(0x0601, 0x0800)):
        questions.append(Question("refusals", (_alike(rng) + _two(length) + b"Plover",)))
    for length in (rng.randrange(1, 0x05DD), 0x05FF):
        frame = _alike(rng) + b"\x81\x00" + _two(rng.randrange(1, 4095)) + _two(length)
        questions.append(Question("refusals", (frame + b"Plover",)))
    last_id = _two(rng.randrange(8) << 13 | 0x0FFF)
    frame = _alike(rng) + b"\x81\x00" + last_id + b"\x08\x00" + rng.randbytes(3) + b"A"
    questions.append(Question("refusals", (frame,)))
    return questions


def fragment_fields_questions(rng: Random) -> list[Question]:
    """Draw flags alone, and offsets with no flag or all.

    Of flags the public cases leave two words; each comes several times, so that nobody knows
    which of them is asked where.
    """
    left = (0xC000, 0xE000)
    small = rng.sample(
        [offset for offset in range(2, 0x1000) if offset not in (3, 0x20, 0xB9, 0x172)], 6
    )
    large = rng.sample(range(0x1001, 0x1FFF), 6)
    flagged = [rng.choice((0x6000, 0xE000)) | offset for offset in small[3:] + large[3:]]
    return [
        *(Question("flags", (word,)) for word in (*left, *rng.choices(left, k=6))),
        *(Question("first octet", (word,)) for word in small[:3] + large[:3]),
        *(Question("first octet", (word,)) for word in flagged),
    ]


def parse_packet_questions(rng: Random) -> list[Question]:
    """Draw packets with and without options and padding, and packets that do not fit."""
    lives = (0, 1, 2, 6, 17, 47, 63, 64, 128, 255)
    questions = []
    for size in (1, 2, rng.randrange(3, 20), rng.randrange(256, 400), 1480):
        ends, pair = (_host(rng), _host(rng)), rng.sample(lives, 2)
        payload = rng.randbytes(size - 1) + b"A"
        questions += [
            Question("fields", (packet(payload, ends=ends),)),
            Question("fields", (packet(payload, life_and_protocol=(pair[0], pair[1])),)),
        ]
    for words in (0, 0, 1, 2, rng.randrange(3, 10), 10):
        options = rng.randbytes(4 * words - 1) + b"\xa1" if words else b""
        for rest in (rng.randbytes(rng.randrange(1, 31)), b""):
            payload = rng.randbytes(rng.randrange(1, 9)) + rng.choice((b"A", b"A\x00"))
            whole = packet(payload, options) + rest
            questions.append(Question("options and lengths", (whole,)))
        if words:
            total = rng.randrange(20, 20 + 4 * words)
            broken = packet(payload, options, total=total)
            questions.append(Question("options and lengths", (broken,)))
    whole = packet(rng.randbytes(9) + b"A", ends=(_host(rng),) * 2)
    questions += [
        Question("options and lengths", (octets,))
        for octets in (
            packet(b"A", rng.randbytes(2) + b"\xa1\x00"),
            packet(b"B\x00" + bytes(rng.randrange(1, 9))),
            packet(b"A") + rng.randbytes(3) + b"A",
            packet(b"A", rng.randbytes(7) + b"\xa1"),
            packet(b"ahoy", total=rng.randrange(20)),
        )
    ]
    questions += [
        Question("refusals", (octets,))
        for octets in (
            packet(ends=(_host(rng),) * 2),
            packet(ends=(_host(rng),) * 2),
            packet(rng.randbytes(rng.randrange(1, 9)) + b"A"),
            packet(rng.randbytes(rng.randrange(9, 99)) + b"A"),
            whole[: rng.randrange(1, 3)],
            whole[: rng.randrange(4, 20)],
            bytes([16 * rng.choice((0, 1, 3, 6, 15)) + rng.randrange(5, 7)]) + whole[1:],
            bytes([0x40 + rng.randrange(5)]) + whole[1:],
            bytes([16 * rng.choice((0, 1, 5, 6, 15)) + rng.randrange(5)]) + whole[1:],
            packet(b"ahoy", total=24 + rng.randrange(1, 9)),
            packet(b"ahoy", total=24 * 256),
        )
    ]
    return questions


def list_options_questions(rng: Random) -> list[Question]:
    """Draw options one after another, with fillers and rests, and options that do not fit."""
    questions = [
        Question("options", (b"".join(_option(rng) for _ in range(count)) + b"\x00",))
        for count in (1, 2, 2, 3, 3, 4)
    ]
    late, early = _option(rng, 222), _option(rng, 30)
    kind = bytes([rng.choice(EXPERIMENTS)])
    questions += [
        Question("options", (octets,))
        for octets in (
            late + early + b"\x00",
            early + kind + b"\x02" + late + b"\x00\x00",
            kind + b"\x27" + rng.randbytes(37) + b"\x00",
        )
    ]
    for _ in range(3):
        one, two, rest = _option(rng, 30), _option(rng, 158), rng.randbytes(5)
        questions += [
            Question("ends and padding", (one + b"\x01" * rng.randrange(1, 4) + two + b"\x00",)),
            Question("ends and padding", (one + two + b"\x00" + _option(rng) + rest,)),
        ]
    questions += [
        Question("ends and padding", (octets,))
        for octets in (
            b"\x01\x01\x01\x01"[rng.randrange(4) :],
            early,
            early + late,
            kind + b"\x28" + rng.randbytes(38),
        )
    ]
    one = _option(rng)
    questions += [
        Question("refusals", (octets,))
        for octets in (
            one + b"\x00",
            *(_option(rng) + _option(rng) + b"\x00" for _ in range(3)),
            one + b"\x01" + kind,
            kind,
            one + kind + b"\x04\xa1",
            kind + b"\x03",
            kind + bytes([rng.randrange(7, 255)]) + rng.randbytes(4),
            one + kind + b"\x01\x00\x00",
            kind + b"\x01",
            one + kind + b"\x00\x00\x00",  # an endless loop stays the last one
        )
    ]
    return questions


def build_packet_questions(rng: Random) -> list[Question]:
    """Draw packets without options, and with options of every length modulo four."""
    one, other, port = _host(rng), _host(rng), rng.randrange(1, 65536)
    ports = rng.sample(range(256, 65536), 2)
    questions = [
        Question("addresses and ports", (*given, b"ahoy"))
        for given in (
            (one, other, *ports),
            (one, other, port, port),
            (one, one, *ports),
            (one, one, 0, 0),
            (other, other, rng.randrange(1, 256), 65535),
        )
    ]
    alike = (one, one, port, port)
    for size in (0, 1, 2, 2 * rng.randrange(2, 40) + 1, rng.randrange(300, 600), 1472):
        payload = rng.randbytes(size - 1) + b"A" if size else b""
        questions.append(Question("payloads", (*alike, payload)))
    questions += [
        Question("payloads", (*alike, payload))
        for payload in (
            b"A" + rng.randbytes(2) + b"\x00",
            rng.randbytes(2 * rng.randrange(114, 124) - 1) + b"A",
        )
    ]
    for words in (0, *rng.sample(range(1, 9), 2), 9):
        for spare in (1, 2, 3, 4):
            options = bytes([158, 4 * words + spare]) + rng.randbytes(4 * words + spare)
            options = options[: 4 * words + spare - 1] + b"\xa1"
            questions.append(Question("options", (*alike, b"ahoy", options)))
    zeros = bytes(rng.choice((5, 6, 7, 9, 10, 11)))
    questions.append(Question("options", (*alike, b"ahoy", zeros)))
    return questions


def _two(number: int) -> bytes:
    return number.to_bytes(2, "big")


def _hardware(rng: Random) -> bytes:
    """Return two hardware addresses from the range for documentation (RFC 9542)."""
    first, second = rng.sample(range(16, 256), 2)
    return b"\x00\x00\x5e\x00\x53" + bytes([first]) + b"\x00\x00\x5e\x00\x53" + bytes([second])


def _alike(rng: Random) -> bytes:
    """Return one hardware address twice, all its digits below a."""
    return bytes([rng.choice(ALIKE)]) * 12


def _host(rng: Random) -> str:
    return ".".join(map(str, (*rng.choice(NETWORKS), rng.randrange(101, 255))))


def _option(rng: Random, kind: int | None = None) -> bytes:
    data = rng.randbytes(rng.randrange(1, 7))
    return bytes([kind or rng.choice(EXPERIMENTS), 2 + len(data)]) + data

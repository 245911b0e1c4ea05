"""Secret questions of unit 01: the same kinds as the public ones, drawn anew for each batch.

Every draw holds what tells the misconceptions apart, such as a word whose low octet has one
digit, and leaves the rest to chance.
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

NETWORKS = ((192, 0, 2), (198, 51, 100), (203, 0, 113))  # RFC 5737
EXPERIMENTS = (30, 94, 158, 222)  # option types for experiments, RFC 4727


def read_word_questions(rng: Random) -> list[Question]:
    """Draw words inside the data, at its last octets, and beyond both ends."""
    questions = []
    for _ in range(8):
        data = bytes([rng.randrange(16, 256), rng.randrange(1, 16)]) + rng.randbytes(10)
        questions.append(Question("words", (data, 2 * rng.randrange(1, 6))))
        questions.append(Question("words", (data, rng.choice((0, 1, 3, 5)))))
    for _ in range(3):
        data = rng.randbytes(rng.randrange(5, 9))
        ends = (len(data) - 2, len(data) - 1, len(data), len(data) + 3, -1, -2)
        questions += [Question("refusals", (data, offset)) for offset in ends]
    return questions


def parse_frame_questions(rng: Random) -> list[Question]:
    """Draw frames with and without a tag, and frames that end or begin wrongly."""
    types = (0x0800, 0x0806, 0x86DD, rng.randrange(0x0600, 0x8000))
    questions = [
        Question("plain frames", (_hardware(rng) + kind.to_bytes(2, "big") + rng.randbytes(size),))
        for kind in types
        for size in (0, rng.randrange(5, 20))
    ]
    for kind in types:
        tag = rng.randrange(1, 8) << 13 | rng.randrange(0x0100, 0x0FFF)
        frame = _hardware(rng) + b"\x81\x00" + tag.to_bytes(2, "big") + kind.to_bytes(2, "big")
        questions.append(Question("tagged frames", (frame + rng.randbytes(rng.randrange(9)),)))
        questions.append(Question("refusals", (frame[: rng.randrange(14, 18)],)))
        questions.append(Question("refusals", (frame[: rng.randrange(14)],)))
    for length in (rng.randrange(1, 256), rng.randrange(256, 0x05DD), 0x05FF, 0x0600):
        frame = _hardware(rng) + length.to_bytes(2, "big")
        questions.append(Question("refusals", (frame + rng.randbytes(6),)))
    return questions


def fragment_fields_questions(rng: Random) -> list[Question]:
    """Draw flags alone (the public cases leave four words), offsets alone, and both."""
    flags = rng.sample((0x6000, 0xA000, 0xC000, 0xE000), 4)
    small = rng.sample([offset for offset in range(2, 0x1000) if offset not in (0x20, 0x172)], 4)
    large = rng.sample(range(0x1001, 0x1FFF), 4)
    places = rng.sample([place for place in range(4, 0x1FFF) if place not in (0xB9, 0x1000)], 8)
    both = [rng.choice((0x2000, 0x4000, 0xA000, 0xC000)) | place for place in places]
    return [
        *(Question("flags", (word,)) for word in flags),
        *(Question("offset", (word,)) for word in small + large),
        *(Question("both at once", (word,)) for word in both),
    ]


def parse_packet_questions(rng: Random) -> list[Question]:
    """Draw packets with and without options and padding, and packets that do not fit."""
    plain = [_packet(rng) for _ in range(5)]
    long = _packet(rng, payload_size=rng.randrange(256, 400))
    questions = [Question("fields", (packet,)) for packet in (*plain, long)]
    for words in (0, 0, 1, 2, rng.randrange(3, 11)):
        packet = _packet(rng, options=rng.randbytes(4 * words))
        padding = bytes(rng.choice((0, 3, 30)) if words else 30)
        questions.append(Question("options and padding", (packet + padding,)))
    whole = plain[0]
    questions += [
        Question("refusals", (packet,))
        for packet in (
            _packet(rng, payload_size=0),
            _packet(rng),
            whole[: rng.randrange(1, 20)],
            bytes([rng.choice((0x05, 0x15, 0x35, 0x65, 0xF5))]) + plain[1][1:],
            b"\x54" + plain[2][1:],
            bytes([0x40 + rng.randrange(5)]) + plain[3][1:],
            b"\x4f" + plain[4][1:],
            _with_total(whole, rng.randrange(20)),
            _with_total(whole, len(whole) + rng.randrange(1, 9)),
            _with_total(whole, len(whole) * 256),
        )
    ]
    return questions


def list_options_questions(rng: Random) -> list[Question]:
    """Draw options one after another, with fillers and rests, and options that do not fit."""
    questions = [
        Question("options", (b"".join(_option(rng) for _ in range(count)),))
        for count in (1, 2, 2, 3, 3, 4)
    ]
    for _ in range(3):
        one, two, rest = _option(rng), _option(rng), _option(rng)
        questions += [
            Question("ends and padding", (one + b"\x01" * rng.randrange(1, 4) + two,)),
            Question("ends and padding", (one + two + b"\x00" + rest,)),
        ]
    questions.append(Question("ends and padding", (b"\x01\x01\x01\x01"[rng.randrange(4) :],)))
    kind, one = bytes([rng.choice(EXPERIMENTS)]), _option(rng)
    questions += [
        Question("refusals", (options,))
        for options in (
            one,
            b"\x01" + one,
            one + b"\x01" + kind,
            one + kind + b"\x04\xa1",
            kind + bytes([rng.randrange(7, 255)]) + rng.randbytes(4),
            one + kind + b"\x01\x00\x00",
            one + kind + b"\x00\x00\x00",  # an endless loop stays the last one
        )
    ]
    return questions


def build_packet_questions(rng: Random) -> list[Question]:
    """Draw packets without options, and with options of every length modulo four."""
    questions = []
    for size in (0, 1, 2, rng.randrange(3, 40), rng.randrange(300, 600)):
        questions.append(Question("plain packets", (*_ends(rng), rng.randbytes(size))))
    for words in range(4):
        for spare in (1, 2, 3, 4):
            options = bytes([158, 4 * words + spare]) + rng.randbytes(4 * words + spare)
            options = options[: 4 * words + spare]
            payload = rng.randbytes(rng.randrange(9))
            questions.append(Question("options", (*_ends(rng), payload, options)))
    return questions


def _hardware(rng: Random) -> bytes:
    """Return two hardware addresses from the range for documentation (RFC 7042)."""
    first, second = rng.sample(range(16, 256), 2)
    return b"\x00\x00\x5e\x00\x53" + bytes([first]) + b"\x00\x00\x5e\x00\x53" + bytes([second])


def _host(rng: Random) -> bytes:
    return bytes([*rng.choice(NETWORKS), rng.randrange(3, 255)])


def _packet(rng: Random, options: bytes = b"", payload_size: int | None = None) -> bytes:
    payload = rng.randbytes(rng.randrange(2, 20) if payload_size is None else payload_size)
    header, total = 20 + len(options), 20 + len(options) + len(payload)
    time_to_live, protocol = rng.sample((1, 2, 6, 17, 47, 63, 64, 128, 255), 2)
    words = (
        bytes([0x40 + header // 4, rng.randrange(1, 256)])
        + total.to_bytes(2, "big")
        + rng.randbytes(2)
    )
    words += rng.choice((b"\x00\x00", b"\x40\x00")) + bytes([time_to_live, protocol])
    return words + rng.randbytes(2) + _host(rng) + _host(rng) + options + payload


def _with_total(packet: bytes, total: int) -> bytes:
    return packet[:2] + total.to_bytes(2, "big") + packet[4:]


def _option(rng: Random) -> bytes:
    data = rng.randbytes(rng.randrange(1, 7))
    return bytes([rng.choice(EXPERIMENTS), 2 + len(data)]) + data


def _ends(rng: Random) -> tuple[str, str, int, int]:
    source, destination = (".".join(map(str, _host(rng))) for _ in range(2))
    from_port, to_port = rng.sample(range(256, 65536), 2)
    return source, destination, from_port, to_port

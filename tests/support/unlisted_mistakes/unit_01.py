"""Wrong answers to the exercises of unit 01 that no listed belief explains.

Each is a right answer in which a few words are others.
"""

WORD = """def read_word(data, offset):
    if offset < 0 or offset + 1 >= len(data):
        raise ValueError("no word there")
    return (data[offset] << 8) | data[offset + 1]
"""
FRAME = """def parse_frame(frame):
    if len(frame) < 14:
        raise ValueError("too short")
    kind, vlan, start = frame[12] << 8 | frame[13], None, 14
    if kind == 0x8100:
        if len(frame) < 18:
            raise ValueError("too short")
        vlan, kind, start = (frame[14] & 15) << 8 | frame[15], frame[16] << 8 | frame[17], 18
    if kind < 0x0600:
        raise ValueError("a length")
    return frame[:6].hex(":"), frame[6:12].hex(":"), vlan, kind, frame[start:]
"""
FRAGMENT = """def fragment_fields(word):
    return word & 0x4000 != 0, word & 0x2000 != 0, (word & 0x1FFF) * 8
"""
PACKET = """def parse_packet(packet):
    if len(packet) < 20:
        raise ValueError("short")
    words, total = packet[0] & 15, packet[2] << 8 | packet[3]
    if packet[0] >> 4 != 4 or words < 5 or total < 4 * words or total > len(packet):
        raise ValueError("does not fit")
    return {
        "source": "%d.%d.%d.%d" % tuple(packet[12:16]),
        "destination": "%d.%d.%d.%d" % tuple(packet[16:20]),
        "protocol": packet[9],
        "time_to_live": packet[8],
        "options": packet[20:4 * words],
        "payload": packet[4 * words:total],
    }
"""
OPTIONS = """def list_options(options):
    found, place = [], 0
    while place < len(options):
        kind = options[place]
        if kind == 0:
            break
        if kind == 1:
            place += 1
            continue
        if place + 1 >= len(options):
            raise ValueError("no length")
        length = options[place + 1]
        if length < 2 or place + length > len(options):
            raise ValueError("bad length")
        found.append((kind, options[place + 2:place + length]))
        place += length
    return found
"""
BUILD = """def build_packet(
    source, destination, source_port, destination_port, payload, options=b""
):
    options += bytes(-len(options) % 4)
    size, count = 20 + len(options), 8 + len(payload)
    packet = bytes([64 + size // 4, 0]) + (size + count).to_bytes(2, "big")
    packet += bytes([0, 0, 0, 0, 64, 17, 0, 0])
    packet += bytes(map(int, source.split("."))) + bytes(map(int, destination.split(".")))
    ports = source_port.to_bytes(2, "big") + destination_port.to_bytes(2, "big")
    return packet + options + ports + count.to_bytes(2, "big") + bytes(2) + payload
"""


def changed(right: str, old: str, new: str) -> str:
    """Return an answer with some words replaced; they must stand in it."""
    assert old in right, old
    return right.replace(old, new)


UNLISTED: dict[str, dict[str, str]] = {
    "1.1": {
        "the high octet shifted by 7": changed(WORD, "<< 8", "<< 7"),
        "the high octet weighs 100": changed(WORD, "(data[offset] << 8) |", "data[offset] * 100 +"),
        "one octet twice": changed(WORD, "data[offset + 1]", "data[offset]"),
        "a negative offset means 0": changed(
            WORD, "    if offset < 0 or", "    offset = max(offset, 0)\n    if"
        ),
        "only -1 is refused of the negative ones": changed(WORD, "offset < 0", "offset == -1"),
        "a refusal is returned, not raised": changed(WORD, "raise", "return"),
        "printed, and not returned": changed(WORD, "return (", "print("),
        "the offset is in bits": changed(WORD, "data[offset]", "data[offset // 8]"),
        "a word of 0 is refused": changed(
            WORD,
            "    return",
            "    if not any(data[offset:offset + 2]):\n        raise ValueError\n    return",
        ),
        "the first data are remembered": changed(
            WORD,
            "def read_word(data, offset):",
            "SEEN = {}\ndef read_word(data, offset):\n    data = SEEN.setdefault('data', data)",
        ),
    },
    "1.2": {
        "an id of 13 bits": changed(FRAME, "frame[14] & 15", "frame[14] & 31"),
        "an id of 11 bits": changed(FRAME, "frame[14] & 15", "frame[14] & 7"),
        "the priority as id": changed(FRAME, "(frame[14] & 15) << 8 | frame[15]", "frame[14] >> 5"),
        "-1 without a tag": changed(FRAME, "None, 14", "-1, 14"),
        "the payload as a list": changed(FRAME, "frame[start:]", "list(frame[start:])"),
        "at most 46 octets of payload": changed(FRAME, "[start:]", "[start:start + 46]"),
        "the ether type as octets": changed(
            FRAME, "kind, frame[start", "frame[start - 2:start], frame[start"
        ),
        "without the VLAN id": changed(FRAME, "vlan, kind, frame", "kind, frame"),
        "two kinds of tags": changed(FRAME, "kind == 0x8100", "kind in (0x8100, 0x88A8)"),
        "a short frame is filled up": changed(
            FRAME,
            '    if len(frame) < 14:\n        raise ValueError("too short")',
            "    frame = frame.ljust(14, bytes(1))",
        ),
    },
    "1.3": {
        "units of 16 octets": changed(FRAGMENT, "* 8", "* 16"),
        "an offset of 11 bits": changed(FRAGMENT, "0x1FFF", "0x07FF"),
        "the last octet of the unit": changed(FRAGMENT, "* 8", "* 8 + 7"),
        "no offset where more follow": changed(
            FRAGMENT, "(word & 0x1FFF) * 8", "0 if word & 0x2000 else (word & 0x1FFF) * 8"
        ),
        "the reserved bit is refused": changed(
            FRAGMENT, "    return", "    if word & 0x8000:\n        raise ValueError\n    return"
        ),
        "two flags at once are refused": changed(
            FRAGMENT,
            "    return",
            "    if word & 0x6000 == 0x6000:\n        raise ValueError\n    return",
        ),
        "None for a flag that is not set": changed(
            FRAGMENT, "word & 0x2000 != 0", "True if word & 0x2000 else None"
        ),
        "the offset as text": changed(FRAGMENT, "(word & 0x1FFF) * 8", "hex((word & 0x1FFF) * 8)"),
        "a flag once seen stays": changed(
            changed(FRAGMENT, "word & 0x4000 != 0, word", "any(SEEN), word"),
            "def fragment_fields(word):",
            "SEEN = []\ndef fragment_fields(word):\n    SEEN.append(word & 0x4000 != 0)",
        ),
    },
    "1.4": {
        "the source one octet early": changed(PACKET, "packet[12:16]", "packet[11:15]"),
        "None without options": changed(
            PACKET, "packet[20:4 * words]", "packet[20:4 * words] or None"
        ),
        "one word of options, others refused": changed(PACKET, "words < 5", "not 5 <= words <= 6"),
        "one octet may be missing": changed(PACKET, "> len(packet)", "> len(packet) + 1"),
        "version 6 is taken, too": changed(
            PACKET, "packet[0] >> 4 != 4", "packet[0] >> 4 not in (4, 6)"
        ),
        "a time to live of 0 is refused": changed(
            PACKET, "total > len(packet)", "total > len(packet) or packet[8] == 0"
        ),
        "the checksum must be 0": changed(
            PACKET, "total > len(packet)", "total > len(packet) or any(packet[10:12])"
        ),
        "options and payload have traded places": changed(
            changed(PACKET, '"options"', '"rest"'), '"payload"', '"options"'
        ).replace('"rest"', '"payload"'),
        "only the low octet of the total length": changed(
            PACKET, "packet[2] << 8 | packet[3]", "packet[3]"
        ),
        "the version raises KeyError": changed(
            PACKET,
            "    words, total",
            "    if packet[0] >> 4 != 4:\n        raise KeyError\n    words, total",
        ),
    },
    "1.5": {
        "data in front of the type": changed(
            OPTIONS,
            "(kind, options[place + 2:place + length])",
            "(options[place + 2:place + length], kind)",
        ),
        "the last octet of data is left out": changed(OPTIONS, "+ length]", "+ length - 1]"),
        "a filler has two octets": changed(OPTIONS, "place += 1", "place += 2"),
        "the newest option in front": changed(OPTIONS, "found.append(", "found.insert(0, "),
        "a bad length ends the list": changed(OPTIONS, 'raise ValueError("bad length")', "break"),
        "zeros at the end are cut off first": changed(
            OPTIONS, "    found, place", "    options = options.rstrip(bytes(1))\n    found, place"
        ),
        "parted at the first zero": changed(
            OPTIONS,
            "    found, place",
            "    options = options.split(bytes(1))[0]\n    found, place",
        ),
        "options must be whole words": changed(
            OPTIONS,
            "    found, place",
            "    if len(options) % 4:\n        raise ValueError\n    found, place",
        ),
        "one list for all calls": changed(
            changed(OPTIONS, "found, place = [], 0", "found, place = KEPT, 0"),
            "def list_options",
            "KEPT = []\ndef list_options",
        ),
    },
    "1.6": {
        "version 6": changed(BUILD, "64 + size", "96 + size"),
        "the identification counts": changed(BUILD, "[0, 0, 0, 0, 64", "[0, 1, 0, 0, 64"),
        "no checksum of UDP": changed(BUILD, "+ bytes(2) + payload", "+ payload"),
        "the UDP length counts the options": changed(
            BUILD, "+ count.to_bytes", "+ (count + len(options)).to_bytes"
        ),
        "the payload is filled up to words": changed(
            BUILD, "+ payload\n", "+ payload + bytes(-len(payload) % 4)\n"
        ),
        "the options are cut to words": changed(
            BUILD,
            "options += bytes(-len(options) % 4)",
            "options = options[:len(options) // 4 * 4]",
        ),
        "the longest options are refused": changed(
            BUILD,
            "    size, count",
            "    if len(options) > 36:\n        raise ValueError\n    size, count",
        ),
        "a port with a sign": changed(
            BUILD,
            'destination_port.to_bytes(2, "big")',
            'destination_port.to_bytes(2, "big", signed=True)',
        ),
        "an address turned round": changed(BUILD, 'source.split(".")', 'source.split(".")[::-1]'),
        "a list of numbers": changed(
            changed(BUILD, "return packet", "return list(packet"), "+ payload\n", "+ payload)\n"
        ),
    },
}

"""Model answers of unit 01: frames and headers.

Each function stands alone, and reads from the first octet to the last. Formats: Ethernet II and
its IPv4 payload (RFC 894), IPv4 (RFC 791, section 3.1), UDP (RFC 768).
"""

__all__ = [
    "build_packet",
    "fragment_fields",
    "list_options",
    "parse_frame",
    "parse_packet",
    "read_word",
]


def read_word(data: bytes, offset: int) -> int:
    """Return the 16-bit word that starts at octet `offset`, high octet first.

    >>> hex(read_word(bytes.fromhex("4500 0015"), 2))
    '0x15'
    """
    if offset < 0 or offset + 2 > len(data):
        raise ValueError(f"no word of two octets starts at octet {offset} of {len(data)}")
    return data[offset] * 256 + data[offset + 1]


def parse_frame(frame: bytes) -> tuple[str, str, int | None, int, bytes]:
    """Return destination, source, VLAN id or None, ether type and payload of a frame."""
    is_tagged = frame[12:14] == b"\x81\x00"
    start = 18 if is_tagged else 14
    if len(frame) < start:
        raise ValueError(f"a frame of {len(frame)} octets; its header alone has {start}")
    ether_type = frame[start - 2] * 256 + frame[start - 1]
    if ether_type < 0x0600:
        raise ValueError(f"{ether_type} is a length, not a type")
    vlan = (frame[14] * 256 + frame[15]) & 0x0FFF if is_tagged else None
    return frame[0:6].hex(":"), frame[6:12].hex(":"), vlan, ether_type, frame[start:]


def fragment_fields(word: int) -> tuple[bool, bool, int]:
    """Return "do not fragment", "more fragments" and the number of the first octet.

    >>> fragment_fields(0x20B9)
    (False, True, 1480)
    """
    return bool(word & 0x4000), bool(word & 0x2000), (word & 0x1FFF) * 8


def parse_packet(packet: bytes) -> dict[str, str | int | bytes]:
    """Return the fields of an IPv4 packet that a host looks at, and its payload."""
    if not packet or packet[0] >> 4 != 4:
        raise ValueError("this is not an IPv4 packet")
    words = packet[0] & 0x0F
    header_end, packet_end = words * 4, int.from_bytes(packet[2:4], "big")
    if words < 5 or not header_end <= packet_end <= len(packet):
        raise ValueError(
            f"header up to octet {header_end}, packet up to {packet_end}, data up to {len(packet)}"
        )
    return {
        "source": ".".join(str(octet) for octet in packet[12:16]),
        "destination": ".".join(str(octet) for octet in packet[16:20]),
        "protocol": packet[9],
        "time_to_live": packet[8],
        "options": packet[20:header_end],
        "payload": packet[header_end:packet_end],
    }


def list_options(options: bytes) -> list[tuple[int, bytes]]:
    """Return type and data of each option; the two single-octet types are not listed.

    >>> list_options(bytes.fromhex("01 94 04 00 00 00"))
    [(148, b'\\x00\\x00')]
    """
    found = []
    place = 0
    while place < len(options) and options[place] != 0:
        if options[place] == 1:
            place += 1
            continue
        if place + 1 == len(options):
            raise ValueError(f"the option at octet {place} has no length")
        length = options[place + 1]
        if length < 2 or place + length > len(options):
            raise ValueError(f"the option at octet {place} says that it has {length} octets")
        found.append((options[place], options[place + 2 : place + length]))
        place += length
    return found


def build_packet(
    source: str,
    destination: str,
    source_port: int,
    destination_port: int,
    payload: bytes,
    options: bytes = b"",
) -> bytes:
    """Return an IPv4 packet that carries a UDP datagram, both checksums zero."""
    padded = options + bytes(-len(options) % 4)
    words = 5 + len(padded) // 4
    udp_length = 8 + len(payload)
    header = bytes([0x40 + words, 0])
    header += (words * 4 + udp_length).to_bytes(2, "big")
    header += bytes([0, 0, 0, 0, 64, 17, 0, 0])  # identification, flags, offset; checksum last
    header += bytes(int(part) for part in source.split("."))
    header += bytes(int(part) for part in destination.split("."))
    ports = source_port.to_bytes(2, "big") + destination_port.to_bytes(2, "big")
    return header + padded + ports + udp_length.to_bytes(2, "big") + bytes(2) + payload

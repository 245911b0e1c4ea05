"""Unit 01, with the standard library."""

# ruff: noqa: C408  # habits of whoever wrote this

import ipaddress
import struct


def read_word(data, offset):
    if offset < 0:
        raise ValueError(offset)
    try:
        (word,) = struct.unpack_from(">H", data, offset)
    except struct.error as e:
        raise ValueError("word is not inside the data") from e
    return word


def parse_frame(frame):
    try:
        dst, src, kind = struct.unpack_from("!6s6sH", frame)
        payload, vlan = frame[14:], None
        if kind == 0x8100:
            tci, kind = struct.unpack_from("!HH", frame, 14)
            payload, vlan = frame[18:], tci & 0xFFF
    except struct.error:
        raise ValueError("frame ends in its header") from None
    if kind < 1536:
        raise ValueError("no ether type")
    return dst.hex(":"), src.hex(":"), vlan, kind, payload


def fragment_fields(word):
    bits = format(word, "016b")
    return bits[1] == "1", bits[2] == "1", int(bits[3:], 2) * 8


def parse_packet(packet):
    try:
        vihl, _, total, _, _, ttl, proto, _, src, dst = struct.unpack_from("!BBHHHBBHII", packet)
    except struct.error:
        raise ValueError("no room for a header") from None
    version, words = divmod(vihl, 16)
    if version != 4 or words < 5 or total < words * 4 or len(packet) < total:
        raise ValueError("version or lengths are wrong")
    return dict(
        source=str(ipaddress.IPv4Address(src)),
        destination=str(ipaddress.IPv4Address(dst)),
        protocol=proto,
        time_to_live=ttl,
        options=packet[20 : words * 4],
        payload=packet[words * 4 : total],
    )


def list_options(options):
    rest = memoryview(options)
    out = []
    while rest and rest[0] != 0:
        if rest[0] == 1:
            rest = rest[1:]
            continue
        if len(rest) < 2 or not 2 <= rest[1] <= len(rest):
            raise ValueError("bad length")
        out.append((rest[0], bytes(rest[2 : rest[1]])))
        rest = rest[rest[1] :]
    return out


def build_packet(source, destination, source_port, destination_port, payload, options=b""):
    options += b"\0" * (-len(options) % 4)
    udp = struct.pack("!4H", source_port, destination_port, len(payload) + 8, 0) + payload
    ihl = 5 + len(options) // 4
    src, dst = (ipaddress.ip_address(a).packed for a in (source, destination))
    head = struct.pack("!BBHHHBBH4s4s", 64 + ihl, 0, 4 * ihl + len(udp), 0, 0, 64, 17, 0, src, dst)
    return head + options + udp

"""Unit 01, in small pieces."""

# ruff: noqa: RUF005, UP031  # habits of whoever wrote this


def need(condition, why):
    if not condition:
        raise ValueError(why)


def be(octets):
    return int.from_bytes(octets, byteorder="big")


def read_word(data, offset):
    need(0 <= offset <= len(data) - 2, f"offset {offset} does not fit")
    return be(data[offset : offset + 2])


def mac_text(octets):
    return ":".join("%02x" % o for o in octets)


def dotted(octets):
    return "%d.%d.%d.%d" % tuple(octets)


def parse_frame(frame):
    need(len(frame) >= 14, "short frame")
    tagged = be(frame[12:14]) == 0x8100
    need(len(frame) >= 18 or not tagged, "short tagged frame")
    vlan = be(frame[14:16]) & 0x0FFF if tagged else None
    end = 18 if tagged else 14
    ether_type = be(frame[end - 2 : end])
    need(ether_type >= 0x0600, "length instead of type")
    return mac_text(frame[:6]), mac_text(frame[6:12]), vlan, ether_type, frame[end:]


def fragment_fields(word):
    flags, units = word >> 13, word & 0x1FFF
    return flags & 2 != 0, flags & 1 != 0, units << 3


def parse_packet(packet):
    need(len(packet) >= 20, "short packet")
    need(packet[0] & 0xF0 == 0x40, "not version 4")
    start, stop = 4 * (packet[0] & 0x0F), be(packet[2:4])
    need(20 <= start <= stop <= len(packet), "lengths do not fit")
    return {
        "source": dotted(packet[12:16]),
        "destination": dotted(packet[16:20]),
        "protocol": packet[9],
        "time_to_live": packet[8],
        "options": packet[20:start],
        "payload": packet[start:stop],
    }


def first_option(options):
    """Return the first option and what is behind it."""
    need(len(options) > 1, "no length")
    n = options[1]
    need(n >= 2 and n <= len(options), "impossible length")
    return (options[0], options[2:n]), options[n:]


def list_options(options):
    if options[:1] in (b"", b"\x00"):
        return []
    if options[0] == 1:
        return list_options(options[1:])
    one, rest = first_option(options)
    return [one] + list_options(rest)


def two(n):
    return bytes([n // 256, n % 256])


def four(address):
    return bytes(map(int, address.split(".")))


def udp_part(source_port, destination_port, payload):
    return two(source_port) + two(destination_port) + two(8 + len(payload)) + two(0) + payload


def build_packet(source, destination, source_port, destination_port, payload, options=b""):
    extra = (4 - len(options) % 4) % 4
    options = options + bytes(extra)
    data = udp_part(source_port, destination_port, payload)
    size = 20 + len(options)
    fixed = bytes([0x40 + size // 4, 0]) + two(size + len(data)) + bytes(4) + bytes([64, 17, 0, 0])
    return fixed + four(source) + four(destination) + options + data

"""Answers to 5.5 that break one clause."""

from instructor.units.unit_05.misconceptions.errors import (
    START,
    folded,
    header_for,
    own,
    quote_of,
    right_but_for,
    summed,
    whole,
)


def error_of_its_service(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Keep the type of service of the packet."""
    return right_but_for(packet, reason, address, mtu, start=b"\x45" + packet[1:2] + START[2:])


def error_of_255_hops(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Give the error the longest life there is."""
    return right_but_for(packet, reason, address, mtu, start=START[:8] + b"\xff" + START[9:])


def error_with_its_number(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Keep the identification of the packet."""
    start = START[:4] + packet[4:6] + START[6:]
    return right_but_for(packet, reason, address, mtu, start=start)


def error_with_more_to_come(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Keep the flag that says that more fragments follow."""
    start = START[:6] + bytes([packet[6] & 0x20, 0]) + START[8:]
    return right_but_for(packet, reason, address, mtu, start=start)


def error_from_the_first(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Take the last octet of our address for 1."""
    ends = own(address)[:3] + b"\1" + packet[12:16]
    return right_but_for(packet, reason, address, mtu, ends=ends)


def error_with_its_options(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Keep the options of the packet in the header of the error."""
    right = right_but_for(packet, reason, address, mtu)
    options = packet[20 : 4 * (packet[0] & 15)]
    start = bytes([0x45 + len(options) // 4]) + right[1:2]
    total = (len(right) + len(options)).to_bytes(2, "big")
    return summed(start + total + right[4:10] + bytes(2) + right[12:20] + options, 10) + right[20:]


def error_with_mtu_always(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Tell the MTU whatever the reason."""
    return right_but_for(packet, reason, address, mtu, rest=bytes(2) + mtu.to_bytes(2, "big"))


def error_with_low_mtu(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Write no more than one octet of the MTU."""
    return right_but_for(packet, reason, address, mtu & 0xFF)


def error_with_577_octets(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Quote one octet too much."""
    return right_but_for(packet, reason, address, mtu, quote=whole(packet)[:549])


def error_with_575_octets(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Quote one octet too little."""
    return right_but_for(packet, reason, address, mtu, quote=quote_of(packet)[:547])


def error_without_options_quoted(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Leave the options out of the quote."""
    quote = packet[:20] + whole(packet)[4 * (packet[0] & 15) :]
    return right_but_for(packet, reason, address, mtu, quote=quote[:548])


def error_with_the_zero_sent(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Send the zero that is only to be summed."""
    quote = quote_of(packet)
    return right_but_for(packet, reason, address, mtu, quote=quote + bytes(len(quote) % 2))


def error_without_the_last(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Leave an odd last octet out of the sum."""
    right = right_but_for(packet, reason, address, mtu)[20:]
    message = right[:2] + bytes(2) + right[4:]
    total = folded(message[: len(message) // 2 * 2])
    message = message[:2] + (0xFFFF ^ total).to_bytes(2, "big") + message[4:]
    return header_for(packet, address, len(message)) + message


def error_summed_short(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Let the checksum of ICMP cover no more than the header that is quoted."""
    right = right_but_for(packet, reason, address, mtu)[20:]
    message = right[:2] + bytes(2) + right[4:]
    total = folded(message[: 8 + 4 * (packet[0] & 15)])
    message = message[:2] + (0xFFFF ^ total).to_bytes(2, "big") + message[4:]
    return header_for(packet, address, len(message)) + message


def error_header_folded_once(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Bring the carries of the header's sum back in once."""
    right = right_but_for(packet, reason, address, mtu)
    return once(right[:10] + bytes(2) + right[12:20], 10) + right[20:]


def once(data: bytes, place: int) -> bytes:
    """Put a sum that was folded once into two octets that are zero."""
    total = plain_sum(data)
    folded_once = ((total & 0xFFFF) + (total >> 16)) & 0xFFFF
    return data[:place] + (0xFFFF ^ folded_once).to_bytes(2, "big") + data[place + 2 :]


def plain_sum(data: bytes) -> int:
    """Add up 16-bit words and leave the carries where they are."""
    even = data + bytes(len(data) % 2)
    return sum(int.from_bytes(even[n : n + 2], "big") for n in range(0, len(even), 2))


def error_as_udp(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Send the message as if it were UDP."""
    return right_but_for(packet, reason, address, mtu, start=START[:9] + b"\x11" + START[10:])


def error_header_never_zero(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Write 0xFFFF where a fresh computation gives 0, as UDP has it."""
    right = right_but_for(packet, reason, address, mtu)
    field = right[10:12] if any(right[10:12]) else b"\xff\xff"
    return right[:10] + field + right[12:]

"""The model answer to 12.4, address translation: written to be read out in front of a class.

Sources: RFC 3022, section 4 (what is translated); RFC 4787, sections 4.1, 4.3 and 5 (mappings,
their time, strangers); RFC 5382, section 5 (TCP's time); RFC 1624, section 3 (checksums); RFC 5508,
section 4.2 (errors).
"""

__all__ = ["new_translator"]

LIVES_S = {17: 120, 6: 7440}  # by protocol: UDP, TCP
SUM_AT = {17: 26, 6: 36}  # where a packet without options has the checksum of its protocol


class Mapping:
    """Who is inside, when something went out last, and to whom."""

    def __init__(self, address: bytes, port: int) -> None:
        self.address, self.port = address, port
        self.used_s = 0.0
        self.partners: set[bytes] = set()


def new_translator(outside: str, ports: list[int]) -> "Translator":
    """Return a translator: inside hosts share the address `outside`."""
    return Translator(outside, ports)


class Translator:
    """Mappings by protocol and outside port."""

    def __init__(self, outside: str, ports: list[int]) -> None:
        self.outside = bytes(int(part) for part in outside.split("."))
        self.ports = list(ports)
        self.mappings: dict[tuple[int, int], Mapping] = {}

    def outward(self, now_s: float, packet: bytes) -> bytes | str:
        """Translate the source of a packet that goes out."""
        self.forget(now_s)
        protocol, address, port = packet[9], packet[12:16], number(packet, 20)
        outside_port = self.port_for(protocol, address, port)
        if outside_port is None:
            return "full"
        mapping = self.mappings.setdefault((protocol, outside_port), Mapping(address, port))
        mapping.used_s = now_s
        mapping.partners.add(packet[16:20])
        return with_end(packet, 12, 20, self.outside, outside_port)

    def inward(self, now_s: float, packet: bytes) -> bytes | str:
        """Translate the destination of a packet that comes in."""
        self.forget(now_s)
        is_error = packet[9] == 1
        key = (17, number(packet, 48)) if is_error else (packet[9], number(packet, 22))
        if key not in self.mappings:
            return "no mapping"
        mapping = self.mappings[key]
        if is_error:
            return with_quote(packet, mapping)
        if packet[12:16] not in mapping.partners:
            return "stranger"
        return with_end(packet, 16, 22, mapping.address, mapping.port)

    def forget(self, now_s: float) -> None:
        """Let mappings go by which nothing went out for long."""
        for key, mapping in list(self.mappings.items()):
            if now_s - mapping.used_s >= LIVES_S[key[0]]:
                del self.mappings[key]

    def port_for(self, protocol: int, address: bytes, port: int) -> int | None:
        """Return the outside port of an inside end, or one that is free."""
        for (kind, outside_port), mapping in self.mappings.items():
            if (kind, mapping.address, mapping.port) == (protocol, address, port):
                return outside_port
        for outside_port in self.ports:
            if (protocol, outside_port) not in self.mappings:
                return outside_port
        return None


def with_end(packet: bytes, at: int, port_at: int, address: bytes, port: int) -> bytes:
    """Return a packet with another address and port in it, and checksums that follow."""
    old, new = packet[at : at + 4], address
    old_port, new_port = packet[port_at : port_at + 2], port.to_bytes(2, "big")
    changed = bytearray(packet)
    changed[at : at + 4] = new
    changed[port_at : port_at + 2] = new_port
    put(changed, 10, updated(number(packet, 10), old, new))
    sum_at = SUM_AT[packet[9]]
    is_udp = packet[9] == 17
    if not is_udp or number(packet, sum_at) != 0:
        new_sum = updated(number(packet, sum_at), old + old_port, new + new_port)
        put(changed, sum_at, 0xFFFF if is_udp and new_sum == 0 else new_sum)
    return bytes(changed)


def with_quote(packet: bytes, mapping: Mapping) -> bytes:
    """Return an ICMP error for the inside host, who knows what is quoted."""
    quote = with_end(packet[28:56], 12, 20, mapping.address, mapping.port)
    changed = bytearray(packet)
    changed[28:56] = quote
    put(changed, 22, updated(number(packet, 22), packet[28:56], quote))
    changed[16:20] = mapping.address
    put(changed, 10, updated(number(packet, 10), packet[16:20], mapping.address))
    return bytes(changed)


def updated(checksum: int, old: bytes, new: bytes) -> int:
    """Return a checksum after some octets have changed: RFC 1624, equation 3."""
    total = checksum ^ 0xFFFF
    for place in range(0, len(old), 2):
        total += (number(old, place) ^ 0xFFFF) + number(new, place)
    while total >> 16:
        total = (total & 0xFFFF) + (total >> 16)
    return total ^ 0xFFFF


def number(octets: bytes, at: int) -> int:
    """Return two octets as a number."""
    return octets[at] << 8 | octets[at + 1]


def put(octets: bytearray, at: int, value: int) -> None:
    """Write a number as two octets."""
    octets[at : at + 2] = value.to_bytes(2, "big")

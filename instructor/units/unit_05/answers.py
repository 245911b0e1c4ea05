"""Model answers for unit 05, neighbours and errors: written to be read out in front of a class.

Sources: RFC 826, "Packet format" and "Packet Reception"; RFC 1812, section 3.3.2 (group addresses);
RFC 1122, sections 2.3.2.1 (one question a second) and 2.3.2.2 (packets that wait); RFC 792, pages
4 and 6 (errors), 14 and 15 (echo); RFC 1812, sections 4.3.2.3 (576 octets), 4.3.2.7 and 4.3.2.8
(when to keep silent); RFC 1191, section 4 (the MTU in an error). That three questions are enough is
common practice, no published source.
"""

__all__ = [
    "answer_echo",
    "answer_request",
    "build_error",
    "new_cache",
    "new_reporter",
    "new_waiting",
]


def answer_request(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Check the kinds of addresses, see who is meant, and put the answer together."""
    if len(frame) < 42:
        raise ValueError(f"an ARP frame has 42 octets or more, not {len(frame)}")
    ether_type, kinds, operation = frame[12:14], frame[14:20], frame[20:22]
    if ether_type != b"\x08\x06" or kinds != b"\x00\x01\x08\x00\x06\x04":
        raise ValueError("this is no ARP packet for Ethernet and IPv4")
    asker, wanted = frame[22:32], frame[38:42]
    if operation != b"\x00\x01" or wanted != octets_of(address):
        return None
    ethernet = asker[:6] + hardware_address + ether_type
    return ethernet + kinds + b"\x00\x02" + hardware_address + wanted + asker


def octets_of(address: str) -> bytes:
    """Return the four octets of an address in dotted decimals."""
    return bytes(int(part) for part in address.split("."))


def new_cache(address: str, lifetime_s: float) -> "Cache":
    """Return an empty table of neighbours."""
    return Cache(address, lifetime_s)


class Cache:
    """Keeps what was heard of each neighbour last, and when."""

    def __init__(self, address: str, lifetime_s: float) -> None:
        self.address = address
        self.lifetime_s = lifetime_s
        self.heard: dict[str, tuple[bytes, float]] = {}

    def receive(
        self, now_s: float, operation: int, hardware_address: bytes, sender: str, target: str
    ) -> bool:
        """Merge first, and look at the operation afterwards."""
        if hardware_address[0] & 1:
            return False
        is_known = self.find(now_s, sender) is not None
        if is_known or target == self.address:
            self.heard[sender] = (hardware_address, now_s)
        return operation == 1 and target == self.address

    def find(self, now_s: float, address: str) -> bytes | None:
        """Return a hardware address that is not too old."""
        if address not in self.heard:
            return None
        hardware_address, heard_s = self.heard[address]
        return hardware_address if now_s - heard_s < self.lifetime_s else None


def new_waiting(most: int) -> "Waiting":
    """Return an object in which nothing waits."""
    return Waiting(most)


class Waiting:
    """Keeps, for each address, the packets that wait and the times of the questions."""

    def __init__(self, most: int) -> None:
        self.most = most
        self.packets: dict[str, list[str]] = {}
        self.asked_s: dict[str, list[float]] = {}

    def wait(self, address: str, packet: str) -> None:
        """Keep the latest packets."""
        packets = [*self.packets.get(address, []), packet]
        self.packets[address] = packets[-self.most :]

    def answered(self, address: str) -> list[str]:
        """Let go of what waits for an address."""
        self.asked_s.pop(address, None)
        return self.packets.pop(address, [])

    def tick(self, now_s: float) -> tuple[list[str], list[str]]:
        """Ask, ask again, or give up."""
        questions, given_up = [], []
        for address in list(self.packets):
            asked_s = self.asked_s.setdefault(address, [])
            if asked_s and now_s - asked_s[-1] < 1:
                continue
            if len(asked_s) == 3:
                given_up += self.answered(address)
            else:
                asked_s.append(now_s)
                questions.append(address)
        return questions, given_up


def answer_echo(packet: bytes) -> bytes | None:
    """Turn the packet round, and change no more than that."""
    start = (packet[0] & 0x0F) * 4
    header, message = packet[:start], packet[start:]
    if len(message) < 8 or message[:2] != b"\x08\x00" or folded_sum(message) != 0xFFFF:
        return None
    header = header[:8] + b"\x40" + header[9:12] + header[16:20] + header[12:16] + header[20:]
    return with_checksum(header, 10) + with_checksum(b"\x00" + message[1:], 2)


def with_checksum(data: bytes, place: int) -> bytes:
    """Return the octets with the right checksum at a place."""
    zeroed = data[:place] + bytes(2) + data[place + 2 :]
    checksum = folded_sum(zeroed) ^ 0xFFFF
    return zeroed[:place] + checksum.to_bytes(2, "big") + zeroed[place + 2 :]


def folded_sum(data: bytes) -> int:
    """Add up 16-bit words, an odd last octet as a high half, and bring every carry back in."""
    words = (data[place : place + 2].ljust(2, b"\x00") for place in range(0, len(data), 2))
    total = sum(int.from_bytes(word, "big") for word in words)
    while total > 0xFFFF:
        total = (total & 0xFFFF) + (total >> 16)
    return total


KINDS = {
    "net unreachable": b"\x03\x00",
    "host unreachable": b"\x03\x01",
    "fragmentation needed": b"\x03\x04",
    "time exceeded": b"\x0b\x00",
}
LARGEST = 576 - 20 - 8  # octets that can be quoted


def build_error(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Quote what finds room, put the message in front of it, and the header in front of that."""
    total = int.from_bytes(packet[2:4], "big")
    quote = packet[: min(total, LARGEST)]
    hint = mtu if reason == "fragmentation needed" else 0
    message = with_checksum(KINDS[reason] + bytes(4) + hint.to_bytes(2, "big") + quote, 2)
    start = b"\x45\xc0" + (20 + len(message)).to_bytes(2, "big") + bytes(4) + b"\x40\x01\x00\x00"
    return with_checksum(start + octets_of(address) + packet[12:16], 10) + message


def new_reporter(broadcasts: list[str], most: int) -> "Reporter":
    """Return an object that has reported nothing yet."""
    return Reporter(broadcasts, most)


class Reporter:
    """Knows what must not be reported, and when it said yes."""

    def __init__(self, broadcasts: list[str], most: int) -> None:
        self.broadcasts = [octets_of(address) for address in broadcasts]
        self.most = most
        self.reported_s: list[float] = []

    def may_report(self, now_s: float, packet: bytes, to_all: bool) -> bool:
        """Look at the packet first, and then at the time."""
        if to_all or is_icmp_error(packet) or number_at(packet, 6) & 0x1FFF:
            return False
        if self.is_for_many(packet[16:20]) or self.is_no_host(packet[12:16]):
            return False
        self.reported_s = [then_s for then_s in self.reported_s if now_s - then_s < 1]
        if len(self.reported_s) == self.most:
            return False
        self.reported_s.append(now_s)
        return True

    def is_for_many(self, destination: bytes) -> bool:
        """Tell whether this is a broadcast or a group."""
        is_group = destination[0] >> 4 == 14
        return is_group or destination == b"\xff" * 4 or destination in self.broadcasts

    def is_no_host(self, source: bytes) -> bool:
        """Tell whether nobody can be told under this address: 224.0.0.0 and above, for example."""
        return source[0] in (0, 127) or source[0] >> 5 == 7 or source in self.broadcasts


def is_icmp_error(packet: bytes) -> bool:
    """Tell whether a packet is an error itself; of a later fragment, this says nothing."""
    return packet[9] == 1 and packet[(packet[0] & 0x0F) * 4] in (3, 4, 5, 11, 12)


def number_at(data: bytes, place: int) -> int:
    """Return the 16-bit word at a place."""
    return int.from_bytes(data[place : place + 2], "big")

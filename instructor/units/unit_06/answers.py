"""Model answers for unit 06, the forwarding path: written to be read out in front of a class.

Sources: RFC 1812, section 5.2.2 (the checks and their order), 5.2.1.2 (the order of the steps),
5.3.1 (time to live), 5.3.9 (filters); RFC 1624, equation 3; RFC 791, section 3.2 (fragments).
"""

__all__ = ["carry", "first_fault", "may_pass", "new_dropper", "rewrite_frame", "why_slow"]

from collections.abc import Callable
from typing import Any

Packet = dict[str, Any]


def first_fault(datagram: bytes) -> int | None:
    """Return the number of the first check that fails."""
    if len(datagram) < 20:
        return 1
    words = header_words_of(datagram)
    if folded_sum(datagram[: 4 * words]) != 0xFFFF:
        return 2
    if datagram[0] >> 4 != 4:
        return 3
    if words < 5:
        return 4
    if number_at(datagram, 2) < 4 * words:
        return 5
    if number_at(datagram, 2) > len(datagram):
        return 6
    return None


def number_at(data: bytes, place: int) -> int:
    """Return the 16-bit word that begins at an octet; what is missing counts as zero."""
    return int.from_bytes(data[place : place + 2].ljust(2, b"\0"), "big")


def header_words_of(datagram: bytes) -> int:
    """Return the header length, in words of 4 octets as it is written."""
    return datagram[0] & 0x0F


def folded_sum(data: bytes) -> int:
    """Add up 16-bit words and bring every carry back in."""
    total = sum(number_at(data, place) for place in range(0, len(data), 2))
    while total > 0xFFFF:
        total = (total & 0xFFFF) + (total >> 16)
    return total


def rewrite_frame(
    frame: bytes, leaves_by: tuple[bytes, bytes], next_hop: tuple[bytes, bytes]
) -> bytes:
    """Put new hardware addresses in front of a datagram that is one hop older."""
    ether_type, datagram = frame[12:14], frame[14:]
    datagram = datagram[: number_at(datagram, 2)]  # what stands behind is padding
    time_to_live = datagram[8]
    if time_to_live <= 1:
        raise ValueError(f"a packet with time to live {time_to_live} cannot go on")
    old = number_at(datagram, 8)  # time to live and protocol share a word
    new = old - 0x0100
    words = (number_at(datagram, 10) ^ 0xFFFF, old ^ 0xFFFF, new)  # RFC 1624, equation 3
    checksum = folded_sum(b"".join(word.to_bytes(2, "big") for word in words)) ^ 0xFFFF
    changed = new.to_bytes(2, "big") + checksum.to_bytes(2, "big")
    return next_hop[0] + leaves_by[0] + ether_type + datagram[:8] + changed + datagram[12:]


def carry(
    packets: list[Packet], stages: list[tuple[str, Callable[[Packet], Any]]]
) -> tuple[list[Packet], dict[tuple[str, str], int]]:
    """Carry each packet as far as it gets, and count where the others ended."""
    sent: list[Packet] = []
    dropped: dict[tuple[str, str], int] = {}
    for packet in packets:
        end = through(packet, stages)
        if isinstance(end, dict):
            sent.append(end)
        else:
            dropped[end] = dropped.get(end, 0) + 1
    return sent, dropped


def through(packet: Packet, stages: list[Any]) -> Packet | tuple[str, str]:
    """Return the packet as it leaves the last stage, or the stage and the reason of its end."""
    for name, stage in stages:
        try:
            result = stage(packet)
        except Exception:
            return name, "stage failed"
        if isinstance(result, str):
            return name, result
        if not isinstance(result, dict):
            return name, "stage failed"
        packet = result
    return packet


def may_pass(datagram: bytes, rules: list[tuple[str, int | None, bool]]) -> bool:
    """Let the first rule that fits decide."""
    destination = int.from_bytes(datagram[16:20], "big")
    port = destination_port(datagram)
    for prefix, wanted, passes in rules:
        if covers(prefix, destination) and wanted in (None, port):
            return passes
    return True


def destination_port(datagram: bytes) -> int | None:
    """Return the destination port, None for what carries none."""
    is_later_fragment = number_at(datagram, 6) & 0x1FFF != 0
    if is_later_fragment or datagram[9] not in (6, 17):
        return None
    return number_at(datagram, 4 * header_words_of(datagram) + 2)


def covers(prefix: str, address: int) -> bool:
    """Tell whether a prefix covers an address."""
    network, length = prefix.split("/")
    free_bits = 32 - int(length)
    return number_of(network) >> free_bits == address >> free_bits


def number_of(address: str) -> int:
    """Return the number of 32 bits that an address in dotted decimals stands for."""
    return int.from_bytes(bytes(int(part) for part in address.split(".")), "big")


def new_dropper(every: int) -> "Dropper":
    """Return a stage that drops every so many packets of each flow."""
    return Dropper(every)


class Dropper:
    """Counts the packets of each flow, all of them, whatever becomes of them."""

    def __init__(self, every: int) -> None:
        if every < 1:
            raise ValueError(f"every must be 1 or more, not {every}")
        self.every = every
        self.seen: dict[str, int] = {}
        self.dropped = 0

    def passes(self, flow: str) -> bool:
        """Count first, then decide."""
        self.seen[flow] = self.seen.get(flow, 0) + 1
        if self.seen[flow] % self.every == 0:
            self.dropped += 1
            return False
        return True

    def counts(self) -> tuple[int, int]:
        """Return how many packets have passed, and how many were dropped."""
        return sum(self.seen.values()) - self.dropped, self.dropped


def why_slow(
    header: bytes,
    own: list[str],
    routes: list[tuple[str, str | None, str]],
    mtus: dict[str, int],
    known: list[str],
) -> str | None:
    """Ask what the stages ask, in their order: decide, rewrite, send."""
    destination = ".".join(str(octet) for octet in header[16:20])
    if destination in own:
        return "for the router"
    route = longest_match(routes, number_of(destination))
    if route is None:
        return "no route"
    _, next_hop, interface = route
    if header[8] <= 1:
        return "time to live exceeded"
    if header_words_of(header) != 5:
        return "options"
    if number_at(header, 2) > mtus[interface]:
        return "too large"
    if (next_hop or destination) not in known:
        return "unknown neighbour"
    return None


def longest_match(
    routes: list[tuple[str, str | None, str]], address: int
) -> tuple[str, str | None, str] | None:
    """Return the route with the longest prefix that covers the address."""
    matching = [route for route in routes if covers(route[0], address)]
    return max(matching, key=lambda route: int(route[0].split("/")[1]), default=None)

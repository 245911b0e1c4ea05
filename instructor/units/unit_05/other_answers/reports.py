"""Other right answers to 5.6."""

__all__ = ["NEW_REPORTER"]

import collections
import ipaddress
from collections.abc import Callable, Iterator
from typing import Any


class ReporterByNetworks:
    """Leaves blocks of addresses to the standard library, and the rate to a deque."""

    GROUPS = ipaddress.ip_network("224.0.0.0/4")
    NO_HOSTS = tuple(
        map(ipaddress.ip_network, ("0.0.0.0/8", "127.0.0.0/8", "224.0.0.0/4", "240.0.0.0/4"))
    )

    def __init__(self, broadcasts: list[str], most: int) -> None:
        self.broadcasts = {ipaddress.ip_address(one) for one in broadcasts}
        self.everybody = self.broadcasts | {ipaddress.ip_address("255.255.255.255")}
        self.latest: collections.deque[float] = collections.deque(maxlen=most)

    def may_report(self, now_s: float, packet: bytes, to_all: bool) -> bool:
        """Collect the reasons for silence."""
        source, destination = (ipaddress.ip_address(packet[at : at + 4]) for at in (12, 16))
        header = (packet[0] & 15) << 2
        reasons = [
            to_all,
            packet[9] == 1 and packet[header] in {3, 4, 5, 11, 12},
            int.from_bytes(packet[6:8], "big") & 0x1FFF != 0,
            destination in self.GROUPS or destination in self.everybody,
            source in self.broadcasts or any(source in block for block in self.NO_HOSTS),
            len(self.latest) == self.latest.maxlen and now_s - self.latest[0] < 1,
        ]
        if any(reasons):
            return False
        self.latest.append(now_s)
        return True


class ReporterByRules:
    """A generator yields True for each rule that forbids it."""

    def __init__(self, broadcasts: list[str], most: int) -> None:
        self.lists = broadcasts, most
        self.history: list[float] = []

    def rules(self, packet: bytes, to_all: bool) -> Iterator[bool]:
        """Go through the list of the RFC."""
        listed, _ = self.lists
        source = ".".join(str(octet) for octet in packet[12:16])
        destination = ".".join(str(octet) for octet in packet[16:20])
        yield packet[9] == 1 and packet[4 * (packet[0] - 0x40)] in b"\x03\x04\x05\x0b\x0c"
        yield destination == "255.255.255.255" or destination in listed
        yield packet[16] // 16 == 14
        yield to_all
        yield source in listed or packet[12] in {0, 127} or packet[12] > 223
        yield (packet[6] * 256 + packet[7]) % 8192 > 0

    def may_report(self, now_s: float, packet: bytes, to_all: bool) -> bool:
        """Forget what is a second old, then count."""
        self.history = [then_s for then_s in self.history if then_s + 1 > now_s]
        may = True not in self.rules(packet, to_all) and len(self.history) < self.lists[1]
        self.history += [now_s] * may
        return may


def reporter_of_functions(broadcasts: list[str], most: int) -> Any:
    """Work on numbers, with a list of times in a closure."""
    links = {int.from_bytes(bytes(map(int, one.split("."))), "big") for one in broadcasts}
    times: list[float] = []

    def told(now_s: float) -> bool:
        if len(times) >= most and now_s < times[-most] + 1:
            return False
        times.append(now_s)
        return True

    class Object:
        def may_report(self, now_s: float, packet: bytes, to_all: bool) -> bool:
            source = int.from_bytes(packet[12:16], "big")
            destination = int.from_bytes(packet[16:20], "big")
            if to_all or {source, destination} & links:
                return False
            if destination == 0xFFFFFFFF or destination >> 28 == 0b1110:
                return False
            if source >> 24 in (0, 127) or source >> 29 == 0b111:
                return False
            if int.from_bytes(packet[6:8], "big") % (1 << 13):
                return False
            if packet[9] == 1:
                kind = packet[4 * (packet[0] % 16)]
                if kind in (3, 4, 5) or kind in (11, 12):
                    return False
            return told(now_s)

    return Object()


NEW_REPORTER: tuple[Callable[..., Any], ...] = (
    ReporterByNetworks,
    ReporterByRules,
    reporter_of_functions,
)

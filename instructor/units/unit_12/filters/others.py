"""Other right answers to 12.2: closures with masks, numbers in one struct, an ordered dict."""

__all__ = ["OTHERS"]

import struct
from collections import OrderedDict, deque
from collections.abc import Callable
from types import SimpleNamespace
from typing import Any


def new_filter_of_masks(rules: list[Any], otherwise: str, most: int) -> Any:
    """Turn rules into numbers and masks once, and keep a deque that forgets by itself."""

    def block(prefix: str) -> tuple[int, int]:
        address, _, length = prefix.partition("/")
        number = 0
        for part in address.split("."):
            number = number * 256 + int(part)
        return number, 0xFFFFFFFF << 32 - int(length) & 0xFFFFFFFF

    ready = [
        (*block(source), *block(destination), protocol, ports, verdict)
        for source, destination, protocol, ports, verdict in rules
    ]
    passed: deque[tuple[int, ...]] = deque(maxlen=most)

    def judge(packet: bytes) -> str:
        fields = struct.unpack_from("!BBHHHBBHII", packet)
        identification, word, protocol, source, destination = (
            fields[place] for place in (3, 4, 6, 8, 9)
        )
        start = (fields[0] & 15) << 2
        name = (identification, protocol, source, destination)
        if word & 0x1FFF:
            known = name in passed and not (protocol == 6 and word & 0x1FFF == 1)
            return "pass" if known else "drop"
        if protocol == 6 and word & 0x2000 and len(packet) - start < 16:
            return "drop"
        port = None
        if protocol == 6 or protocol == 17:
            (port,) = struct.unpack_from("!H", packet, start + 2)
        verdict = otherwise
        for net, mask, to_net, to_mask, wanted, ports, told in ready:
            if source & mask != net or destination & to_mask != to_net:
                continue
            if wanted is not None and wanted != protocol:
                continue
            if ports is not None and (port is None or not ports[0] <= port <= ports[1]):
                continue
            verdict = told
            break
        if verdict == "pass" and word & 0x2000:
            passed.append(name)
        return verdict

    return SimpleNamespace(judge=judge)


class FilterOfBits:
    """Compare prefixes as texts of bits, and remember datagrams in an ordered dict."""

    def __init__(self, rules: list[Any], otherwise: str, most: int) -> None:
        everything = ("0.0.0.0/0", "0.0.0.0/0", None, None, otherwise)
        self.rules, self.most = [*rules, everything], most
        self.seen: OrderedDict[bytes, str] = OrderedDict()

    def judge(self, packet: bytes) -> str:
        """Sort by kind of fragment."""
        kind = self.kind(packet)
        if kind == "hiding":
            return "drop"
        key = packet[4:6] + packet[9:10] + packet[12:20]
        if kind == "later":
            return self.seen.get(key, "drop")
        verdict = next(rule[4] for rule in self.rules if self.fits(rule, packet))
        if kind == "first" and verdict == "pass":
            self.seen[key] = "pass"
            while len(self.seen) > self.most:
                self.seen.popitem(last=False)
        return str(verdict)

    def kind(self, packet: bytes) -> str:
        """Return what kind of fragment a packet is."""
        offset = (packet[6] % 32) * 256 + packet[7]
        tcp, more = packet[9] == 6, packet[6] // 32 % 2 == 1
        if offset:
            return "hiding" if tcp and offset == 1 else "later"
        if not more:
            return "whole"
        return "hiding" if tcp and len(packet) < packet[0] % 16 * 4 + 16 else "first"

    def fits(self, rule: Any, packet: bytes) -> bool:
        """Look at one thing after another."""
        source, destination, protocol, ports, _ = rule
        if not self.bits(packet[12:16]).startswith(self.prefix(source)):
            return False
        if not self.bits(packet[16:20]).startswith(self.prefix(destination)):
            return False
        if protocol is not None and packet[9] != protocol:
            return False
        if ports is None:
            return True
        place = packet[0] % 16 * 4 + 2
        port = packet[place] * 256 + packet[place + 1] if packet[9] in {6, 17} else -1
        return port in range(ports[0], ports[1] + 1)

    @staticmethod
    def bits(octets: bytes) -> str:
        """Write octets in bits."""
        return "".join(f"{one:08b}" for one in octets)

    def prefix(self, text: str) -> str:
        """Write a prefix in bits."""
        address, length = text.split("/")
        return self.bits(bytes(map(int, address.split("."))))[: int(length)]


class FilterOfSteps:
    """A generator that is sent packets: its memory is a local list."""

    def __init__(self, *about: Any) -> None:
        self.running = self.run(*about)
        next(self.running)

    def judge(self, packet: bytes) -> Any:
        """Send a packet in."""
        return self.running.send(packet)

    def run(self, rules: Any, otherwise: str, most: int) -> Any:
        """Take packets and give verdicts, for ever."""
        memory: list[Any] = []
        verdict = None
        while True:
            packet = yield verdict
            header, body = packet[: (packet[0] & 15) * 4], packet[(packet[0] & 15) * 4 :]
            word = header[6] << 8 | header[7]
            name = (header[4:6], header[9], header[12:16], header[16:20])
            match word & 0x1FFF, word >> 13 & 1, header[9]:
                case 1, _, 6:
                    verdict = "drop"
                case 0, 1, 6 if len(body) <= 15:
                    verdict = "drop"
                case 0, more, protocol:
                    verdict = self.first(rules, otherwise, header, body, protocol)
                    if more == 1 and verdict == "pass":
                        memory.append(name)
                        del memory[:-most]
                case _:
                    verdict = "pass" if name in memory else "drop"

    def first(self, rules: Any, otherwise: str, header: bytes, body: bytes, protocol: int) -> Any:
        """Return what the first rule that fits says."""
        port = int.from_bytes(body[2:4], "big") if protocol in (6, 17) else None
        found = (
            verdict
            for source, destination, wanted, ports, verdict in rules
            if self.near(source, header[12:16]) and self.near(destination, header[16:20])
            if wanted is None or wanted == protocol
            if ports is None or (port is not None and ports[0] <= port <= ports[1])
        )
        return next(found, otherwise)

    @staticmethod
    def near(prefix: str, address: bytes) -> bool:
        """Shift away what stands behind the prefix."""
        text, length = prefix.split("/")
        behind = 32 - int(length)
        net = int.from_bytes(bytes(map(int, text.split("."))), "big")
        return net >> behind == int.from_bytes(address, "big") >> behind


OTHERS: tuple[Callable[..., Any], ...] = (new_filter_of_masks, FilterOfBits, FilterOfSteps)

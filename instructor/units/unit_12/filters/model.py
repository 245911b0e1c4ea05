"""The model answer to 12.2. Sources: RFC 791, section 3.1; RFC 1858, sections 3 and 4."""

__all__ = ["new_filter"]

from ipaddress import IPv4Address, IPv4Network

Rule = tuple[str, str, int | None, tuple[int, int] | None, str]
TCP, UDP = 6, 17


def new_filter(rules: list[Rule], otherwise: str, most: int) -> "Filter":
    """Return a filter that remembers nothing yet."""
    return Filter(rules, otherwise, most)


class Filter:
    """Judges packets by rules, and later fragments by what became of their first one."""

    def __init__(self, rules: list[Rule], otherwise: str, most: int) -> None:
        self.rules, self.otherwise, self.most = rules, otherwise, most
        self.passed: list[bytes] = []  # datagrams whose first fragments passed, the last one last

    def judge(self, packet: bytes) -> str:
        """Return what becomes of a packet."""
        word = int.from_bytes(packet[6:8], "big")
        offset, more = word & 0x1FFF, bool(word & 0x2000)
        inside = packet[4 * (packet[0] & 0x0F) :]
        datagram = packet[4:6] + packet[9:10] + packet[12:20]
        if self.is_hiding(packet[9], offset, more, inside):
            return "drop"
        if offset > 0:
            return "pass" if datagram in self.passed else "drop"
        verdict = self.by_rules(packet, inside)
        if more and verdict == "pass":
            self.passed = [*self.passed, datagram][-self.most :]
        return verdict

    def is_hiding(self, protocol: int, offset: int, more: bool, inside: bytes) -> bool:
        """Tell whether the flags of TCP may stand in another fragment than its ports."""
        is_short = offset == 0 and more and len(inside) < 16
        return protocol == TCP and (is_short or offset == 1)

    def by_rules(self, packet: bytes, inside: bytes) -> str:
        """Return the verdict of the first rule that fits."""
        for rule in self.rules:
            if self.fits(rule, packet, inside):
                return rule[4]
        return self.otherwise

    def fits(self, rule: Rule, packet: bytes, inside: bytes) -> bool:
        """Tell whether a rule fits a packet."""
        source, destination, protocol, ports, _ = rule
        return (
            covers(source, packet[12:16])
            and covers(destination, packet[16:20])
            and protocol in (None, packet[9])
            and (ports is None or self.has_port(packet[9], ports, inside))
        )

    def has_port(self, protocol: int, ports: tuple[int, int], inside: bytes) -> bool:
        """Tell whether a packet carries a destination port in a range."""
        first, last = ports
        return protocol in (TCP, UDP) and first <= int.from_bytes(inside[2:4], "big") <= last


def covers(prefix: str, address: bytes) -> bool:
    """Tell whether a prefix covers an address."""
    return IPv4Address(address) in IPv4Network(prefix)

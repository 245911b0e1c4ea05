"""Answers that break one clause of the contract of 12.2, and keep all others.

Some clauses about fragments would fall together. So they are broken for one protocol only.
"""

__all__ = [
    "BySource",
    "ClosesWhole",
    "DropsTheRestOfICMP",
    "LongByOptions",
    "OctetOfOffset",
    "OfAllProtocols",
    "OtherwiseForOrphans",
    "PassesTheRestOfUDP",
    "ReadsOnInTCP",
    "RemembersWholeOnes",
    "RulesAreRemembered",
    "SixteenIsShort",
    "TellsNobody",
    "WholeIsAPiece",
    "WholeOnesByEitherEnd",
    "WithoutDestination",
    "WithoutNumber",
    "WithoutProtocol",
    "WithoutSource",
    "WithoutTheFirst",
]

from instructor.units.unit_12.filters.model import TCP, UDP, Filter, Rule
from instructor.units.unit_12.misconceptions.filters import (
    FilterOfEitherEnd,
    FilterThatDropsTheRest,
    FilterThatPassesTheRest,
    FilterThatReadsOn,
)


class BySource(Filter):
    """Look at the source of whole packets alone."""

    def fits(self, rule: Rule, packet: bytes, inside: bytes) -> bool:
        """Let any destination fit."""
        destination = rule[1] if packet[6] & 0x3F else "0.0.0.0/0"
        return super().fits((rule[0], destination, *rule[2:]), packet, inside)


class WholeOnesByEitherEnd(FilterOfEitherEnd):
    """Let either end of whole packets be enough."""

    def fits(self, rule: Rule, packet: bytes, inside: bytes) -> bool:
        """Let fragments be."""
        if packet[6] & 0x3F:
            return Filter.fits(self, rule, packet, inside)
        return super().fits(rule, packet, inside)


class RemembersWholeOnes(Filter):
    """Remember whatever passes."""

    def judge(self, packet: bytes) -> str:
        """Keep whole datagrams, too."""
        verdict = super().judge(packet)
        if verdict == "pass" and not int.from_bytes(packet[6:8], "big") & 0x3FFF:
            datagram = packet[4:6] + packet[9:10] + packet[12:20]
            self.passed = [*self.passed, datagram][-self.most :]
        return verdict


class WholeIsAPiece(Filter):
    """Remember what must not be cut, as if there were more to come."""

    def judge(self, packet: bytes) -> str:
        """Take any flag for that of more fragments."""
        verdict = super().judge(packet)
        if verdict == "pass" and packet[6] & 0x40:
            datagram = packet[4:6] + packet[9:10] + packet[12:20]
            self.passed = [*self.passed, datagram][-self.most :]
        return verdict


class ClosesWhole(Filter):
    """Drop whole packets that no rule fits."""

    def by_rules(self, packet: bytes, inside: bytes) -> str:
        """Let fragments be."""
        is_whole = not int.from_bytes(packet[6:8], "big") & 0x3FFF
        no_rule = not any(self.fits(rule, packet, inside) for rule in self.rules)
        return "drop" if is_whole and no_rule else super().by_rules(packet, inside)


class OtherwiseForOrphans(Filter):
    """Do with later fragments of nobody knows whom what is done otherwise."""

    def judge(self, packet: bytes) -> str:
        """Look whether the first one is known."""
        known = packet[4:6] + packet[9:10] + packet[12:20] in self.passed
        later = int.from_bytes(packet[6:8], "big") & 0x1FFF > 1
        return self.otherwise if later and not known else super().judge(packet)


class RulesAreRemembered(Filter):
    """Remember datagrams that a rule let pass, and no others."""

    def judge(self, packet: bytes) -> str:
        """Forget again what no rule fits."""
        before = self.passed
        verdict = super().judge(packet)
        if not any(self.fits(rule, packet, packet[20:]) for rule in self.rules):
            self.passed = before
        return verdict


class OctetOfOffset(Filter):
    """Read the low octet of the offset alone."""

    def judge(self, packet: bytes) -> str:
        """Take the high bits away."""
        return super().judge(packet[:6] + bytes([packet[6] & 0xE0]) + packet[7:])


class LongByOptions(Filter):
    """Count options as part of what a first fragment holds."""

    def is_hiding(self, protocol: int, offset: int, more: bool, inside: bytes) -> bool:
        """Add them."""
        return super().is_hiding(protocol, offset, more, inside + bytes(self.options))

    def judge(self, packet: bytes) -> str:
        """Note how long they are."""
        self.options = 4 * (packet[0] & 0x0F) - 20
        return super().judge(packet)


class OfAllProtocols(Filter):
    """Look at no protocol."""

    def fits(self, rule: Rule, packet: bytes, inside: bytes) -> bool:
        """Let any protocol fit."""
        return super().fits((*rule[:2], None, *rule[3:]), packet, inside)


class TellsNobody(Filter):
    """Drop whole packets in silence."""

    def judge(self, packet: bytes) -> str:
        """Keep silent."""
        verdict = super().judge(packet)
        return "drop" if verdict == "tell" and not packet[6] & 0x3F else verdict


class WithoutTheFirst(Filter):
    """Begin a range behind its first port."""

    def has_port(self, protocol: int, ports: tuple[int, int], inside: bytes) -> bool:
        """Leave out one port."""
        return super().has_port(protocol, (ports[0] + 1, ports[1]), inside)


class ReadsOnInTCP(FilterThatReadsOn):
    """Read ports in later fragments of TCP."""

    def judge(self, packet: bytes) -> str:
        """Let other protocols be."""
        return super().judge(packet) if packet[9] == TCP else Filter.judge(self, packet)


class DropsTheRestOfICMP(FilterThatDropsTheRest):
    """Let no later fragment of ICMP pass."""

    def judge(self, packet: bytes) -> str:
        """Let other protocols be."""
        return super().judge(packet) if packet[9] == 1 else Filter.judge(self, packet)


class PassesTheRestOfUDP(FilterThatPassesTheRest):
    """Let every later fragment of UDP pass."""

    def judge(self, packet: bytes) -> str:
        """Let other protocols be."""
        return super().judge(packet) if packet[9] == UDP else Filter.judge(self, packet)


class Blurred(Filter):
    """Overlook one field when fragments are put together."""

    field = (0, 0)

    def judge(self, packet: bytes) -> str:
        """Look for a datagram that is the same but for one field."""
        verdict = super().judge(packet)
        start, end = self.field
        datagram = packet[4:6] + packet[9:10] + packet[12:20]
        wanted = datagram[:start] + datagram[end:]
        known = wanted in [one[:start] + one[end:] for one in self.passed]
        later = int.from_bytes(packet[6:8], "big") & 0x1FFF > 1
        return "pass" if later and known else verdict


class WithoutNumber(Blurred):
    """Overlook the identification."""

    field = (0, 2)


class WithoutProtocol(Blurred):
    """Overlook the protocol."""

    field = (2, 3)


class WithoutSource(Blurred):
    """Overlook the source."""

    field = (3, 7)


class WithoutDestination(Blurred):
    """Overlook the destination."""

    field = (7, 11)


class SixteenIsShort(Filter):
    """Drop first fragments with just enough octets."""

    def is_hiding(self, protocol: int, offset: int, more: bool, inside: bytes) -> bool:
        """Ask for one octet more."""
        return super().is_hiding(protocol, offset, more, inside[:-1])

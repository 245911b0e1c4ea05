"""Misconceptions about filters and fragments: exercise 12.2."""

__all__ = ["NEW_FILTER"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_12.filters.model import TCP, UDP, Filter, Rule, covers


class FilterByTheLast(Filter):
    """Believe that a later rule overrides an earlier one."""

    def by_rules(self, packet: bytes, inside: bytes) -> str:
        fitting = [rule[4] for rule in self.rules if self.fits(rule, packet, inside)]
        return fitting[-1] if fitting else self.otherwise


class FilterByTheNarrowest(Filter):
    """Believe that the longest prefix decides, as in a table of routes."""

    def by_rules(self, packet: bytes, inside: bytes) -> str:
        fitting = [rule for rule in self.rules if self.fits(rule, packet, inside)]
        length = [int(rule[1].partition("/")[2]) for rule in fitting]
        return fitting[length.index(max(length))][4] if fitting else self.otherwise


class FilterThatPassesIfAnyDoes(Filter):
    """Believe that a packet passes if any rule lets it pass."""

    def by_rules(self, packet: bytes, inside: bytes) -> str:
        fitting = [rule[4] for rule in self.rules if self.fits(rule, packet, inside)]
        return "pass" if "pass" in fitting else super().by_rules(packet, inside)


class FilterByDestination(Filter):
    """Believe that only the destination counts, as for a way."""

    def fits(self, rule: Rule, packet: bytes, inside: bytes) -> bool:
        return super().fits(("0.0.0.0/0", *rule[1:]), packet, inside)


class FilterOfEitherEnd(Filter):
    """Believe that one of both prefixes is enough."""

    def fits(self, rule: Rule, packet: bytes, inside: bytes) -> bool:
        if not covers(rule[0], packet[12:16]) and not covers(rule[1], packet[16:20]):
            return False
        return super().fits(("0.0.0.0/0", "0.0.0.0/0", *rule[2:]), packet, inside)


class FilterThatClosesAlways(Filter):
    """Believe that what no rule lets pass is dropped, whatever was said."""

    def __init__(self, rules: list[Rule], otherwise: str, most: int) -> None:
        super().__init__(rules, "drop", most)


class FilterOfEitherPort(Filter):
    """Believe that a port is a port, of source or destination."""

    def has_port(self, protocol: int, ports: tuple[int, int], inside: bytes) -> bool:
        return super().has_port(protocol, ports, inside) or super().has_port(
            protocol, ports, inside[2:4] + inside[:2]
        )


class FilterOfSourcePorts(Filter):
    """Believe that the first port of a header is the destination's."""

    def has_port(self, protocol: int, ports: tuple[int, int], inside: bytes) -> bool:
        return super().has_port(protocol, ports, inside[2:4] + inside[:2])


class FilterWithoutTheLast(Filter):
    """Believe that a range ends before its last port."""

    def has_port(self, protocol: int, ports: tuple[int, int], inside: bytes) -> bool:
        return super().has_port(protocol, (ports[0], ports[1] - 1), inside)


class FilterOfShortHeaders(Filter):
    """Believe that every IPv4 header has 20 octets."""

    def judge(self, packet: bytes) -> str:
        return super().judge(bytes([0x45]) + packet[1:])


class FilterOfAnyProtocol(Filter):
    """Believe that ports stand behind every header."""

    def has_port(self, protocol: int, ports: tuple[int, int], inside: bytes) -> bool:
        return super().has_port(TCP, ports, inside)


class FilterThatPassesOverPorts(Filter):
    """Believe that ports do not matter where there are none."""

    def has_port(self, protocol: int, ports: tuple[int, int], inside: bytes) -> bool:
        return protocol not in (TCP, UDP) or super().has_port(protocol, ports, inside)


class FilterThatReadsOn(Filter):
    """Believe that every fragment begins with ports."""

    def judge(self, packet: bytes) -> str:
        inside = packet[4 * (packet[0] & 0x0F) :]
        word = int.from_bytes(packet[6:8], "big")
        if self.is_hiding(packet[9], word & 0x1FFF, bool(word & 0x2000), inside):
            return "drop"
        return self.by_rules(packet, inside)


class FilterThatPassesTheRest(Filter):
    """Believe that later fragments do no harm, since nothing can be made of them alone."""

    def judge(self, packet: bytes) -> str:
        word, protocol = int.from_bytes(packet[6:8], "big") & 0x1FFF, packet[9]
        if word == 0 or (word == 1 and protocol == TCP):
            return super().judge(packet)
        return "pass"


class FilterThatDropsTheRest(Filter):
    """Believe that what carries no ports cannot pass."""

    def judge(self, packet: bytes) -> str:
        verdict = super().judge(packet)
        return "drop" if int.from_bytes(packet[6:8], "big") & 0x1FFF else verdict


class FilterWithoutMemory(Filter):
    """Believe that a rule with ports does not fit a later fragment, and all others do."""

    def judge(self, packet: bytes) -> str:
        offset = int.from_bytes(packet[6:8], "big") & 0x1FFF
        if offset == 0 or (offset == 1 and packet[9] == TCP):
            return super().judge(packet)
        without = [rule for rule in self.rules if rule[3] is None]
        rules, self.rules = self.rules, without
        try:
            return self.by_rules(packet, b"")
        finally:
            self.rules = rules


class FilterByNumber(Filter):
    """Believe that the identification alone names a datagram."""

    def judge(self, packet: bytes) -> str:
        verdict = super().judge(packet)
        number, word = packet[4:6], int.from_bytes(packet[6:8], "big")
        is_hiding = word & 0x1FFF == 1 and packet[9] == TCP
        if word & 0x1FFF and not is_hiding and any(one[:2] == number for one in self.passed):
            return "pass"
        return verdict


class FilterThatPassesShortOnes(Filter):
    """Believe that a first fragment says all that rules ask for, however short it is."""

    def is_hiding(self, protocol: int, offset: int, more: bool, inside: bytes) -> bool:
        return protocol == TCP and offset == 1


class FilterThatPassesTheSecond(Filter):
    """Believe that a later fragment is like all others, wherever it lies."""

    def is_hiding(self, protocol: int, offset: int, more: bool, inside: bytes) -> bool:
        return super().is_hiding(protocol, offset, more, inside) and offset == 0


class FilterThatFearsAllShortOnes(Filter):
    """Believe that short first fragments hide something whatever they carry."""

    def is_hiding(self, protocol: int, offset: int, more: bool, inside: bytes) -> bool:
        return super().is_hiding(TCP, offset, more, inside)


class FilterThatTellsOfEach(Filter):
    """Believe that each fragment gets the verdict of the first one, and the sender is told."""

    def __init__(self, rules: list[Rule], otherwise: str, most: int) -> None:
        super().__init__(rules, otherwise, most)
        self.told: list[bytes] = []

    def judge(self, packet: bytes) -> str:
        verdict, word = super().judge(packet), int.from_bytes(packet[6:8], "big")
        datagram = packet[4:6] + packet[9:10] + packet[12:20]
        if verdict == "tell" and word & 0x2000:
            self.told.append(datagram)
        is_hiding = word & 0x1FFF == 1 and packet[9] == TCP
        if word & 0x1FFF and not is_hiding and datagram in self.told:
            return "tell"
        return verdict


class FilterThatPassesWhatItKnows(Filter):
    """Believe that a datagram passes once its first fragment came, whatever became of that."""

    def judge(self, packet: bytes) -> str:
        verdict, word = super().judge(packet), int.from_bytes(packet[6:8], "big")
        if word & 0x3FFF == 0x2000 and verdict != "pass":
            datagram = packet[4:6] + packet[9:10] + packet[12:20]
            self.passed = [*self.passed, datagram][-self.most :]
        return verdict


class FilterThatForgetsTheNewest(Filter):
    """Believe that what came first stays, and no more is taken in once the memory is full."""

    def judge(self, packet: bytes) -> str:
        before = self.passed
        verdict = super().judge(packet)
        if len(before) == self.most:
            self.passed = before
        return verdict


class FilterThatNeverForgets(Filter):
    """Believe that there is memory without end."""

    def __init__(self, rules: list[Rule], otherwise: str, most: int) -> None:
        super().__init__(rules, otherwise, 1_000_000)


class FilterThatRenews(Filter):
    """Believe that a later fragment keeps its datagram in memory."""

    def judge(self, packet: bytes) -> str:
        verdict = super().judge(packet)
        datagram = packet[4:6] + packet[9:10] + packet[12:20]
        if int.from_bytes(packet[6:8], "big") & 0x1FFF and datagram in self.passed:
            self.passed.remove(datagram)
            self.passed.append(datagram)
        return verdict


class FilterThatTicksOff(Filter):
    """Believe that the last fragment ends a datagram, even if it came before others."""

    def judge(self, packet: bytes) -> str:
        verdict = super().judge(packet)
        datagram = packet[4:6] + packet[9:10] + packet[12:20]
        word = int.from_bytes(packet[6:8], "big")
        if word & 0x1FFF and not word & 0x2000 and datagram in self.passed:
            self.passed.remove(datagram)
        return verdict


NEW_FILTER: dict[str, Callable[..., Any]] = {
    "last-rule-wins": FilterByTheLast,
    "narrowest-rule-wins": FilterByTheNarrowest,
    "any-rule-lets-pass": FilterThatPassesIfAnyDoes,
    "sources-do-not-count": FilterByDestination,
    "one-end-is-enough": FilterOfEitherEnd,
    "default-is-drop": FilterThatClosesAlways,
    "either-port-counts": FilterOfEitherPort,
    "source-port-counts": FilterOfSourcePorts,
    "range-ends-before-its-end": FilterWithoutTheLast,
    "header-is-20": FilterOfShortHeaders,
    "every-protocol-has-ports": FilterOfAnyProtocol,
    "without-ports-any-port-fits": FilterThatPassesOverPorts,
    "fragments-begin-with-ports": FilterThatReadsOn,
    "later-fragments-are-harmless": FilterThatPassesTheRest,
    "later-fragments-never-pass": FilterThatDropsTheRest,
    "later-fragments-by-rules-without-ports": FilterWithoutMemory,
    "identification-is-enough": FilterByNumber,
    "short-first-fragments-are-like-others": FilterThatPassesShortOnes,
    "offset-1-is-like-others": FilterThatPassesTheSecond,
    "short-first-fragments-of-all-hide": FilterThatFearsAllShortOnes,
    "every-fragment-is-told": FilterThatTellsOfEach,
    "came-is-passed": FilterThatPassesWhatItKnows,
    "full-memory-takes-no-more": FilterThatForgetsTheNewest,
    "memory-without-end": FilterThatNeverForgets,
    "later-fragments-renew": FilterThatRenews,
    "last-fragment-ends-it": FilterThatTicksOff,
}

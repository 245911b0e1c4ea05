"""Other right answers to 5.2."""

__all__ = ["NEW_CACHE"]

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any


@dataclass
class Neighbour:
    """What is known of one station."""

    hardware_address: bytes
    last_heard_s: float


@dataclass
class Neighbourhood:
    """Throws away what is too old before it does anything else."""

    address: str
    lifetime_s: float
    known: dict[str, Neighbour] = field(default_factory=dict)

    def clean(self, now_s: float) -> None:
        """Delete what is too old."""
        for address in [*self.known]:
            if now_s - self.known[address].last_heard_s >= self.lifetime_s:
                del self.known[address]

    def receive(
        self, now_s: float, operation: int, hardware_address: bytes, sender: str, target: str
    ) -> bool:
        """Follow RFC 826 line by line, with its merge flag."""
        self.clean(now_s)
        if hardware_address[0] % 2:
            return False
        merge_flag = False
        if sender in self.known:
            self.known[sender].hardware_address = hardware_address
            self.known[sender].last_heard_s = now_s
            merge_flag = True
        if target != self.address:
            return False
        if not merge_flag:
            self.known[sender] = Neighbour(hardware_address, now_s)
        return operation == 1

    def find(self, now_s: float, address: str) -> bytes | None:
        """Look at what is left."""
        self.clean(now_s)
        neighbour = self.known.get(address)
        return neighbour.hardware_address if neighbour else None


class Diary:
    """Writes down all that was learnt, and reads from the end."""

    def __init__(self, address: str, lifetime_s: float) -> None:
        self.mine, self.lifetime_s = address, lifetime_s
        self.lines: list[tuple[float, str, bytes]] = []

    def receive(self, *packet: Any) -> bool:
        """Write a line, if there is something to write."""
        now_s, operation, hardware_address, sender, target = packet
        if int(f"{hardware_address[0]:08b}"[-1]):
            return False
        if self.find(now_s, sender) or target == self.mine:
            self.lines.append((now_s, sender, hardware_address))
        return (operation, target) == (1, self.mine)

    def find(self, now_s: float, address: str) -> bytes | None:
        """Return what the last line about somebody says."""
        for then_s, who, hardware_address in reversed(self.lines):
            if then_s + self.lifetime_s <= now_s:
                return None
            if who == address:
                return hardware_address
        return None


def cache_of_functions(address: str, lifetime_s: float) -> Any:
    """Keep the entries in a closure, two dictionaries side by side."""
    addresses: dict[str, bytes] = {}
    ends_s: dict[str, float] = {}

    class Table:
        def find(self, now_s: float, address: str) -> bytes | None:
            return addresses[address] if ends_s.get(address, now_s) > now_s else None

        def receive(
            self, now_s: float, operation: int, hardware_address: bytes, sender: str, target: str
        ) -> bool:
            if hardware_address[0] & 0x01 == 0x01:
                return False
            for_us = target == address
            if for_us or ends_s.get(sender, now_s) > now_s:
                addresses[sender] = hardware_address
                ends_s[sender] = now_s + lifetime_s
            return for_us and operation != 2

    return Table()


NEW_CACHE: tuple[Callable[..., Any], ...] = (Neighbourhood, Diary, cache_of_functions)

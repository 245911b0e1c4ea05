"""Packets that wait for an address, right in small parts, of which others get one wrong: 5.3."""

__all__ = ["RightWaiting"]

from typing import Any


class RightWaiting:
    """Right in all that the others get wrong."""

    questions = 3

    def __init__(self, most: int) -> None:
        self.most = most
        self.packets: dict[str, list[str]] = {}
        self.count: dict[str, int] = {}  # questions so far
        self.due_s: dict[str, float] = {}

    def wait(self, address: str, packet: str) -> Any:
        """Keep a packet."""
        self.packets[address] = self.kept([*self.packets.get(address, []), packet])

    def kept(self, packets: list[str]) -> list[str]:
        """Return what of the packets for an address stays."""
        return packets[-self.most :]

    def answered(self, address: str) -> Any:
        """Return what waits for an address, and forget it."""
        self.count.pop(address, None)
        self.due_s.pop(address, None)
        return self.packets.pop(address, [])

    def is_due(self, now_s: float, address: str) -> bool:
        """Tell whether a second has gone by, or nobody has asked."""
        return now_s >= self.due_s.get(address, now_s)

    def next_due_s(self, now_s: float, address: str) -> float:
        """Return when something is due again, after a question."""
        return now_s + 1

    def tick(self, now_s: float) -> Any:
        """Ask, or give up."""
        ask: list[str] = []
        lost: list[str] = []
        for address in self.in_order():
            if not self.is_due(now_s, address):
                continue
            if self.count.get(address, 0) < self.questions:
                self.due_s[address] = self.next_due_s(now_s, address)
                self.count[address] = self.count.get(address, 0) + 1
                ask.append(address)
            else:
                lost += self.given_up(address)
        return ask, lost

    def in_order(self) -> list[str]:
        """Return the addresses in the order in which they come."""
        return list(self.packets)

    def given_up(self, address: str) -> list[str]:
        """Return the packets of an address that is given up."""
        return list(RightWaiting.answered(self, address))

"""Answers to 5.3 that break one clause of the contract and keep all others."""

__all__: list[str] = []

import weakref
from typing import Any

from instructor.units.unit_05.misconceptions.right_waiting import RightWaiting


class WaitTells(RightWaiting):
    """Return True from `wait`."""

    def wait(self, address: str, packet: str) -> bool:
        """Keep the packet and say so."""
        super().wait(address, packet)
        return True


class OneMoreInLargeRooms(RightWaiting):
    """Keep one packet too many, in rooms for three or more."""

    def kept(self, packets: list[str]) -> list[str]:
        """Look at the size of the room."""
        return packets[-self.most - (self.most >= 3) :]


class GivesLastOnesAgain(RightWaiting):
    """Give the packets that went last once more, if nothing waits."""

    def __init__(self, most: int) -> None:
        super().__init__(most)
        self.gone: dict[str, list[str]] = {}

    def answered(self, address: str) -> Any:
        """Remember what has gone."""
        packets = super().answered(address) or self.gone.get(address, [])
        self.gone[address] = packets
        return packets


class RemembersTheCount(RightWaiting):
    """Count the questions on after an answer."""

    def answered(self, address: str) -> Any:
        """Forget the time and the packets alone."""
        self.due_s.pop(address, None)
        return self.packets.pop(address, [])


class FourForOnePacket(RightWaiting):
    """Ask four times, if one packet waits."""

    def tick(self, now_s: float) -> Any:
        """Take one question back, if need be."""
        for address, packets in self.packets.items():
            is_last = self.count.get(address) == 3 and self.is_due(now_s, address)
            if is_last and len(packets) == 1 and address not in self.more:
                self.count[address] = 2
                self.more.add(address)
        return super().tick(now_s)

    def __init__(self, most: int) -> None:
        super().__init__(most)
        self.more: set[str] = set()


class OneOfMany(RightWaiting):
    """List the first packet alone, if three or more are given up."""

    def given_up(self, address: str) -> list[str]:
        """Look how many there are."""
        packets = super().given_up(address)
        return packets[:1] if len(packets) >= 3 else packets


class CountsOn(RightWaiting):
    """Give an address up at once, the next time."""

    def given_up(self, address: str) -> list[str]:
        """Forget the time and the packets alone."""
        self.due_s.pop(address)
        return self.packets.pop(address)


class RefusesStrangers(RightWaiting):
    """Refuse an answer from where nothing has ever waited."""

    def __init__(self, most: int) -> None:
        super().__init__(most)
        self.seen: set[str] = set()

    def wait(self, address: str, packet: str) -> None:
        """Remember the address."""
        self.seen.add(address)
        super().wait(address, packet)

    def answered(self, address: str) -> Any:
        """Look it up."""
        if address not in self.seen:
            raise KeyError(address)
        return super().answered(address)


class NewOnesOneByOne(RightWaiting):
    """Ask for one new address in each tick."""

    def is_due(self, now_s: float, address: str) -> bool:
        """Let a new one wait, if another new one is asked for now."""
        is_new = address not in self.due_s
        if is_new and now_s in self.starts_s:
            return False
        if is_new:
            self.starts_s.add(now_s)
        return super().is_due(now_s, address)

    def __init__(self, most: int) -> None:
        super().__init__(most)
        self.starts_s: set[float] = set()


LATEST: list[weakref.ref[Any]] = []


class OnlyOne(RightWaiting):
    """Give out the same packets again as long as somebody holds an object."""

    def __init__(self, most: int) -> None:
        super().__init__(most)
        other = LATEST[-1]() if LATEST else None
        if other is not None:
            self.packets = other.packets
        LATEST[:] = [weakref.ref(self)]

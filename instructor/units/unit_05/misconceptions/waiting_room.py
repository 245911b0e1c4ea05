"""Misconceptions about packets that wait, exercise 5.3: who waits, and who goes at an answer."""

__all__ = ["WHO_WAITS"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_05.misconceptions.right_waiting import RightWaiting


class KeepsTheOldest(RightWaiting):
    """Believe that whoever comes to a full room has to go."""

    def kept(self, packets: list[str]) -> list[str]:
        return packets[: self.most]


class KeepsAll(RightWaiting):
    """Believe that there is always room."""

    def kept(self, packets: list[str]) -> list[str]:
        return packets


class KeepsTheLatest(RightWaiting):
    """Believe that only one packet waits for each address."""

    def kept(self, packets: list[str]) -> list[str]:
        return packets[-1:]


class KeepsOneLess(RightWaiting):
    """Believe that a room is full when one place is left."""

    def kept(self, packets: list[str]) -> list[str]:
        return packets[-max(self.most - 1, 1) :]


class KeepsOneMore(RightWaiting):
    """Believe that the one that comes needs no place."""

    def kept(self, packets: list[str]) -> list[str]:
        return packets[-self.most - 1 :]


class ClearsTheRoom(RightWaiting):
    """Believe that a full room is cleared as a whole."""

    def kept(self, packets: list[str]) -> list[str]:
        return packets if len(packets) <= self.most else packets[-1:]


class OneRoomForAll(RightWaiting):
    """Believe that all addresses share one room."""

    def wait(self, address: str, packet: str) -> None:
        if sum(map(len, self.packets.values())) >= self.most:
            oldest = next(iter(self.packets))
            del self.packets[oldest][0]
            if not self.packets[oldest]:
                self.answered(oldest)
        self.packets.setdefault(address, []).append(packet)


class NewestFirst(RightWaiting):
    """Believe that the latest packet goes first."""

    def answered(self, address: str) -> Any:
        return super().answered(address)[::-1]


class LetsOneGo(RightWaiting):
    """Believe that an answer lets one packet go."""

    def answered(self, address: str) -> Any:
        return super().answered(address)[:1]


class AnsweredAgain(RightWaiting):
    """Believe that packets stay where they are when they may go."""

    def answered(self, address: str) -> Any:
        return list(self.packets.get(address, []))


class RefusesAnswers(RightWaiting):
    """Believe that an answer for which nobody waits is an error."""

    def answered(self, address: str) -> Any:
        if address not in self.packets:
            raise KeyError(address)
        return super().answered(address)


class NoneForNobody(RightWaiting):
    """Believe that None is as good as an empty list."""

    def answered(self, address: str) -> Any:
        return super().answered(address) or None


class SameOnce(RightWaiting):
    """Believe that two packets that are alike are one packet."""

    def wait(self, address: str, packet: str) -> None:
        if packet not in self.packets.get(address, []):
            super().wait(address, packet)


WHO_WAITS: dict[str, Callable[..., Any]] = {
    "newest-makes-room": KeepsTheOldest,
    "room-for-all": KeepsAll,
    "room-for-one": KeepsTheLatest,
    "room-one-too-small": KeepsOneLess,
    "room-one-too-large": KeepsOneMore,
    "full-room-cleared": ClearsTheRoom,
    "one-room-for-all": OneRoomForAll,
    "newest-goes-first": NewestFirst,
    "one-goes-per-answer": LetsOneGo,
    "packets-stay-after-the-answer": AnsweredAgain,
    "unasked-answer-refused": RefusesAnswers,
    "none-for-nobody": NoneForNobody,
    "same-packet-kept-once": SameOnce,
}

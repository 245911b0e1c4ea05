"""Misconceptions about packets that wait, exercise 5.3: who is asked, when, and how often."""

__all__ = ["QUESTIONS"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_05.misconceptions.right_waiting import RightWaiting


class AsksEachTick(RightWaiting):
    """Believe that every tick asks."""

    def is_due(self, now_s: float, address: str) -> bool:
        return True


class AsksOnce(RightWaiting):
    """Believe that one question is enough, and that one waits for the answer for ever."""

    def is_due(self, now_s: float, address: str) -> bool:
        return address not in self.due_s


class WaitsOverASecond(RightWaiting):
    """Believe that a second is not over when exactly one has gone by."""

    def is_due(self, now_s: float, address: str) -> bool:
        return address not in self.due_s or now_s > self.due_s[address]


class ByTheFirst(RightWaiting):
    """Believe that questions stand in a grid of seconds, from the first one on."""

    def next_due_s(self, now_s: float, address: str) -> float:
        return self.due_s.get(address, now_s) + 1


class DoublesTheTime(RightWaiting):
    """Believe that the time between questions doubles."""

    def next_due_s(self, now_s: float, address: str) -> float:
        return now_s + 2.0 ** self.count.get(address, 0)


class AsksForEachPacket(RightWaiting):
    """Believe that each packet needs a question of its own."""

    def wait(self, address: str, packet: str) -> None:
        super().wait(address, packet)
        self.due_s.pop(address, None)


class StartsAnew(RightWaiting):
    """Believe that with another packet the counting starts anew."""

    def wait(self, address: str, packet: str) -> None:
        super().wait(address, packet)
        self.count.pop(address, None)


class AsksByPackets(RightWaiting):
    """Believe that a question stands in the list for each packet that waits."""

    def tick(self, now_s: float) -> Any:
        ask, lost = super().tick(now_s)
        return [address for address in ask for _ in self.packets[address]], lost


class StillAsks(RightWaiting):
    """Believe that an answer changes nothing in what is asked."""

    def answered(self, address: str) -> Any:
        packets = self.packets.get(address, [])
        if packets:
            self.packets[address] = []
        return packets


class RemembersTheTime(RightWaiting):
    """Believe that the time of the last question counts on after an answer."""

    def answered(self, address: str) -> Any:
        self.count.pop(address, None)
        return self.packets.pop(address, [])


class OneClockForAll(RightWaiting):
    """Believe that there is one question a second, whoever is asked for."""

    def is_due(self, now_s: float, address: str) -> bool:
        return now_s >= max(self.due_s.values(), default=now_s)


class OneQuestionATick(RightWaiting):
    """Believe that one tick asks for one address."""

    def tick(self, now_s: float) -> Any:
        count, due_s = dict(self.count), dict(self.due_s)
        ask, lost = super().tick(now_s)
        for address in ask[1:]:
            self.count.pop(address)
            self.due_s.pop(address)
            if address in count:
                self.count[address], self.due_s[address] = count[address], due_s[address]
        return ask[:1], lost


class ByAddress(RightWaiting):
    """Believe that the addresses come in the order of the alphabet."""

    def in_order(self) -> list[str]:
        return sorted(self.packets)


QUESTIONS: dict[str, Callable[..., Any]] = {
    "asks-at-each-tick": AsksEachTick,
    "asks-once": AsksOnce,
    "a-second-is-not-enough": WaitsOverASecond,
    "grid-of-seconds": ByTheFirst,
    "time-doubles": DoublesTheTime,
    "asks-for-each-packet": AsksForEachPacket,
    "counts-anew-for-each-packet": StartsAnew,
    "question-per-packet": AsksByPackets,
    "asks-on-after-the-answer": StillAsks,
    "time-counts-on-after-the-answer": RemembersTheTime,
    "one-clock-for-all": OneClockForAll,
    "one-question-a-tick": OneQuestionATick,
    "addresses-sorted": ByAddress,
}

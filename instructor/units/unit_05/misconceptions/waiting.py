"""Misconceptions about packets that wait for an address: exercise 5.3."""

__all__ = ["NEW_WAITING"]

from collections.abc import Callable
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


class AsksTwice(RightWaiting):
    """Believe that the second question is the last one."""

    questions = 2


class AsksFourTimes(RightWaiting):
    """Believe that three questions come after the first one."""

    questions = 4


class GivesUpAtOnce(RightWaiting):
    """Believe that with the third question everything is lost."""

    def tick(self, now_s: float) -> Any:
        ask, lost = super().tick(now_s)
        for address in ask:
            if self.count[address] == self.questions:
                lost += self.given_up(address)
        return ask, lost


class NeverGivesUp(RightWaiting):
    """Believe that somebody will answer in the end."""

    questions = 1_000_000


class OneForAll(RightWaiting):
    """Believe that one error is enough, about the first packet."""

    def given_up(self, address: str) -> list[str]:
        return super().given_up(address)[:1]


class OneForTheLast(RightWaiting):
    """Believe that one error is enough, about the last packet."""

    def given_up(self, address: str) -> list[str]:
        return super().given_up(address)[-1:]


class NewestLostFirst(RightWaiting):
    """Believe that the latest packet is given up first."""

    def given_up(self, address: str) -> list[str]:
        return super().given_up(address)[::-1]


class ListsAddresses(RightWaiting):
    """Believe that the address is what is given up."""

    def given_up(self, address: str) -> list[str]:
        super().given_up(address)
        return [address]


class ListsPairs(RightWaiting):
    """Believe that the packets of an address stand in a list of their own."""

    def given_up(self, address: str) -> list[Any]:
        return [super().given_up(address)]


class GivesUpInSilence(RightWaiting):
    """Believe that nobody needs to know of packets that are given up."""

    def given_up(self, address: str) -> list[str]:
        super().given_up(address)
        return []


class Remembers(RightWaiting):
    """Believe that an address that did not answer is not asked for again."""

    def __init__(self, most: int) -> None:
        super().__init__(most)
        self.silent: set[str] = set()

    def given_up(self, address: str) -> list[str]:
        self.silent.add(address)
        return super().given_up(address)

    def in_order(self) -> list[str]:
        return [address for address in self.packets if address not in self.silent]


class AsksWhenItGivesUp(RightWaiting):
    """Believe that whoever gives up asks once more."""

    def tick(self, now_s: float) -> Any:
        waiting = list(self.packets)
        ask, lost = super().tick(now_s)
        gone = [address for address in waiting if address not in self.packets]
        return [address for address in waiting if address in ask or address in gone], lost


NEW_WAITING: dict[str, Callable[..., Any]] = {
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
    "two-questions": AsksTwice,
    "four-questions": AsksFourTimes,
    "given-up-with-the-third": GivesUpAtOnce,
    "never-given-up": NeverGivesUp,
    "one-error-for-all": OneForAll,
    "one-error-for-the-last": OneForTheLast,
    "newest-lost-first": NewestLostFirst,
    "address-given-up": ListsAddresses,
    "lists-in-the-list": ListsPairs,
    "given-up-in-silence": GivesUpInSilence,
    "silence-remembered": Remembers,
    "asks-when-it-gives-up": AsksWhenItGivesUp,
}

"""Misconceptions about packets that wait, exercise 5.3: what becomes of them if nobody answers."""

__all__ = ["GIVEN_UP"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_05.misconceptions.right_waiting import RightWaiting


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


GIVEN_UP: dict[str, Callable[..., Any]] = {
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

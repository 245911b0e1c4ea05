"""Other right answers to 5.3."""

__all__ = ["NEW_WAITING"]

import collections
from collections.abc import Callable
from typing import Any


class OneRecordEach:
    """A record for each address: packets, questions, time of the next step."""

    def __init__(self, most: int) -> None:
        self.most = most
        self.records: dict[str, dict[str, Any]] = {}

    def wait(self, address: str, packet: str) -> None:
        """Let the deque throw away what is too much."""
        if address not in self.records:
            room: collections.deque[str] = collections.deque(maxlen=self.most)
            self.records[address] = {"room": room, "questions": 0, "next_s": float("-inf")}
        self.records[address]["room"].append(packet)

    def answered(self, address: str) -> list[str]:
        """Take the record out."""
        record = self.records.pop(address, None)
        return list(record["room"]) if record else []

    def tick(self, now_s: float) -> tuple[list[str], list[str]]:
        """Go through the records that are due."""
        due = [address for address, one in self.records.items() if one["next_s"] <= now_s]
        late = [address for address in due if self.records[address]["questions"] == 3]
        ask = [address for address in due if address not in late]
        for address in ask:
            self.records[address]["questions"] += 1
            self.records[address]["next_s"] = now_s + 1
        return ask, [packet for address in late for packet in self.answered(address)]


class OneList:
    """All packets in one list, in the order in which they came."""

    def __init__(self, most: int) -> None:
        self.most = most
        self.queue: list[tuple[str, str]] = []
        self.order: list[str] = []
        self.history: dict[str, tuple[float, ...]] = {}

    def wait(self, address: str, packet: str) -> None:
        """Put it at the end, and take out the oldest of the same address."""
        self.queue.append((address, packet))
        if address not in self.order:
            self.order.append(address)
        same = [pair for pair in self.queue if pair[0] == address]
        if len(same) > self.most:
            self.queue.remove(same[0])

    def answered(self, address: str) -> list[str]:
        """Part the list."""
        going = [packet for where, packet in self.queue if where == address]
        self.queue = [pair for pair in self.queue if pair[0] != address]
        self.order = [one for one in self.order if one != address]
        self.history.pop(address, None)
        return going

    def tick(self, now_s: float) -> tuple[list[str], list[str]]:
        """Work on a copy of the order."""
        result: tuple[list[str], list[str]] = ([], [])
        for address in tuple(self.order):
            times = self.history.get(address, ())
            if times == () or now_s >= times[-1] + 1:
                if len(times) < 3:
                    self.history[address] = (*times, now_s)
                    result[0].append(address)
                else:
                    result[1].extend(self.answered(address))
        return result


def waiting_of_generators(most: int) -> Any:
    """Let a generator for each address say what is to be done: ask three times, then give up."""

    def life() -> Any:
        now_s = yield
        for _ in range(3):
            asked_s = now_s
            now_s = yield "ask"
            while now_s - asked_s < 1:
                now_s = yield "nothing"
        yield "give up"

    class Room:
        def __init__(self) -> None:
            self.rooms: dict[str, list[str]] = {}
            self.lives: dict[str, Any] = {}

        def wait(self, address: str, packet: str) -> None:
            if address not in self.lives:
                self.lives[address] = life()
                next(self.lives[address])
                self.rooms[address] = []
            self.rooms[address].append(packet)
            while len(self.rooms[address]) > most:
                self.rooms[address].pop(0)

        def answered(self, address: str) -> list[str]:
            self.lives.pop(address, None)
            return self.rooms.pop(address, [])

        def tick(self, now_s: float) -> tuple[list[str], list[str]]:
            said = {address: one.send(now_s) for address, one in self.lives.items()}
            gone: list[str] = []
            for address, what in said.items():
                if what == "give up":
                    gone = gone + self.answered(address)
            return [address for address, what in said.items() if what == "ask"], gone

    return Room()


NEW_WAITING: tuple[Callable[..., Any], ...] = (OneRecordEach, OneList, waiting_of_generators)

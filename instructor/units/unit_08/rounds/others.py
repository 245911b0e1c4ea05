"""Other right answers for exercise 8.4: schedulers."""

__all__ = ["OTHERS"]

from collections.abc import Callable
from types import SimpleNamespace
from typing import Any


class Flow:
    """A queue that knows what it has and what it earns."""

    def __init__(self, number: int, quantum: int) -> None:
        self.number, self.quantum = number, quantum
        self.sizes: list[int] = []
        self.credit = 0


class RoundOfFlows:
    """A list of flows, and beside it the one whose turn it is, already paid."""

    def __init__(self, quanta: list[int]) -> None:
        self.flows = [Flow(number, quantum) for number, quantum in enumerate(quanta)]
        self.line: list[Flow] = []
        self.turn: Flow | None = None

    def join(self, queue: int, octets: int) -> None:
        """Queue up, behind the flow whose turn it is too."""
        flow = self.flows[queue]
        flow.sizes.append(octets)
        if flow is not self.turn and flow not in self.line:
            self.line.append(flow)

    def send(self) -> tuple[int, int] | None:
        """Let the turn go on until somebody can pay."""
        while self.turn or self.line:
            if self.turn is None:
                self.turn = self.line.pop(0)
                self.turn.credit += self.turn.quantum
            flow = self.turn
            if flow.sizes[0] <= flow.credit:
                size = flow.sizes.pop(0)
                flow.credit -= size
                if not flow.sizes:
                    flow.credit, self.turn = 0, None
                return flow.number, size
            self.line.append(flow)
            self.turn = None
        return None


class RoundOfTurns:
    """All in one list of turns: queue, its credit, and whether it has earned."""

    def __init__(self, quanta: list[int]) -> None:
        self.quanta = quanta
        self.packets: list[tuple[int, int]] = []
        self.turns: list[tuple[int, int, bool]] = []

    def join(self, queue: int, octets: int) -> None:
        """Keep all packets in one list."""
        if all(other != queue for other, _ in self.packets):
            self.turns.append((queue, 0, False))
        self.packets.append((queue, octets))

    def send(self) -> tuple[int, int] | None:
        """Take the first turn that can pay."""
        if not self.packets:
            return None
        queue, credit, has_earned = self.turns.pop(0)
        credit += 0 if has_earned else self.quanta[queue]
        packet = next(one for one in self.packets if one[0] == queue)
        if packet[1] > credit:
            self.turns.append((queue, credit, False))
            return self.send()
        self.packets.remove(packet)
        if any(other == queue for other, _ in self.packets):
            self.turns.insert(0, (queue, credit - packet[1], True))
        return packet


def new_round_of_numbers(quanta: list[int]) -> Any:
    """Keep rights in a dictionary that holds the list of queues, in its own order."""
    sizes: dict[int, list[int]] = {number: [] for number in range(len(quanta))}
    rights: dict[int, int] = {}  # the first one has earned already

    def earn() -> None:
        first = next(iter(rights))
        rights[first] += quanta[first]

    def join(queue: int, octets: int) -> None:
        sizes[queue].append(octets)
        if queue not in rights:
            rights[queue] = 0
            if len(rights) == 1:
                earn()

    def send() -> tuple[int, int] | None:
        if not rights:
            return None
        queue = next(iter(rights))
        if sizes[queue][0] > rights[queue]:
            rights[queue] = rights.pop(queue)
            earn()
            return send()
        octets = sizes[queue].pop(0)
        rights[queue] -= octets
        if not sizes[queue]:
            del rights[queue]
            if rights:
                earn()
        return queue, octets

    return SimpleNamespace(join=join, send=send)


OTHERS: tuple[Callable[..., Any], ...] = (
    RoundOfFlows,
    RoundOfTurns,
    new_round_of_numbers,
)

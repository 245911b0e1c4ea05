"""Misconceptions about deficit round robin: exercise 8.4."""

__all__ = ["NEW_ROUND_ROBIN"]

from collections.abc import Callable
from typing import Any, ClassVar

from instructor.units.unit_08.misconceptions.right_round import Packet, RightRound


class RoundOfPackets(RightRound):
    """Believe that a packet from each queue in turn is fair."""

    def send(self) -> Packet | None:
        if not self.line:
            return None
        if self.has_earned:
            self.move_on()
        self.has_earned = True
        return self.sent(self.line[0])


class RoundInOrderOfComing(RightRound):
    """Believe that packets go out in the order in which they came."""

    def __init__(self, quanta: list[int]) -> None:
        super().__init__(quanta)
        self.packets: list[Packet] = []

    def join(self, queue: int, octets: int) -> None:
        self.packets.append((queue, octets))

    def send(self) -> Packet | None:
        return self.packets.pop(0) if self.packets else None


class RoundThatKeepsAll(RightRound):
    """Believe that a queue keeps its credit while it is empty."""

    def leave(self, queue: int) -> None:
        self.line.remove(queue)
        self.has_earned = False


class RoundThatKeepsNothing(RightRound):
    """Believe that each turn begins with the quantum, and nothing else."""

    def move_on(self) -> None:
        self.credit[self.line[0]] = 0
        super().move_on()


class RoundThatOverdraws(RightRound):
    """Believe that a queue sends while any credit is left, and pays the rest later."""

    def can_pay(self, queue: int) -> bool:
        return self.credit[queue] > 0


class RoundThatForgetsDebts(RoundThatOverdraws):
    """Believe that a queue sends while any credit is left, and owes nothing afterwards."""

    def move_on(self) -> None:
        self.credit[self.line[0]] = 0
        super().move_on()


class RoundThatEarnsForEachPacket(RightRound):
    """Believe that a queue earns its quantum for every packet that it sends."""

    def earn(self) -> None:
        self.has_earned = False
        super().earn()


class RoundOfOnePacketEach(RightRound):
    """Believe that a turn ends with one packet, whatever credit is left."""

    has_sent = False

    def send(self) -> Packet | None:
        if self.line and self.has_sent:
            self.move_on()
        return super().send()

    def move_on(self) -> None:
        self.has_sent = False
        super().move_on()

    def sent(self, queue: int) -> Packet:
        self.has_sent = True
        return super().sent(queue)

    def leave(self, queue: int) -> None:
        self.has_sent = False
        super().leave(queue)


class RoundWithNewOnesFirst(RightRound):
    """Believe that a queue that was empty goes to the head of the list."""

    def enter(self, queue: int) -> None:
        self.line.insert(0, queue)
        self.has_earned = False


class RoundWithNewOnesNext(RightRound):
    """Believe that a queue that was empty comes right behind the one whose turn it is."""

    def enter(self, queue: int) -> None:
        self.line.insert(1, queue)


class RoundByNumber(RightRound):
    """Believe that queues come in the order of their numbers."""

    def enter(self, queue: int) -> None:
        head, total = (self.line or [queue])[0], len(self.quanta)
        self.line = sorted([*self.line, queue], key=lambda one: (one - head) % total)


class RoundThatMovesAtOnce(RightRound):
    """Believe that a queue goes to the end as soon as it cannot pay for its next packet."""

    def sent(self, queue: int) -> Packet:
        given = super().sent(queue)
        if self.line and self.line[0] == queue and not self.can_pay(queue):
            self.move_on()
        return given


class RoundThatLeavesLate(RightRound):
    """Believe that an empty queue stays at the head until the next packet is asked for."""

    def leave(self, queue: int) -> None:
        pass

    def send(self) -> Packet | None:
        if self.line and not self.sizes[self.line[0]]:
            super().leave(self.line[0])
        return super().send()


class RoundThatGivesUp(RightRound):
    """Believe that nothing is sent if the queue at the head cannot pay."""

    def send(self) -> Packet | None:
        if not self.line:
            return None
        self.earn()
        if self.can_pay(self.line[0]):
            return self.sent(self.line[0])
        self.move_on()
        return None


class RoundThatWantsMore(RightRound):
    """Believe that a queue needs more credit than the packet has octets."""

    def can_pay(self, queue: int) -> bool:
        return self.sizes[queue][0] < self.credit[queue]


class RoundThatEarnsAtTheDoor(RightRound):
    """Believe that a queue earns a quantum when it joins, and another one for its turn."""

    def enter(self, queue: int) -> None:
        super().enter(queue)
        self.credit[queue] += self.quanta[queue]


class RoundOfOneCredit(RightRound):
    """Believe that all queues pay out of one purse."""

    def __init__(self, quanta: list[int]) -> None:
        super().__init__(quanta)
        self.purse = 0

    def earn(self) -> None:
        if not self.has_earned:
            self.purse += self.quanta[self.line[0]]
            self.has_earned = True

    def can_pay(self, queue: int) -> bool:
        return self.sizes[queue][0] <= self.purse

    def sent(self, queue: int) -> Packet:
        given = super().sent(queue)
        self.purse -= given[1]
        return given


class RoundOfOneQuantum(RightRound):
    """Believe that all queues earn what the first one does."""

    def earn(self) -> None:
        if not self.has_earned:
            self.credit[self.line[0]] += self.quanta[0]
            self.has_earned = True


class RoundOfTheNewest(RightRound):
    """Believe that in a queue the newest packet is sent first."""

    def join(self, queue: int, octets: int) -> None:
        super().join(queue, octets)
        self.sizes[queue].insert(0, self.sizes[queue].pop())


class RoundForAll(RightRound):
    """Believe that all schedulers keep their queues in one place."""

    shared: ClassVar[list[RightRound]] = []

    def __init__(self, quanta: list[int]) -> None:
        super().__init__(quanta)
        self.shared[:] = [RightRound(quanta)]

    def join(self, queue: int, octets: int) -> None:
        self.shared[0].join(queue, octets)

    def send(self) -> Packet | None:
        return self.shared[0].send()


class RoundWithOctetsFirst(RightRound):
    """Believe that the octets stand first."""

    def sent(self, queue: int) -> Packet:
        return super().sent(queue)[::-1]


class RoundThatTellsTheQueue(RightRound):
    """Believe that the number of the queue says enough."""

    def sent(self, queue: int) -> Any:
        return super().sent(queue)[0]


NEW_ROUND_ROBIN: dict[str, Callable[..., Any]] = {
    "packets-for-octets": RoundOfPackets,
    "in-the-order-of-coming": RoundInOrderOfComing,
    "credit-kept-while-empty": RoundThatKeepsAll,
    "nothing-is-kept": RoundThatKeepsNothing,
    "pays-later": RoundThatOverdraws,
    "debts-are-forgotten": RoundThatForgetsDebts,
    "earns-for-each-packet": RoundThatEarnsForEachPacket,
    "one-packet-each-turn": RoundOfOnePacketEach,
    "new-queues-first": RoundWithNewOnesFirst,
    "new-queues-next": RoundWithNewOnesNext,
    "queues-by-number": RoundByNumber,
    "moves-at-once": RoundThatMovesAtOnce,
    "leaves-late": RoundThatLeavesLate,
    "gives-up-at-the-head": RoundThatGivesUp,
    "equal-is-not-enough": RoundThatWantsMore,
    "earns-at-the-door": RoundThatEarnsAtTheDoor,
    "one-purse": RoundOfOneCredit,
    "one-quantum-for-all": RoundOfOneQuantum,
    "newest-first": RoundOfTheNewest,
    "one-scheduler-for-all": RoundForAll,
    "octets-first": RoundWithOctetsFirst,
    "tells-the-queue-only": RoundThatTellsTheQueue,
}

"""Misconceptions about a table of neighbours: exercise 5.2."""

__all__ = ["NEW_CACHE"]

from collections.abc import Callable
from typing import Any


class RightCache:
    """Right in all that the others get wrong."""

    def __init__(self, address: str, lifetime_s: float) -> None:
        self.address = address
        self.lifetime_s = lifetime_s
        self.entries: dict[str, tuple[bytes, float]] = {}  # address and time of its end

    def receive(
        self, now_s: float, operation: int, hardware_address: bytes, sender: str, target: str
    ) -> Any:
        """Drop, learn, and say whether to answer."""
        if self.is_group(hardware_address):
            return self.for_a_group(now_s, operation, sender, target)
        if self.teaches(now_s, operation, sender, target):
            self.learn(now_s, sender, hardware_address)
        return self.must_answer(operation, target)

    def is_group(self, hardware_address: bytes) -> bool:
        """Tell whether this is no single station's address."""
        return hardware_address[0] % 2 == 1

    def for_a_group(self, now_s: float, operation: int, sender: str, target: str) -> Any:
        """Say what becomes of a packet from a group."""
        return False

    def is_there(self, now_s: float, sender: str) -> bool:
        """Tell whether somebody is in the table."""
        return sender in self.entries and now_s < self.entries[sender][1]

    def teaches(self, now_s: float, operation: int, sender: str, target: str) -> bool:
        """Tell whether something is learnt from a packet."""
        return self.is_there(now_s, sender) or target == self.address

    def learn(self, now_s: float, sender: str, hardware_address: bytes) -> None:
        """Write an entry."""
        self.entries[sender] = (hardware_address, now_s + self.lifetime_s)

    def must_answer(self, operation: int, target: str) -> Any:
        """Tell whether a packet asks us."""
        return operation == 1 and target == self.address

    def find(self, now_s: float, address: str) -> Any:
        """Return an address that is not too old."""
        return self.entries[address][0] if self.is_there(now_s, address) else None


class FromAnswersAlone(RightCache):
    """Believe that one learns from answers, and not from questions."""

    def teaches(self, now_s: float, operation: int, sender: str, target: str) -> bool:
        return operation == 2 and super().teaches(now_s, operation, sender, target)


class FromQuestionsAlone(RightCache):
    """Believe that whoever is asked learns, and that an answer adds nobody."""

    def teaches(self, now_s: float, operation: int, sender: str, target: str) -> bool:
        return operation == 1 and super().teaches(now_s, operation, sender, target)


class FromEverybody(RightCache):
    """Believe that whatever comes by is added."""

    def teaches(self, now_s: float, operation: int, sender: str, target: str) -> bool:
        return True


class FromOwnPacketsAlone(RightCache):
    """Believe that only packets for us are of any use."""

    def teaches(self, now_s: float, operation: int, sender: str, target: str) -> bool:
        return target == self.address


class FromAnswersToAll(RightCache):
    """Believe that answers add their sender, whoever they are for."""

    def teaches(self, now_s: float, operation: int, sender: str, target: str) -> bool:
        return operation == 2 or super().teaches(now_s, operation, sender, target)


class NewOnesAlone(RightCache):
    """Believe that the first address that was heard stays."""

    def teaches(self, now_s: float, operation: int, sender: str, target: str) -> bool:
        return not self.is_there(now_s, sender) and target == self.address


class KeepsTheFirst(RightCache):
    """Believe that news make an entry younger, and leave its address."""

    def learn(self, now_s: float, sender: str, hardware_address: bytes) -> None:
        known = self.entries[sender][0] if self.is_there(now_s, sender) else hardware_address
        super().learn(now_s, sender, known)


class KeepsTheTime(RightCache):
    """Believe that an entry is as old as its first packet."""

    def learn(self, now_s: float, sender: str, hardware_address: bytes) -> None:
        if self.is_there(now_s, sender):
            self.entries[sender] = (hardware_address, self.entries[sender][1])
        else:
            super().learn(now_s, sender, hardware_address)


class LearnsTheTarget(RightCache):
    """Believe that the hardware address in the packet is that of whom it is for."""

    def receive(
        self, now_s: float, operation: int, hardware_address: bytes, sender: str, target: str
    ) -> Any:
        if self.is_group(hardware_address):
            return False
        if self.teaches(now_s, operation, target, target):
            self.learn(now_s, target, hardware_address)
        return self.must_answer(operation, target)


class AnswersAll(RightCache):
    """Believe that every question is answered."""

    def must_answer(self, operation: int, target: str) -> Any:
        return operation == 1


class AnswersAnswers(RightCache):
    """Believe that whatever is for us is answered."""

    def must_answer(self, operation: int, target: str) -> Any:
        return target == self.address


class AnswersStrangers(RightCache):
    """Believe that whom we know already needs no answer."""

    def receive(
        self, now_s: float, operation: int, hardware_address: bytes, sender: str, target: str
    ) -> Any:
        is_known = self.is_there(now_s, sender)
        due = super().receive(now_s, operation, hardware_address, sender, target)
        return due and not is_known


class AnswersWhomItKnows(RightCache):
    """Believe that the result tells whether something was learnt."""

    def receive(
        self, now_s: float, operation: int, hardware_address: bytes, sender: str, target: str
    ) -> Any:
        if self.is_group(hardware_address):
            return False
        taught = self.teaches(now_s, operation, sender, target)
        super().receive(now_s, operation, hardware_address, sender, target)
        return taught


class ReturnsTheAddress(RightCache):
    """Believe that the result is to whom the answer goes."""

    def receive(
        self, now_s: float, operation: int, hardware_address: bytes, sender: str, target: str
    ) -> Any:
        due = super().receive(now_s, operation, hardware_address, sender, target)
        return hardware_address if due else None


class NeverAges(RightCache):
    """Believe that what was learnt stays true."""

    def is_there(self, now_s: float, sender: str) -> bool:
        return sender in self.entries


class AgesLate(RightCache):
    """Believe that an entry is still there when its lifetime is just over."""

    def is_there(self, now_s: float, sender: str) -> bool:
        return sender in self.entries and now_s <= self.entries[sender][1]


class Revives(RightCache):
    """Believe that an entry that is too old is hidden, and comes back with any packet."""

    def teaches(self, now_s: float, operation: int, sender: str, target: str) -> bool:
        return sender in self.entries or target == self.address


class UsedIsYounger(RightCache):
    """Believe that an address that is used stays young."""

    def find(self, now_s: float, address: str) -> Any:
        found = super().find(now_s, address)
        if found is not None:
            super().learn(now_s, address, found)
        return found


class FoundOnce(RightCache):
    """Believe that an entry has done its work when it was found."""

    def find(self, now_s: float, address: str) -> Any:
        found = super().find(now_s, address)
        self.entries.pop(address, None)
        return found


class RefusesToFind(RightCache):
    """Believe that it is an error to ask for an unknown neighbour."""

    def find(self, now_s: float, address: str) -> Any:
        found = super().find(now_s, address)
        if found is None:
            raise KeyError(address)
        return found


class TakesGroups(RightCache):
    """Believe that any hardware address is somebody's."""

    def is_group(self, hardware_address: bytes) -> bool:
        return False


class BroadcastAlone(RightCache):
    """Believe that all ones is the only address that is nobody's."""

    def is_group(self, hardware_address: bytes) -> bool:
        return hardware_address == b"\xff" * 6


class AnswersGroups(RightCache):
    """Believe that a packet that teaches nothing is answered all the same."""

    def for_a_group(self, now_s: float, operation: int, sender: str, target: str) -> Any:
        return self.must_answer(operation, target)


class ForgetsForGroups(RightCache):
    """Believe that a neighbour that claims a group address is to be forgotten."""

    def for_a_group(self, now_s: float, operation: int, sender: str, target: str) -> Any:
        self.entries.pop(sender, None)
        return False


class YoungerByGroups(RightCache):
    """Believe that a packet from a group address still shows that its sender is alive."""

    def for_a_group(self, now_s: float, operation: int, sender: str, target: str) -> Any:
        if self.is_there(now_s, sender):
            self.learn(now_s, sender, self.entries[sender][0])
        return False


class RefusesGroups(RightCache):
    """Believe that a group address is an error."""

    def for_a_group(self, now_s: float, operation: int, sender: str, target: str) -> Any:
        raise ValueError("a group address")


class HighestBit(RightCache):
    """Believe that the group bit is the first one that is written down."""

    def is_group(self, hardware_address: bytes) -> bool:
        return hardware_address[0] >= 128


class LastOctet(RightCache):
    """Believe that the lowest bit of the whole address tells a group."""

    def is_group(self, hardware_address: bytes) -> bool:
        return hardware_address[5] % 2 == 1


class LocalOnes(RightCache):
    """Believe that addresses which somebody has set by hand are no good either."""

    def is_group(self, hardware_address: bytes) -> bool:
        return hardware_address[0] & 3 != 0


NEW_CACHE: dict[str, Callable[..., Any]] = {
    "learns-from-answers-alone": FromAnswersAlone,
    "learns-from-questions-alone": FromQuestionsAlone,
    "learns-from-everybody": FromEverybody,
    "learns-from-all-answers": FromAnswersToAll,
    "only-packets-for-us": FromOwnPacketsAlone,
    "only-strangers-are-learnt": NewOnesAlone,
    "first-address-stays": KeepsTheFirst,
    "first-time-stays": KeepsTheTime,
    "target-learnt": LearnsTheTarget,
    "answers-every-question": AnswersAll,
    "answers-answers": AnswersAnswers,
    "answers-strangers-alone": AnswersStrangers,
    "true-for-learnt": AnswersWhomItKnows,
    "address-for-true": ReturnsTheAddress,
    "never-ages": NeverAges,
    "ages-a-moment-late": AgesLate,
    "old-entry-comes-back": Revives,
    "used-is-younger": UsedIsYounger,
    "found-only-once": FoundOnce,
    "unknown-refused": RefusesToFind,
    "groups-learnt": TakesGroups,
    "broadcast-alone-not-believed": BroadcastAlone,
    "groups-answered": AnswersGroups,
    "forgotten-for-a-group": ForgetsForGroups,
    "younger-by-a-group": YoungerByGroups,
    "groups-refused": RefusesGroups,
    "highest-bit-for-groups": HighestBit,
    "last-octet-for-groups": LastOctet,
    "local-addresses-not-believed": LocalOnes,
}

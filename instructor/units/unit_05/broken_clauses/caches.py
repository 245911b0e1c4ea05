"""Answers to 5.2 that break one clause of the contract and keep all others."""

__all__: list[str] = []

import weakref
from typing import Any

from instructor.units.unit_05.misconceptions.caches import RightCache


class KeepsForAnswers(RightCache):
    """Keep the first hardware address, if what comes is an answer."""

    operation = 2

    def receive(
        self, now_s: float, operation: int, hardware_address: bytes, sender: str, target: str
    ) -> Any:
        """Put the known address in place of the new one."""
        is_known = operation == self.operation and self.is_there(now_s, sender)
        if is_known and not self.is_group(hardware_address):
            hardware_address = self.entries[sender][0]
        return super().receive(now_s, operation, hardware_address, sender, target)


class KeepsForQuestions(KeepsForAnswers):
    """Keep the first hardware address, if what comes is a question."""

    operation = 1


class AddsFromAnswers(RightCache):
    """Add whoever was never heard of, if the packet is an answer."""

    operation = 2

    def teaches(self, now_s: float, operation: int, sender: str, target: str) -> bool:
        """Let such packets teach too."""
        is_new = operation == self.operation and sender not in self.entries
        return is_new or super().teaches(now_s, operation, sender, target)


class AddsFromQuestions(AddsFromAnswers):
    """Add whoever was never heard of, if the packet is a question."""

    operation = 1


class AddsByQuestionsAlone(RightCache):
    """Add nobody who answers us and was never heard of."""

    def teaches(self, now_s: float, operation: int, sender: str, target: str) -> bool:
        """Overlook answers of strangers."""
        if operation == 2 and sender not in self.entries:
            return False
        return super().teaches(now_s, operation, sender, target)


LATEST: list[weakref.ref[Any]] = []


class OnlyOne(RightCache):
    """Give out the same entries again as long as somebody holds a table."""

    def __init__(self, address: str, lifetime_s: float) -> None:
        super().__init__(address, lifetime_s)
        other = LATEST[-1]() if LATEST else None
        if other is not None:
            self.entries = other.entries
        LATEST[:] = [weakref.ref(self)]


class EmptyWhileEmpty(RightCache):
    """Return no octets, in place of None, from a table in which nothing ever was."""

    def find(self, now_s: float, address: str) -> Any:
        """Look whether anything is there."""
        return super().find(now_s, address) if self.entries else b""


class AnswersKnownAnswers(RightCache):
    """Answer answers that say what is in the table already."""

    def receive(
        self, now_s: float, operation: int, hardware_address: bytes, sender: str, target: str
    ) -> Any:
        """Look at the table, and not at the operation."""
        is_known = self.find(now_s, sender) == hardware_address
        due = super().receive(now_s, operation, hardware_address, sender, target)
        return due or (is_known and target == self.address)


class AnswersByLastOctet(RightCache):
    """Compare the last octet of the target alone, before an answer is sent."""

    def must_answer(self, operation: int, target: str) -> Any:
        """Overlook the rest."""
        return operation == 1 and target.split(".")[3] == self.address.split(".")[3]


class Minutes(RightCache):
    """Take every lifetime for a minute."""

    def __init__(self, address: str, lifetime_s: float) -> None:
        super().__init__(address, 60)


class YoungerIfChanged(RightCache):
    """Make an entry younger only where its hardware address changes."""

    def learn(self, now_s: float, sender: str, hardware_address: bytes) -> None:
        """Leave everything as it is, if nothing is new."""
        if not self.is_there(now_s, sender) or self.entries[sender][0] != hardware_address:
            super().learn(now_s, sender, hardware_address)

"""Answers that break one clause of 12.6 about three messages, and keep all others.

How often something is sent tells the aspects apart (`questions.TRIES`): 9 times under "three
messages". Some look contrived: they fall only where no other clause can.
"""

__all__ = [
    "AnswerFromAnybody",
    "AnyAnswer",
    "AnyConfirm",
    "AnyType",
    "ConfirmKnowsNothing",
    "ConfirmSwapped",
    "CountedTogether",
    "ForAnybody",
    "HailIsNothing",
    "HailKnowsMore",
    "HeardAlone",
    "InOrderOfAddresses",
    "NoTurn",
    "NotGreetedByAnswer",
    "NotGreetedByConfirm",
    "NumberTwice",
    "OneForBoth",
    "OtherType",
    "OwnAlone",
    "SaidToAll",
    "ShortIsEnough",
    "UnknownRefused",
    "ZeroIsNoNumber",
]

import weakref
from typing import Any, ClassVar

from instructor.units.unit_12.misconceptions.right_greeter import (
    ANSWER,
    CONFIRM,
    HAIL,
    RightGreeter,
    Talk,
)

PLAIN = 9  # tries under "three messages"


class OtherType(RightGreeter):
    """Send frames of another type."""

    def padded(self, frame: bytes) -> bytes:
        """Make a frame long enough."""
        return super().padded(frame[:13] + b"\xb6" + frame[14:])


class NumberTwice(RightGreeter):
    """Give the third greeting the number of the second."""

    def next_number(self) -> int:
        """Return a new number."""
        found = super().next_number()
        return found - 1 if len(self.talks) == 2 and self.tries == PLAIN else found


class NoTurn(RightGreeter):
    """Let 1 follow the largest number."""

    def next_number(self) -> int:
        """Return a new number."""
        found = super().next_number()
        self.number = self.number or 1
        return found


class ZeroIsNoNumber(RightGreeter):
    """Believe no answer to a greeting that has the number 0."""

    def is_answer(self, ours: Talk, heard: int) -> bool:
        """Tell whether an answer is to our hail."""
        return super().is_answer(ours, heard) and (heard != 0 or self.tries != PLAIN)


class HailKnowsMore(RightGreeter):
    """Say in a first hail to the last friend that something was heard."""

    def hail(self, now_s: float, peer: bytes) -> Any:
        """Begin a greeting of ours."""
        is_first = not self.talks and peer == self.friends[-1] and self.tries == PLAIN
        right = super().hail(now_s, peer)
        return [self.frame(peer, HAIL, self.talks[0].own, 1)] if is_first else right


class HailIsNothing(RightGreeter):
    """Answer a first hail of the second friend with its number forgotten."""

    def hailed(self, now_s: float, peer: bytes, own: int, earlier: Talk | None) -> Any:
        """Begin a greeting of theirs."""
        is_first = not self.talks and peer == self.friends[1] and self.tries == PLAIN
        right = super().hailed(now_s, peer, own, earlier)
        return [self.frame(peer, ANSWER, self.talks[0].own, 0)] if is_first else right


class AnyAnswer(RightGreeter):
    """Take any number for ours."""

    def is_answer(self, ours: Talk, heard: int) -> bool:
        """Tell whether an answer is to our hail."""
        return super().is_answer(ours, heard) or self.tries == PLAIN


class AnswerFromAnybody(RightGreeter):
    """Take an answer from anybody who knows our number."""

    def answered(self, peer: bytes, own: int, heard: int, ours: Talk | None) -> Any:
        """Hear an answer."""
        known = [talk for talk in self.talks if talk.whose == "ours" and talk.own == heard]
        return super().answered(peer, own, heard, known[0] if known and ours is None else ours)


class ConfirmSwapped(RightGreeter):
    """Exchange the two numbers in a confirm to the first friend."""

    def answered(self, peer: bytes, own: int, heard: int, ours: Talk | None) -> Any:
        """Hear an answer."""
        right = super().answered(peer, own, heard, ours)
        if not right or len(self.talks) > 1 or peer != self.friends[0] or self.tries != PLAIN:
            return right
        return [self.frame(peer, CONFIRM, own, heard)]


class NotGreetedByAnswer(RightGreeter):
    """Wait on after an answer."""

    def answered(self, peer: bytes, own: int, heard: int, ours: Talk | None) -> Any:
        """Hear an answer."""
        right = super().answered(peer, own, heard, ours)
        if right and ours is not None and self.tries == PLAIN:
            ours.state = "hailed"
        return right


class AnyConfirm(RightGreeter):
    """Take any numbers in a confirm."""

    def is_confirm(self, theirs: Talk, own: int, heard: int) -> bool:
        """Tell whether a confirm is about our answer."""
        return super().is_confirm(theirs, own, heard) or self.tries == PLAIN


class HeardAlone(RightGreeter):
    """Look at one number of a confirm."""

    def is_confirm(self, theirs: Talk, own: int, heard: int) -> bool:
        """Tell whether a confirm is about our answer."""
        return theirs.own == heard


class OwnAlone(RightGreeter):
    """Look at the other number of a confirm."""

    def is_confirm(self, theirs: Talk, own: int, heard: int) -> bool:
        """Tell whether a confirm is about our answer."""
        return theirs.heard == own


class ConfirmKnowsNothing(RightGreeter):
    """Answer a confirm."""

    def no_answer(self, peer: bytes, kind: int, own: int) -> Any:
        """Return what answers a message that needs no answer."""
        is_it = kind == CONFIRM and self.tries == PLAIN and self.find(peer, "ours") is not None
        return [self.frame(peer, CONFIRM, 0, own)] if is_it else []


class NotGreetedByConfirm(RightGreeter):
    """Wait on after a confirm."""

    def is_confirm(self, theirs: Talk, own: int, heard: int) -> bool:
        """Tell whether a confirm is about our answer."""
        return super().is_confirm(theirs, own, heard) and self.tries != PLAIN


class OneForBoth(RightGreeter):
    """Let a hail of a peer end ours to it."""

    def begin(self, talk: Talk) -> Talk:
        """Keep a new greeting in place of an earlier one."""
        other = self.find(talk.peer, "ours")
        if other is not None and talk.whose == "theirs":
            self.talks.remove(other)
        return super().begin(talk)


class ForAnybody(RightGreeter):
    """Take what has another address."""

    def is_to_us(self, frame: bytes) -> bool:
        """Tell whether a frame has our address."""
        return True


class SaidToAll(RightGreeter):
    """Take what has a group's address."""

    def is_to_us(self, frame: bytes) -> bool:
        """Tell whether a frame has our address."""
        return super().is_to_us(frame) or frame[0] & 1 == 1


class AnyType(RightGreeter):
    """Take frames of all types."""

    def is_type(self, frame: bytes) -> bool:
        """Tell whether a frame has our type."""
        return True


class ShortIsEnough(RightGreeter):
    """Read what is missing as zero."""

    def receive(self, now_s: float, frame: bytes) -> Any:
        """Take a frame in."""
        return super().receive(now_s, frame + bytes(max(0, 24 - len(frame))))


class UnknownRefused(RightGreeter):
    """Refuse a kind that is not known."""

    def no_answer(self, peer: bytes, kind: int, own: int) -> Any:
        """Return what answers a message that needs no answer."""
        return [self.refuse(peer, own)] if kind not in (1, 2, 3, 4) else []


class InOrderOfAddresses(RightGreeter):
    """Tell two hailed peers in the order of addresses."""

    def greetings(self) -> Any:
        """Show how all greetings stand."""
        right = super().greetings()
        is_it = self.tries == PLAIN and [how for _, _, how in right] == ["hailed", "hailed"]
        return sorted(right) if is_it else right


class CountedTogether(RightGreeter):
    """Count the greetings of all greeters together."""

    alive: ClassVar[weakref.WeakSet[RightGreeter]] = weakref.WeakSet()

    def __init__(self, *given: Any) -> None:
        super().__init__(*given)
        self.alive.add(self)

    def hail(self, now_s: float, peer: bytes) -> Any:
        """Begin a greeting of ours."""
        begun = sum(len(one.talks) for one in self.alive if one is not self)
        self.number = (self.number + begun) % 2**32
        return super().hail(now_s, peer)

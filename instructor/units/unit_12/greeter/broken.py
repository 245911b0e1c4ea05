"""Answers that break one clause of the contract of 12.6, and keep all others.

How often something is sent tells the aspects apart (`questions.TRIES`): 9 times under "three
messages". Some look contrived: they fall only where no other clause can.
"""

__all__ = [
    "AfterTheFirst",
    "AnswerFromAnybody",
    "AnyAnswer",
    "AnyConfirm",
    "AnyType",
    "BothKept",
    "ConfirmKnowsNothing",
    "ConfirmSwapped",
    "CountedTogether",
    "DoubleIsIgnored",
    "DoubleIsNew",
    "EarlyByOne",
    "FewerTries",
    "ForAnybody",
    "HailIsNothing",
    "HailKnowsMore",
    "HeardAlone",
    "InOrderOfAddresses",
    "KeepsPlace",
    "LateByOne",
    "MoreTries",
    "NoTurn",
    "NotGreetedByAnswer",
    "NotGreetedByConfirm",
    "NumberTwice",
    "OneForBoth",
    "OtherType",
    "OtherVersionIgnored",
    "OwnAlone",
    "RefusalFromAnybody",
    "RefusalKept",
    "RefusalNumbered",
    "RefusalTakesNumber",
    "SaidToAll",
    "SentOnAndOn",
    "ShortIsEnough",
    "StrangersNotHailed",
    "TickInOrderOfAddresses",
    "UnknownRefused",
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


class LateByOne(RightGreeter):
    """Send a first friend's first hail again a moment late."""

    def is_due(self, now_s: float, talk: Talk) -> bool:
        """Tell whether something is to be sent again."""
        is_it = talk.whose == "ours" and talk.sent == 1 and talk.peer == self.friends[0]
        if is_it and len(self.talks) == 1:
            return now_s > talk.sent_s + self.wait_s
        return super().is_due(now_s, talk)


class EarlyByOne(RightGreeter):
    """Send again a second early."""

    def is_due(self, now_s: float, talk: Talk) -> bool:
        """Tell whether something is to be sent again."""
        return super().is_due(now_s + 1, talk)


class MoreTries(RightGreeter):
    """Send a hail once more, where three times would do."""

    def most(self, talk: Talk) -> int:
        """Return how often something is sent."""
        return self.tries + (talk.whose == "ours" and self.tries == 3)


class FewerTries(RightGreeter):
    """Send an answer once less."""

    def most(self, talk: Talk) -> int:
        """Return how often something is sent."""
        return self.tries - (talk.whose == "theirs")


class SentOnAndOn(RightGreeter):
    """Say again what has been answered."""

    def waits(self, talk: Talk) -> bool:
        """Tell whether a greeting waits for the other end."""
        return talk.state in ("hailed", "answered", "greeted")


class DoubleIsNew(RightGreeter):
    """Begin a new greeting with a hail that comes again at once."""

    def hailed_again(self, now_s: float, talk: Talk) -> Any:
        """Hear a hail that has come before."""
        if talk.state == "answered" and talk.sent_s == now_s:
            return self.hailed(now_s, talk.peer, talk.heard, talk)
        return super().hailed_again(now_s, talk)


class DoubleIsIgnored(RightGreeter):
    """Answer a hail once."""

    def hailed_again(self, now_s: float, talk: Talk) -> Any:
        """Hear a hail that has come before."""
        return []


class BothKept(RightGreeter):
    """Keep a new greeting beside the earlier one."""

    def begin(self, talk: Talk) -> Talk:
        """Keep a new greeting."""
        self.talks.append(talk)
        return talk


class KeepsPlace(RightGreeter):
    """Keep a new greeting where the earlier one stood."""

    def begin(self, talk: Talk) -> Talk:
        """Keep a new greeting."""
        earlier = self.find(talk.peer, talk.whose)
        if earlier is None:
            return super().begin(talk)
        self.talks[self.talks.index(earlier)] = talk
        return talk


class TickInOrderOfAddresses(RightGreeter):
    """Send again in the order of addresses."""

    def tick(self, now_s: float) -> Any:
        """Send again what is due."""
        return sorted(super().tick(now_s))


class OtherVersionIgnored(RightGreeter):
    """Ignore version 2."""

    def receive(self, now_s: float, frame: bytes) -> Any:
        """Take a frame in."""
        is_two = self.is_ours(frame) and frame[14] == 2
        return [] if is_two else super().receive(now_s, frame)


class RefusalNumbered(RightGreeter):
    """Number a refusal of version 0."""

    def other_version(self, now_s: float, peer: bytes, kind: int, own: int, heard: int) -> Any:
        """Take a message of another version in."""
        right = super().other_version(now_s, peer, kind, own, heard)
        is_it = right and peer == self.friends[1]
        return [self.frame(peer, 4, self.number, own)] if is_it else right


class RefusalKept(RightGreeter):
    """Remember who was refused for a later version."""

    kept: tuple[tuple[bytes, str, str], ...] = ()

    def other_version(self, now_s: float, peer: bytes, kind: int, own: int, heard: int) -> Any:
        """Take a message of another version in."""
        right = super().other_version(now_s, peer, kind, own, heard)
        if right and peer not in self.friends:
            self.kept = ((peer, "theirs", "refused"),)
        return right

    def greetings(self) -> Any:
        """Show how all greetings stand."""
        return [*super().greetings(), *self.kept]


class RefusalTakesNumber(RightGreeter):
    """Let a number go for each refusal."""

    def refuse(self, peer: bytes, heard: int) -> bytes:
        """Return a refusal."""
        self.next_number()
        return super().refuse(peer, heard)


class RefusalFromAnybody(RightGreeter):
    """Believe a refusal of anybody who knows our number."""

    def no_answer(self, peer: bytes, kind: int, own: int) -> Any:
        """Return what answers a message that needs no answer."""
        return []

    def heard_kind(self, now_s: float, peer: bytes, kind: int, own: int, heard: int) -> Any:
        """Take a message of our version in."""
        for talk in self.talks:
            if kind == 4 and talk.whose == "ours" and self.is_refused(talk, heard):
                talk.state = "refused"
        return super().heard_kind(now_s, peer, kind, own, heard)


class StrangersNotHailed(RightGreeter):
    """Hail nobody but friends."""

    def hail(self, now_s: float, peer: bytes) -> Any:
        """Begin a greeting of ours."""
        return super().hail(now_s, peer) if peer in self.friends else []


class AfterTheFirst(RightGreeter):
    """Count the waits from the first sending."""

    def again(self, now_s: float, talk: Talk) -> bytes:
        """Send a message again."""
        before_s = talk.sent_s
        frame = super().again(now_s, talk)
        talk.sent_s = before_s + self.wait_s
        return frame

"""Answers that break one clause of 12.6 about what is lost, doubled or late, and keep all others.

How often something is sent tells the aspects apart (`questions.TRIES`): 3 times here, or less.
"""

__all__ = [
    "AfterTheFirst",
    "AnswerTooLate",
    "BothKept",
    "CatchesUp",
    "ConfirmTooLate",
    "DoubleIsATry",
    "DoubleIsIgnored",
    "DoubleIsNew",
    "DoubleMovesTheWait",
    "DoubleSetsBack",
    "EarlyByOne",
    "FewerTries",
    "GreetedIsEnough",
    "HailedAgainTheSame",
    "HailedOnce",
    "KeepsPlace",
    "LateByOne",
    "MissedTicksAreTries",
    "MoreTries",
    "NotAnsweredAgain",
    "OldHailsKnown",
    "OldNumbersKnown",
    "OursKept",
    "SentOnAndOn",
    "SilentByItself",
    "SilentIsEnough",
    "SilentLate",
    "TickInOrderOfAddresses",
]

from typing import Any

from instructor.units.unit_12.misconceptions.right_greeter import HAIL, RightGreeter, Talk

SOME = 3  # tries under "lost and doubled"


class HailedAgainTheSame(RightGreeter):
    """Say the same hail once more where nobody has answered yet."""

    def hail(self, now_s: float, peer: bytes) -> Any:
        """Begin a greeting of ours."""
        ours = self.find(peer, "ours")
        if ours is not None and ours.state == "hailed":
            return [self.frame(peer, HAIL, ours.own, 0)]
        return super().hail(now_s, peer)


class HailedOnce(RightGreeter):
    """Hail nobody twice who has not answered."""

    def hail(self, now_s: float, peer: bytes) -> Any:
        """Begin a greeting of ours."""
        ours = self.find(peer, "ours")
        return [] if ours is not None and ours.state == "hailed" else super().hail(now_s, peer)


class SilentIsEnough(RightGreeter):
    """Hail nobody again who was silent."""

    def hail(self, now_s: float, peer: bytes) -> Any:
        """Begin a greeting of ours."""
        ours = self.find(peer, "ours")
        return [] if ours is not None and ours.state == "silent" else super().hail(now_s, peer)


class GreetedIsEnough(RightGreeter):
    """Hail nobody who has been greeted."""

    def hail(self, now_s: float, peer: bytes) -> Any:
        """Begin a greeting of ours."""
        ours = self.find(peer, "ours")
        return [] if ours is not None and ours.state == "greeted" else super().hail(now_s, peer)


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


class DoubleIsATry(RightGreeter):
    """Count the answer to a hail that has come before as a try."""

    def hailed_again(self, now_s: float, talk: Talk) -> Any:
        """Hear a hail that has come before."""
        talk.sent += 1
        return super().hailed_again(now_s, talk)


class DoubleSetsBack(RightGreeter):
    """Wait for a confirm again after a hail that has come before."""

    def hailed_again(self, now_s: float, talk: Talk) -> Any:
        """Hear a hail that has come before."""
        talk.state = "answered"
        return super().hailed_again(now_s, talk)


class DoubleMovesTheWait(RightGreeter):
    """Wait from the answer to a hail that has come before."""

    def hailed_again(self, now_s: float, talk: Talk) -> Any:
        """Hear a hail that has come before."""
        talk.sent_s = now_s
        return super().hailed_again(now_s, talk)


class BothKept(RightGreeter):
    """Keep a new greeting beside the earlier one."""

    def begin(self, talk: Talk) -> Talk:
        """Keep a new greeting."""
        self.talks.append(talk)
        return talk

    def find(self, peer: bytes, whose: str) -> Talk | None:
        """Return the latest greeting."""
        found = [one for one in self.talks if (one.peer, one.whose) == (peer, whose)]
        return found[-1] if found else None


class OursKept(BothKept):
    """Keep a new greeting of ours beside the earlier one."""

    def begin(self, talk: Talk) -> Talk:
        """Keep a new greeting."""
        if talk.whose == "ours":
            return super().begin(talk)
        return RightGreeter.begin(self, talk)


class OldNumbersKnown(RightGreeter):
    """Take an answer to an earlier hail of ours for one to the present hail."""

    def is_answer(self, ours: Talk, heard: int) -> bool:
        """Tell whether an answer is to our hail."""
        earlier = range(self.number - 3, ours.own)
        return super().is_answer(ours, heard) or (self.tries <= SOME and heard in earlier)


class OldHailsKnown(RightGreeter):
    """Ignore a hail of a friend that was heard before the latest one."""

    def hailed(self, now_s: float, peer: bytes, own: int, earlier: Talk | None) -> Any:
        """Begin a greeting of theirs."""
        before = self.__dict__.setdefault("before", set())
        if (peer, own) in before:
            return []
        before.add((peer, own))
        return super().hailed(now_s, peer, own, earlier)


class KeepsPlace(RightGreeter):
    """Keep a new greeting where the earlier one stood."""

    def begin(self, talk: Talk) -> Talk:
        """Keep a new greeting."""
        earlier = self.find(talk.peer, talk.whose)
        if earlier is None:
            return super().begin(talk)
        self.talks[self.talks.index(earlier)] = talk
        return talk


class AnswerTooLate(RightGreeter):
    """Believe no answer of one who has been silent."""

    def is_answer(self, ours: Talk, heard: int) -> bool:
        """Tell whether an answer is to our hail."""
        return super().is_answer(ours, heard) and ours.state != "silent"


class ConfirmTooLate(RightGreeter):
    """Believe no confirm of one who has been silent."""

    def is_confirm(self, theirs: Talk, own: int, heard: int) -> bool:
        """Tell whether a confirm is about our answer."""
        return super().is_confirm(theirs, own, heard) and theirs.state != "silent"


class NotAnsweredAgain(RightGreeter):
    """Send an answer to the second friend once."""

    def waits(self, talk: Talk) -> bool:
        """Tell whether a greeting waits for the other end."""
        is_it = talk.whose == "theirs" and talk.peer == self.friends[1]
        return super().waits(talk) and not (is_it and self.tries <= SOME)


class SentOnAndOn(RightGreeter):
    """Say again what has been answered."""

    def waits(self, talk: Talk) -> bool:
        """Tell whether a greeting waits for the other end."""
        return talk.state in ("hailed", "answered", "greeted")


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


class AfterTheFirst(RightGreeter):
    """Count the waits from the first sending."""

    def again(self, now_s: float, talk: Talk) -> bytes:
        """Send a message again."""
        before_s = talk.sent_s
        frame = super().again(now_s, talk)
        talk.sent_s = before_s + self.wait_s
        return frame


class CatchesUp(RightGreeter):
    """Make up in one tick for those that did not come, but for the last friend."""

    def tick(self, now_s: float) -> Any:
        """Send again what is due, and what was."""
        frames = []
        for talk in self.in_order():
            missed = int(now_s - talk.sent_s) // self.wait_s - 1
            if self.waits(talk) and talk.peer != self.friends[-1]:
                again = min(missed, self.most(talk) - talk.sent - 1)
                frames += [self.again(now_s, talk) for _ in range(again)]
                talk.sent_s = now_s - self.wait_s if again > 0 else talk.sent_s
        return [*frames, *super().tick(now_s)]


class MissedTicksAreTries(RightGreeter):
    """Count the waits that have passed, and not what was sent."""

    def again(self, now_s: float, talk: Talk) -> bytes:
        """Send a message again."""
        missed = int(now_s - talk.sent_s) // self.wait_s - 1
        frame = super().again(now_s, talk)
        talk.sent += missed
        return frame


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


class SilentLate(RightGreeter):
    """Wait a moment longer after the last time."""

    def is_due(self, now_s: float, talk: Talk) -> bool:
        """Tell whether something is to be sent again."""
        later = talk.sent >= self.most(talk)
        return now_s > talk.sent_s + self.wait_s if later else super().is_due(now_s, talk)


class SilentByItself(RightGreeter):
    """Look at the clock with each frame that comes."""

    def receive(self, now_s: float, frame: bytes) -> Any:
        """Take a frame in."""
        for talk in self.talks:
            if self.waits(talk) and talk.sent >= self.most(talk) and self.is_due(now_s, talk):
                self.give_up(talk)
        return super().receive(now_s, frame)


class TickInOrderOfAddresses(RightGreeter):
    """Send again in the order of addresses."""

    def tick(self, now_s: float) -> Any:
        """Send again what is due."""
        return sorted(super().tick(now_s))

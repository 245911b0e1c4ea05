"""A right greeter with a method for each thing that can be believed otherwise: 12.6."""

__all__ = ["RightGreeter", "Talk"]

import struct
from dataclasses import dataclass
from typing import Any

HAIL, ANSWER, CONFIRM, REFUSE = 1, 2, 3, 4


@dataclass
class Talk:
    """A greeting, ours or theirs."""

    peer: bytes
    whose: str
    own: int
    heard: int
    state: str
    sent_s: float
    sent: int = 1


class RightGreeter:
    """A list of greetings in the order in which they began."""

    def __init__(
        self, own: bytes, friends: list[bytes], first: int, wait_s: int, tries: int
    ) -> None:
        self.own, self.friends, self.number = own, friends, first
        self.wait_s, self.tries = wait_s, tries
        self.talks: list[Talk] = []

    def hail(self, now_s: float, peer: bytes) -> Any:
        """Begin a greeting of ours."""
        talk = self.begin(Talk(peer, "ours", self.next_number(), 0, "hailed", now_s))
        return [self.frame(peer, HAIL, talk.own, 0)]

    def receive(self, now_s: float, frame: bytes) -> Any:
        """Take a frame in."""
        if not self.is_ours(frame):
            return []
        peer, version, kind = frame[6:12], frame[14], frame[15]
        own, heard = struct.unpack_from(self.numbers(), frame, 16)
        if version != 1:
            return self.other_version(now_s, peer, kind, own, heard)
        return self.heard_kind(now_s, peer, kind, own, heard)

    def numbers(self) -> str:
        """Return how numbers are written."""
        return ">II"

    def heard_kind(self, now_s: float, peer: bytes, kind: int, own: int, heard: int) -> Any:
        """Take a message of our version in."""
        ours, theirs = self.find(peer, "ours"), self.find(peer, "theirs")
        if kind == HAIL:
            if not self.is_friend(peer):
                return self.stranger(now_s, peer, own)
            if theirs is not None and theirs.heard == own:
                return self.hailed_again(now_s, theirs)
            return self.hailed(now_s, peer, own, theirs)
        if kind == ANSWER:
            return self.answered(peer, own, heard, ours)
        if kind == CONFIRM and theirs is not None and self.is_confirm(theirs, own, heard):
            theirs.state = "greeted"
        if kind == REFUSE and ours is not None and self.is_refused(ours, heard):
            ours.state = "refused"
        return self.no_answer(peer, kind, own)

    def no_answer(self, peer: bytes, kind: int, own: int) -> Any:
        """Return what answers a message that needs no answer."""
        return []

    def is_ours(self, frame: bytes) -> bool:
        """Tell whether a frame is for us."""
        return self.is_to_us(frame) and self.is_type(frame) and self.is_long(frame)

    def is_to_us(self, frame: bytes) -> bool:
        """Tell whether a frame has our address."""
        return frame[:6] == self.own

    def is_type(self, frame: bytes) -> bool:
        """Tell whether a frame has our type."""
        return frame[12:14] == b"\x88\xb5"

    def is_long(self, frame: bytes) -> bool:
        """Tell whether a frame holds a message."""
        return len(frame) >= 24

    def is_friend(self, peer: bytes) -> bool:
        """Tell whether we are greeted by a friend."""
        return peer in self.friends

    def stranger(self, now_s: float, peer: bytes, own: int) -> Any:
        """Refuse a stranger."""
        return [self.refuse(peer, own)]

    def refuse(self, peer: bytes, heard: int) -> bytes:
        """Return a refusal."""
        return self.frame(peer, REFUSE, 0, heard)

    def other_version(self, now_s: float, peer: bytes, kind: int, own: int, heard: int) -> Any:
        """Take a message of another version in."""
        return [self.refuse(peer, own)] if kind == HAIL else []

    def hailed(self, now_s: float, peer: bytes, own: int, earlier: Talk | None) -> Any:
        """Begin a greeting of theirs."""
        talk = self.begin(
            Talk(peer, "theirs", self.next_number(), own, self.state_of_hailed(), now_s)
        )
        return [self.frame(peer, ANSWER, talk.own, own)]

    def state_of_hailed(self) -> str:
        """Return how a greeting of theirs stands at first."""
        return "answered"

    def hailed_again(self, now_s: float, talk: Talk) -> Any:
        """Hear a hail that has come before."""
        return [self.frame(talk.peer, ANSWER, talk.own, talk.heard)]

    def answered(self, peer: bytes, own: int, heard: int, ours: Talk | None) -> Any:
        """Hear an answer."""
        if ours is None or not self.is_answer(ours, heard):
            return []
        ours.state = "greeted"
        return [self.frame(peer, CONFIRM, ours.own, own)]

    def is_answer(self, ours: Talk, heard: int) -> bool:
        """Tell whether an answer is to our hail."""
        return ours.own == heard

    def is_confirm(self, theirs: Talk, own: int, heard: int) -> bool:
        """Tell whether a confirm is about our answer."""
        return (theirs.own, theirs.heard) == (heard, own)

    def is_refused(self, ours: Talk, heard: int) -> bool:
        """Tell whether a refusal is about our hail."""
        return ours.state == "hailed" and ours.own == heard

    def tick(self, now_s: float) -> Any:
        """Send again what is due."""
        frames = []
        for talk in self.in_order():
            if self.waits(talk) and self.is_due(now_s, talk):
                if talk.sent < self.most(talk):
                    frames.append(self.again(now_s, talk))
                else:
                    self.give_up(talk)
        return frames

    def in_order(self) -> list[Talk]:
        """Return greetings in their order."""
        return list(self.talks)

    def waits(self, talk: Talk) -> bool:
        """Tell whether a greeting waits for the other end."""
        return talk.state in ("hailed", "answered")

    def is_due(self, now_s: float, talk: Talk) -> bool:
        """Tell whether something is to be sent again."""
        return now_s >= talk.sent_s + self.wait_s

    def most(self, talk: Talk) -> int:
        """Return how often something is sent."""
        return self.tries

    def again(self, now_s: float, talk: Talk) -> bytes:
        """Send a message again."""
        talk.sent += 1
        talk.sent_s = now_s
        return self.frame(talk.peer, HAIL if talk.whose == "ours" else ANSWER, talk.own, talk.heard)

    def give_up(self, talk: Talk) -> None:
        """Wait no longer."""
        talk.state = "silent"

    def greetings(self) -> Any:
        """Show how all greetings stand."""
        return [(talk.peer, talk.whose, talk.state) for talk in self.in_order()]

    def find(self, peer: bytes, whose: str) -> Talk | None:
        """Return a greeting."""
        for talk in self.talks:
            if (talk.peer, talk.whose) == (peer, whose):
                return talk
        return None

    def begin(self, talk: Talk) -> Talk:
        """Keep a new greeting in place of an earlier one."""
        earlier = self.find(talk.peer, talk.whose)
        self.talks = [one for one in self.talks if one is not earlier] + [talk]
        return talk

    def next_number(self) -> int:
        """Return a new number."""
        self.number = (self.number + 1) % 2**32
        return (self.number - 1) % 2**32

    def frame(self, peer: bytes, kind: int, own: int, heard: int) -> bytes:
        """Return a frame."""
        message = bytes([1, kind]) + struct.pack(self.numbers(), own, heard)
        return self.padded(peer + self.own + b"\x88\xb5" + message)

    def padded(self, frame: bytes) -> bytes:
        """Make a frame long enough."""
        return frame + bytes(60 - len(frame))

"""Misconceptions about a protocol of one's own, its numbers and its clock: exercise 12.6."""

__all__ = ["NEW_GREETER"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_12.misconceptions.right_greeter import RightGreeter, Talk


class NoPadding(RightGreeter):
    """Believe that a frame may be as short as its message."""

    def padded(self, frame: bytes) -> bytes:
        return frame


class PaddingIsRead(RightGreeter):
    """Believe that what lies behind a message must be zero."""

    def is_long(self, frame: bytes) -> bool:
        return super().is_long(frame) and not any(frame[24:])


class LowOctetFirst(RightGreeter):
    """Believe that numbers are written with the low octet first."""

    def numbers(self) -> str:
        return "<II"


class OneNumber(RightGreeter):
    """Believe that all greetings may have the same number."""

    def next_number(self) -> int:
        return self.number


class AnyAnswer(RightGreeter):
    """Believe that an answer needs no number."""

    def is_answer(self, ours: Talk, heard: int) -> bool:
        return True


class AnyConfirm(RightGreeter):
    """Believe that a confirm needs no numbers."""

    def is_confirm(self, theirs: Talk, own: int, heard: int) -> bool:
        return True


class TwoAreEnough(RightGreeter):
    """Believe that whoever has answered a hail has been greeted."""

    def state_of_hailed(self) -> str:
        return "greeted"


class DoubleIsNew(RightGreeter):
    """Believe that a hail that comes twice begins a second greeting."""

    def hailed_again(self, now_s: float, talk: Talk) -> Any:
        return self.hailed(now_s, talk.peer, talk.heard, talk)


class DoubleIsIgnored(RightGreeter):
    """Believe that a hail that comes twice needs one answer."""

    def hailed_again(self, now_s: float, talk: Talk) -> Any:
        return []


class DoubleBeginsAgain(RightGreeter):
    """Believe that a hail that comes twice sets its greeting back."""

    def hailed_again(self, now_s: float, talk: Talk) -> Any:
        talk.state, talk.sent, talk.sent_s = "answered", 1, now_s
        return super().hailed_again(now_s, talk)


class FirstHailStays(RightGreeter):
    """Believe that a peer that begins anew is a double."""

    def hailed(self, now_s: float, peer: bytes, own: int, earlier: Talk | None) -> Any:
        return super().hailed(now_s, peer, own, None) if earlier is None else []


class ConfirmedOnce(RightGreeter):
    """Believe that an answer that comes again needs no second confirm."""

    def answered(self, peer: bytes, own: int, heard: int, ours: Talk | None) -> Any:
        if ours is not None and ours.state == "greeted":
            return []
        return super().answered(peer, own, heard, ours)


class LateIsNever(RightGreeter):
    """Believe that whoever has been silent is not heard any more."""

    def is_answer(self, ours: Talk, heard: int) -> bool:
        return super().is_answer(ours, heard) and ours.state != "silent"

    def is_confirm(self, theirs: Talk, own: int, heard: int) -> bool:
        return super().is_confirm(theirs, own, heard) and theirs.state != "silent"


class ForEver(RightGreeter):
    """Believe that a message is sent again until somebody answers."""

    def most(self, talk: Talk) -> int:
        return 10**9


class TriesAreRepeats(RightGreeter):
    """Believe that the first sending is no try."""

    def most(self, talk: Talk) -> int:
        return self.tries + 1


class SilentAtTheLast(RightGreeter):
    """Believe that after the last sending nobody needs to be waited for."""

    def again(self, now_s: float, talk: Talk) -> bytes:
        frame = super().again(now_s, talk)
        if talk.sent == self.tries:
            talk.state = "silent"
        return frame


class OnlyHails(RightGreeter):
    """Believe that only a hail can get lost."""

    def waits(self, talk: Talk) -> bool:
        return talk.state == "hailed"


class AfterTheFirst(RightGreeter):
    """Believe that each time to send again counts from the first sending."""

    def again(self, now_s: float, talk: Talk) -> bytes:
        first_s = talk.sent_s
        frame = super().again(now_s, talk)
        talk.sent_s = first_s + self.wait_s
        return frame


class StrangersGreeted(RightGreeter):
    """Believe that everybody is a friend."""

    def is_friend(self, peer: bytes) -> bool:
        return True


class StrangersIgnored(RightGreeter):
    """Believe that a stranger is told nothing."""

    def stranger(self, now_s: float, peer: bytes, own: int) -> Any:
        return []


class AnyVersion(RightGreeter):
    """Believe that the version may be overlooked."""

    def other_version(self, now_s: float, peer: bytes, kind: int, own: int, heard: int) -> Any:
        return self.heard_kind(now_s, peer, kind, own, heard)


class OtherVersionIgnored(RightGreeter):
    """Believe that whoever speaks another version is told nothing."""

    def other_version(self, now_s: float, peer: bytes, kind: int, own: int, heard: int) -> Any:
        return []


class AllVersionsRefused(RightGreeter):
    """Believe that whatever has another version is refused, refusals too."""

    def other_version(self, now_s: float, peer: bytes, kind: int, own: int, heard: int) -> Any:
        return [self.refuse(peer, own)]


class AnyRefusal(RightGreeter):
    """Believe that a refusal needs no number."""

    def is_refused(self, ours: Talk, heard: int) -> bool:
        return ours.state == "hailed"


class RefusalUndoes(RightGreeter):
    """Believe that a refusal ends what has been greeted."""

    def is_refused(self, ours: Talk, heard: int) -> bool:
        return ours.own == heard


class RefusedTriesOn(RightGreeter):
    """Believe that a refusal is no reason to stop."""

    def is_refused(self, ours: Talk, heard: int) -> bool:
        return False


NEW_GREETER: dict[str, Callable[..., Any]] = {
    "no-padding": NoPadding,
    "padding-is-read": PaddingIsRead,
    "low-octet-first": LowOctetFirst,
    "one-number": OneNumber,
    "any-answer": AnyAnswer,
    "any-confirm": AnyConfirm,
    "two-are-enough": TwoAreEnough,
    "double-is-new": DoubleIsNew,
    "double-is-ignored": DoubleIsIgnored,
    "double-begins-again": DoubleBeginsAgain,
    "first-hail-stays": FirstHailStays,
    "confirmed-once": ConfirmedOnce,
    "late-is-never": LateIsNever,
    "for-ever": ForEver,
    "tries-are-repeats": TriesAreRepeats,
    "silent-at-the-last": SilentAtTheLast,
    "only-hails": OnlyHails,
    "after-the-first": AfterTheFirst,
    "strangers-greeted": StrangersGreeted,
    "strangers-ignored": StrangersIgnored,
    "any-version": AnyVersion,
    "other-version-ignored": OtherVersionIgnored,
    "all-versions-refused": AllVersionsRefused,
    "any-refusal": AnyRefusal,
    "refusal-undoes": RefusalUndoes,
    "refused-tries-on": RefusedTriesOn,
}

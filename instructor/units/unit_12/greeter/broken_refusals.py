"""Answers that break one clause of 12.6 about refusals, and keep all others."""

__all__ = [
    "OtherVersionIgnored",
    "RefusalFromAnybody",
    "RefusalKept",
    "RefusalNumbered",
    "RefusalTakesNumber",
    "RefusedForEver",
    "StrangersNotHailed",
]

from typing import Any

from instructor.units.unit_12.misconceptions.right_greeter import RightGreeter, Talk


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


class RefusedForEver(RightGreeter):
    """Believe no answer of one who has refused."""

    def is_answer(self, ours: Talk, heard: int) -> bool:
        """Tell whether an answer is to our hail."""
        return super().is_answer(ours, heard) and ours.state != "refused"

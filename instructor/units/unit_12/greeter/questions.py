"""Questions of exercise 12.6: rows of frames, and of ticks of a clock.

What one aspect asks for must not fall with another. `tries` tells them apart (`TRIES`): time
passes under "lost and doubled", where it is 2 or 3; strangers come under "refusals" alone.
"""

__all__ = ["GREETERS", "LOST", "MESSAGES", "REFUSALS", "TRIES", "greeter_questions"]

import random
import struct
from dataclasses import dataclass
from typing import Any

from instructor.units.items import Question
from instructor.units.unit_10.secret_events import between, events
from instructor.units.unit_12.half_of_rows import half_of

MESSAGES, LOST, REFUSALS = "three messages", "lost and doubled", "refusals"
TRIES = {MESSAGES: 9, LOST: 3, REFUSALS: 7}
HAIL, ANSWER, CONFIRM, REFUSE = 1, 2, 3, 4
LAYOUT = "the exercise's own layout; RFC 9293, section 3.5, on why there are three messages"
Step = tuple[Any, ...]
LOOK: Step = ("greetings",)


@dataclass(frozen=True)
class Scene:
    """Addresses and numbers of which rows are made."""

    own: bytes
    peers: tuple[bytes, ...]  # three friends, not in the order of their addresses, and a stranger
    first: int
    theirs: int  # a number of theirs
    wait_s: int
    start_s: int
    padding: bytes

    def new(self, aspect: str, *, first: int | None = None, tries: int = 0) -> Step:
        """Return the arguments of a greeter."""
        start = self.first if first is None else first
        return (self.own, list(self.peers[:3]), start, self.wait_s, tries or TRIES[aspect])

    def hail(self, peer: int, after_s: float = 0) -> Step:
        """Let us hail somebody."""
        return ("hail", self.start_s + after_s, self.peers[peer])

    def tick(self, waits: float, less: int = 0) -> Step:
        """Let a time pass that is told in waits."""
        return ("tick", self.start_s + int(waits * self.wait_s) - less)

    def comes(
        self, peer: int, kind: int, own: int, heard: int, *, after_s: float = 0, version: int = 1,
        to: bytes = b"", ether_type: int = 0x88B5, cut: int = 0, padding: bytes | None = None,
    ) -> Step:  # fmt: skip
        """Let a frame come."""
        head = (to or self.own) + self.peers[peer] + struct.pack(">H", ether_type)
        message = bytes([version, kind]) + struct.pack(">II", own, heard)
        frame = head + message + (bytes(36) if padding is None else padding)
        return ("receive", self.start_s + after_s, frame[: cut or None])


def _messages(s: Scene) -> list[Question]:
    ours, number = s.first, s.theirs

    def row(*steps: Step, first: int | None = None) -> Question:
        return events(MESSAGES, s.new(MESSAGES, first=first), *steps, source=LAYOUT)

    def answer(peer: int, heard: int, own: int = number, **about: Any) -> Step:
        return s.comes(peer, ANSWER, own, heard, **about)

    def hailed(peer: int, own: int = number, **about: Any) -> Step:
        return s.comes(peer, HAIL, own, 0, **about)

    def confirm(peer: int, own: int, heard: int, **about: Any) -> Step:
        return s.comes(peer, CONFIRM, own, heard, **about)

    top = 2**32 - 1
    other = bytes([*s.own[:5], s.own[5] ^ 1])
    group = bytes([s.own[0] | 1, *s.own[1:]])
    return [
        row(s.hail(0)),
        row(s.hail(2)),
        row(hailed(1)),
        row(s.hail(0), answer(0, ours)),
        row(s.hail(1), answer(1, ours), LOOK),
        row(s.hail(0), s.hail(1), s.hail(2)),
        row(s.hail(0), s.hail(1), LOOK),
        row(s.hail(2), s.hail(0), first=top),
        row(s.hail(1), answer(1, 0), LOOK, first=0),
        row(hailed(2, 0), confirm(2, 0, ours), LOOK),
        row(hailed(0), LOOK),
        row(hailed(2), confirm(2, number, ours), LOOK),
        row(hailed(0), hailed(1, number + 5), first=top),
        row(s.hail(0), answer(0, ours ^ 4), LOOK),
        row(s.hail(1), answer(1, number), LOOK),
        row(s.hail(0), answer(1, ours), LOOK),
        row(s.hail(0), s.hail(1), answer(1, ours), LOOK),
        row(s.hail(0), s.hail(1), answer(0, ours, number - 3), LOOK),
        row(hailed(0), confirm(0, number, ours ^ 8), LOOK),
        row(hailed(1), confirm(1, number ^ 2, ours), LOOK),
        row(hailed(1), confirm(2, number, ours), LOOK),
        row(hailed(2), confirm(2, ours, number), LOOK),
        row(s.hail(0), hailed(0), LOOK),
        row(s.hail(0), hailed(0), answer(0, ours), LOOK),
        row(s.hail(0), hailed(0), confirm(0, number, ours), LOOK),
        row(hailed(0, padding=s.padding), LOOK),
        row(s.hail(2), answer(2, ours, padding=s.padding + bytes(20)), LOOK),
        row(hailed(0, padding=b"")),
        row(hailed(0, padding=b"", cut=23), LOOK),
        row(s.hail(1), answer(1, ours, cut=22), LOOK),
        row(hailed(0, to=other), LOOK),
        row(hailed(1, to=group), LOOK),
        row(hailed(2, ether_type=0x88B6), LOOK),
        row(s.hail(2), answer(2, ours, ether_type=0x0800), LOOK),
        row(s.hail(1), s.comes(1, 5, number, ours), LOOK),
        row(hailed(0), s.comes(0, 0, number, ours), s.comes(0, 6, number, ours), LOOK),
        row(s.hail(2), s.hail(1), hailed(0), LOOK),
        row(hailed(1), s.hail(0), hailed(2, number + 9), LOOK),
        between(MESSAGES, (s.new(MESSAGES), s.new(MESSAGES, first=number)), (0, *s.hail(0)),
                (1, *s.hail(0)), (0, *s.hail(1)), (1, *LOOK)),
    ]  # fmt: skip


def _lost(s: Scene) -> list[Question]:
    ours, number = s.first, s.theirs

    def row(*steps: Step, tries: int = 0) -> Question:
        return events(LOST, s.new(LOST, tries=tries), *steps, source=LAYOUT)

    def answer(peer: int = 0, heard: int = ours, own: int = number) -> Step:
        return s.comes(peer, ANSWER, own, heard)

    def hailed(peer: int = 0, own: int = number, after_s: int = 0) -> Step:
        return s.comes(peer, HAIL, own, 0, after_s=after_s)

    def confirm(peer: int = 0, own: int = number, heard: int = ours) -> Step:
        return s.comes(peer, CONFIRM, own, heard)

    tick = s.tick
    return [
        row(s.hail(0), tick(1, 1), tick(1)),
        row(s.hail(1), tick(1), tick(2, 1), tick(2)),
        row(s.hail(0), tick(1.5), tick(2), tick(2.5)),
        row(hailed(1), tick(1.5), tick(2), LOOK, tries=2),
        row(s.hail(2), tick(3), tick(4), LOOK),
        row(s.hail(2), tick(1), LOOK, tries=2),
        row(hailed(0), tick(1), tick(2), LOOK),
        row(s.hail(0), tick(1), tick(2), LOOK, tick(3), LOOK, tick(9)),
        row(s.hail(1), tick(1), tick(2), LOOK, tick(3, 1), LOOK, tries=2),
        row(s.hail(2), tick(2), tick(4), LOOK, tick(6), tries=2),
        row(hailed(), tick(1, 1), tick(1)),
        row(hailed(1), tick(1), tick(2), tick(3), LOOK),
        row(hailed(2), tick(2), LOOK, tick(4), LOOK, tries=2),
        row(hailed(), hailed(), LOOK),
        row(hailed(1), hailed(1), confirm(1), LOOK),
        row(hailed(1), hailed(1, after_s=s.wait_s - 1), tick(1)),
        row(hailed(), hailed(), hailed(), tick(1), tick(2), tick(3), LOOK),
        row(hailed(), hailed(0, after_s=1), tick(1), tick(2), tick(3), LOOK),
        row(hailed(2), confirm(2), hailed(2), LOOK),
        row(hailed(), confirm(), hailed(), tick(1), LOOK),
        row(hailed(), hailed(0, number ^ 6)),
        row(hailed(1), confirm(1), hailed(1, number + 7), LOOK),
        row(hailed(2), hailed(2, number ^ 5), confirm(2, number ^ 5, ours + 1), LOOK),
        row(hailed(1), hailed(1, number ^ 9), confirm(1), LOOK),
        row(s.hail(0), answer(), answer(), LOOK),
        row(s.hail(1), tick(1), answer(1), answer(1), LOOK),
        row(s.hail(1), answer(1), answer(1, own=number ^ 3)),
        row(s.hail(0), tick(1), tick(2), tick(3), answer(), LOOK),
        row(s.hail(2), tick(1), tick(2), answer(2), LOOK, tries=2),
        row(hailed(), tick(1), tick(2), confirm(), LOOK, tries=2),
        row(hailed(1), tick(1), tick(2), tick(3), confirm(1), LOOK),
        row(s.hail(0), answer(), tick(1), LOOK),
        row(hailed(), confirm(), tick(1), LOOK),
        row(s.hail(0), s.hail(1), s.hail(2), tick(1)),
        row(s.hail(2), hailed(0), s.hail(1), tick(1), tick(2)),
        row(s.hail(1), s.hail(0, 1), tick(1), tick(2), tick(3)),
        row(s.hail(1), tick(2.5)),
        row(s.hail(2), tick(1), LOOK, tries=1),
        row(s.hail(1), hailed(0, after_s=2 * s.wait_s), LOOK, tries=1),
        row(s.hail(0), s.hail(0, 1)),
        row(s.hail(1), answer(1), s.hail(1, 1)),
        row(s.hail(0), s.hail(1), s.hail(0, 1), LOOK, answer(0), answer(0, ours + 2)),
        row(s.hail(2), tick(1), s.hail(2, s.wait_s), LOOK, tries=1),
        row(s.hail(2), tick(1), s.hail(2, s.wait_s), answer(2), tries=1),
        row(hailed(2), hailed(2, number ^ 5), hailed(2), LOOK),
        row(
            s.hail(2),
            tick(1),
            tick(2),
            s.hail(1, 2 * s.wait_s),
            s.hail(2, 2 * s.wait_s),
            tick(3),
            tries=2,
        ),
    ]


def _refusals(s: Scene) -> list[Question]:
    ours, number, stranger = s.first, s.theirs, 3

    def row(*steps: Step) -> Question:
        return events(REFUSALS, s.new(REFUSALS), *steps, source=LAYOUT)

    def hailed(peer: int, own: int = number, version: int = 1) -> Step:
        return s.comes(peer, HAIL, own, 0, version=version)

    def refuse(peer: int, heard: int, **about: Any) -> Step:
        return s.comes(peer, REFUSE, 0, heard, **about)

    def answer(peer: int, version: int = 1) -> Step:
        return s.comes(peer, ANSWER, number, ours, version=version)

    return [
        row(hailed(stranger)),
        row(hailed(stranger, number ^ 1), LOOK),
        row(hailed(stranger), hailed(stranger), LOOK),
        row(hailed(stranger), s.hail(1)),
        row(hailed(stranger), hailed(0, number + 1)),
        row(hailed(0, number, 2)),
        row(hailed(1, number ^ 3, 0), LOOK),
        row(hailed(stranger, number, 3), LOOK),
        row(hailed(2, number, 2), hailed(2, number)),
        row(s.hail(0), answer(0, 2), LOOK),
        row(hailed(1), s.comes(1, CONFIRM, number, ours, version=2), LOOK),
        row(s.hail(1), refuse(1, ours, version=2), LOOK),
        row(s.hail(2), refuse(2, ours), LOOK),
        row(s.hail(0), refuse(0, ours), s.tick(1), LOOK),
        row(s.hail(1), refuse(1, ours), s.tick(1), s.tick(9)),
        row(s.hail(0), refuse(0, ours ^ 2), LOOK),
        row(s.hail(1), refuse(1, number), s.tick(1), LOOK),
        row(s.hail(1), refuse(2, ours), LOOK),
        row(s.hail(0), s.hail(2), refuse(2, ours), LOOK),
        row(s.hail(2), answer(2), refuse(2, ours), LOOK),
        row(s.hail(0), answer(0), refuse(0, ours), LOOK),
        row(s.hail(0), refuse(0, ours), answer(0), LOOK),
        row(s.hail(stranger), LOOK),
        row(s.hail(stranger), answer(stranger), LOOK),
    ]


PUBLIC_SCENE = Scene(
    bytes.fromhex("00005e005301"),
    tuple(bytes.fromhex(f"00005e0053{last}") for last in ("2c", "0b", "1d", "e7")),
    1000,
    70_000,
    4,
    0,
    b"all that lies behind is of no meaning"[:36],
)


def _all(messages: Scene, lost: Scene, refusals: Scene) -> list[Question]:
    return [*_messages(messages), *_lost(lost), *_refusals(refusals)]


GREETERS = tuple(_all(PUBLIC_SCENE, PUBLIC_SCENE, PUBLIC_SCENE))


def greeter_questions(rng: random.Random) -> list[Question]:
    """Draw addresses and numbers, anew for each aspect, and half of the rows."""
    return half_of(rng, _all(_scene(rng), _scene(rng), _scene(rng)))


def _scene(rng: random.Random) -> Scene:
    own, *four = rng.sample(range(256), 5)
    low, middle, high, stranger = (*sorted(four[:3]), four[3])
    first = rng.randint(256, 2**32 - 100)
    return Scene(
        _address(own),
        tuple(_address(last) for last in (high, low, middle, stranger)),
        first,
        rng.choice([one for one in (rng.randint(2**16, 2**32 - 100) for _ in range(9))
                    if abs(one - first) > 99]),
        2 * rng.randint(2, 30),
        rng.randint(1, 900),
        rng.randbytes(36),
    )  # fmt: skip


def _address(last: int) -> bytes:
    return bytes.fromhex("00005e0053") + bytes([last])

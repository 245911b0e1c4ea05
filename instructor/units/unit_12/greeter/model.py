"""The model answer to 12.6, the ferry greeting: written to be read out in front of a class.

The greeting is the course's own. Three messages with numbers, and why two are not enough: RFC 9293,
section 3.5. The ether type is one of those that IEEE Std 802 leaves for experiments.
"""

__all__ = ["new_greeter"]

HEAD = bytes.fromhex("88b5 01")  # type and version
HAIL, ANSWER, CONFIRM, REFUSE = 1, 2, 3, 4
Frames = list[bytes]


class Greeting:
    """One greeting: its numbers, what was said last, and how often and when that was sent."""

    def __init__(self, own: int, heard: int, state: str) -> None:
        self.own, self.heard, self.state = own, heard, state
        self.sent, self.sent_s = 0, 0.0


def new_greeter(own: bytes, friends: list[bytes], first: int, wait_s: int, tries: int) -> "Greeter":
    """Return a greeter that greets others, and is greeted, in frames of type 0x88B5."""
    return Greeter(own, friends, first, wait_s, tries)


class Greeter:
    """Greetings by peer and by whose they are, in the order in which they began."""

    def __init__(
        self, own: bytes, friends: list[bytes], first: int, wait_s: int, tries: int
    ) -> None:
        self.own, self.friends, self.next = own, list(friends), first
        self.wait_s, self.tries = wait_s, tries
        self.kept: dict[tuple[bytes, str], Greeting] = {}

    def hail(self, now_s: float, peer: bytes) -> Frames:
        """Begin a greeting of ours."""
        return self.begin(now_s, peer, "ours", Greeting(self.new_number(), 0, "hailed"))

    def receive(self, now_s: float, frame: bytes) -> Frames:
        """Take a frame in."""
        if frame[:6] != self.own or frame[12:14] != HEAD[:2] or len(frame) < 24:
            return []
        peer, kind = frame[6:12], frame[15]
        own, heard = number(frame, 16), number(frame, 20)
        if kind == HAIL and (frame[14] != HEAD[2] or peer not in self.friends):
            return [self.frame(peer, REFUSE, 0, own)]
        if frame[14] != HEAD[2]:
            return []
        ours, theirs = self.kept.get((peer, "ours")), self.kept.get((peer, "theirs"))
        if kind == HAIL:
            if theirs and theirs.heard == own:
                return [self.frame(peer, ANSWER, theirs.own, own)]
            return self.begin(now_s, peer, "theirs", Greeting(self.new_number(), own, "answered"))
        if kind == ANSWER and ours and ours.own == heard:
            ours.state = "greeted"
            return [self.frame(peer, CONFIRM, heard, own)]
        if kind == CONFIRM and theirs and (theirs.own, theirs.heard) == (heard, own):
            theirs.state = "greeted"
        if kind == REFUSE and ours and ours.own == heard and ours.state == "hailed":
            ours.state = "refused"
        return []

    def tick(self, now_s: float) -> Frames:
        """Say again what nobody has answered."""
        frames = []
        for (peer, _), greeting in self.kept.items():
            waits = greeting.state in ("hailed", "answered")
            if waits and now_s - greeting.sent_s >= self.wait_s:
                if greeting.sent < self.tries:
                    frames.append(self.say(now_s, peer, greeting))
                else:
                    greeting.state = "silent"
        return frames

    def greetings(self) -> list[tuple[bytes, str, str]]:
        """Show how all greetings stand."""
        return [(*key, greeting.state) for key, greeting in self.kept.items()]

    def begin(self, now_s: float, peer: bytes, whose: str, greeting: Greeting) -> Frames:
        """Let a greeting take the place of an earlier one, and say its first message."""
        self.kept.pop((peer, whose), None)
        self.kept[peer, whose] = greeting
        return [self.say(now_s, peer, greeting)]

    def say(self, now_s: float, peer: bytes, greeting: Greeting) -> bytes:
        """Note that something is sent."""
        greeting.sent += 1
        greeting.sent_s = now_s
        kind = HAIL if greeting.state == "hailed" else ANSWER
        return self.frame(peer, kind, greeting.own, greeting.heard)

    def new_number(self) -> int:
        """Return a number for a greeting."""
        found = self.next
        self.next = (found + 1) % 2**32
        return found

    def frame(self, peer: bytes, kind: int, own: int, heard: int) -> bytes:
        """Return a frame that is long enough for Ethernet."""
        numbers = own.to_bytes(4, "big") + heard.to_bytes(4, "big")
        return (peer + self.own + HEAD + bytes([kind]) + numbers).ljust(60, b"\0")


def number(frame: bytes, at: int) -> int:
    """Return four octets as a number."""
    return int.from_bytes(frame[at : at + 4], "big")

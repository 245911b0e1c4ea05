"""Other right answers for exercise 12.6, each in a way of its own."""

__all__ = ["OTHERS"]

import struct
from collections.abc import Callable
from typing import Any, NamedTuple


class Message(NamedTuple):
    """A frame, read."""

    to: bytes
    by: bytes
    ether_type: int
    version: int
    kind: int
    own: int
    heard: int


FRAME = struct.Struct(">6s6sHBBII")


class GreeterOfRecords:
    """A record for each greeting, and a method for each kind of message."""

    def __init__(self, own: bytes, friends: list[bytes], first: int, wait_s: int, tries: int):
        self.me, self.friends = own, frozenset(friends)
        self.numbers = self.count(first)
        self.wait, self.tries = wait_s, tries
        self.records: list[dict[str, Any]] = []

    @staticmethod
    def count(first: int) -> Any:
        """Yield numbers in a circle."""
        while True:
            yield first
            first = 0 if first == 0xFFFFFFFF else first + 1

    def pack(self, to: bytes, kind: int, own: int, heard: int) -> bytes:
        """Write a frame."""
        return FRAME.pack(to, self.me, 0x88B5, 1, kind, own, heard) + bytes(36)

    def start(self, now: float, whose: str, peer: bytes, kind: int, heard: int) -> list[bytes]:
        """Write a record, and cross out an earlier one."""
        self.records = [one for one in self.records if (one["whose"], one["peer"]) != (whose, peer)]
        frame = self.pack(peer, kind, number := next(self.numbers), heard)
        state = "hailed" if kind == 1 else "answered"
        self.records.append(
            {"whose": whose, "peer": peer, "number": number, "heard": heard, "state": state,
             "due": now + self.wait, "left": self.tries - 1, "frame": frame}
        )  # fmt: skip
        return [frame]

    def hail(self, now_s: float, peer: bytes) -> list[bytes]:
        """Hail somebody."""
        return self.start(now_s, "ours", peer, 1, 0)

    def receive(self, now_s: float, frame: bytes) -> list[bytes]:
        """Read a frame and hand it on."""
        if len(frame) < FRAME.size:
            return []
        read = Message(*FRAME.unpack_from(frame))
        if (read.to, read.ether_type) != (self.me, 0x88B5):
            return []
        if read.version != 1:
            return self.refusal(read) if read.kind == 1 else []
        by_kind = {1: self.on_hail, 2: self.on_answer, 3: self.on_confirm, 4: self.on_refuse}
        return by_kind[read.kind](now_s, read) if read.kind in by_kind else []

    def refusal(self, read: Message) -> list[bytes]:
        """Refuse."""
        return [self.pack(read.by, 4, 0, read.own)]

    def record(self, whose: str, peer: bytes, **wanted: Any) -> dict[str, Any] | None:
        """Find the record that has all that is wanted."""
        for one in self.records:
            if one["whose"] == whose and one["peer"] == peer:
                return one if all(one[key] == value for key, value in wanted.items()) else None
        return None

    def on_hail(self, now_s: float, read: Message) -> list[bytes]:
        """Answer, once more or for the first time."""
        if read.by not in self.friends:
            return self.refusal(read)
        same = self.record("theirs", read.by, heard=read.own)
        return [same["frame"]] if same else self.start(now_s, "theirs", read.by, 2, read.own)

    def on_answer(self, now_s: float, read: Message) -> list[bytes]:
        """Confirm."""
        ours = self.record("ours", read.by, number=read.heard)
        if not ours:
            return []
        ours["state"] = "greeted"
        return [self.pack(read.by, 3, read.heard, read.own)]

    def on_confirm(self, now_s: float, read: Message) -> list[bytes]:
        """Believe it if both numbers are right."""
        if one := self.record("theirs", read.by, number=read.heard, heard=read.own):
            one["state"] = "greeted"
        return []

    def on_refuse(self, now_s: float, read: Message) -> list[bytes]:
        """Give up what was hailed."""
        if one := self.record("ours", read.by, number=read.heard, state="hailed"):
            one["state"] = "refused"
        return []

    def tick(self, now_s: float) -> list[bytes]:
        """Go through the records that wait."""
        sent = []
        for one in self.records:
            if one["state"] not in ("hailed", "answered") or now_s < one["due"]:
                continue
            if one["left"] == 0:
                one["state"] = "silent"
                continue
            one["left"] -= 1
            one["due"] = now_s + self.wait
            sent.append(one["frame"])
        return sent

    def greetings(self) -> list[tuple[bytes, str, str]]:
        """Show three columns."""
        return [(one["peer"], one["whose"], one["state"]) for one in self.records]


class GreeterOfTables:
    """A table for ours and one for theirs; the order stands in a list of its own."""

    def __init__(self, own: bytes, friends: list[bytes], first: int, wait_s: int, tries: int):
        self.own, self.friends, self.first = own, friends, first
        self.begun = 0
        self.wait_s, self.tries = wait_s, tries
        self.tables: dict[str, dict[bytes, list[Any]]] = {"ours": {}, "theirs": {}}
        self.order: list[tuple[str, bytes]] = []

    def make(self, peer: bytes, kind: int, numbers: list[int]) -> bytes:
        """Write octets by hand."""
        text = "".join(f"{number:08x}" for number in numbers)
        return bytes.fromhex(f"{peer.hex()}{self.own.hex()}88b501{kind:02x}{text:0<88}")

    def begin(self, now_s: float, whose: str, peer: bytes, heard: int) -> list[bytes]:
        """Number, note, send."""
        number = (self.first + self.begun) & 0xFFFFFFFF
        self.begun += 1
        if (whose, peer) in self.order:
            self.order.remove((whose, peer))
        self.order.append((whose, peer))
        self.tables[whose][peer] = [number, heard, "waits", [now_s]]
        return [self.first_words(whose, peer)]

    def first_words(self, whose: str, peer: bytes) -> bytes:
        """Return a hail or an answer."""
        return self.make(peer, 1 if whose == "ours" else 2, self.tables[whose][peer][:2])

    def hail(self, now_s: float, peer: bytes) -> list[bytes]:
        """Hail somebody."""
        return self.begin(now_s, "ours", peer, 0)

    def receive(self, now_s: float, frame: bytes) -> list[bytes]:
        """Go through the cases."""
        to, peer, what = frame[:6], frame[6:12], frame[12:16].hex()
        own, heard = int.from_bytes(frame[16:20], "big"), int.from_bytes(frame[20:24], "big")
        if to != self.own or len(frame) < 24 or not what.startswith("88b5"):
            return []
        ours = self.tables["ours"].get(peer, [None, None, None])
        theirs = self.tables["theirs"].get(peer, [None, None, None])
        if what.endswith("01") and (what != "88b50101" or peer not in self.friends):
            return [self.make(peer, 4, [0, own])]
        match what:
            case "88b50101" if theirs[1] == own:
                return [self.first_words("theirs", peer)]
            case "88b50101":
                return self.begin(now_s, "theirs", peer, own)
            case "88b50102" if ours[0] == heard:
                ours[2] = "greeted"
                return [self.make(peer, 3, [heard, own])]
            case "88b50103" if theirs[:2] == [heard, own]:
                theirs[2] = "greeted"
            case "88b50104" if ours[0] == heard and ours[2] == "waits":
                ours[2] = "refused"
        return []

    def tick(self, now_s: float) -> list[bytes]:
        """Look who waits."""
        frames = []
        for whose, peer in self.order:
            row = self.tables[whose][peer]
            times = row[3]
            if row[2] == "waits" and now_s - times[-1] >= self.wait_s:
                if len(times) == self.tries:
                    row[2] = "silent"
                else:
                    times.append(now_s)
                    frames.append(self.first_words(whose, peer))
        return frames

    def greetings(self) -> list[tuple[bytes, str, str]]:
        """Put the word for waiting in."""
        words = {"ours": "hailed", "theirs": "answered"}
        rows = [(peer, whose, self.tables[whose][peer][2]) for whose, peer in self.order]
        return [(peer, whose, words[whose] if how == "waits" else how) for peer, whose, how in rows]


def greeter_of_closures(
    own: bytes, friends: list[bytes], first: int, wait_s: int, tries: int
) -> Any:
    """Keep everything in two dictionaries that functions share."""
    state: dict[tuple[bytes, str], str] = {}
    facts: dict[tuple[bytes, str], tuple[int, int, float, int]] = {}  # own, heard, when, how often
    counter = [first]

    def words(peer: bytes, kind: int, mine: int, its: int) -> bytes:
        head = peer + own + bytes((0x88, 0xB5, 1, kind))
        return head + mine.to_bytes(4, "big") + its.to_bytes(4, "big") + b"\x00" * 36

    def begin(now: float, key: tuple[bytes, str], its: int) -> list[bytes]:
        mine = counter[0] % (1 << 32)
        counter[0] += 1
        state.pop(key, None)
        state[key] = "hailed" if key[1] == "ours" else "answered"
        facts[key] = (mine, its, now, 1)
        return [words(key[0], 1 if key[1] == "ours" else 2, mine, its)]

    def receive(now: float, frame: bytes) -> list[bytes]:
        if len(frame) < 24 or frame[:6] != own or frame[12:14] != b"\x88\xb5":
            return []
        peer, version, kind = frame[6:12], frame[14], frame[15]
        its, mine = struct.unpack(">II", frame[16:24])
        ours, theirs = (peer, "ours"), (peer, "theirs")
        if kind == 1 and (version != 1 or peer not in friends):
            return [words(peer, 4, 0, its)]
        if kind == 1 and theirs in facts and facts[theirs][1] == its:
            return [words(peer, 2, facts[theirs][0], its)]
        if kind == 1:
            return begin(now, theirs, its)
        if version != 1:
            return []
        if kind == 3 and theirs in facts and facts[theirs][:2] == (mine, its):
            state[theirs] = "greeted"
        if ours in facts and facts[ours][0] == mine:
            if kind == 2:
                state[ours] = "greeted"
                return [words(peer, 3, mine, its)]
            if kind == 4 and state[ours] == "hailed":
                state[ours] = "refused"
        return []

    def tick(now: float) -> list[bytes]:
        frames = []
        for key, how in list(state.items()):
            mine, its, when, often = facts[key]
            if how in ("hailed", "answered") and when + wait_s <= now:
                if often >= tries:
                    state[key] = "silent"
                else:
                    facts[key] = (mine, its, now, often + 1)
                    frames.append(words(key[0], 1 if how == "hailed" else 2, mine, its))
        return frames

    class Greeter:
        def greetings(self) -> list[tuple[bytes, str, str]]:
            return [(peer, whose, how) for (peer, whose), how in state.items()]

    greeter: Any = Greeter()
    greeter.hail = lambda now, peer: begin(now, (peer, "ours"), 0)
    greeter.receive, greeter.tick = receive, tick
    return greeter


OTHERS: tuple[Callable[..., Any], ...] = (
    GreeterOfRecords,
    GreeterOfTables,
    greeter_of_closures,
)

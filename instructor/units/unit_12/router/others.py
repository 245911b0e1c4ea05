"""Other right answers to 12.1: closures, a table of outcomes, and a queue of work."""

__all__ = ["OTHERS"]

from collections import Counter, deque
from collections.abc import Callable
from types import SimpleNamespace
from typing import Any, ClassVar

Sent = list[tuple[str, Any]]
KEYS = ("bad header", "for us", "no route", "too old", "forwarded", "given up")


def new_router_of_closures(parts: Any, own: dict[str, tuple[str, str]]) -> Any:
    """Keep everything in one function, without a class."""
    mine = {pair[0] for pair in own.values()}
    count: Counter[str] = Counter()

    def leave(now_s: float, interface: str, neighbour: str, packet: Any) -> Sent:
        hardware = parts.find(now_s, interface, neighbour)
        if hardware is None:
            return [(interface, one) for one in parts.wait(now_s, interface, neighbour, packet)]
        if parts.ends(packet)[0] not in mine:
            count["forwarded"] += 1
        return [(interface, parts.close_frame(interface, hardware, packet))]

    def go(now_s: float, packet: Any) -> Sent:
        destination = parts.ends(packet)[1]
        way = parts.look_up(destination)
        return leave(now_s, way[0], way[1] or destination, packet) if way else []

    def complain(now_s: float, packet: Any, reason: str, key: str) -> Sent:
        count[key] += 1
        way = parts.look_up(parts.ends(packet)[0])
        message = way and parts.error(packet, reason, own[way[0]][0])
        return go(now_s, message) if message else []

    def packet_in(now_s: float, packet: Any) -> Sent:
        if not parts.is_sound(packet):
            count["bad header"] += 1
            return []
        if parts.ends(packet)[1] in mine:
            count["for us"] += 1
            reply = parts.answer(packet)
            return go(now_s, reply) if reply else []
        if parts.look_up(parts.ends(packet)[1]) is None:
            return complain(now_s, packet, "net unreachable", "no route")
        try:
            older = parts.lower(packet)
        except ValueError:
            return complain(now_s, packet, "time exceeded", "too old")
        return go(now_s, older)

    def receive(now_s: float, interface: str, frame: Any) -> Sent:
        to, kind, inside = parts.open_frame(frame)
        if kind == "packet":
            return packet_in(now_s, inside) if to == own[interface][1] else []
        if kind != "message" or to not in ("ff:ff:ff:ff:ff:ff", own[interface][1]):
            return []
        answers, ready = parts.hear(now_s, interface, inside)
        rest = [one for pair in ready for one in leave(now_s, interface, *pair)]
        return [*((interface, one) for one in answers), *rest]

    def tick(now_s: float) -> Sent:
        questions, lost = parts.give_up(now_s)
        told = [
            complain(now_s, one, "host unreachable", "given up")
            for one in lost
            if parts.ends(one)[0] not in mine
        ]
        return sum(told, list(questions))

    return SimpleNamespace(
        receive=receive, tick=tick, counters=lambda: {key: count[key] for key in KEYS}
    )


class RouterWithATray:
    """Every method puts what is to be sent on a tray, and gives the tray away at the end."""

    REASONS: ClassVar = {"no route": "net", "too old": "time", "given up": "host"}

    def __init__(self, parts: Any, own: dict[str, tuple[str, str]]) -> None:
        self.parts, self.own, self.now_s = parts, own, 0.0
        self.tray: Sent = []
        self.books = dict.fromkeys(KEYS, 0)

    def emptied(self) -> Sent:
        """Return the tray, and put an empty one in its place."""
        tray, self.tray = self.tray, []
        return tray

    def is_ours(self, address: str) -> bool:
        """Look at all interfaces."""
        return any(address == one for one, _ in self.own.values())

    def receive(self, now_s: float, interface: str, frame: Any) -> Sent:
        """Sort frames."""
        self.now_s = now_s
        to, kind, inside = self.parts.open_frame(frame)
        for_one = to == self.own[interface][1]
        if kind == "packet" and for_one:
            self.outcome(inside)
        elif kind == "message" and (for_one or to.replace(":", "") == "f" * 12):
            answers, packets = self.parts.hear(now_s, interface, inside)
            self.tray += [(interface, answer) for answer in answers]
            for address, packet in packets:
                self.hand_over(interface, address, packet)
        return self.emptied()

    def outcome(self, packet: Any) -> None:
        """Find the outcome of a packet, count it, and do what it asks for."""
        what, older = self.fate(packet)
        if what:
            self.books[what] += 1
        if what in self.REASONS:
            self.complain(packet, what)
        elif what == "for us":
            self.launch(self.parts.answer(packet))
        elif not what:
            self.launch(older)

    def fate(self, packet: Any) -> tuple[str, Any]:
        """Name what stops a packet."""
        if not self.parts.is_sound(packet):
            return "bad header", None
        address = self.parts.ends(packet)[1]
        if self.is_ours(address):
            return "for us", None
        if not self.parts.look_up(address):
            return "no route", None
        try:
            return "", self.parts.lower(packet)
        except ValueError:
            return "too old", None

    def complain(self, packet: Any, what: str) -> None:
        """Write to the sender, if there is a way to it."""
        if way := self.parts.look_up(self.parts.ends(packet)[0]):
            word = self.REASONS[what]
            reason = "time exceeded" if word == "time" else f"{word} unreachable"
            self.launch(self.parts.error(packet, reason, self.own[way[0]][0]))

    def launch(self, packet: Any) -> None:
        """Send a packet on its way, if both are there."""
        if packet is not None:
            destination = self.parts.ends(packet)[1]
            if way := self.parts.look_up(destination):
                self.hand_over(way[0], destination if way[1] is None else way[1], packet)

    def hand_over(self, interface: str, neighbour: str, packet: Any) -> None:
        """Give a packet to a neighbour."""
        if found := self.parts.find(self.now_s, interface, neighbour):
            self.books["forwarded"] += not self.is_ours(self.parts.ends(packet)[0])
            self.tray.append((interface, self.parts.close_frame(interface, found, packet)))
        else:
            asked = self.parts.wait(self.now_s, interface, neighbour, packet)
            self.tray.extend((interface, question) for question in asked)

    def tick(self, now_s: float) -> Sent:
        """Ask again, and give up."""
        self.now_s = now_s
        questions, lost = self.parts.give_up(now_s)
        self.tray += questions
        for packet in lost:
            if not self.is_ours(self.parts.ends(packet)[0]):
                self.books["given up"] += 1
                self.complain(packet, "given up")
        return self.emptied()

    def counters(self) -> dict[str, int]:
        """Return the books."""
        return {**self.books}


class RouterOfJobs:
    """A queue of jobs: each one is done, and may leave more of them behind."""

    def __init__(self, parts: Any, own: dict[str, tuple[str, str]]) -> None:
        self.p = parts
        self.hardware = {name: pair[1] for name, pair in own.items()}
        self.address = {name: pair[0] for name, pair in own.items()}
        self.c = dict.fromkeys(KEYS, 0)

    def work(self, now_s: float, *jobs: tuple[Any, ...]) -> Sent:
        """Do all jobs, those that come up on the way right behind their cause."""
        queue, sent = deque(jobs), []
        while queue:
            name, *about = queue.popleft()
            if name == "put":
                sent.append(tuple(about))
            else:
                queue.extendleft(reversed(list(getattr(self, name)(now_s, *about))))
        return sent

    def receive(self, now_s: float, interface: str, frame: Any) -> Sent:
        """Find out which job a frame is."""
        to, kind, inside = self.p.open_frame(frame)
        allowed = {"packet": [self.hardware[interface]]}
        allowed["message"] = [*allowed["packet"], "ff:ff:ff:ff:ff:ff"]
        if to not in allowed.get(kind, ()):
            return []
        return self.work(now_s, (f"on_{kind}", interface, inside))

    def on_message(self, now_s: float, interface: str, message: Any) -> Any:
        """Answer, and let packets go."""
        answers, packets = self.p.hear(now_s, interface, message)
        yield from (("put", interface, one) for one in answers)
        yield from (("pass_on", interface, *pair) for pair in packets)

    def on_packet(self, now_s: float, interface: str, packet: Any) -> Any:
        """Walk through the stages."""
        if not self.p.is_sound(packet):
            self.c["bad header"] += 1
            return
        destination = self.p.ends(packet)[1]
        if destination in self.address.values():
            self.c["for us"] += 1
            yield "set_out", self.p.answer(packet)
        elif self.p.look_up(destination) is None:
            self.c["no route"] += 1
            yield "complain", packet, "net unreachable"
        else:
            try:
                yield "set_out", self.p.lower(packet)
            except ValueError:
                self.c["too old"] += 1
                yield "complain", packet, "time exceeded"

    def complain(self, now_s: float, packet: Any, why: str) -> Any:
        """Make an error."""
        way = self.p.look_up(self.p.ends(packet)[0])
        if way is not None:
            yield "set_out", self.p.error(packet, why, self.address[way[0]])

    def set_out(self, now_s: float, packet: Any) -> Any:
        """Look for the way."""
        way = None if packet is None else self.p.look_up(self.p.ends(packet)[1])
        if way is not None:
            yield "pass_on", way[0], way[1] or self.p.ends(packet)[1], packet

    def pass_on(self, now_s: float, interface: str, neighbour: str, packet: Any) -> Any:
        """Make a frame, or ask."""
        to = self.p.find(now_s, interface, neighbour)
        if to is None:
            for question in self.p.wait(now_s, interface, neighbour, packet):
                yield "put", interface, question
            return
        if self.p.ends(packet)[0] not in self.address.values():
            self.c["forwarded"] += 1
        yield "put", interface, self.p.close_frame(interface, to, packet)

    def tick(self, now_s: float) -> Sent:
        """Ask again, and give up."""
        questions, packets = self.p.give_up(now_s)
        strangers = [one for one in packets if self.p.ends(one)[0] not in self.address.values()]
        self.c["given up"] += len(strangers)
        jobs = [("complain", one, "host unreachable") for one in strangers]
        return self.work(now_s, *(("put", *one) for one in questions), *jobs)

    def counters(self) -> dict[str, int]:
        """Return a copy."""
        return self.c.copy()


OTHERS: tuple[Callable[..., Any], ...] = (
    new_router_of_closures,
    RouterWithATray,
    RouterOfJobs,
)

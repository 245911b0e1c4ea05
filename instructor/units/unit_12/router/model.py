"""The model answer to 12.1. Sources: RFC 1812, sections 5.2.1, 5.2.7.1, 4.3.2.4 and 4.2.2.9."""

__all__ = ["new_router"]

from typing import Any

FOR_ALL = "ff:ff:ff:ff:ff:ff"


def new_router(parts: Any, own: dict[str, tuple[str, str]]) -> "Router":
    """Return a router that has counted nothing yet."""
    return Router(parts, own)


class Router:
    """Calls parts in their order, and counts what becomes of packets."""

    def __init__(self, parts: Any, own: dict[str, tuple[str, str]]) -> None:
        self.parts, self.own = parts, own
        self.addresses = [address for address, _ in own.values()]
        self.counts = {
            "bad header": 0, "for us": 0, "no route": 0,
            "too old": 0, "forwarded": 0, "given up": 0,
        }  # fmt: skip

    def receive(self, now_s: float, interface: str, frame: Any) -> list[tuple[str, Any]]:
        """Take in a frame, and return what to send."""
        to, kind, inside = self.parts.open_frame(frame)
        is_mine = to == self.own[interface][1]
        if kind == "message" and (is_mine or to == FOR_ALL):
            return self.hear(now_s, interface, inside)
        if kind == "packet" and is_mine:
            return self.take(now_s, inside)
        return []

    def hear(self, now_s: float, interface: str, message: Any) -> list[tuple[str, Any]]:
        """Send answers, and then what has waited."""
        answers, packets = self.parts.hear(now_s, interface, message)
        sent = [(interface, answer) for answer in answers]
        for address, packet in packets:
            sent += self.send(now_s, packet, (interface, address))
        return sent

    def take(self, now_s: float, packet: Any) -> list[tuple[str, Any]]:
        """Validate, decide, rewrite, send: RFC 1812, section 5.2.1."""
        if not self.parts.is_sound(packet):
            self.counts["bad header"] += 1
            return []
        _, destination = self.parts.ends(packet)
        if destination in self.addresses:
            self.counts["for us"] += 1
            return self.say(now_s, self.parts.answer(packet))
        way = self.parts.look_up(destination)
        if way is None:
            self.counts["no route"] += 1
            return self.tell(now_s, packet, "net unreachable")
        try:
            lowered = self.parts.lower(packet)
        except ValueError:
            self.counts["too old"] += 1
            return self.tell(now_s, packet, "time exceeded")
        return self.send(now_s, lowered, way)

    def tell(self, now_s: float, packet: Any, reason: str) -> list[tuple[str, Any]]:
        """Send an error from the interface by which it leaves."""
        source, _ = self.parts.ends(packet)
        way = self.parts.look_up(source)
        if way is None:
            return []
        address, _ = self.own[way[0]]
        return self.say(now_s, self.parts.error(packet, reason, address))

    def say(self, now_s: float, packet: Any) -> list[tuple[str, Any]]:
        """Send what the router says itself, if it says something."""
        if packet is None:
            return []
        _, destination = self.parts.ends(packet)
        way = self.parts.look_up(destination)
        return [] if way is None else self.send(now_s, packet, way)

    def send(self, now_s: float, packet: Any, way: Any) -> list[tuple[str, Any]]:
        """Put a packet into a frame for its neighbour, or let it wait."""
        source, destination = self.parts.ends(packet)
        interface, next_hop = way
        neighbour = next_hop or destination
        hardware_address = self.parts.find(now_s, interface, neighbour)
        if hardware_address is None:
            questions = self.parts.wait(now_s, interface, neighbour, packet)
            return [(interface, question) for question in questions]
        self.counts["forwarded"] += source not in self.addresses
        return [(interface, self.parts.close_frame(interface, hardware_address, packet))]

    def tick(self, now_s: float) -> list[tuple[str, Any]]:
        """Ask once more, and tell senders of packets that nobody took."""
        questions, packets = self.parts.give_up(now_s)
        sent = list(questions)
        for packet in packets:
            source, _ = self.parts.ends(packet)
            if source not in self.addresses:
                self.counts["given up"] += 1
                sent += self.tell(now_s, packet, "host unreachable")
        return sent

    def counters(self) -> dict[str, int]:
        """Return what became of packets that came in."""
        return dict(self.counts)

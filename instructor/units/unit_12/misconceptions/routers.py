"""Misconceptions about the order in which a router calls its parts: exercise 12.1."""

__all__ = ["NEW_ROUTER", "KnowsWhereItCame"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_12.router.model import Router

Sent = list[tuple[str, Any]]


class KnowsWhereItCame(Router):
    """Remembers by which interface the latest frame came."""

    came_by = ""

    def receive(self, now_s: float, interface: str, frame: Any) -> Sent:
        """Look at the interface."""
        self.came_by = interface
        return super().receive(now_s, interface, frame)


class RouterThatAgesFirst(Router):
    """Believe that the time to live comes first of all."""

    def take(self, now_s: float, packet: Any) -> Sent:
        if self.parts.is_sound(packet):
            try:
                self.parts.lower(packet)
            except ValueError:
                self.counts["too old"] += 1
                return self.tell(now_s, packet, "time exceeded")
        return super().take(now_s, packet)


class RouterThatAgesBeforeTheWay(Router):
    """Believe that the time to live of what goes on is looked at before its way."""

    def take(self, now_s: float, packet: Any) -> Sent:
        _, destination = self.parts.ends(packet)
        if self.parts.is_sound(packet) and destination not in self.addresses:
            try:
                self.parts.lower(packet)
            except ValueError:
                self.counts["too old"] += 1
                return self.tell(now_s, packet, "time exceeded")
        return super().take(now_s, packet)


class RouterThatTrusts(Router):
    """Believe that hosts look at checksums, and routers need not."""

    def take(self, now_s: float, packet: Any) -> Sent:
        parts, self.parts = self.parts, Trusting(self.parts)
        try:
            return super().take(now_s, packet)
        finally:
            self.parts = parts


class Trusting:
    """Parts that find everything sound."""

    def __init__(self, parts: Any) -> None:
        self._parts = parts

    def __getattr__(self, name: str) -> Any:
        return getattr(self._parts, name)

    def is_sound(self, packet: Any) -> bool:
        return True


class RouterWithOneAddress(KnowsWhereItCame):
    """Believe that only the address of the interface by which a packet came is the router's."""

    def take(self, now_s: float, packet: Any) -> Sent:
        self.addresses = [self.own[self.came_by][0]]
        try:
            return super().take(now_s, packet)
        finally:
            self.addresses = [address for address, _ in self.own.values()]


class RouterThatAsksForTheEnd(Router):
    """Believe that the hardware address of the destination is needed, however far it is."""

    def send(self, now_s: float, packet: Any, way: Any) -> Sent:
        return super().send(now_s, packet, (way[0], None))


class RouterThatSendsErrorsBack(KnowsWhereItCame):
    """Believe that an error goes back by the interface by which the packet came."""

    def tell(self, now_s: float, packet: Any, reason: str) -> Sent:
        source, _ = self.parts.ends(packet)
        way = self.parts.look_up(source)
        if way is None:
            return []
        message = self.parts.error(packet, reason, self.own[self.came_by][0])
        if message is None:
            return []
        return self.send(now_s, message, (self.came_by, way[1] if way[0] == self.came_by else None))


class RouterThatSignsWithTheFirst(KnowsWhereItCame):
    """Believe that an error comes from the address that the packet met first."""

    def tell(self, now_s: float, packet: Any, reason: str) -> Sent:
        source, _ = self.parts.ends(packet)
        if self.parts.look_up(source) is None:
            return []
        return self.say(now_s, self.parts.error(packet, reason, self.own[self.came_by][0]))


class RouterThatForgetsWhatWaits(Router):
    """Believe that a packet whose neighbour was unknown is gone, and is sent again by its host."""

    def hear(self, now_s: float, interface: str, message: Any) -> Sent:
        answers, _ = self.parts.hear(now_s, interface, message)
        return [(interface, answer) for answer in answers]


class RouterThatStartsAgain(Router):
    """Believe that a packet that has waited begins at the first stage once more."""

    def hear(self, now_s: float, interface: str, message: Any) -> Sent:
        answers, packets = self.parts.hear(now_s, interface, message)
        sent = [(interface, answer) for answer in answers]
        return sent + [one for _, packet in packets for one in self.take(now_s, packet)]


class RouterThatLetsPacketsGoFirst(Router):
    """Believe that packets that waited go before the answer to the question."""

    def hear(self, now_s: float, interface: str, message: Any) -> Sent:
        answers, packets = self.parts.hear(now_s, interface, message)
        sent: Sent = []
        for address, packet in packets:
            sent += self.send(now_s, packet, (interface, address))
        return sent + [(interface, answer) for answer in answers]


class RouterThatLowersItsOwn(Router):
    """Believe that whatever leaves a router has been lowered by it."""

    def say(self, now_s: float, packet: Any) -> Sent:
        return super().say(now_s, packet and self.parts.lower(packet))


class RouterThatCountsWhatWaits(Router):
    """Believe that a packet is forwarded as soon as its way is known."""

    def send(self, now_s: float, packet: Any, way: Any) -> Sent:
        before = dict(self.counts)
        sent = super().send(now_s, packet, way)
        source, _ = self.parts.ends(packet)
        self.counts = before
        self.counts["forwarded"] += source not in self.addresses
        return sent

    def hear(self, now_s: float, interface: str, message: Any) -> Sent:
        before = dict(self.counts)
        sent = super().hear(now_s, interface, message)
        self.counts = before
        return sent


class RouterThatCountsItself(Router):
    """Believe that every frame with a packet counts as forwarded."""

    def send(self, now_s: float, packet: Any, way: Any) -> Sent:
        addresses, self.addresses = self.addresses, []
        try:
            return super().send(now_s, packet, way)
        finally:
            self.addresses = addresses


class RouterThatGivesUpInSilence(Router):
    """Believe that nobody is told of a packet that waited in vain."""

    def tell(self, now_s: float, packet: Any, reason: str) -> Sent:
        return [] if reason == "host unreachable" else super().tell(now_s, packet, reason)


class RouterThatTellsItself(Router):
    """Believe that whatever is given up is reported, whoever sent it."""

    def tick(self, now_s: float) -> Sent:
        questions, packets = self.parts.give_up(now_s)
        sent = list(questions)
        for packet in packets:
            self.counts["given up"] += self.parts.ends(packet)[0] not in self.addresses
            sent += self.tell(now_s, packet, "host unreachable")
        return sent

    def tell(self, now_s: float, packet: Any, reason: str) -> Sent:
        source, destination = self.parts.ends(packet)
        if source not in self.addresses:
            return super().tell(now_s, packet, reason)
        message = self.parts.error(packet, reason, source)
        way = self.parts.look_up(destination)
        return [] if message is None or way is None else self.send(now_s, message, (way[0], source))


class RouterThatTakesAll(Router):
    """Believe that whatever comes by the wire is to be taken in."""

    def receive(self, now_s: float, interface: str, frame: Any) -> Sent:
        _, kind, inside = self.parts.open_frame(frame)
        if kind == "message":
            return self.hear(now_s, interface, inside)
        return self.take(now_s, inside) if kind == "packet" else []


class RouterThatTakesWhatIsForAll(Router):
    """Believe that a frame for all is for the router in any case."""

    def receive(self, now_s: float, interface: str, frame: Any) -> Sent:
        to, kind, inside = self.parts.open_frame(frame)
        if kind == "packet" and to == "ff:ff:ff:ff:ff:ff":
            return self.take(now_s, inside)
        return super().receive(now_s, interface, frame)


class RouterThatHearsItsOwnOnly(Router):
    """Believe that questions, too, come in frames for the router's hardware address."""

    def receive(self, now_s: float, interface: str, frame: Any) -> Sent:
        to, _, _ = self.parts.open_frame(frame)
        return super().receive(now_s, interface, frame) if to == self.own[interface][1] else []


class RouterThatNeverTurnsBack(KnowsWhereItCame):
    """Believe that no packet leaves by the interface by which it came."""

    def take(self, now_s: float, packet: Any) -> Sent:
        _, destination = self.parts.ends(packet)
        way = self.parts.look_up(destination)
        is_ours = destination in self.addresses
        if self.parts.is_sound(packet) and not is_ours and way and way[0] == self.came_by:
            return []
        return super().take(now_s, packet)


NEW_ROUTER: dict[str, Callable[..., Any]] = {
    "time-to-live-comes-first": RouterThatAgesFirst,
    "time-to-live-before-the-way": RouterThatAgesBeforeTheWay,
    "checksums-are-for-hosts": RouterThatTrusts,
    "one-address-is-ours": RouterWithOneAddress,
    "asks-for-the-destination": RouterThatAsksForTheEnd,
    "errors-go-back-where-it-came-from": RouterThatSendsErrorsBack,
    "errors-are-signed-where-it-came-in": RouterThatSignsWithTheFirst,
    "what-waits-is-forgotten": RouterThatForgetsWhatWaits,
    "what-waited-starts-again": RouterThatStartsAgain,
    "what-waited-goes-first": RouterThatLetsPacketsGoFirst,
    "own-packets-are-lowered": RouterThatLowersItsOwn,
    "waiting-is-forwarded": RouterThatCountsWhatWaits,
    "own-packets-are-counted": RouterThatCountsItself,
    "given-up-in-silence": RouterThatGivesUpInSilence,
    "all-frames-are-ours": RouterThatTakesAll,
    "frames-for-all-are-ours": RouterThatTakesWhatIsForAll,
    "questions-come-to-our-address": RouterThatHearsItsOwnOnly,
    "nothing-turns-back": RouterThatNeverTurnsBack,
}

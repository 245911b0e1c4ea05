"""Answers that break one clause of 12.1 about the order or neighbours, and keep all others.

Where a clause would fall in every case, it is broken for some packets only: those that have a
long time to live, say. Cases of other aspects have none of these.
"""

__all__ = [
    "AgesItsOwnFirst",
    "AnswersComeBack",
    "AnswersLowered",
    "AnswersTheUnsound",
    "AsksForTheEnd",
    "CountsTheUnsoundOfOthers",
    "ForgetsTheSecond",
    "LowersTwice",
    "NeverAsksAgain",
    "NoQuestion",
    "OthersAreMessages",
    "TakesPacketsOfOthers",
    "TellsAnything",
    "TellsOfUnsound",
    "WaitsForTheRouter",
]

from typing import Any

from instructor.units.unit_12.misconceptions.routers import (
    KnowsWhereItCame,
    RouterThatAsksForTheEnd,
)
from instructor.units.unit_12.router.model import Router

Sent = list[tuple[str, Any]]
LONG = 200  # a time to live that only cases of one aspect have


class OthersAreMessages(Router):
    """Take what is neither for a packet."""

    def receive(self, now_s: float, interface: str, frame: Any) -> Sent:
        """Look at the address alone."""
        to, kind, inside = self.parts.open_frame(frame)
        if kind == "other" and to == self.own[interface][1]:
            return self.take(now_s, inside)
        return super().receive(now_s, interface, frame)


class TakesPacketsOfOthers(Router):
    """Take packets from any frame for one host."""

    def receive(self, now_s: float, interface: str, frame: Any) -> Sent:
        """Look at the kind alone."""
        to, kind, inside = self.parts.open_frame(frame)
        if kind == "packet" and to != "ff:ff:ff:ff:ff:ff":
            return self.take(now_s, inside)
        return super().receive(now_s, interface, frame)


class TellsOfUnsound(Router):
    """Tell the sender of a packet that is not sound."""

    def take(self, now_s: float, packet: Any) -> Sent:
        """Count it, and say something."""
        sent = super().take(now_s, packet)
        if not self.parts.is_sound(packet):
            return self.tell(now_s, packet, "net unreachable")
        return sent


class AgesItsOwnFirst(Router):
    """Look at the time to live of what is for the router."""

    def take(self, now_s: float, packet: Any) -> Sent:
        """Refuse what may go no further, though it need not."""
        if self.parts.is_sound(packet) and self.parts.ends(packet)[1] in self.addresses:
            try:
                self.parts.lower(packet)
            except ValueError:
                return self.tell(now_s, packet, "time exceeded")
        return super().take(now_s, packet)


class AnswersLowered(KnowsWhereItCame):
    """Lower answers that leave by another interface than the question came."""

    def say(self, now_s: float, packet: Any) -> Sent:
        """Tell answers by what they say."""
        if packet is not None and packet["says"] == "echo reply":
            way = self.parts.look_up(self.parts.ends(packet)[1])
            if way is not None and way[0] != self.came_by:
                packet = self.parts.lower(packet)
        return super().say(now_s, packet)


class AnswersComeBack(KnowsWhereItCame):
    """Send answers by the interface by which the question came."""

    def say(self, now_s: float, packet: Any) -> Sent:
        """Look for no way."""
        if packet is not None and packet["says"] == "echo reply":
            way = self.parts.look_up(self.parts.ends(packet)[1])
            if way is not None and way[0] != self.came_by:
                return self.send(now_s, packet, (self.came_by, None))
        return super().say(now_s, packet)


class TellsAnything(Router):
    """Expect an answer to everything."""

    def take(self, now_s: float, packet: Any) -> Sent:
        """Look into the answer at once."""
        _, destination = self.parts.ends(packet)
        if packet["says"] == "data" and destination in self.addresses:
            self.parts.ends(self.parts.answer(packet))
        return super().take(now_s, packet)


class LowersTwice(Router):
    """Take two of what is long."""

    def take(self, now_s: float, packet: Any) -> Sent:
        """Lower it once more than is right."""
        mine = self.parts.ends(packet)[1] in self.addresses
        if packet["time to live"] > LONG and self.parts.is_sound(packet) and not mine:
            packet = self.parts.lower(packet)
        return super().take(now_s, packet)


class NoQuestion(Router):
    """Let packets wait, and ask at the next tick."""

    def send(self, now_s: float, packet: Any, way: Any) -> Sent:
        """Keep questions for oneself, but those for errors."""
        sent = super().send(now_s, packet, way)
        if packet["says"] == "data":
            return [(name, frame) for name, frame in sent if frame["kind"] == "packet"]
        return sent


class ForgetsTheSecond(Router):
    """Let only the first of all packets go that waited."""

    def hear(self, now_s: float, interface: str, message: Any) -> Sent:
        """Look at the first."""
        answers, packets = self.parts.hear(now_s, interface, message)
        sent = [(interface, answer) for answer in answers]
        for address, packet in packets[:1]:
            sent += self.send(now_s, packet, (interface, address))
        return sent


class WaitsForTheRouter(Router):
    """Send packets that have waited in frames for all."""

    def hear(self, now_s: float, interface: str, message: Any) -> Sent:
        """Look for no hardware address."""
        answers, packets = self.parts.hear(now_s, interface, message)
        own = self.addresses
        self.counts["forwarded"] += sum(self.parts.ends(one)[0] not in own for _, one in packets)
        return [(interface, answer) for answer in answers] + [
            (interface, self.parts.close_frame(interface, "ff:ff:ff:ff:ff:ff", packet))
            for _, packet in packets
        ]


class NeverAsksAgain(Router):
    """Keep what give_up asks, unless somebody is told of something."""

    def tick(self, now_s: float) -> Sent:
        """Look whether it says anything else."""
        sent = super().tick(now_s)
        return sent if any(one["kind"] == "packet" for _, one in sent) else []


class AsksForTheEnd(RouterThatAsksForTheEnd):
    """Look for the neighbour at the end of a packet's way, but not for what the router says."""

    def send(self, now_s: float, packet: Any, way: Any) -> Sent:
        """Take the end for the neighbour."""
        if self.parts.ends(packet)[0] in self.addresses:
            return Router.send(self, now_s, packet, way)
        return super().send(now_s, packet, way)


class AnswersTheUnsound(Router):
    """Look for bad headers in what is for others alone."""

    def take(self, now_s: float, packet: Any) -> Sent:
        """Take it for sound if it is for the router."""
        is_ours = self.parts.ends(packet)[1] in self.addresses
        return super().take(now_s, packet | {"sound": True} if is_ours else packet)


class CountsTheUnsoundOfOthers(Router):
    """Look into all frames for bad headers."""

    def receive(self, now_s: float, interface: str, frame: Any) -> Sent:
        """Count before the address is looked at."""
        to, kind, inside = self.parts.open_frame(frame)
        is_ours = to == self.own[interface][1]
        if kind == "packet" and not is_ours and not self.parts.is_sound(inside):
            self.counts["bad header"] += 1
        return super().receive(now_s, interface, frame)

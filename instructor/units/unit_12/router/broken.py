"""Answers that break one clause of the contract of 12.1, and keep all others.

Where a clause would fall in every case, it is broken for some packets only: those that have a
long time to live, say. Cases of other aspects have none of these.
"""

__all__ = [
    "AgesItsOwnFirst",
    "AnswersComeBack",
    "AnswersLowered",
    "AnswersWithoutAWay",
    "CountsItsOwnGivenUp",
    "CountsUntilGivenUp",
    "ErrorsLowered",
    "ErrorsWithoutAWay",
    "ForgetsTheSecond",
    "LowersTwice",
    "MiscountsForUs",
    "MiscountsForwarded",
    "MiscountsGivenUp",
    "MiscountsHeaders",
    "MiscountsRoutes",
    "MiscountsTimes",
    "NeverAsksAgain",
    "NoQuestion",
    "OthersAreMessages",
    "SaysHost",
    "SaysNet",
    "SaysTime",
    "TakesPacketsOfOthers",
    "TellsAnything",
    "TellsItselfBeforeFour",
    "TellsOfUnsound",
    "WaitsForTheRouter",
]

from typing import Any

from instructor.units.unit_12.misconceptions.routers import (
    KnowsWhereItCame,
    RouterThatCountsWhatWaits,
    RouterThatTellsItself,
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
    """Keep what give_up asks."""

    def tick(self, now_s: float) -> Sent:
        """Tell only of what is given up."""
        return [(name, one) for name, one in super().tick(now_s) if one["kind"] == "packet"]


class SaysOther(Router):
    """Give another reason for what is lost of some packets."""

    instead: tuple[str, str] = ("", "")
    about = "data"

    def tell(self, now_s: float, packet: Any, reason: str) -> Sent:
        """Take one reason for another."""
        right, wrong = self.instead
        is_one = reason == right and packet["says"] == self.about
        return super().tell(now_s, packet, wrong if is_one else reason)


class SaysNet(SaysOther):
    """Say that the host cannot be reached."""

    instead = ("net unreachable", "host unreachable")


class SaysTime(SaysOther):
    """Say that there is no way."""

    instead = ("time exceeded", "net unreachable")


class SaysHost(SaysOther):
    """Say that there is no way."""

    instead = ("host unreachable", "net unreachable")
    about = "hello"


class ErrorsLowered(Router):
    """Lower errors about echoes."""

    def say(self, now_s: float, packet: Any) -> Sent:
        """Tell errors from answers."""
        if packet is not None and packet["says"] == "error" and packet["about"]["says"] == "echo":
            packet = self.parts.lower(packet)
        return super().say(now_s, packet)


class ErrorsWithoutAWay(KnowsWhereItCame):
    """Send errors back where the packet came from if nothing else is known."""

    def tell(self, now_s: float, packet: Any, reason: str) -> Sent:
        """Look for a way first."""
        if self.parts.look_up(self.parts.ends(packet)[0]) is not None:
            return super().tell(now_s, packet, reason)
        message = self.parts.error(packet, reason, self.own[self.came_by][0])
        return [] if message is None else self.send(now_s, message, (self.came_by, None))


class AnswersWithoutAWay(KnowsWhereItCame):
    """Send answers back where the question came from if nothing else is known."""

    def say(self, now_s: float, packet: Any) -> Sent:
        """Look for a way first."""
        if packet is not None and packet["says"] == "echo reply":
            _, destination = self.parts.ends(packet)
            if self.parts.look_up(destination) is None:
                return self.send(now_s, packet, (self.came_by, None))
        return super().say(now_s, packet)


class CountsUntilGivenUp(RouterThatCountsWhatWaits):
    """Count what waits, and take it back when it is given up."""

    def counters(self) -> dict[str, int]:
        """Take back what was given up."""
        counts = super().counters()
        return counts | {"forwarded": counts["forwarded"] - counts["given up"]}


class CountsItsOwnGivenUp(Router):
    """Count whatever is given up."""

    def tick(self, now_s: float) -> Sent:
        """Tell as is right."""
        questions, packets = self.parts.give_up(now_s)
        sent = list(questions)
        for packet in packets:
            self.counts["given up"] += 1
            if self.parts.ends(packet)[0] not in self.addresses:
                sent += self.tell(now_s, packet, "host unreachable")
        return sent


class TellsItselfBeforeFour(RouterThatTellsItself):
    """Report to itself what it gives up in time."""

    def tick(self, now_s: float) -> Sent:
        """Look at the time."""
        return super().tick(now_s) if now_s < 4 else Router.tick(self, now_s)


class Miscounts(Router):
    """Count one thing no further than 2."""

    left_out = ""

    def counters(self) -> dict[str, int]:
        """Return all others."""
        counts = super().counters()
        return counts | {self.left_out: min(counts[self.left_out], 2)}


class MiscountsHeaders(Miscounts):
    """Leave out bad headers."""

    left_out = "bad header"


class MiscountsForUs(Miscounts):
    """Leave out what is for the router."""

    left_out = "for us"


class MiscountsRoutes(Miscounts):
    """Leave out what has no route."""

    left_out = "no route"


class MiscountsTimes(Miscounts):
    """Leave out what is too old."""

    left_out = "too old"


class MiscountsForwarded(Miscounts):
    """Leave out what is forwarded."""

    left_out = "forwarded"


class MiscountsGivenUp(Miscounts):
    """Leave out what is given up."""

    left_out = "given up"

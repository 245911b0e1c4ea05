"""Answers that break one clause of 12.1 about errors, and keep all others."""

__all__ = [
    "AnswersWithoutAWay",
    "ErrorsDoNotWait",
    "ErrorsLowered",
    "ErrorsWithoutAWay",
    "OwnWordsToTheEnd",
    "SaysHost",
    "SaysNet",
    "SaysTime",
    "TellsFirst",
    "TellsItselfBeforeFour",
]

from typing import Any

from instructor.units.unit_12.misconceptions.routers import (
    KnowsWhereItCame,
    RouterThatAsksForTheEnd,
    RouterThatTellsItself,
)
from instructor.units.unit_12.router.model import Router

Sent = list[tuple[str, Any]]


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


class OwnWordsToTheEnd(RouterThatAsksForTheEnd):
    """Look for the neighbour at the end of an error's way."""

    def send(self, now_s: float, packet: Any, way: Any) -> Sent:
        """Take the end for the neighbour."""
        if self.parts.ends(packet)[0] not in self.addresses:
            return Router.send(self, now_s, packet, way)
        return super().send(now_s, packet, way)


class ErrorsDoNotWait(Router):
    """Forget an error whose neighbour is not known."""

    def send(self, now_s: float, packet: Any, way: Any) -> Sent:
        """Send it at once or not at all."""
        interface, next_hop = way
        source, destination = self.parts.ends(packet)
        is_ours = source in self.addresses and packet["says"] == "error"
        if is_ours and self.parts.find(now_s, interface, next_hop or destination) is None:
            return []
        return super().send(now_s, packet, way)


class TellsFirst(Router):
    """Tell of what is given up, and ask afterwards."""

    def tick(self, now_s: float) -> Sent:
        """Put errors first."""
        return sorted(super().tick(now_s), key=lambda one: one[1]["kind"] == "message")


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


class TellsItselfBeforeFour(RouterThatTellsItself):
    """Report to itself what it gives up in time."""

    def tick(self, now_s: float) -> Sent:
        """Look at the time."""
        return super().tick(now_s) if now_s < 4 else Router.tick(self, now_s)

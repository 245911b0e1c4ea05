"""Answers that break one clause of 12.1 about counters, and keep all others."""

__all__ = [
    "CountsItsOwnGivenUp",
    "CountsUntilGivenUp",
    "MiscountsForUs",
    "MiscountsForwarded",
    "MiscountsGivenUp",
    "MiscountsHeaders",
    "MiscountsRoutes",
    "MiscountsTimes",
]

from typing import Any

from instructor.units.unit_12.misconceptions.routers import RouterThatCountsWhatWaits
from instructor.units.unit_12.router.model import Router

Sent = list[tuple[str, Any]]


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

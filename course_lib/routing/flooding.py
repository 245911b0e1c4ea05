"""The link-state database of a router, and how it stays like all others (RFC 2328, 13 and 14).

Flooding in five rules:

* something newer than our copy is kept, acknowledged, and passed on to every *other* neighbour;
* the same again is only acknowledged: that is where the flood ends;
* something older is answered with our newer copy, so a router that was cut off catches up;
* what was sent is repeated until it is acknowledged, so lost messages do no lasting harm;
* every copy ages. At the highest age it is flooded once more, as dead, and then forgotten.

Real routers: two that meet first compare lists of headers and then fetch what they lack (RFC 2328,
section 10.8). Here each simply sends its whole database; duplicates end at the second rule.
"""

__all__ = [
    "MIN_ARRIVAL_S",
    "RETRANSMIT_INTERVAL_S",
    "TRANSMIT_DELAY_S",
    "Acknowledgement",
    "LinkStateDatabase",
    "LinkStateUpdate",
    "problem_with_message",
]

import math
from collections.abc import Iterable
from typing import Generic, NamedTuple

from course_lib.routing.advertisements import (
    LAST_SEQUENCE,
    MAX_AGE_S,
    Advertisement,
    AdvertisementHeader,
    compare,
    problem_with_header,
)
from course_lib.routing.protocol import Destination, Outgoing

MIN_ARRIVAL_S = 1  # RFC 2328, appendix B: a newer instance is not accepted sooner than this
RETRANSMIT_INTERVAL_S = 5  # RFC 2328, appendix C.3, sample value for a local network
TRANSMIT_DELAY_S = 1  # the same; added to the age by every router that passes a copy on


class LinkStateUpdate(NamedTuple, Generic[Destination]):
    """Advertisements on their way one hop further."""

    sender: str
    advertisements: tuple[Advertisement[Destination], ...]


class Acknowledgement(NamedTuple):
    """ "These instances I have." """

    sender: str
    headers: tuple[AdvertisementHeader, ...]


def problem_with_message(message: object) -> str | None:
    """Say what is wrong with an update or an acknowledgement as a whole, or return None."""
    if isinstance(message, LinkStateUpdate):
        sound = isinstance(message.advertisements, tuple)
    else:
        sound = (
            isinstance(message, Acknowledgement)
            and isinstance(message.headers, tuple)
            and all(problem_with_header(header) is None for header in message.headers)
        )
    return None if sound else f"malformed message {message!r}"


class _Stored(NamedTuple, Generic[Destination]):
    """A copy as it was when it came in, and when that was."""

    copy: Advertisement[Destination]
    since_s: float
    from_neighbour: bool

    def is_dead(self) -> bool:
        return self.copy.header.age_s >= MAX_AGE_S

    def dies_at_s(self) -> float:
        """Return when it reaches the highest age; infinity means that it has."""
        age_s = self.copy.header.age_s
        return math.inf if age_s >= MAX_AGE_S else self.since_s + MAX_AGE_S - age_s


class LinkStateDatabase(Generic[Destination]):
    """The newest advertisement of each router, and what each neighbour has yet to acknowledge."""

    def __init__(self, router: str) -> None:
        self.router = router
        self.version = 0  # grows whenever a calculation of routes could come out differently
        self._stored: dict[str, _Stored[Destination]] = {}
        self._dead: set[str] = set()  # the few in `_stored` that wait to be forgotten
        self._next_death_s = math.inf  # no copy dies before; perhaps none does so soon
        # link -> router -> the instance that the neighbour there has yet to acknowledge
        self._unacknowledged: dict[str, dict[str, AdvertisementHeader]] = {}
        self._repeat_at_s: dict[str, float] = {}
        self._sent_at_s: dict[tuple[str, str], float] = {}  # (link, router) -> when

    def get(self, now_s: float, router: str) -> Advertisement[Destination] | None:
        """Return our copy of the advertisement of `router`, at its age of now."""
        stored = self._stored.get(router)
        if stored is None:
            return None
        return stored.copy.at_age(stored.copy.header.age_s + now_s - stored.since_s)

    def holds(self, router: str) -> bool:
        """Return True if there is a copy about `router`, dead or alive."""
        return router in self._stored

    def alive(self) -> list[Advertisement[Destination]]:
        """Return all copies that may be used for routes, with the age they had on arrival."""
        return [stored.copy for stored in self._stored.values() if not stored.is_dead()]

    def neighbour_up(self, now_s: float, link: str) -> list[Outgoing]:
        """Begin to keep the neighbour on `link` up to date: send everything."""
        self._unacknowledged[link] = {}
        return self._send(now_s, link, self._stored)

    def neighbour_down(self, link: str) -> None:
        """Stop expecting acknowledgements on `link`."""
        self._unacknowledged.pop(link, None)

    def flood(
        self,
        now_s: float,
        advertisement: Advertisement[Destination],
        arrived_on: str | None = None,
    ) -> list[Outgoing]:
        """Keep `advertisement` and pass it on everywhere but back (sections 13.2 and 13.3)."""
        router = advertisement.header.router
        old = self._stored.get(router)
        self._keep(_Stored(advertisement, now_s, arrived_on is not None))
        if old is None or _contents(old.copy) != _contents(advertisement):
            self.version += 1
        for waiting in self._unacknowledged.values():
            waiting.pop(router, None)
        links = [link for link in self._unacknowledged if link != arrived_on]
        return [out for link in links for out in self._send(now_s, link, [router])]

    def receive(
        self, now_s: float, advertisement: Advertisement[Destination], link: str
    ) -> list[Outgoing]:
        """Take in one advertisement from the neighbour on `link` (section 13, steps 4 to 8)."""
        header = advertisement.header
        ours = self.get(now_s, header.router)
        order = 1 if ours is None else compare(header, ours.header)
        if ours is None and header.age_s >= MAX_AGE_S:
            return [self._acknowledge(link, header)]
        if order > 0:
            if self._came_just_now(now_s, header.router):
                return []  # not acknowledged, so it will be repeated
            flooded = self.flood(now_s, advertisement, link)
            return [*flooded, self._acknowledge(link, header)]
        if order == 0:
            implied = self._unacknowledged[link].pop(header.router, None)
            return [self._acknowledge(link, header)] if implied is None else []
        return self._send_back(now_s, header.router, link)

    def acknowledged(self, header: AdvertisementHeader, link: str) -> None:
        """Note that the neighbour on `link` has this instance (section 13.7)."""
        waiting = self._unacknowledged[link]
        expected = waiting.get(header.router)
        if expected is not None and compare(expected, header) == 0:
            del waiting[header.router]

    def tick(self, now_s: float) -> list[Outgoing]:
        """Announce what has just died of age, and repeat what nobody acknowledged."""
        out = self._announce_deaths(now_s) if self._next_death_s <= now_s else []
        for link, waiting in self._unacknowledged.items():
            if waiting and self._repeat_at_s[link] <= now_s:
                out += self._send(now_s, link, list(waiting))
        return out

    def next_tick_s(self) -> float:
        """Return a time before which no copy dies and no repetition is due."""
        repeats = [self._repeat_at_s[link] for link, w in self._unacknowledged.items() if w]
        return min([self._next_death_s, *repeats])

    def forget_the_dead(self) -> None:
        """Remove dead copies that every neighbour has acknowledged (section 14)."""
        for router in sorted(self._dead):
            if not any(router in waiting for waiting in self._unacknowledged.values()):
                del self._stored[router]
                self._dead.remove(router)

    def _keep(self, stored: _Stored[Destination]) -> None:
        """Store a copy. What it replaces mostly died sooner: the next death may come out early."""
        router = stored.copy.header.router
        self._stored[router] = stored
        self._next_death_s = min(self._next_death_s, stored.dies_at_s())
        (self._dead.add if stored.is_dead() else self._dead.discard)(router)

    def _announce_deaths(self, now_s: float) -> list[Outgoing]:
        """Flood once more, as dead, what has reached the highest age."""
        dying = [s.copy for s in self._stored.values() if s.dies_at_s() <= now_s]
        out = [o for copy in dying for o in self.flood(now_s, copy.at_age(MAX_AGE_S))]
        self._next_death_s = min((s.dies_at_s() for s in self._stored.values()), default=math.inf)
        return out

    def _send(self, now_s: float, link: str, routers: Iterable[str]) -> list[Outgoing]:
        """Send our copies about `routers` on `link`, and expect them to be acknowledged."""
        copies = [copy for router in routers if (copy := self.get(now_s, router)) is not None]
        waiting = self._unacknowledged[link]
        if not waiting or self._repeat_at_s[link] <= now_s:
            self._repeat_at_s[link] = now_s + RETRANSMIT_INTERVAL_S
        waiting.update((copy.header.router, copy.header) for copy in copies)
        return self._update(now_s, link, copies) if copies else []

    def _send_back(self, now_s: float, router: str, link: str) -> list[Outgoing]:
        """Answer an older instance with our newer one (section 13, step 8)."""
        ours = self.get(now_s, router)
        if ours is None or now_s - self._sent_at_s.get((link, router), -math.inf) < MIN_ARRIVAL_S:
            return []
        if ours.header.age_s >= MAX_AGE_S and ours.header.sequence == LAST_SEQUENCE:
            return []  # its numbers are starting again: only its death may be spread
        return self._update(now_s, link, [ours])

    def _update(
        self, now_s: float, link: str, copies: list[Advertisement[Destination]]
    ) -> list[Outgoing]:
        self._sent_at_s.update(((link, copy.header.router), now_s) for copy in copies)
        aged = tuple(copy.at_age(copy.header.age_s + TRANSMIT_DELAY_S) for copy in copies)
        return [Outgoing(link, LinkStateUpdate(self.router, aged))]

    def _acknowledge(self, link: str, header: AdvertisementHeader) -> Outgoing:
        return Outgoing(link, Acknowledgement(self.router, (header,)))

    def _came_just_now(self, now_s: float, router: str) -> bool:
        stored = self._stored.get(router)
        return (
            stored is not None and stored.from_neighbour and now_s - stored.since_s < MIN_ARRIVAL_S
        )


def _contents(advertisement: Advertisement[Destination]) -> tuple[object, ...]:
    """Return what a calculation of routes sees of an advertisement (section 13.2)."""
    is_dead = advertisement.header.age_s >= MAX_AGE_S
    return is_dead, advertisement.neighbours, advertisement.networks

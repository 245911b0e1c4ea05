"""The library's stages for a burst of frames at once, in the memory in which they lie.

The same checks, the same look-up and the same rewriting as in the stages, as operations on whole
columns of octets. A frame for which all is plain is rewritten where it lies, and can be sent from
there. All others are left as they came, for the stages. (`course_lib.forwarding.batch` does this
for headers, with a compiled loop. Here a burst is small, and a router must be there at once, so
nothing has to be compiled.)

This way is taken only by the library's router, with its own stages in their own order. What comes
out is the same as from the stages, frame by frame.
"""

__all__ = ["ONE_BY_ONE", "BurstPath", "has_plain_stages"]

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from course_lib.forwarding.queue import Queue
from course_lib.forwarding.router import Router
from course_lib.forwarding.stages import Decide, Receive, Rewrite, Send, Validate
from course_lib.headers.ethernet import ETHERNET_OCTETS
from course_lib.ip.packets import link_broadcasts
from course_lib.prefixes.special import NEVER_SOURCE

ONE_BY_ONE = -1
_STAGES = [Receive, Validate, Decide, Rewrite, Queue, Send]
_HEADER_END = ETHERNET_OCTETS + 20
_TIME_TO_LIVE, _CHECKSUM = ETHERNET_OCTETS + 8, ETHERNET_OCTETS + 10
_IPV4 = 0x0800
_ALL_ONES = 0xFFFF
_PLAIN_BEGINNING = 0x45  # version 4, five words, so no options
_ITSELF = -1  # in place of a next hop: whoever has the destination address
# No multicast is carried, so what is never a source is never a destination here either.
_USUAL = ~np.isin(np.arange(256), list(NEVER_SOURCE))

Octets = NDArray[np.uint8]
Numbers = NDArray[np.int64]


def has_plain_stages(router: object) -> bool:
    """Return True for a router that does what the library's does, and nothing else."""
    if type(router) is not Router or [type(stage) for stage in router.stages] != _STAGES:
        return False
    holds_back = any(stage.depths() for stage in router.stages if isinstance(stage, Queue))
    return not holds_back and "receive" not in vars(router)


class _Entries(NamedTuple):
    """The forwarding entries as columns; a last one stands for "no route", whose number is -1."""

    way: Numbers  # the place of the interface among all
    hop: Numbers
    most: Numbers  # octets that the link carries


class BurstPath:
    """Carries bursts for one router. Nothing is counted here."""

    def __init__(self, router: Router) -> None:
        self._router = router
        links = list(router.interfaces.values())
        self._places = {each.name: place for place, each in enumerate(links)}
        special = {*link_broadcasts(links), *(each.address for each in links)}
        self._special = np.array(sorted(special), np.int64)
        self._own = {each.name: int.from_bytes(each.hardware_address, "big") for each in links}
        self._entries = self._columns()

    def carry(
        self, interface: str, rows: Octets, octets: Numbers, times_s: NDArray[np.float64]
    ) -> tuple[Numbers, Numbers]:
        """Carry frames that came on one interface; rewrite the plain ones in place.

        rows: frame i begins in row i, and has `octets[i]` octets. times_s: when they came.
        Return for each frame the number of the interface it leaves by (its place in
        `router.interfaces`, or `ONE_BY_ONE`), and how many octets are to be sent.
        """
        if len(self._entries.way) != len(self._router.decide.entries) + 1:
            self._entries = self._columns()
        words = _words(rows[:, ETHERNET_OCTETS:_HEADER_END])
        destination = words[:, 4]
        entry = self._looked_up(destination)
        way, hop = self._entries.way[entry], self._entries.hop[entry]
        most = np.where(way == self._places[interface], 0, self._entries.most[entry])
        total = words[:, 0] & _ALL_ONES
        plain = self._are_for_us(rows, interface) & self._are_plain(words)
        plain &= (total >= 20) & (total <= octets - ETHERNET_OCTETS) & (total <= most)
        wanted = way << 32 | np.where(hop == _ITSELF, destination, hop)
        addresses, hardware, until_s = self._neighbours()
        place = np.searchsorted(addresses, wanted)
        plain &= (addresses[place] == wanted) & (times_s < until_s[place])
        at = np.flatnonzero(plain)
        rows[at, :12] = hardware[place[at]]
        _lower_time_to_live(rows, at, words[at, 2])
        return np.where(plain, way, ONE_BY_ONE), total + ETHERNET_OCTETS

    def _are_for_us(self, rows: Octets, interface: str) -> NDArray[np.bool_]:
        """Is it to us alone, and IPv4?"""
        starts = np.ascontiguousarray(rows[:, :8]).view(">u8")[:, 0].astype(np.uint64)
        types = np.ascontiguousarray(rows[:, 12:14]).view(">u2")[:, 0]
        is_ours = starts >> np.uint64(16) == np.uint64(self._own[interface])
        both: NDArray[np.bool_] = is_ours & (types == _IPV4)
        return both

    def _are_plain(self, words: Numbers) -> NDArray[np.bool_]:
        """What the stage "validate" asks, and whether the addresses are nobody's in particular."""
        source, destination = words[:, 3], words[:, 4]
        # In base 0x10000 each digit counts as much as any other: see `course_lib.checksum`.
        plain: NDArray[np.bool_] = words.sum(axis=1) % _ALL_ONES == 0
        plain &= words[:, 0] >> 24 == _PLAIN_BEGINNING
        plain &= words[:, 2] >> 24 > 1  # the time to live
        plain &= _USUAL[source >> 24] & _USUAL[destination >> 24]
        for column in (source, destination):
            plain &= ~(column[:, np.newaxis] == self._special).any(axis=1)
        return plain

    def _looked_up(self, destinations: Numbers) -> NDArray[np.int32]:
        """Look up each address once: a burst has few of them."""
        if (destinations == destinations[0]).all():  # as most bursts are, and found out sooner
            return np.broadcast_to(
                self._router.table.lookup_many(destinations[:1]), len(destinations)
            )
        addresses, places = np.unique(destinations, return_inverse=True)
        entries: NDArray[np.int32] = self._router.table.lookup_many(addresses)[places]
        return entries

    def _columns(self) -> _Entries:
        entries, links = self._router.decide.entries, self._router.interfaces
        return _Entries(
            np.array([self._places[each.interface] for each in entries] + [0]),
            np.array([_ITSELF if each.next_hop is None else each.next_hop for each in entries]
                     + [0]),
            np.array([links[each.interface].mtu for each in entries] + [0]),
        )  # fmt: skip

    def _neighbours(self) -> tuple[Numbers, Octets, NDArray[np.float64]]:
        """Return all neighbours, ordered: link and address in one number, both hardware addresses.

        Behind them stands one that nobody has, so that every search ends at some place.
        """
        found = [
            (link << 32 | address, hardware + each.hardware_address, until_s)
            for link, each in enumerate(self._router.neighbours.values())
            for address, (hardware, until_s) in each.entries().items()
        ]
        found.sort()
        found.append((1 << 62, bytes(12), 0.0))
        addresses, hardware, until_s = zip(*found, strict=True)
        return (
            np.array(addresses, np.int64),
            np.frombuffer(b"".join(hardware), np.uint8).reshape(-1, 12),
            np.array(until_s),
        )


def _words(headers: Octets) -> Numbers:
    """Return the five words of 32 bits of each header."""
    words: Numbers = np.ascontiguousarray(headers).view(">u4").astype(np.int64)
    return words


def _lower_time_to_live(rows: Octets, at: NDArray[np.intp], word: Numbers) -> None:
    """Lower it in these rows, and bring the checksum in line; `word` is the header's third.

    The update is that of RFC 1624, equation 3, with ~m + m' = -0x0100; then the carry comes in.
    """
    kept = (word & _ALL_ONES ^ _ALL_ONES) + (_ALL_ONES - 0x0100)
    kept = (kept & _ALL_ONES) + (kept >> 16)
    kept ^= _ALL_ONES
    rows[at, _TIME_TO_LIVE] = (word >> 24) - 1
    rows[at, _CHECKSUM] = kept >> 8
    rows[at, _CHECKSUM + 1] = kept & 0xFF

"""The fast path for many headers at once.

The same checks, the same look-up and the same rewriting as in the stages, without their freedom:
the packets are rows of an array, and compiled loops go through them (`batch_loop`, and that of the
table), with no Python in between. That is where the speed comes from, and also the limit. So
packets are only told apart into *plain* ones, which go on, and the others. Those go one by one
through `router.receive`, which finds out what is the matter.

With a direct-index table the look-up is a loop of this kind too. Other tables work, but look up one
by one, and that takes most of the time.

Real routers: a processor that handles packets in batches of some tens, for the same reason.
"""

__all__ = ["ForwardedBatch", "forward_batch"]

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from course_lib.engine.compiled import ready
from course_lib.forwarding.batch_loop import forward_headers
from course_lib.forwarding.router import Router
from course_lib.ip.packets import link_broadcasts
from course_lib.prefixes.special import NEVER_SOURCE

# No multicast is in the fast path, so what is never a source is never a destination here either.
_USUAL = ~np.isin(np.arange(256), list(NEVER_SOURCE))


class ForwardedBatch(NamedTuple):
    """What became of the headers: entry i of each array belongs to row i of the input."""

    plain: NDArray[np.bool_]  # goes on; what the other two say of the others means nothing
    entries: NDArray[np.int32]  # a place in `router.decide.entries`
    headers: NDArray[np.uint8]  # with the time to live lowered and the checksum in line


def forward_batch(
    router: Router, interface: str, headers: NDArray[np.uint8], lengths: NDArray[np.integer[Any]]
) -> ForwardedBatch:
    """Validate, decide and rewrite headers that arrived on one interface, addressed to it.

    headers: one row of 20 octets each. lengths: the octets of the datagrams that came, padding
    included. Nothing is counted, and the input stays as it is.
    Raises `ValueError` if the arrays do not fit together.
    """
    if headers.ndim != 2 or headers.shape[1] != 20 or headers.dtype != np.uint8:
        raise ValueError(f"headers must be rows of 20 octets, not {headers.dtype} {headers.shape}")
    if lengths.shape != headers.shape[:1]:
        raise ValueError(f"{len(headers)} headers need as many lengths, not {lengths.shape}")
    words = np.ascontiguousarray(headers).view(">u4").astype(np.int64)
    entries = router.table.lookup_many(words[:, 4].astype(np.uint32))
    plain = np.empty(len(headers), np.bool_)
    special = _special(router)
    marked = np.zeros(256, np.bool_)
    marked[special & 0xFF] = True
    ready(forward_headers)(
        words,
        np.ascontiguousarray(lengths, np.int64),
        entries,
        _octets_per_entry(router, interface),
        _USUAL,
        special,
        marked,
        plain,
    )
    return ForwardedBatch(plain, entries, words.astype(">u4").view(np.uint8))


def _special(router: Router) -> NDArray[np.int64]:
    """Return all addresses that are ours, or a broadcast on a link of ours."""
    links = router.interfaces.values()
    return np.array([*link_broadcasts(links), *(each.address for each in links)], np.int64)


def _octets_per_entry(router: Router, interface: str) -> NDArray[np.int64]:
    """Return how much may leave by each entry: none by the interface on which it came.

    A last entry stands for "no route", whose number is -1.
    """
    ways = [each.interface for each in router.decide.entries]
    octets = [router.interfaces[way].mtu if way != interface else 0 for way in ways]
    return np.array([*octets, 0], np.int64)

"""The fast path for many headers at once, in arrays.

The same checks, the same look-up and the same rewriting as in the stages, but each step is done
for all packets before the next step begins. NumPy then works through one array after the other
without running any Python in between. That is where the speed comes from, and also the limit: a
step has to be the same for all. So packets are only told apart into *plain* ones, which go on, and
the others. Those go one by one through `router.receive`, which finds out what is the matter.

With a direct-index table the look-up is an array step too. Other tables work, but look up one by
one, and that takes most of the time.

Real routers: a processor that handles packets in batches of some tens, for the same reason.
"""

__all__ = ["ForwardedBatch", "forward_batch"]

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from course_lib.forwarding.router import Router
from course_lib.ip.packets import link_broadcasts
from course_lib.prefixes.special import FIRST_MULTICAST, NEVER_SOURCE

_ALL_ONES = 0xFFFF
_PLAIN_BEGINNING = 0x45  # version 4, five words, so no options
_NEVER_SOURCE = np.isin(np.arange(256), list(NEVER_SOURCE))
_CHUNK = 1 << 13  # headers; what is set aside for so many stays in the processor's cache


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
    plain, entries = np.empty(len(headers), np.bool_), np.empty(len(headers), np.int32)
    done = ForwardedBatch(plain, entries, headers.copy())
    for start in range(0, len(headers), _CHUNK):
        part = slice(start, start + _CHUNK)
        columns = done.headers[part], lengths[part], plain[part], entries[part]
        _forward(router, interface, *columns)
    return done


def _forward(
    router: Router,
    interface: str,
    headers: NDArray[np.uint8],
    lengths: NDArray[np.integer[Any]],
    plain: NDArray[np.bool_],
    entries: NDArray[np.int32],
) -> None:
    """Work on one chunk; `headers`, `plain` and `entries` are filled in place."""
    words = headers.view(">u2").astype(np.uint32)
    total, source = words[:, 1], words[:, 6] << 16 | words[:, 7]
    destination = words[:, 8] << 16 | words[:, 9]
    plain[:] = _valid(words, lengths) & ~_NEVER_SOURCE[headers[:, 12]] & (headers[:, 8] > 1)
    special = _special(router)
    plain &= ~np.isin(source, special) & ~np.isin(destination, special)
    first_octet = headers[:, 16]
    plain &= (destination < FIRST_MULTICAST) & (first_octet != 0) & (first_octet != 127)
    entries[:] = router.table.lookup_many(destination)
    elsewhere, mtus = _per_entry(router, interface)
    plain &= (entries >= 0) & elsewhere[entries] & (total <= mtus[entries])
    _rewrite(headers, words)


def _valid(words: NDArray[np.uint32], lengths: NDArray[np.integer[Any]]) -> NDArray[np.bool_]:
    """RFC 1812, section 5.2.2, for headers without options.

    The sum of ten words leaves the remainder 0 if it is intact; it is never zero itself, since the
    first word of a plain header is not.
    """
    sums = words.sum(axis=1, dtype=np.uint32)
    total = words[:, 1]
    right = (sums % _ALL_ONES == 0) & (words[:, 0] >> 8 == _PLAIN_BEGINNING)
    valid: NDArray[np.bool_] = right & (total >= 20) & (total <= lengths)
    return valid


def _rewrite(headers: NDArray[np.uint8], words: NDArray[np.uint32]) -> None:
    """Lower the time to live; the update of RFC 1624, equation 3, with ~m + m' = -0x0100."""
    kept = (words[:, 5] ^ _ALL_ONES) + (_ALL_ONES - 0x0100)
    updated = (kept % _ALL_ONES) ^ _ALL_ONES
    updated[kept % _ALL_ONES == 0] = 0
    headers[:, 8] -= 1
    headers[:, 10] = updated >> 8
    headers[:, 11] = updated & 0xFF


def _special(router: Router) -> NDArray[np.uint32]:
    """Return all addresses that are ours, or a broadcast on a link of ours."""
    links = router.interfaces.values()
    return np.array([*link_broadcasts(links), *(each.address for each in links)], np.uint32)


def _per_entry(router: Router, interface: str) -> tuple[NDArray[np.bool_], NDArray[np.uint32]]:
    """Return, for each entry, whether it leaves by another interface, and how much that carries.

    A last entry stands for "no route", whose number is -1.
    """
    facts = [
        (entry.interface != interface, router.interfaces[entry.interface].mtu)
        for entry in router.decide.entries
    ]
    elsewhere, mtus = zip(*facts, (False, 0), strict=True)
    return np.array(elsewhere), np.array(mtus, np.uint32)

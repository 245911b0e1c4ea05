"""Damage a header at random, many times, and count what its checksum does not notice.

A damaged header is *noticed* if it no longer passes the check, *missed* if it passes although it
differs from the original, and *unchanged* if the damage did nothing: two equal words that trade
places are no error. Shares are taken of the errors, that is of the noticed and the missed.

What share is missed follows from arithmetic. The check sees the sum of the 16-bit words modulo
0xFFFF, and nothing else (RFC 1071):

* one flipped bit changes the sum by a power of two, which is no multiple of 0xFFFF: never missed;
* two flipped bits cancel if they stand in the same column of two words and go opposite ways; for
  random words this happens to about 1 pair in 32 (IEN 45, which is printed with RFC 1071);
* a burst, errors within 16 bits in a row, touches each column once at most. It is missed only if
  all sixteen bits flip the same way, and never if it is shorter (IEN 45);
* words that trade places leave any sum as it is: it is commutative (RFC 1071, section 2);
* random words pass once in 65,535 times, as there are 65,535 sums, not 65,536: the ones'
  complement has two zeros.

The same header, kind, number of trials and seed give the same counts.
"""

from __future__ import annotations  # NumPy's types are named here, but NumPy is loaded on use

__all__ = [
    "KINDS",
    "ErrorCounts",
    "counted_fates",
    "damaged",
    "inject",
]

import functools
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, NamedTuple

from course_lib.checksum import are_intact, is_intact

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Octets = NDArray[np.uint8]

_ALL_ONES = 0xFFFF
_WORD_BITS = 16
_SMALLEST_HEADER = 4  # octets; two words, so that there is something to swap


class ErrorCounts(NamedTuple):
    """What became of the damaged headers. The three counts add up to `trials`."""

    kind: str
    trials: int
    noticed: int
    missed: int
    unchanged: int
    expected_share: float  # of errors that are missed, from theory, for this very header
    missed_example: bytes | None = None  # the first damaged header that passed the check

    @property
    def errors(self) -> int:
        """How often the header was really damaged."""
        return self.noticed + self.missed

    @property
    def missed_share(self) -> float:
        """The share of the errors that was missed; 0 if there was no error."""
        return self.missed / self.errors if self.errors else 0.0


class _Kind(NamedTuple):
    damage: Callable[[np.random.Generator, Octets], None]  # changes the rows in place
    expected_share: Callable[[bytes], float]


def inject(header: bytes, kind: str, trials: int, seed: int) -> ErrorCounts:
    """Damage `header` in `trials` independent ways of one kind (one of `KINDS`), and count.

    Raises `ValueError` for a header that does not pass the check to begin with, has an odd number
    of octets or fewer than 4, for an unknown kind, and for less than one trial; `TypeError` for a
    header that is not octets.

    >>> inject(bytes.fromhex("0001 fffe"), "two words swapped", 10, seed=1).missed
    10
    """
    return counted_fates(header, kind, damaged(header, kind, trials, seed))


def counted_fates(header: bytes, kind: str, rows: Octets) -> ErrorCounts:
    """Count what becomes of damaged headers that are there already, as `damaged` returns them."""
    import numpy as np

    changed = (rows != np.frombuffer(header, np.uint8)).any(axis=1)
    missed = changed & are_intact(rows)
    misses = int(missed.sum())
    return ErrorCounts(
        kind=kind,
        trials=len(rows),
        noticed=int(changed.sum()) - misses,
        missed=misses,
        unchanged=int(len(rows) - changed.sum()),
        expected_share=_KINDS[kind].expected_share(bytes(header)),
        missed_example=rows[missed.argmax()].tobytes() if misses else None,
    )


def damaged(header: bytes, kind: str, trials: int, seed: int) -> Octets:
    """Return the damaged headers that `inject` counts: one per row, an octet per column."""
    import numpy as np

    _check(header, kind, trials)
    rows = np.tile(np.frombuffer(header, np.uint8), (trials, 1))
    _KINDS[kind].damage(np.random.default_rng(seed), rows)
    return rows


def _check(header: bytes, kind: str, trials: int) -> None:
    if kind not in _KINDS:
        raise ValueError(f"there is no kind of error called {kind!r}; there are {', '.join(KINDS)}")
    if trials < 1:
        raise ValueError(f"trials must be 1 or more, not {trials}")
    if not isinstance(header, bytes | bytearray):
        raise TypeError(f"header must be bytes, not {type(header).__name__}")
    if len(header) < _SMALLEST_HEADER or len(header) % 2:
        raise ValueError(f"header must have an even number of octets, 4 or more, not {len(header)}")
    if not is_intact(header):
        raise ValueError("header must pass the check before it is damaged: fill in its checksum")


# --- how headers are damaged: each function changes an array of one header per row ----------------


def _flip_one_bit(rng: np.random.Generator, rows: Octets) -> None:
    _flip(rows, rng.integers(rows.shape[1] * 8, size=len(rows)))


def _flip_two_bits(rng: np.random.Generator, rows: Octets) -> None:
    """Flip two different bits, every pair as likely as any other."""
    bits = rows.shape[1] * 8
    first, second = rng.integers(bits, size=len(rows)), rng.integers(bits - 1, size=len(rows))
    _flip(rows, first)
    _flip(rows, second + (second >= first))


def _flip(rows: Octets, bits: NDArray[Any]) -> None:
    import numpy as np

    every = np.arange(len(rows))
    rows[every, bits >> 3] ^= (0x80 >> (bits & 7)).astype(np.uint8)


def _flip_burst(rng: np.random.Generator, rows: Octets) -> None:
    """Flip the first and the last of 16 bits in a row, and each bit between with chance 1/2."""
    import numpy as np

    start = rng.integers(rows.shape[1] * 8 - _WORD_BITS + 1, size=len(rows))
    pattern = rng.integers(1 << (_WORD_BITS - 2), size=len(rows)) << 1 | 0x8001
    spread = pattern << (8 - (start & 7))  # over three octets
    every, octet = np.arange(len(rows)), start >> 3
    rows[every, octet] ^= (spread >> 16).astype(np.uint8)
    rows[every, octet + 1] ^= (spread >> 8 & 0xFF).astype(np.uint8)
    third = np.minimum(octet + 2, rows.shape[1] - 1)  # behind the end there is nothing to flip
    rows[every, third] ^= (spread & 0xFF).astype(np.uint8)


def _swap_words(rng: np.random.Generator, rows: Octets) -> None:
    import numpy as np

    words, every = rows.view(np.uint16), np.arange(len(rows))
    first = rng.integers(words.shape[1], size=len(rows))
    second = rng.integers(words.shape[1] - 1, size=len(rows))
    second += second >= first
    words[every, first], words[every, second] = words[every, second], words[every, first]


def _draw_words(rng: np.random.Generator, rows: Octets) -> None:
    import numpy as np

    rows[:] = rng.integers(256, size=rows.shape, dtype=np.uint8)


# --- what share theory expects to be missed -------------------------------------------------------


@functools.lru_cache(maxsize=16)
def _share_of_pairs(header: bytes) -> float:
    """Try every pair of bits. (Exercise 2.6 asks for the count; there is a shorter way.)"""
    import numpy as np

    bits = np.unpackbits(np.frombuffer(header, np.uint8))
    first, second = np.triu_indices(len(bits), k=1)
    damaged = np.repeat(bits[None, :], len(first), axis=0)
    pairs = np.arange(len(first))
    damaged[pairs, first] ^= 1
    damaged[pairs, second] ^= 1
    return float(are_intact(np.packbits(damaged, axis=1)).mean())


def _share_of_bursts(header: bytes) -> float:
    """Look at every place where 16 bits can flip the same way; the middle 14 do so by chance."""
    number, bits = int.from_bytes(header), len(header) * 8
    places = range(bits - _WORD_BITS + 1)
    missed = sum(
        (number >> place & _ALL_ONES) in (0, _ALL_ONES)
        and is_intact((number ^ _ALL_ONES << place).to_bytes(len(header), "big"))
        for place in places
    )
    return missed / len(places) / (1 << (_WORD_BITS - 2))


def _share_of_random_words(header: bytes) -> float:
    """One of 65,535 rows of words passes, if the header itself and all zeros are left out."""
    return 1 / _ALL_ONES - 1 / ((1 << len(header) * 8) - 1)


_KINDS: dict[str, _Kind] = {
    "one flipped bit": _Kind(_flip_one_bit, lambda header: 0.0),
    "two flipped bits": _Kind(_flip_two_bits, _share_of_pairs),
    "a burst of 16 bits": _Kind(_flip_burst, _share_of_bursts),
    "two words swapped": _Kind(_swap_words, lambda header: 1.0),
    "random words": _Kind(_draw_words, _share_of_random_words),
}
KINDS = tuple(_KINDS)
"""What can be done to a header, in the order from harmless to hopeless."""

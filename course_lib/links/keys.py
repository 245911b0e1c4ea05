"""Keys out of secrets, by standard functions: scrypt (RFC 7914) and HKDF with SHA-256 (RFC 5869).

`stretched` makes a secret of what people type, and is slow on purpose, so that guessing is too. All
other keys are derived from that secret. Each has a purpose that is part of its making, so that
nothing which is said under one of them is ever right under another.
"""

__all__ = ["KEY_OCTETS", "derived_key", "hkdf", "stretched", "two_keys"]

from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF
from cryptography.hazmat.primitives.kdf.scrypt import Scrypt

KEY_OCTETS = 32
COST = 2**15  # 32 MiB of memory and about a tenth of a second


def stretched(
    typed: bytes, salt: bytes, *, cost: int = COST, block: int = 8, parallel: int = 1,
    octets: int = KEY_OCTETS,
) -> bytes:  # fmt: skip
    """Return a secret made of what somebody typed, by scrypt."""
    return Scrypt(salt, octets, cost, block, parallel).derive(typed)


def hkdf(secret: bytes, salt: bytes, info: bytes, octets: int = KEY_OCTETS) -> bytes:
    """Return so many octets that tell nothing of the secret, by HKDF with SHA-256."""
    return HKDF(SHA256(), octets, salt, info).derive(secret)


def derived_key(secret: bytes, purpose: str, *about: bytes) -> bytes:
    """Return a key for one purpose. `about` is all that must differ for the key to differ.

    >>> derived_key(bytes(32), "map", b"1") == derived_key(bytes(32), "map", b"2")
    False
    """
    return hkdf(secret, b"", _in_one(purpose, about))


def two_keys(secret: bytes, purpose: str, *fresh: bytes) -> tuple[bytes, bytes]:
    """Return two keys for a talk: one for what the first party says, one for what the second says.

    fresh: what each party has drawn anew for this talk, the first party's first. Then nothing that
    was ever said in another talk can be said again in this one.
    """
    both = hkdf(secret, b"", _in_one(purpose, fresh), 2 * KEY_OCTETS)
    return both[:KEY_OCTETS], both[KEY_OCTETS:]


def _in_one(purpose: str, about: tuple[bytes, ...]) -> bytes:
    """Join parts, each behind its length, so that no two lists of parts look alike."""
    return b"".join(
        len(part).to_bytes(4, "big") + part for part in (f"hop-by-hop {purpose}".encode(), *about)
    )

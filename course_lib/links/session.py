"""A session: what the two ends seal and open with, for as long as neither of them starts anew.

Its keys come from three things by HKDF: the secret of the room, the number of the link, and what
X25519 (RFC 7748) makes of the two epochs. A stranger lacks the first. Somebody else in the room has
the first two, and still can't read what he only overhears. And as both ends draw an epoch for every
session, its keys are new ones: nothing of another session opens in it.
"""

__all__ = ["Session", "first_epoch", "hello_keys", "link_key", "next_epoch", "public_epoch"]

from cryptography.hazmat.primitives.asymmetric.x25519 import X25519PrivateKey, X25519PublicKey

from course_lib.links.datagrams import EPOCH_OCTETS, NAME_OCTETS, SEALED
from course_lib.links.keys import derived_key, two_keys
from course_lib.links.sealing import Opener, Sealer


class Session:
    """Seals for the other end, and opens what it has sealed; contents are of `datagrams.Content`.

    end: ours. own, other: our epoch, and the public epoch of the other end. Raises `ValueError` for
    an epoch with which there is no secret: those of RFC 7748, section 6.1.
    """

    def __init__(self, key: bytes, end: int, own: X25519PrivateKey, other: bytes) -> None:
        shared = own.exchange(X25519PublicKey.from_public_bytes(other))
        epochs = [public_epoch(own), other]
        if end:
            epochs.reverse()
        keys = two_keys(key + shared, "session of a link", *epochs)
        name = derived_key(key + shared, "name of a session", *epochs)[:NAME_OCTETS]
        self.name, self.other_epoch = name, other
        self.head = bytes((SEALED,)) + name
        self.sealer, self.opener = Sealer(keys[end], self.head), Opener(keys[1 - end], self.head)
        self.window = self.opener.window


def link_key(secret: bytes, number: int) -> bytes:
    """Return the key of a link of the room."""
    return derived_key(secret, "link", number.to_bytes(4, "big"))


def hello_keys(key: bytes) -> tuple[bytes, bytes]:
    """Return the keys of the hellos of end 0 and of end 1, so that none can be sent back."""
    return two_keys(key, "hellos of a link")


def first_epoch(drawn: bytes) -> X25519PrivateKey:
    """Return the first epoch of an end; `drawn` are 32 octets by chance, for this end alone."""
    if len(drawn) != EPOCH_OCTETS:
        raise ValueError(f"an epoch is drawn from {EPOCH_OCTETS} octets, not {len(drawn)}")
    return X25519PrivateKey.from_private_bytes(drawn)


def next_epoch(epoch: X25519PrivateKey) -> X25519PrivateKey:
    """Return the epoch after this one; it tells nothing of those before."""
    return first_epoch(derived_key(epoch.private_bytes_raw(), "next epoch"))


def public_epoch(epoch: X25519PrivateKey) -> bytes:
    """Return what the other end may see of an epoch."""
    return epoch.public_key().public_bytes_raw()

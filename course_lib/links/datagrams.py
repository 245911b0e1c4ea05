"""What the datagrams of a link look like, octet by octet.

    hello    1, as an answer 3 | end 1 | epoch 32 | epoch heard 32 | code 32
    sealed   2 | name of the session 4 | number 8 | sealed: kind 1, content | tag 16

All integers are in network byte order. An epoch is a public key of X25519 (RFC 7748), drawn anew
for each session. The code of a hello is HMAC with SHA-256 (RFC 2104) over all in front of it: what
a hello says is no secret, but only somebody of the room can have said it.
"""

__all__ = [
    "ANSWERING_HELLO", "EPOCH_OCTETS", "HELLO", "HELLO_OCTETS", "NO_EPOCH", "OVERHEAD_OCTETS",
    "SEALED", "SEALED_HEAD_OCTETS", "Content", "Hello", "OuterDatagram", "read_hello",
    "write_hello",
]  # fmt: skip

import hmac
from enum import IntEnum
from typing import NamedTuple

from course_lib.links.sealing import SEAL_OCTETS

HELLO, SEALED, ANSWERING_HELLO = 1, 2, 3
EPOCH_OCTETS, _CODE_OCTETS = 32, 32
NO_EPOCH = bytes(EPOCH_OCTETS)
_SAID_OCTETS = 2 + 2 * EPOCH_OCTETS
HELLO_OCTETS = _SAID_OCTETS + _CODE_OCTETS
NAME_OCTETS = 4
SEALED_HEAD_OCTETS = 1 + NAME_OCTETS
OVERHEAD_OCTETS = SEALED_HEAD_OCTETS + SEAL_OCTETS + 1
"""By how much a datagram is longer than the frame in it."""
OuterDatagram = tuple[tuple[str, int], bytes]
"""Where to, an IP address and a UDP port, and what is to be sent there."""


class Content(IntEnum):
    """What is in a sealed datagram, by its first octet."""

    FRAME = 0
    ASK = 1  # are you there? with a time, for the answer
    ANSWER = 2  # yes; with the time that was asked with


class Hello(NamedTuple):
    """Who speaks, with which epoch, and which epoch of the other end it has heard last."""

    end: int
    epoch: bytes
    heard: bytes = NO_EPOCH
    is_answer: bool = False


def write_hello(hello: Hello, key: bytes) -> bytes:
    """Return the datagram."""
    said = (
        bytes((ANSWERING_HELLO if hello.is_answer else HELLO, hello.end))
        + hello.epoch
        + hello.heard
    )
    return said + hmac.digest(key, said, "sha256")


def read_hello(datagram: bytes, key: bytes) -> Hello | None:
    """Return what a hello says, None if it was not written with this key."""
    said, code = datagram[:_SAID_OCTETS], datagram[_SAID_OCTETS:]
    if not hmac.compare_digest(code, hmac.digest(key, said, "sha256")):
        return None
    epoch, heard = said[2 : 2 + EPOCH_OCTETS], said[2 + EPOCH_OCTETS :]
    return Hello(said[1], epoch, heard, said[0] == ANSWERING_HELLO)

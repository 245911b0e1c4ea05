"""Sealed messages: nobody without the key can read them, write one, change one, or say one again.

A sealed message is its number, 8 octets, and then the content by ChaCha20-Poly1305 (RFC 8439). The
number is a part of the nonce, so it cannot be changed, and no two messages under one key have the
same. A key is for one direction of one talk: `keys.two_keys` makes the two for a new one.

    sealer, opener = Sealer(key), Opener(key)
    opener.open(sealer.seal(b"a frame"))

All messages may begin with a head, which anybody can read and nobody change.
"""

__all__ = [
    "SEAL_OCTETS", "ForgedError", "Opener", "ReplayedError", "SealError", "Sealer",
]  # fmt: skip

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import ChaCha20Poly1305

from course_lib.links.replay_window import ReplayWindow

NUMBER_OCTETS, TAG_OCTETS = 8, 16
SEAL_OCTETS = NUMBER_OCTETS + TAG_OCTETS  # by which a sealed message is longer than its content
_FIRST_OF_NONCE = bytes(4)


class SealError(ValueError):
    """A message that does not open."""


class ForgedError(SealError):
    """It was not sealed with this key, or not about this, or has been changed or cut."""


class ReplayedError(SealError):
    """Its number has come before, or lies so far back that nobody can tell."""


class Sealer:
    """Seals messages, each with the next number. head: with what each of them begins."""

    def __init__(self, key: bytes, head: bytes = b"") -> None:
        self._cipher, self._head = ChaCha20Poly1305(key), head
        self._next = 0

    def seal(self, content: bytes) -> bytes:
        """Return the sealed message."""
        head, number = self._head, self._next.to_bytes(NUMBER_OCTETS, "big")
        self._next += 1
        return head + number + self._cipher.encrypt(_FIRST_OF_NONCE + number, content, head)


class Opener:
    """Opens what the sealer with the same key and head has sealed, in any order, each once.

    window: which numbers have come, and how many were lost or late.
    """

    def __init__(self, key: bytes, head: bytes = b"") -> None:
        self._cipher, self._head = ChaCha20Poly1305(key), head
        self._number = slice(len(head), len(head) + NUMBER_OCTETS)
        self._rest = slice(len(head) + NUMBER_OCTETS, None)
        self._least = len(head) + SEAL_OCTETS
        self.window = ReplayWindow()

    def open(self, message: bytes) -> bytes:
        """Return what is in it; raises `ForgedError` or `ReplayedError`, and then all is as before.

        A number that has come already is refused before any work is done for it.
        """
        head, window, octets = self._head, self.window, message[self._number]
        if len(message) < self._least or not message.startswith(head):
            raise ForgedError(f"{len(message)} octets that do not begin as a message, or too few")
        number = int.from_bytes(octets, "big")
        if number <= window.highest and not window.is_new(number):
            raise ReplayedError(f"number {number} has come before, or comes too late to tell")
        try:
            content = self._cipher.decrypt(_FIRST_OF_NONCE + octets, message[self._rest], head)
        except InvalidTag:
            raise ForgedError(f"message {number} was not sealed with this key") from None
        window.note(number)
        return content

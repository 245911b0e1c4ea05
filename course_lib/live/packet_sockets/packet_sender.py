"""Frames into the kernel: one by one, or many with one call (sendmmsg(2)).

A frame that the kernel does not take is counted by the kernel's own word for it, and the others go
on: a link that is down, or whose far end has no room, is nothing that a router could help.
"""

__all__ = ["PacketSender"]

import ctypes
import errno
import os
import socket
from collections import Counter

import numpy as np
from numpy.typing import NDArray

from course_lib.live.packet_sockets.packet_ring import MOST_IN_A_BURST

_SOL_PACKET, _PACKET_QDISC_BYPASS = 263, 20  # linux/if_packet.h
_NOT_WAITING = socket.MSG_DONTWAIT if hasattr(socket, "MSG_DONTWAIT") else 0

# `struct mmsghdr` and `struct iovec` as 64-bit Linux has them (sendmmsg(2), recvmsg(2)).
_MESSAGE = np.dtype(
    [
        ("name", "u8"), ("name_octets", "u8"), ("pieces", "u8"), ("piece_count", "u8"),
        ("control", "u8"), ("control_octets", "u8"), ("flags", "u8"), ("sent", "u8"),
    ]
)  # fmt: skip
_PIECE = np.dtype([("address", "u8"), ("octets", "u8")])


class PacketSender:
    """The way out of one interface; `refused` counts what the kernel did not take, and why."""

    def __init__(self, device: str) -> None:
        self.refused = Counter[str]()
        self._socket = socket.socket(socket.AF_PACKET, socket.SOCK_RAW, 0)
        try:
            self._socket.setsockopt(_SOL_PACKET, _PACKET_QDISC_BYPASS, 1)
            self._socket.bind((device, 0))
        except OSError:
            self._socket.close()
            raise
        self._descriptor = self._socket.fileno()
        self._pieces = np.zeros(MOST_IN_A_BURST, _PIECE)
        self._messages = np.zeros(MOST_IN_A_BURST, _MESSAGE)
        step = np.arange(MOST_IN_A_BURST, dtype=np.uint64) * np.uint64(_PIECE.itemsize)
        self._messages["pieces"] = np.uint64(self._pieces.ctypes.data) + step
        self._messages["piece_count"] = 1
        self._first_message: int = self._messages.ctypes.data
        self._send_many = ctypes.CDLL(None, use_errno=True).sendmmsg

    def send(self, frame: bytes) -> bool:
        """Send a frame; return whether the kernel took it."""
        try:
            self._socket.send(frame, _NOT_WAITING)
        except OSError as error:
            self._refuse(error.errno)
            return False
        return True

    def send_rows(self, rows: NDArray[np.uint8], places: NDArray[np.intp],
                  octets: NDArray[np.int64]) -> int:  # fmt: skip
        """Send the rows at these places, each as many octets as stand beside the place.

        At most `MOST_IN_A_BURST`. Return how many frames the kernel took.
        """
        count, done, refused = len(places), 0, 0
        first = rows.ctypes.data
        self._pieces["address"][:count] = first + places * rows.strides[0]
        self._pieces["octets"][:count] = octets
        while done < count:
            at = self._first_message + done * _MESSAGE.itemsize
            sent = self._send_many(
                self._descriptor, ctypes.c_void_p(at), count - done, _NOT_WAITING
            )
            if sent < 0:  # the first of them was not taken
                self._refuse(ctypes.get_errno())
                sent, refused = 1, refused + 1
            done += sent
        return count - refused

    def close(self) -> None:
        """Send nothing more."""
        self._socket.close()

    def _refuse(self, number: int | None) -> None:
        self.refused[os.strerror(number or errno.EIO)] += 1

"""Frames as they come to an interface, out of a ring of memory that the kernel fills (packet(7)).

The kernel writes each frame into the next slot of the ring, with the time when it came, and marks
the slot as ours. We read, and mark it as the kernel's again. No call into the kernel is needed for
a frame, and a program that looks late finds up to `SLOTS` frames in their order, each with its own
stamp. If the ring is full, the kernel drops what comes, and counts it.

What we send ourselves is not received again (PACKET_IGNORE_OUTGOING, since Linux 4.20).

The layout of a slot is that of `struct tpacket2_hdr` in linux/if_packet.h.
"""

__all__ = ["MOST_IN_A_BURST", "Burst", "PacketRing"]

import mmap
import socket
import struct
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from course_lib.headers.ethernet import ETHERNET_OCTETS

MOST_IN_A_BURST = 256
SLOTS = 4096
_BLOCK_OCTETS = 1 << 16  # a slot never crosses the border of a block

# From linux/if_packet.h and linux/if_ether.h.
_SOL_PACKET = 263
_PACKET_RX_RING, _PACKET_STATISTICS, _PACKET_VERSION, _PACKET_IGNORE_OUTGOING = 5, 6, 10, 23
_TPACKET_V2 = 1
_ETH_P_ALL = 3
_OURS = 1  # TP_STATUS_USER, in a slot's first word; 0 gives the slot back
_STATUS, _OCTETS, _KEPT, _PLACES, _SECONDS, _NANOSECONDS = range(6)  # 32-bit words of a slot
_WORDS = 8
_FRAME_AT = 66  # where a frame begins in its slot, behind two headers of the kernel's

_NS_PER_S = 1_000_000_000


class Burst(NamedTuple):
    """Frames that lie in the ring one behind the other: row i of `rows` begins with frame i.

    `octets` are the frames' lengths on the wire; what is longer than a row was cut.
    """

    stamps_ns: NDArray[np.int64]  # since 1970
    octets: NDArray[np.int64]
    rows: NDArray[np.uint8]

    def frame(self, place: int) -> bytes:
        """Return a copy of one frame."""
        return self.rows[place, : self.octets[place]].tobytes()


class PacketRing:
    """What comes to one interface of this process's network namespace.

    largest_frame: octets, the Ethernet header included. Longer frames are counted and left out.
    Raises `OSError` if there is no such interface, or this process may not listen there.
    """

    def __init__(self, device: str, largest_frame: int) -> None:
        self.too_long = 0
        self._dropped = 0
        self._slot_octets = _power_of_two(_FRAME_AT + largest_frame)
        block = max(_BLOCK_OCTETS, self._slot_octets)
        blocks = SLOTS * self._slot_octets // block
        # Without a protocol nothing comes before the ring is there and the interface is chosen.
        self._socket = socket.socket(socket.AF_PACKET, socket.SOCK_RAW, 0)
        try:
            self._socket.setsockopt(_SOL_PACKET, _PACKET_VERSION, _TPACKET_V2)
            self._socket.setsockopt(_SOL_PACKET, _PACKET_IGNORE_OUTGOING, 1)
            ring = struct.pack("IIII", block, blocks, self._slot_octets, SLOTS)
            self._socket.setsockopt(_SOL_PACKET, _PACKET_RX_RING, ring)
            self._memory = mmap.mmap(self._socket.fileno(), block * blocks)
            self._socket.bind((device, _ETH_P_ALL))
        except OSError:
            self._socket.close()
            raise
        self._octets = np.frombuffer(self._memory, np.uint8).reshape(SLOTS, self._slot_octets)
        self._heads = self._octets.view(np.uint32)[:, :_WORDS]
        self._rows = self._octets[:, _FRAME_AT:]
        self._place = 0

    def fileno(self) -> int:
        """Return the descriptor that becomes readable when a frame is there."""
        return self._socket.fileno()

    def burst(self) -> Burst | None:
        """Return the oldest frames, or None. They stay where they are until `give_back`."""
        status = self._heads[self._place : self._place + MOST_IN_A_BURST, _STATUS]
        if not status[0] & _OURS:
            return None
        free = np.flatnonzero((status & _OURS) == 0)
        count = int(free[0]) if len(free) else len(status)
        heads = self._heads[self._place : self._place + count]
        stamps_ns = heads[:, _SECONDS].astype(np.int64) * _NS_PER_S + heads[:, _NANOSECONDS]
        octets = heads[:, _OCTETS].astype(np.int64)
        cut = octets > heads[:, _KEPT]
        if cut.any():
            self.too_long += int(cut.sum())
            octets[cut] = 0  # no header at all, so that nobody takes it for a frame
        return Burst(stamps_ns, octets, self._rows[self._place : self._place + count])

    def give_back(self, burst: Burst) -> None:
        """Let the kernel have the slots of the burst that `burst` returned last."""
        count = len(burst.octets)
        self._heads[self._place : self._place + count, _STATUS] = 0
        self._place = (self._place + count) % SLOTS

    def dropped(self) -> int:
        """Return how many frames the kernel has dropped here because nobody took them in time."""
        counts = self._socket.getsockopt(_SOL_PACKET, _PACKET_STATISTICS, 8)
        self._dropped += struct.unpack("II", counts)[1]  # reading sets the kernel's counter to 0
        return self._dropped

    def close(self) -> None:
        """Stop listening. Bursts must not be used any more."""
        del self._octets, self._heads, self._rows
        self._socket.close()  # the memory goes with the last who looks at it


def _power_of_two(octets: int) -> int:
    return 1 << (max(octets, ETHERNET_OCTETS) - 1).bit_length()

"""Other right answers for exercise 11.1: stages."""

__all__ = ["OTHERS"]

import struct
from collections import defaultdict
from collections.abc import Callable
from itertools import count, cycle
from types import SimpleNamespace
from typing import Any


def new_loss_of_cycles(every: int) -> Any:
    """Give each flow a wheel that turns by one for each segment; `struct` reads the fields."""
    wheels: dict[Any, Any] = defaultdict(lambda: cycle([True] * (every - 1) + [False]))

    def passes(packet: bytes) -> bool:
        first, total, fragment, protocol = struct.unpack_from("!BxHxxHxB", packet)
        if protocol != 6 or fragment % 2**13:
            return True
        start = first % 16 * 4
        one, other, offset = struct.unpack_from("!HH8xB", packet, start)
        if start + offset // 16 * 4 == total:
            return True
        return bool(next(wheels[packet[12:20], one, other]))

    return SimpleNamespace(passes=passes)


class LossOfCountdowns:
    """Count down from `every`, in one long number for each flow."""

    def __init__(self, every: int) -> None:
        self.every = every
        self.left: dict[int, int] = {}

    def passes(self, packet: bytes) -> bool:
        """Cut the packet step by step."""
        packet = packet[: packet[2] * 256 + packet[3]]
        is_fragment = (packet[6] & 0b11111) > 0 or packet[7] > 0
        header, rest = packet[: packet[0] % 16 * 4], packet[packet[0] % 16 * 4 :]
        if header[9] != 6 or is_fragment or not rest[(rest[12] & 0xF0) // 4 :]:
            return True
        key = int.from_bytes(header[12:20] + rest[:4], "little")
        left = self.left.get(key, self.every) - 1
        self.left[key] = left or self.every
        return left > 0


class FlowCount:
    """One flow, and the counts at which it loses a segment."""

    def __init__(self, every: int) -> None:
        self.numbers = count(1)
        self.losses = count(every, every)
        self.next_loss = next(self.losses)

    def is_lost(self) -> bool:
        """Count one more."""
        if next(self.numbers) < self.next_loss:
            return False
        self.next_loss = next(self.losses)
        return True


class LossOfObjects:
    """Keep an object for each flow."""

    def __init__(self, every: int) -> None:
        self.every = every
        self.flows: dict[tuple[Any, ...], FlowCount] = {}

    def passes(self, packet: bytes) -> bool:
        """Find the flow, and ask it."""
        words = [int.from_bytes(packet[at : at + 2], "big") for at in range(0, len(packet) - 1, 2)]
        ip_words = 2 * (packet[0] & 15)
        if words[4] & 0xFF != 6 or words[3] & 0x1FFF:
            return True
        octets = words[1] - 2 * ip_words - 4 * (words[ip_words + 6] >> 12)
        if octets < 1:
            return True
        key = (*words[6:10], *words[ip_words : ip_words + 2])
        if key not in self.flows:
            self.flows[key] = FlowCount(self.every)
        return not self.flows[key].is_lost()


OTHERS: tuple[Callable[..., Any], ...] = (new_loss_of_cycles, LossOfCountdowns, LossOfObjects)

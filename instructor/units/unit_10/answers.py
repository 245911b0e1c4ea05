"""Model answers for unit 10, buffers and TCP: written to be read out in front of a class.

Sources: C. Villamizar, C. Song, "High performance TCP in ANSNET", Computer Communication Review 24
(1994); G. Appenzeller, I. Keslassy, N. McKeown, "Sizing router buffers", SIGCOMM 2004 (buffers);
RFC 5681 (the sender); RFC 8289, sections 3 to 5 (the active queue).
"""

__all__ = ["fill_path", "new_sender", "new_watch", "one_tooth", "smallest_buffer", "wait_ms"]

import math
from itertools import accumulate


def fill_path(
    rate_bits_per_s: int, there_ms: int, back_ms: int, packet_octets: int
) -> tuple[int, int]:
    """Return how many octets, and how many packets, keep a path full."""
    bits_times_1000 = rate_bits_per_s * (there_ms + back_ms)  # until the answer is back
    octets = round_up(bits_times_1000, 8000)
    return octets, round_up(octets, packet_octets)


def round_up(number: int, unit: int) -> int:
    """Return how many whole units the number needs."""
    return -(-number // unit)  # `//` rounds down, so the negative number is rounded up


def one_tooth(pipe_packets: int, buffer_packets: int) -> tuple[int, int, float]:
    """Return the lowest and the highest window of one flow, and the share of the line it fills."""
    highest = pipe_packets + buffer_packets
    lowest = highest // 2
    windows = range(lowest, highest + 1)  # one for each round trip
    sent = sum(windows)
    could_send = sum(max(window, pipe_packets) for window in windows)
    return lowest, highest, sent / could_send


def new_sender(segment_octets: int, window: int, threshold: int) -> "Sender":
    """Return a sender with these windows, before its first event."""
    return Sender(segment_octets, window, threshold)


class Sender:
    """Congestion control of RFC 5681, section 3, in octets."""

    def __init__(self, segment: int, window: int, threshold: int) -> None:
        self.segment, self.window, self.threshold = segment, window, threshold
        self.duplicates = 0

    def ack(self) -> tuple[int, int]:
        """Something new has arrived: grow, or leave recovery."""
        if self.duplicates >= 3:
            self.window = self.threshold  # step 6: take the inflation back
        elif self.window < self.threshold:
            self.window += self.segment  # slow start
        else:
            self.window += max(1, self.segment * self.segment // self.window)  # equation 3
        self.duplicates = 0
        return self.window, self.threshold

    def duplicate(self, flight: int) -> tuple[int, int]:
        """Something behind a gap has arrived: the third time, it was lost."""
        self.duplicates += 1
        if self.duplicates < 3:
            return self.window, self.threshold
        if self.duplicates == 3:
            self.halve(flight)
            self.window = self.threshold + 3 * self.segment
        else:
            self.window += self.segment  # one more has left the network
        return self.window, self.threshold

    def timeout(self, flight: int) -> tuple[int, int]:
        """Nothing has arrived for long: begin again."""
        self.halve(flight)
        self.window = self.segment
        self.duplicates = 0
        return self.window, self.threshold

    def halve(self, flight: int) -> None:
        """Apply equation 4: half of what is under way, but two segments at least."""
        self.threshold = max(flight // 2, 2 * self.segment)


def smallest_buffer(rate_bits_per_s: int, round_trip_ms: int, flows: int, in_step: bool) -> int:
    """Return the packets of 1500 octets that keep the line busy."""
    pipe_packets = rate_bits_per_s * round_trip_ms / (1000 * 8 * 1500)
    share = 1 if in_step else math.sqrt(flows)  # flows in step are one big flow
    return math.ceil(pipe_packets / share)


def wait_ms(found: list[int], rate_bits_per_s: int, percent: int) -> float:
    """Return the wait that this percentage of the packets does not exceed."""
    enough = percent * sum(found)
    ahead = next(k for k, so_far in enumerate(accumulate(found)) if 100 * so_far >= enough)
    return 1000 * ahead * 1500 * 8 / rate_bits_per_s


def new_watch(target_ms: int, interval_ms: int) -> "Watch":
    """Return a watch over a queue that no packet has left yet."""
    return Watch(target_ms, interval_ms)


class Watch:
    """Drops when every packet of an interval has waited too long; then faster and faster."""

    def __init__(self, target_ms: int, interval_ms: int) -> None:
        self.target_ms, self.interval_ms = target_ms, interval_ms
        self.due_ms: float | None = None  # when to drop next; None while waits are short
        self.drops = 0

    def leaves(self, now_ms: int, waited_ms: int) -> bool:
        """Tell whether to drop a packet whose turn has come."""
        if waited_ms < self.target_ms:  # one short wait is enough: the queue has been short
            self.due_ms = None
            self.drops = 0
            return False
        if self.due_ms is None:
            self.due_ms = now_ms + self.interval_ms
        if now_ms < self.due_ms:
            return False
        self.drops += 1
        self.due_ms += self.interval_ms / math.sqrt(self.drops)
        return True

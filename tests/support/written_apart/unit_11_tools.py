"""Unit 11, with the standard library and NumPy."""

# ruff: noqa: B905  # habits of whoever wrote this

import struct
from bisect import bisect_right
from collections import defaultdict
from dataclasses import dataclass, field
from itertools import count, islice, repeat, takewhile
from statistics import linear_regression
from types import SimpleNamespace

import numpy as np

RING = 2**32


def new_loss(every):
    seen = defaultdict(int)

    def passes(packet):
        first, _, total = struct.unpack_from("!BBH", packet)
        fragment, _, protocol = struct.unpack_from("!HBB", packet, 6)
        start = 4 * (first & 15)
        if protocol != 6 or fragment & 0x1FFF:
            return True
        ports, _, _, offset = struct.unpack_from("!IIIB", packet, start)
        if total <= start + (offset >> 4) * 4:
            return True
        flow = (packet[12:20], ports)
        seen[flow] += 1
        return seen[flow] % every != 0

    return SimpleNamespace(passes=passes)


@dataclass
class Inbox:
    wanted: int
    parts: list = field(default_factory=list)

    def is_before(self, one, other):
        return 1 <= (other - one) % RING < 2**31

    def receive(self, first, octets):
        start = (first - self.wanted + 2**31) % RING - 2**31
        merged = []
        for low, high in sorted([*self.parts, (start, start + octets)]):
            if merged and low <= merged[-1][1]:
                merged[-1] = (merged[-1][0], max(high, merged[-1][1]))
            else:
                merged.append((low, high))
        come = max((high for low, high in merged if low <= 0), default=0)
        come = max(come, 0)
        self.wanted = (self.wanted + come) % RING
        self.parts = [(low - come, high - come) for low, high in merged if low > 0]
        return self.wanted

    def held(self):
        return [tuple((self.wanted + end) % RING for end in part) for part in self.parts]


def new_receiver(wanted):
    return Inbox(wanted)


@dataclass
class RetransmissionTimer:
    least_ms: float
    tick_ms: float
    timeout: float = 1000
    estimates: tuple | None = None
    under_way: dict = field(default_factory=dict)
    ends: float | None = None

    def sent(self, now_ms, number):
        self.under_way.setdefault(number, []).append(now_ms)
        if self.ends is None:
            self.ends = now_ms + self.timeout

    def acknowledged(self, now_ms, number):
        times = self.under_way.pop(number)
        if len(times) == 1:
            self.measure(now_ms - times[0])
        self.ends = now_ms + self.timeout if self.under_way else None
        return self.timeout

    def measure(self, trip):
        if self.estimates is None:
            mean, variation = trip, trip / 2
        else:
            mean, variation = np.array(self.estimates) * (0.875, 0.75) + (
                0.125 * trip,
                0.25 * abs(self.estimates[0] - trip),
            )
        self.estimates = (float(mean), float(variation))
        raw = mean + max(4 * variation, self.tick_ms)
        self.timeout = float(np.clip(raw, self.least_ms, 60_000))

    def expired(self, now_ms):
        self.timeout = min(self.timeout * 2, 60_000)
        self.ends = now_ms + self.timeout
        return self.timeout

    def due(self):
        return self.ends


def new_timer(least_ms, tick_ms):
    return RetransmissionTimer(least_ms, tick_ms)


def sent_each_round(lost, rounds, threshold, largest, timeout_rounds):
    return list(islice(_rounds(set(lost), threshold, largest, timeout_rounds), rounds))


def _rounds(lost, threshold, largest, first_pause):
    window, start, pause = 1, 1, first_pause
    while True:
        size = min(window, largest)
        yield size
        numbers = range(start, start + size)
        start += size
        gone = sorted(lost.intersection(numbers))
        if not gone:
            pause = first_pause
            window = min(window + size, threshold) if window < threshold else window + 1
            continue
        threshold = size // 2
        if numbers.stop - gone[0] - len(gone) >= 3:
            window = threshold
            continue
        yield from repeat(0, pause)
        window, pause = 1, 2 * pause


def rate_with_losses(every, packets_per_ack, packet_octets, round_trip_ms, timeout_ms):
    sums = (sum(_climb(top)) * packets_per_ack for top in count(1))
    packets = list(takewhile(lambda one: one <= every, sums))
    top = len(packets)
    trips = len(_climb(top)) * packets_per_ack
    ms = trips * round_trip_ms + (0, timeout_ms)[top <= 3]
    bits = 8 * packet_octets * packets[-1]
    return top, packets[-1] / trips / np.sqrt(packets[-1]).item(), bits / ms * 1000


def _climb(top):
    return range(top // 2 or 1, top + 1)


VERDICTS = ("time-outs", "counts")


def fit_exponent(sent, lost, windows, largest, student):
    told = [
        "few losses"
        if gone < 10
        else "full line"
        if window > 0.9 * largest
        else VERDICTS[bisect_right([4], window)]
        for gone, window in zip(lost, windows)
    ]
    good = np.array([one == "counts" for one in told])
    x = np.log(np.array(lost)[good] / np.array(sent)[good])
    y = np.log(np.array(windows)[good])
    slope, height = linear_regression(x.tolist(), y.tolist())
    free = len(x) - 2
    off = ((y - slope * x - height) ** 2).sum() / free
    wide = ((x - x.mean()) ** 2).sum()
    return told, float(slope), float(student[free] * np.sqrt(off / wide))

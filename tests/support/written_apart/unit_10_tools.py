"""Unit 10, with the standard library."""

import bisect
import itertools
import math
from dataclasses import dataclass, field
from fractions import Fraction


def fill_path(rate_bits_per_s, there_ms, back_ms, packet_octets):
    octets = math.ceil(Fraction(rate_bits_per_s * (there_ms + back_ms), 8 * 1000))
    return octets, math.ceil(Fraction(octets, packet_octets))


def one_tooth(pipe_packets, buffer_packets):
    top = pipe_packets + buffer_packets
    saw = list(range(top // 2, top + 1))
    line = [max(pipe_packets, w) for w in saw]
    return saw[0], saw[-1], sum(saw) / sum(line)


@dataclass
class Windows:
    mss: int
    window: int
    threshold: int
    row: int = 0

    @property
    def state(self):
        return self.window, self.threshold

    def lost(self, flight, window):
        self.threshold = max(2 * self.mss, flight // 2)
        self.window = window(self.threshold)
        return self.state

    def ack(self):
        in_recovery, self.row = self.row > 2, 0
        if in_recovery:
            self.window = self.threshold
        else:
            slow = self.window < self.threshold
            self.window += self.mss if slow else max(self.mss**2 // self.window, 1)
        return self.state

    def duplicate(self, flight):
        self.row += 1
        if self.row == 3:
            return self.lost(flight, lambda half: half + 3 * self.mss)
        self.window += self.mss * (self.row > 3)
        return self.state

    def timeout(self, flight):
        self.row = 0
        return self.lost(flight, lambda half: self.mss)


def new_sender(segment_octets, window, threshold):
    return Windows(segment_octets, window, threshold)


def smallest_buffer(rate_bits_per_s, round_trip_ms, flows, in_step):
    product = rate_bits_per_s * round_trip_ms / 12_000_000
    return math.ceil(product if in_step else product / math.sqrt(flows))


def wait_ms(found, rate_bits_per_s, percent):
    so_far = list(itertools.accumulate(found))
    ahead = bisect.bisect_left(so_far, math.ceil(Fraction(percent * so_far[-1], 100)))
    return ahead * 12_000_000 / rate_bits_per_s


@dataclass
class Codel:
    target: int
    interval: int
    dues: object = field(default=None)
    due: float = math.inf

    def schedule(self, start):
        for k in itertools.count(1):
            start += self.interval / math.sqrt(k)
            yield start

    def leaves(self, now_ms, waited_ms):
        if waited_ms < self.target:
            self.dues = None
            return False
        if self.dues is None:
            self.dues = self.schedule(now_ms + self.interval)
            self.due = now_ms + self.interval
        if now_ms < self.due:
            return False
        self.due = next(self.dues)
        return True


new_watch = Codel

"""Right answers to the exercises of unit 11, with the standard library."""

import bisect
import struct
from collections import defaultdict
from itertools import islice, repeat
from math import fsum, log, sqrt
from statistics import fmean, linear_regression, median
from types import SimpleNamespace


class Loss:
    def __init__(self, every):
        self.every = every
        self.counts = defaultdict(int)

    def passes(self, packet):
        header = (packet[0] & 0x0F) * 4
        total, _, fragment, _, protocol = struct.unpack_from("!HHHBB", packet, 2)
        if protocol != 6:
            return True
        if fragment & 0x1FFF:
            return True
        if total < header + 20:
            return True  # not even a whole TCP header
        tcp_header = (packet[header + 12] >> 4) * 4
        if header + tcp_header >= total:
            return True  # no data: an acknowledgement
        flow = struct.unpack_from("!II", packet, 12) + struct.unpack_from("!HH", packet, header)
        self.counts[flow] += 1
        return self.counts[flow] % self.every != 0


def new_loss(every):
    return Loss(every)


HALF, WHOLE = 2**31, 2**32


class Flow:
    modulus = WHOLE

    def __init__(self, wanted):
        self.wanted = wanted
        self.firsts = []
        self.ends = []

    def is_before(self, one, other):
        distance = other - one
        if distance < 0:
            distance += WHOLE
        return distance != 0 and distance < HALF

    def absolute(self, number):
        number += self.wanted // WHOLE * WHOLE
        return min((number - WHOLE, number, number + WHOLE), key=lambda n: abs(n - self.wanted))

    def receive(self, first, octets):
        first = self.absolute(first)
        end = first + octets
        if end > self.wanted:
            first = max(first, self.wanted)
            left = bisect.bisect_left(self.ends, first)  # pieces before it end before `first`
            right = bisect.bisect_right(self.firsts, end)  # from here on they begin behind `end`
            if left < right:
                first = min(first, self.firsts[left])
                end = max(end, self.ends[right - 1])
            self.firsts[left:right] = [first]
            self.ends[left:right] = [end]
            if self.firsts[0] == self.wanted:
                del self.firsts[0]
                self.wanted = self.ends.pop(0)
        return self.wanted % self.modulus

    def held(self):
        result = []
        i = 0
        while i < len(self.firsts):
            result.append((self.firsts[i] % self.modulus, self.ends[i] % self.modulus))
            i = i + 1
        return result


def new_receiver(wanted):
    return Flow(wanted)


LONGEST = 60000


def new_timer(least_ms, tick_ms):
    timeout = 1000
    estimates = None
    first_sent, again = {}, set()
    end = None

    def sent(now_ms, number):
        nonlocal end
        if number in first_sent:
            again.add(number)
        else:
            first_sent[number] = now_ms
        if end is None:
            end = now_ms + timeout

    def acknowledged(now_ms, number):
        nonlocal timeout, estimates, end
        start = first_sent.pop(number)
        if number not in again:
            rtt = now_ms - start
            if estimates is None:
                estimates = rtt, rtt / 2
            else:
                mean, var = estimates
                estimates = mean + (rtt - mean) / 8, var + (abs(rtt - mean) - var) / 4
            mean, var = estimates
            wish = max(mean + 4 * var, mean + tick_ms, least_ms)
            timeout = wish if wish < LONGEST else LONGEST
        again.discard(number)
        end = None
        if first_sent:
            end = now_ms + timeout
        return timeout

    def expired(now_ms):
        nonlocal timeout, end
        timeout = median([0, timeout + timeout, LONGEST])
        end = now_ms + timeout
        return timeout

    def due():
        return end

    return SimpleNamespace(sent=sent, acknowledged=acknowledged, expired=expired, due=due)


def rounds_of_sender(lost, threshold, largest, patience):
    window, sent_so_far, in_a_row = 1, 0, 0
    while True:
        n = window if window < largest else largest
        yield n
        first, last = sent_so_far + 1, sent_so_far + n
        sent_so_far = last
        i, j = bisect.bisect_left(lost, first), bisect.bisect_left(lost, last + 1)
        if i == j:
            in_a_row = 0
            window = min(window + n, threshold) if window < threshold else window + 1
        else:
            threshold = n // 2
            behind = last - lost[i]
            if behind - (j - i - 1) >= 3:
                window = threshold
            else:
                yield from repeat(0, patience * 2**in_a_row)
                in_a_row += 1
                window = 1


def sent_each_round(lost, rounds, threshold, largest, timeout_rounds):
    return list(islice(rounds_of_sender(lost, threshold, largest, timeout_rounds), rounds))


def tooth_packets(w):
    """Packets of a tooth with the highest window w, one round trip a value."""
    low = max(1, w // 2)
    return (low + w) * (w - low + 1) // 2


def rate_with_losses(every, packets_per_ack, packet_octets, round_trip_ms, timeout_ms):
    fits = every // packets_per_ack
    w = bisect.bisect_right(range(1, 2000), fits, key=tooth_packets)
    low = max(1, w // 2)
    trips = (w - low + 1) * packets_per_ack
    n = tooth_packets(w) * packets_per_ack
    mean = (low + w) / 2
    seconds = (trips * round_trip_ms + (timeout_ms if w <= 3 else 0)) * 1e-3
    return (w, mean / sqrt(n), 8 * packet_octets * n / seconds)


RULES = [
    ("few losses", lambda lost, window, largest: lost < 10),
    ("time-outs", lambda lost, window, largest: window < 4),
    ("full line", lambda lost, window, largest: window > 0.9 * largest),
    ("counts", lambda *anything: True),
]


def fit_exponent(sent, lost, windows, largest, student):
    verdicts = [
        next(name for name, holds in RULES if holds(gone, w, largest))
        for gone, w in zip(lost, windows, strict=True)
    ]
    points = [
        (log(gone / s), log(w))
        for s, gone, w, v in zip(sent, lost, windows, verdicts, strict=True)
        if v == "counts"
    ]
    x, y = zip(*points, strict=True)
    slope, intercept = linear_regression(x, y)
    free = len(points) - 2
    squares = fsum((b - (slope * a + intercept)) ** 2 for a, b in points)
    m = fmean(x)
    return verdicts, slope, student[free] * sqrt(squares / free / fsum((a - m) ** 2 for a in x))

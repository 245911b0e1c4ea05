"""Right answers to the exercises of unit 11, with loops."""

import math
from fractions import Fraction
from types import SimpleNamespace


def new_loss(every):
    left = {}

    def data_octets(p):
        ip = 4 * (p[0] % 16)
        total = p[2] * 256 + p[3]
        if total - ip < 20:
            return 0
        return total - ip - 4 * (p[ip + 12] // 16)

    def passes(packet):
        p = bytes(packet)
        offset = (p[6] % 32) * 256 + p[7]
        if p[9] != 6 or offset != 0 or data_octets(p) < 1:
            return True
        ip = 4 * (p[0] % 16)
        key = p[12:20] + p[ip : ip + 4]
        n = left.get(key, every) - 1
        if n == 0:
            left[key] = every
            return False
        left[key] = n
        return True

    return SimpleNamespace(passes=passes)


ROUND = 2**32


class Receiver:
    def __init__(self, wanted):
        self.next = wanted  # grows beyond 2**32
        self.pieces = []  # sorted list of (first, end), unrolled

    def is_before(self, one, other):
        return 1 <= (other - one) % ROUND <= 2**31 - 1

    def unroll(self, number):
        away = (number - self.next) % ROUND
        if away >= 2**31:
            away -= ROUND
        return self.next + away

    def receive(self, first, octets):
        begin = self.unroll(first)
        todo = sorted([*self.pieces, (begin, begin + octets)])
        merged = []
        for a, b in todo:
            if merged and a <= merged[-1][1]:
                merged[-1] = (merged[-1][0], max(merged[-1][1], b))
            else:
                merged.append((a, b))
        self.pieces = []
        for a, b in merged:
            if a <= self.next:
                self.next = max(self.next, b)
            else:
                self.pieces.append((a, b))
        return self.next % ROUND

    def held(self):
        return [(a % ROUND, b % ROUND) for a, b in self.pieces]


def new_receiver(wanted):
    return Receiver(wanted)


class Timer:
    def __init__(self, least_ms, tick_ms):
        self.least_ms = least_ms
        self.tick_ms = tick_ms
        self.timeout = 1000
        self.mean = None
        self.variation = None
        self.under_way = {}  # number -> times at which it was sent
        self.runs_out = None

    def sent(self, now_ms, number):
        self.under_way.setdefault(number, []).append(now_ms)
        if self.runs_out is None:
            self.runs_out = now_ms + self.timeout

    def acknowledged(self, now_ms, number):
        times = self.under_way.pop(number)
        if len(times) == 1:
            self.measure(now_ms - times[0])
        self.runs_out = now_ms + self.timeout if self.under_way else None
        return self.timeout

    def measure(self, round_trip):
        if self.mean is None:
            self.mean = round_trip
            self.variation = round_trip / 2
        else:
            self.variation = 0.75 * self.variation + 0.25 * abs(self.mean - round_trip)
            self.mean = 0.875 * self.mean + 0.125 * round_trip
        self.timeout = self.mean + max(4 * self.variation, self.tick_ms)
        self.timeout = min(max(self.timeout, self.least_ms), 60000)

    def expired(self, now_ms):
        self.timeout = min(2 * self.timeout, 60000)
        self.runs_out = now_ms + self.timeout
        return self.timeout

    def due(self):
        return self.runs_out


def new_timer(least_ms, tick_ms):
    return Timer(least_ms, tick_ms)


def sent_each_round(lost, rounds, threshold, largest, timeout_rounds):
    missing = set(lost)
    result = []
    window = 1
    number = 1
    silence = timeout_rounds
    while len(result) < rounds:
        n = min(window, largest)
        packets = range(number, number + n)
        number += n
        result.append(n)
        gone = [p for p in packets if p in missing]
        if not gone:
            silence = timeout_rounds
            if window < threshold:
                window = min(window + n, threshold)
            else:
                window += 1
            continue
        threshold = n // 2
        duplicates = sum(1 for p in packets if p > gone[0] and p not in missing)
        if duplicates >= 3:
            window = threshold
        else:
            result += [0] * min(silence, rounds)
            silence *= 2
            window = 1
    return result[:rounds]


def rate_with_losses(every, packets_per_ack, packet_octets, round_trip_ms, timeout_ms):
    total = packets_per_ack
    top, low = 1, 1
    while True:
        grown = total + packets_per_ack * (top + 1)
        new_low = max(1, (top + 1) // 2)
        if new_low > low:
            grown -= packets_per_ack * low
        if grown > every:
            break
        total, top, low = grown, top + 1, new_low
    trips = packets_per_ack * (top - low + 1)
    mean = Fraction(total, trips)
    constant = math.sqrt(mean * mean / total)
    time = Fraction(trips * round_trip_ms + timeout_ms * (top < 4), 1000)
    return top, constant, float(total * packet_octets * 8 / time)


def fit_exponent(sent, lost, windows, largest, student):
    verdicts = []
    xs = []
    ys = []
    for i in range(len(sent)):
        if lost[i] < 10:
            verdicts.append("few losses")
        elif windows[i] > 0.9 * largest:
            verdicts.append("full line")
        elif windows[i] < 4:
            verdicts.append("time-outs")
        else:
            verdicts.append("counts")
            xs.append(math.log(lost[i] / sent[i]))
            ys.append(math.log(windows[i]))
    n = len(xs)
    mean_x = sum(xs) / n
    mean_y = sum(ys) / n
    sum_xx = 0
    sum_xy = 0
    for i in range(n):
        sum_xx += (xs[i] - mean_x) ** 2
        sum_xy += (xs[i] - mean_x) * (ys[i] - mean_y)
    slope = sum_xy / sum_xx
    squares = 0
    for i in range(n):
        line = mean_y + slope * (xs[i] - mean_x)
        squares += (ys[i] - line) ** 2
    reach = student[n - 2] * math.sqrt(squares / (n - 2) / sum_xx)
    return verdicts, slope, reach

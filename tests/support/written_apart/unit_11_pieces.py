"""Right answers to the exercises of unit 11, in pieces."""

import functools
from collections import Counter, deque
from math import log10
from types import SimpleNamespace


def only_if_counted(function):
    """Everything that is not a TCP segment with data passes at once."""

    @functools.wraps(function)
    def wrapper(self, packet):
        if not is_counted(packet):
            return True
        return function(self, packet)

    return wrapper


def number_in(octets):
    return int.from_bytes(octets, "big")


def ip_header_length(packet):
    return (packet[0] & 15) << 2


def is_counted(packet):
    is_tcp = packet[9] == 6
    if not is_tcp:
        return False
    fragment_offset = number_in(packet[6:8]) & 0b0001_1111_1111_1111
    if fragment_offset > 0:
        return False
    start_of_tcp = ip_header_length(packet)
    end_of_packet = number_in(packet[2:4])
    if end_of_packet - start_of_tcp <= 20:
        return False
    start_of_data = start_of_tcp + ((packet[start_of_tcp + 12] >> 4) << 2)
    return end_of_packet - start_of_data >= 1


class LossStage:
    every = 1

    def __init__(self):
        self.counter = Counter()

    @only_if_counted
    def passes(self, packet):
        start = ip_header_length(packet)
        source_address = number_in(packet[12:16])
        destination_address = number_in(packet[16:20])
        source_port = number_in(packet[start : start + 2])
        destination_port = number_in(packet[start + 2 : start + 4])
        flow = (source_address, source_port, destination_address, destination_port)
        self.counter.update([flow])
        return self.counter[flow] % self.every != 0


def new_loss(every):
    stage = LossStage()
    stage.every = every
    return stage


def new_receiver(wanted):
    whole = 1 << 32
    state = {"wanted": wanted, "parts": []}  # parts: [distance of first, distance of end]

    def signed(n):
        return (n + whole // 2) % whole - whole // 2

    def is_before(one, other):
        return signed(other - one) > 0

    def receive(first, octets):
        lo = signed(first - state["wanted"])
        hi = lo + octets
        rest = []
        for a, b in state["parts"]:
            if b < lo or a > hi:
                rest.append([a, b])
            else:
                lo, hi = min(a, lo), max(b, hi)
        if hi > 0 and lo <= 0:
            state["wanted"] = (state["wanted"] + hi) % whole
            rest = [[a - hi, b - hi] for a, b in rest]
        elif lo > 0:
            rest.append([lo, hi])
        state["parts"] = rest
        return state["wanted"]

    def held():
        return [
            ((state["wanted"] + a) % whole, (state["wanted"] + b) % whole)
            for a, b in sorted(state["parts"])
        ]

    return SimpleNamespace(is_before=is_before, receive=receive, held=held)


class Clock:
    """Stands still, or runs out at a time."""

    def __init__(self):
        self.at = None

    def stands_still(self):
        return self.at is None

    def start(self, now, duration):
        self.at = now + duration

    def stop(self):
        self.at = None


class RetransmissionTimer:
    initial = 1000
    largest = 60000

    def __init__(self):
        self.clock = Clock()
        self.packets = {}
        self.have_mean = False
        self.mean = 0.0
        self.variation = 0.0
        self.time_out = self.initial

    def sent(self, now_ms, number):
        if number in self.packets:
            packet = self.packets[number]
            packet["times sent"] = packet["times sent"] + 1
        else:
            self.packets[number] = {"times sent": 1, "first": now_ms}
        if self.clock.stands_still():
            self.clock.start(now_ms, self.time_out)

    def acknowledged(self, now_ms, number):
        packet = self.packets.pop(number)
        if packet["times sent"] == 1:
            round_trip = now_ms - packet["first"]
            if not self.have_mean:
                self.mean = round_trip
                self.variation = 0.5 * round_trip
                self.have_mean = True
            else:
                if round_trip >= self.mean:
                    distance = round_trip - self.mean
                else:
                    distance = self.mean - round_trip
                self.variation = 0.75 * self.variation + 0.25 * distance
                self.mean = 0.875 * self.mean + 0.125 * round_trip
            with_variation = self.mean + 4 * self.variation
            with_tick = self.mean + self.tick_ms
            if with_variation > with_tick:
                self.time_out = with_variation
            else:
                self.time_out = with_tick
            if self.time_out < self.least_ms:
                self.time_out = self.least_ms
            if self.time_out > self.largest:
                self.time_out = self.largest
        if len(self.packets) > 0:
            self.clock.start(now_ms, self.time_out)
        else:
            self.clock.stop()
        return self.time_out

    def expired(self, now_ms):
        self.time_out = 2 * self.time_out
        if self.time_out > self.largest:
            self.time_out = self.largest
        self.clock.start(now_ms, self.time_out)
        return self.time_out

    def due(self):
        return self.clock.at


def new_timer(least_ms, tick_ms):
    timer = RetransmissionTimer()
    timer.least_ms = least_ms
    timer.tick_ms = tick_ms
    return timer


class Sender:
    def __init__(self, lost, threshold, largest, timeout_rounds):
        self.lost = deque(lost)
        self.threshold = threshold
        self.largest = largest
        self.timeout_rounds = timeout_rounds
        self.window = 1
        self.next_number = 1
        self.timeouts_in_a_row = 0
        self.quiet = 0

    def round_trip(self):
        if self.quiet > 0:
            self.quiet -= 1
            return 0
        sent = min(self.window, self.largest)
        end = self.next_number + sent
        gone = []
        while self.lost and self.lost[0] < end:
            gone.append(self.lost.popleft())
        self.next_number = end
        if gone:
            self.shrink(sent, (end - gone[0]) - len(gone))
        else:
            self.grow(sent)
        return sent

    def grow(self, sent):
        self.timeouts_in_a_row = 0
        if self.window >= self.threshold:
            self.window += 1
        else:
            self.window = min(self.threshold, self.window + sent)

    def shrink(self, sent, duplicates):
        self.threshold = sent // 2
        if duplicates >= 3:
            self.window = self.threshold
            return
        self.window = 1
        self.quiet = self.timeout_rounds << self.timeouts_in_a_row
        self.timeouts_in_a_row += 1


def sent_each_round(lost, rounds, threshold, largest, timeout_rounds):
    sender = Sender(lost, threshold, largest, timeout_rounds)
    return [sender.round_trip() for _ in range(rounds)]


class Tooth:
    def __init__(self, highest, each):
        self.highest = highest
        self.each = each

    def round_trips(self):
        window = max(self.highest // 2, 1)
        while window <= self.highest:
            for _ in range(self.each):
                yield window
            window += 1

    @property
    def packets(self):
        return sum(self.round_trips())

    @property
    def length(self):
        return sum(1 for _ in self.round_trips())


def largest_that_fits(every, each, low=1, high=2048):
    """Largest highest window from low on and below high."""
    if high - low == 1:
        return low
    middle = (low + high) // 2
    if Tooth(middle, each).packets <= every:
        return largest_that_fits(every, each, middle, high)
    return largest_that_fits(every, each, low, middle)


def rate_with_losses(every, packets_per_ack, packet_octets, round_trip_ms, timeout_ms):
    # only small windows are possible if each takes so many round trips
    high = 64 if packets_per_ack > 1000 else 2048
    tooth = Tooth(largest_that_fits(every // packets_per_ack, 1, 1, high), 1)
    packets = tooth.packets * packets_per_ack
    length = tooth.length * packets_per_ack
    loss = 1 / packets
    constant = (packets / length) * loss**0.5
    seconds = length * round_trip_ms / 1000
    if tooth.highest < 4:
        seconds += timeout_ms / 1000
    return tooth.highest, constant, packets * packet_octets * 8 / seconds


class Fit:
    parameters = 2

    def __init__(self):
        self.points = []

    def add(self, loss, window):
        self.points.append((log10(loss), log10(window)))

    def slope_and_level(self):
        n = len(self.points)
        x0, y0 = self.points[0]  # move the first point to the origin
        sx = sum(x - x0 for x, y in self.points)
        sy = sum(y - y0 for x, y in self.points)
        sxx = sum((x - x0) ** 2 for x, y in self.points)
        sxy = sum((x - x0) * (y - y0) for x, y in self.points)
        determinant = n * sxx - sx * sx
        slope = (n * sxy - sx * sy) / determinant
        level = (sxx * sy - sx * sxy) / determinant
        return slope, y0 + level - slope * x0, determinant / n

    def residuals(self):
        slope, level, _ = self.slope_and_level()
        return [y - level - slope * x for x, y in self.points]


def verdict(lost, window, largest):
    if lost < 10:
        return "few losses"
    if window > 0.9 * largest:
        return "full line"
    if window < 4:
        return "time-outs"
    return "counts"


def fit_exponent(sent, lost, windows, largest, student):
    fit = Fit()
    words = []
    for s, gone, w in zip(sent, lost, windows, strict=True):
        words.append(verdict(gone, w, largest))
        if words[-1] == "counts":
            fit.add(gone / s, w)
    slope, _, spread = fit.slope_and_level()
    free = len(fit.points) - Fit.parameters
    squares = sum(r * r for r in fit.residuals())
    return words, slope, student[free] * (squares / free / spread) ** 0.5

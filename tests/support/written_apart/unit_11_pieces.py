"""Unit 11, in small pieces."""

# ruff: noqa: B905  # habits of whoever wrote this

from math import log, sqrt

# 11.1


def words_of_4(octet):
    return 4 * octet


def ip_length(packet):
    return words_of_4(packet[0] & 0x0F)


def is_tcp(packet):
    return packet[9] == 6


def is_first_piece(packet):
    return int.from_bytes(packet[6:8], "big") & 0x1FFF == 0


def tcp_part(packet):
    return packet[ip_length(packet) : int.from_bytes(packet[2:4], "big")]


def has_data(packet):
    segment = tcp_part(packet)
    return len(segment) > words_of_4(segment[12] >> 4)


def flow_name(packet):
    return packet[12:16], packet[16:20], tcp_part(packet)[0:2], tcp_part(packet)[2:4]


class Stage:
    def __init__(self, every):
        self.every = every
        self.left = {}

    def counts(self, packet):
        return is_tcp(packet) and is_first_piece(packet) and has_data(packet)

    def passes(self, packet):
        return self.count_down(flow_name(packet)) if self.counts(packet) else True

    def count_down(self, name):
        left = self.left.get(name, self.every) - 1
        self.left[name] = left or self.every
        return left > 0


def new_loss(every):
    return Stage(every)


# 11.2


def onward(one, other):
    return (other - one) & 0xFFFFFFFF


def comes_before(one, other):
    return 0 < onward(one, other) < 0x80000000


class Receiver:
    """The numbers that are held, as gaps and lengths behind the wanted one."""

    def __init__(self, wanted):
        self.next = wanted
        self.blocks = []

    def is_before(self, one, other):
        return comes_before(one, other)

    def receive(self, first, octets):
        end = (first + octets) & 0xFFFFFFFF
        if comes_before(first, self.next):
            if not comes_before(self.next, end):
                return self.next
            first = self.next
        self.add((onward(self.next, first), onward(self.next, end)))
        self.move_on()
        return self.next

    def add(self, block):
        apart = [one for one in self.blocks if one[1] < block[0] or block[1] < one[0]]
        touching = [one for one in self.blocks if one not in apart] + [block]
        joined = (min(one[0] for one in touching), max(one[1] for one in touching))
        self.blocks = sorted([*apart, joined])

    def move_on(self):
        if self.blocks[0][0] == 0:
            step = self.blocks.pop(0)[1]
            self.next = (self.next + step) & 0xFFFFFFFF
            self.blocks = [(begin - step, end - step) for begin, end in self.blocks]

    def held(self):
        return [(self.numbered(begin), self.numbered(end)) for begin, end in self.blocks]

    def numbered(self, distance):
        return (self.next + distance) & 0xFFFFFFFF


def new_receiver(wanted):
    return Receiver(wanted)


# 11.3


class Estimate:
    def __init__(self):
        self.mean = None
        self.variation = 0

    def take(self, trip):
        if self.mean is None:
            self.mean, self.variation = trip, trip / 2
        else:
            self.variation += (abs(self.mean - trip) - self.variation) / 4
            self.mean += (trip - self.mean) / 8

    def margin(self, tick):
        return max(tick, 4 * self.variation)


class Timer:
    def __init__(self, least_ms, tick_ms):
        self.estimate = Estimate()
        self.least, self.tick = least_ms, tick_ms
        self.timeout = 1000
        self.times = {}
        self.again = set()
        self.end = None

    def sent(self, now_ms, number):
        if number in self.times:
            self.again.add(number)
        self.times[number] = now_ms
        if self.end is None:
            self.start(now_ms)

    def start(self, now_ms):
        self.end = now_ms + self.timeout

    def acknowledged(self, now_ms, number):
        since = self.times.pop(number)
        if number not in self.again:
            self.estimate.take(now_ms - since)
            self.timeout = self.bounded(self.estimate.mean + self.estimate.margin(self.tick))
        self.again.discard(number)
        self.end = None
        if self.times:
            self.start(now_ms)
        return self.timeout

    def bounded(self, timeout):
        return min(60000, max(self.least, timeout))

    def expired(self, now_ms):
        self.timeout = min(60000, 2 * self.timeout)
        self.start(now_ms)
        return self.timeout

    def due(self):
        return self.end


def new_timer(least_ms, tick_ms):
    return Timer(least_ms, tick_ms)


# 11.4


class Sender:
    def __init__(self, lost, threshold, largest, pause):
        self.lost, self.threshold, self.largest = lost, threshold, largest
        self.first_pause = self.pause = pause
        self.window = 1
        self.number = 1
        self.silent = 0

    def go(self):
        if self.silent:
            self.silent -= 1
            return 0
        size = min(self.window, self.largest)
        fates = [number not in self.lost for number in range(self.number, self.number + size)]
        self.number += size
        self.react(fates)
        return size

    def react(self, fates):
        if all(fates):
            self.grow(len(fates))
        else:
            self.threshold = len(fates) // 2
            duplicates = sum(fates[fates.index(False) :])
            self.repair() if duplicates >= 3 else self.time_out()

    def grow(self, sent):
        self.pause = self.first_pause
        slow = self.window < self.threshold
        self.window = min(self.window + sent, self.threshold) if slow else self.window + 1

    def repair(self):
        self.window = self.threshold

    def time_out(self):
        self.window, self.silent = 1, self.pause
        self.pause += self.pause


def sent_each_round(lost, rounds, threshold, largest, timeout_rounds):
    sender = Sender(lost, threshold, largest, timeout_rounds)
    return [sender.go() for _ in range(rounds)]


# 11.5


class Tooth:
    def __init__(self, highest, stays):
        self.highest, self.stays = highest, stays
        self.lowest = highest // 2 if highest > 1 else 1

    def steps(self):
        return self.highest - self.lowest + 1

    def trips(self):
        return self.stays * self.steps()

    def packets(self):
        return self.trips() * (self.lowest + self.highest) // 2

    def needs_the_clock(self):
        return self.highest - 1 < 3

    def constant(self):
        return (self.lowest + self.highest) / 2 / sqrt(self.packets())


def highest_tooth(every, stays):
    tooth = Tooth(1, stays)
    while (higher := Tooth(tooth.highest + 1, stays)).packets() <= every:
        tooth = higher
    return tooth


def rate_with_losses(every, packets_per_ack, packet_octets, round_trip_ms, timeout_ms):
    tooth = highest_tooth(every, packets_per_ack)
    seconds = tooth.trips() * round_trip_ms / 1000
    if tooth.needs_the_clock():
        seconds += timeout_ms / 1000
    return tooth.highest, tooth.constant(), tooth.packets() * packet_octets * 8 / seconds


# 11.6


def verdict(lost, window, largest):
    if lost < 10:
        return "few losses"
    if window > largest * 0.9:
        return "full line"
    return "time-outs" if window < 4 else "counts"


def around(values):
    middle = sum(values) / len(values)
    return [value - middle for value in values]


def product(one, other):
    return sum(a * b for a, b in zip(one, other))


def fit_exponent(sent, lost, windows, largest, student):
    verdicts = [verdict(gone, window, largest) for gone, window in zip(lost, windows)]
    runs = list(zip(verdicts, sent, lost, windows))
    x = around([log(gone) - log(all_of) for told, all_of, gone, _ in runs if told == "counts"])
    y = around([log(window) for told, _, _, window in runs if told == "counts"])
    slope = product(x, y) / product(x, x)
    rest = [b - slope * a for a, b in zip(x, y)]
    freedom = len(x) - 2
    return verdicts, slope, student[freedom] * sqrt(product(rest, rest) / freedom / product(x, x))

"""Unit 08, in small pieces."""

# ruff: noqa: B905  # habits of whoever wrote this

from collections import deque
from fractions import Fraction
from math import sqrt

# 8.1


class Line:
    """The moments at which the packets that are there will have left."""

    def __init__(self, room):
        self.room = room
        self.leaving = deque()

    def let_go(self, now):
        while self.leaving and self.leaving[0] <= now:
            self.leaving.popleft()

    def is_full(self):
        return len(self.leaving) >= self.room

    def begins(self, now):
        return self.leaving[-1] if self.leaving else now

    def take(self, now, takes):
        begin = self.begins(now)
        self.leaving.append(begin + takes)
        return begin - now

    def arrive(self, now, takes):
        self.let_go(now)
        return None if self.is_full() else self.take(now, takes)


def waits_in_line(came_ms, takes_ms, room):
    line = Line(room)
    return [line.arrive(now, takes) for now, takes in zip(came_ms, takes_ms)]


# 8.2


def not_dropped(came_ms, left_ms):
    return [(came, left) for came, left in zip(came_ms, left_ms) if left is not None]


def overlap(stay, from_ms, to_ms):
    came, left = stay
    return max(0, min(left, to_ms) - max(came, from_ms))


def mean_number(stays, from_ms, to_ms):
    return sum(overlap(stay, from_ms, to_ms) for stay in stays) / (to_ms - from_ms)


def that_came_in(stays, from_ms, to_ms):
    return [stay for stay in stays if from_ms <= stay[0] < to_ms]


def mean_time(stays):
    if not stays:
        return None
    return sum(left - came for came, left in stays) / len(stays)


def three_means(came_ms, left_ms, from_ms, to_ms):
    stays = not_dropped(came_ms, left_ms)
    new = that_came_in(stays, from_ms, to_ms)
    number = mean_number(stays, from_ms, to_ms)
    return number, len(new) / (to_ms - from_ms), mean_time(new)


# 8.3


class Bucket:
    def __init__(self, kbit_s, depth):
        self.octets_per_ms = kbit_s // 8
        self.depth = depth
        self.held = depth
        self.seen_ms = 0

    def level(self, now_ms):
        earned = self.octets_per_ms * (now_ms - self.seen_ms)
        return min(self.depth, self.held + earned)

    def take(self, now_ms, octets):
        self.held = self.level(now_ms) - octets
        self.seen_ms = now_ms

    def can_pay(self, now_ms, octets):
        return self.level(now_ms) >= octets


class Meter:
    def __init__(self, peak, committed):
        self.peak = peak
        self.committed = committed

    def colour(self, now_ms, octets):
        if not self.peak.can_pay(now_ms, octets):
            return "red"
        self.peak.take(now_ms, octets)
        if not self.committed.can_pay(now_ms, octets):
            return "yellow"
        self.committed.take(now_ms, octets)
        return "green"

    def tokens(self, now_ms):
        return self.peak.level(now_ms), self.committed.level(now_ms)


def new_meter(peak_kbit_s, peak_octets, committed_kbit_s, committed_octets):
    peak = Bucket(peak_kbit_s, peak_octets)
    return Meter(peak, Bucket(committed_kbit_s, committed_octets))


# 8.4


class CreditQueue:
    def __init__(self, quantum):
        self.quantum = quantum
        self.credit = 0
        self.packets = deque()

    def earn(self):
        self.credit += self.quantum

    def can_pay(self):
        return self.packets[0] <= self.credit

    def pay(self):
        octets = self.packets.popleft()
        self.credit -= octets
        return octets


class RoundRobin:
    def __init__(self, quanta):
        self.queues = [CreditQueue(quantum) for quantum in quanta]
        self.order = deque()
        self.head_has_earned = False

    def join(self, queue, octets):
        if not self.queues[queue].packets:
            self.queues[queue].credit = 0
            self.order.append(queue)
        self.queues[queue].packets.append(octets)

    def next_turn(self):
        self.order.rotate(-1)
        self.head_has_earned = False

    def leave(self):
        self.order.popleft()
        self.head_has_earned = False

    def let_head_earn(self):
        if not self.head_has_earned:
            self.queues[self.order[0]].earn()
            self.head_has_earned = True

    def find_payer(self):
        self.let_head_earn()
        while not self.queues[self.order[0]].can_pay():
            self.next_turn()
            self.let_head_earn()
        return self.order[0]

    def send(self):
        if not self.order:
            return None
        number = self.find_payer()
        octets = self.queues[number].pay()
        if not self.queues[number].packets:
            self.leave()
        return number, octets


def new_round_robin(quanta):
    return RoundRobin(quanta)


# 8.5


class Level:
    def __init__(self):
        self.names = deque()
        self.passed_over = 0

    def pass_over(self):
        if self.names:
            self.passed_over += 1

    def send(self):
        self.passed_over = 0
        return self.names.popleft()


class UrgentFirst:
    def __init__(self, levels, limit):
        self.levels = [Level() for _ in range(levels)]
        self.limit = limit

    def join(self, level, name):
        self.levels[level].names.append(name)

    def waiting(self):
        return [number for number, level in enumerate(self.levels) if level.names]

    def at_limit(self, numbers):
        return [n for n in numbers if self.levels[n].passed_over >= self.limit]

    def choose(self):
        waiting = self.waiting()
        return min(self.at_limit(waiting) or waiting, default=None)

    def send(self):
        chosen = self.choose()
        if chosen is None:
            return None
        for level in self.levels[chosen + 1 :]:
            level.pass_over()
        return self.levels[chosen].send()


def new_urgent_first(levels, limit):
    return UrgentFirst(levels, limit)


# 8.6


def exact_mean(numbers):
    return Fraction(sum(numbers)) / len(numbers)


def cut(waits, batches):
    length = len(waits) // batches
    return [waits[i * length : (i + 1) * length] for i in range(batches)]


def variance(means):
    middle = exact_mean(means)
    return sum((mean - middle) ** 2 for mean in means) / (len(means) - 1)


def squared_reach(means, t):
    return Fraction(t) ** 2 * variance(means) / len(means)


def compare_with_theory(waits_ms, warm_up, batches, t, theory_ms):
    means = [exact_mean(batch) for batch in cut(waits_ms[warm_up:], batches)]
    mean, square = exact_mean(means), squared_reach(means, t)
    agrees = (Fraction(theory_ms) - mean) ** 2 <= square
    return float(mean), sqrt(square), agrees

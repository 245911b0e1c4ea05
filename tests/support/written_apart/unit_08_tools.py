"""Unit 08, with the standard library."""

# ruff: noqa: B905  # habits of whoever wrote this

from collections import deque
from dataclasses import dataclass
from fractions import Fraction
from itertools import islice
from math import sqrt
from statistics import fmean, mean, variance


def waits_in_line(came_ms, takes_ms, room):
    waits, leave = [], deque()
    for came, takes in zip(came_ms, takes_ms):
        while leave and leave[0] <= came:
            leave.popleft()
        if len(leave) == room:
            waits.append(None)
            continue
        begin = leave[-1] if leave else came
        waits.append(begin - came)
        leave.append(begin + takes)
    return waits


def three_means(came_ms, left_ms, from_ms, to_ms):
    window = to_ms - from_ms
    stays = [(came, left) for came, left in zip(came_ms, left_ms) if left is not None]
    spent = sum(max(0, min(left, to_ms) - max(came, from_ms)) for came, left in stays)
    times = [left - came for came, left in stays if from_ms <= came < to_ms]
    return spent / window, len(times) / window, fmean(times) if times else None


@dataclass
class Bucket:
    rate: int  # octets each ms
    depth: int
    held: int
    now_ms: int = 0

    def level(self, now_ms):
        self.held = min(self.depth, self.held + self.rate * (now_ms - self.now_ms))
        self.now_ms = now_ms
        return self.held


class Meter:
    def __init__(self, *buckets):
        self.peak, self.committed = buckets

    def tokens(self, now_ms):
        return self.peak.level(now_ms), self.committed.level(now_ms)

    def colour(self, now_ms, octets):
        peak, committed = self.tokens(now_ms)
        if peak < octets:
            return "red"
        self.peak.held -= octets
        if committed < octets:
            return "yellow"
        self.committed.held -= octets
        return "green"


def new_meter(peak_kbit_s, peak_octets, committed_kbit_s, committed_octets):
    return Meter(
        Bucket(peak_kbit_s // 8, peak_octets, peak_octets),
        Bucket(committed_kbit_s // 8, committed_octets, committed_octets),
    )


class RoundRobin:
    def __init__(self, quanta):
        self.quanta = tuple(quanta)
        self.queues = [deque() for _ in quanta]
        self.credit = [0] * len(quanta)
        self.turns = deque()
        self.earned = False  # has the head of the list had its quantum?

    def join(self, queue, octets):
        if not self.queues[queue]:
            self.turns.append(queue)
        self.queues[queue].append(octets)

    def send(self):
        while self.turns:
            head = self.turns[0]
            if not self.earned:
                self.credit[head] += self.quanta[head]
                self.earned = True
            if self.queues[head][0] <= self.credit[head]:
                return head, self.pay(head)
            self.turns.rotate(-1)
            self.earned = False
        return None

    def pay(self, head):
        octets = self.queues[head].popleft()
        self.credit[head] -= octets
        if not self.queues[head]:
            self.turns.popleft()
            self.credit[head] = 0
            self.earned = False
        return octets


def new_round_robin(quanta):
    return RoundRobin(quanta)


class UrgentFirst:
    def __init__(self, levels, limit):
        self.limit = limit
        self.queues = [deque() for _ in range(levels)]
        self.passed = [0] * levels

    def join(self, level, name):
        self.queues[level].append(name)

    def send(self):
        waiting = [level for level, queue in enumerate(self.queues) if queue]
        if not waiting:
            return None
        starved = (level for level in waiting if self.passed[level] >= self.limit)
        sender = next(starved, waiting[0])
        for level in waiting:
            self.passed[level] += level > sender
        self.passed[sender] = 0
        return self.queues[sender].popleft()


def new_urgent_first(levels, limit):
    return UrgentFirst(levels, limit)


def compare_with_theory(waits_ms, warm_up, batches, t, theory_ms):
    length = (len(waits_ms) - warm_up) // batches
    rest = iter(waits_ms[warm_up:])
    means = [Fraction(sum(islice(rest, length)), length) for _ in range(batches)]
    overall = mean(means)
    reach = t * sqrt(variance(means) / batches)
    return float(overall), reach, abs(theory_ms - overall) <= reach

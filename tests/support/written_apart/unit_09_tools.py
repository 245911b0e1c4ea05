"""Unit 09, with the standard library."""

# ruff: noqa: B905, SIM102  # habits of whoever wrote this

from collections import Counter, defaultdict, deque
from fractions import Fraction
from itertools import chain
from math import floor

import numpy as np


def cross_once(lines):
    rivals = defaultdict(list)
    for i, line in enumerate(lines):
        if line:
            rivals[line[0]].append(i)
    best = {j: max(who, key=lambda i: (len(lines[i]), -i)) for j, who in rivals.items()}
    sends = {i: j for j, i in best.items()}
    losers = [i for i, line in enumerate(lines) if line and i not in sends]
    blocked = [
        (i, j, best[lines[i][0]]) for i in losers for j in sorted(set(lines[i]) - best.keys())
    ]
    return [sends.get(i) for i in range(len(lines))], blocked


class VirtualQueues:
    def __init__(self, ports):
        self.ports = range(ports)
        self.lines = defaultdict(deque)

    def join(self, i, j, name):
        self.lines[i, j].append(name)

    def waiting(self):
        return [[len(self.lines[i, j]) for j in self.ports] for i in self.ports]

    def cross(self, matched):
        pairs = [(i, j) for i, j in enumerate(matched) if j is not None]
        twice = Counter(j for _, j in pairs)
        if any(count > 1 for count in twice.values()) or not all(map(self.lines.get, pairs)):
            return None
        return [None if j is None else self.lines[i, j].popleft() for i, j in enumerate(matched)]


new_inputs = VirtualQueues


def judge_matching(waiting, matched):
    holder = {}
    for i, j in enumerate(matched):
        if j is not None:
            if not waiting[i][j] or holder.setdefault(j, i) != i:
                return "not legal", [i]
    wants = {i: [j for j, cells in enumerate(row) if cells] for i, row in enumerate(waiting)}
    idle = [i for i, j in enumerate(matched) if j is None]
    for i in idle:
        for j in wants[i]:
            if j not in holder:
                return "not maximal", [i, j]
    before = {}
    queue = deque(idle)
    while queue:
        i = queue.popleft()
        for j in wants[i]:
            if j in before:
                continue
            before[j] = i
            if j in holder:
                queue.append(holder[j])
                continue
            path = [j]
            while True:
                i = before[path[0]]
                path.insert(0, i)
                if matched[i] is None:
                    return "not maximum", path
                path.insert(0, matched[i])
    return "maximum", []


class RoundRobin:
    def __init__(self, ports):
        self.ports = ports
        self.outputs, self.inputs = Counter(), Counter()

    def distance(self, pointer):
        return lambda port: (port - pointer) % self.ports

    def match(self, waiting):
        rounds = []
        busy = [set(), set()]
        while True:
            grants = defaultdict(list)
            for j in set(range(self.ports)) - busy[1]:
                asking = [i for i, row in enumerate(waiting) if row[j] and i not in busy[0]]
                if asking:
                    grants[min(asking, key=self.distance(self.outputs[j]))].append(j)
            if not grants:
                return rounds
            rounds.append(
                [(i, min(grants[i], key=self.distance(self.inputs[i]))) for i in sorted(grants)]
            )
            for mine, ports in zip(busy, zip(*rounds[-1])):
                mine.update(ports)
            if len(rounds) == 1:
                for i, j in chain.from_iterable(rounds):
                    self.inputs[i], self.outputs[j] = (j + 1) % self.ports, (i + 1) % self.ports


new_matcher = RoundRobin


def pipeline_limits(stages, clock_hz, host):
    per_packet = {name: Fraction(cycles, units) for name, cycles, units in stages}
    limits = max(per_packet, key=per_packet.get)
    slowest = per_packet[limits]
    latency = sum(cycles for _, cycles, _ in stages)
    if host is None:
        return limits, floor(clock_hz / slowest), latency, 0
    most = min(10**6, floor(slowest * 10**6 / host[0]))
    average = Fraction(host[0] * host[1], 10**6)
    if average > slowest:
        limits, slowest = "host", average
    return limits, floor(clock_hz / slowest), latency, most


def longest_first(waiting, settings, memory, matched):
    size = len(matched)
    order = np.argsort(-waiting.copy().ravel(), kind="mergesort")
    taken = np.zeros(size, np.bool_)
    for place in order:
        i, j = place // size, place % size
        if waiting[i, j] > 0 and matched[i] < 0 and not taken[j]:
            matched[i], taken[j] = j, True

"""Right answers to the exercises of unit 09, with the standard library."""

from collections import deque
from fractions import Fraction

import numpy as np


def cross_once(lines):
    ports = range(len(lines))
    wins = {
        o: min(w, key=lambda i: (-len(lines[i]), i))
        for o in ports
        if (w := [i for i in ports if lines[i][:1] == [o]])
    }
    first = [next((o for o in wins if wins[o] == i), None) for i in ports]
    return first, [
        (i, o, wins[lines[i][0]])
        for i in ports
        if lines[i] and first[i] is None
        for o in ports
        if o in lines[i] and o not in wins
    ]


class Inputs:
    def __init__(self, ports):
        self.lines = [[deque() for _ in range(ports)] for _ in range(ports)]

    def join(self, i, o, name):
        self.lines[i][o].append(name)

    def waiting(self):
        return [[len(line) for line in row] for row in self.lines]

    def cross(self, matched):
        used = set()
        for i, output in enumerate(matched):
            if output is None:
                continue
            if output in used or not self.lines[i][output]:
                return None
            used.add(output)
        return [None if o is None else self.lines[i][o].popleft() for i, o in enumerate(matched)]


def new_inputs(ports):
    return Inputs(ports)


NOBODY = None


def judge_matching(waiting, matched):
    inputs = range(len(waiting))
    wants = {i: [j for j, cells in enumerate(waiting[i]) if cells > 0] for i in inputs}
    for i in inputs:
        if matched[i] is not NOBODY and (matched[i] not in wants[i] or matched[i] in matched[:i]):
            return "not legal", [i]
    free_inputs = [i for i in inputs if matched[i] is NOBODY]
    for i in free_inputs:
        for j in wants[i]:
            if j not in matched:
                return "not maximal", [i, j]
    came_from = {}
    queue = deque(free_inputs)
    while queue:
        i = queue.popleft()
        for j in wants[i]:
            if j in came_from:
                continue
            came_from[j] = i
            if j in matched:
                queue.append(matched.index(j))
            else:
                path = [j]
                while True:
                    i = came_from[path[0]]
                    path.insert(0, i)
                    if matched[i] is NOBODY:
                        return "not maximum", path
                    path.insert(0, matched[i])
    return "maximum", []


class Port:
    """The pointer is whoever stands at the front."""

    def __init__(self, ports):
        self.order = deque(range(ports))
        self.free = True

    def choose(self, offers):
        for port in self.order:
            if port in offers:
                return port
        return None

    def move_behind(self, partner):
        while self.order[-1] != partner:
            self.order.rotate(-1)


class RoundRobin:
    def __init__(self, ports):
        self.inputs = [Port(ports) for _ in range(ports)]
        self.outputs = [Port(ports) for _ in range(ports)]

    def one_round(self, waiting):
        offers = [[] for _ in self.inputs]
        for j, out in enumerate(self.outputs):
            if out.free:
                i = out.choose(
                    [i for i, inp in enumerate(self.inputs) if inp.free and waiting[i][j]]
                )
                if i is not None:
                    offers[i].append(j)
        return [(i, self.inputs[i].choose(offer)) for i, offer in enumerate(offers) if offer]

    def match(self, waiting):
        for port in self.inputs + self.outputs:
            port.free = True
        rounds = []
        pairs = self.one_round(waiting)
        while pairs:
            for i, j in pairs:
                self.inputs[i].free = self.outputs[j].free = False
                if len(rounds) == 0:
                    self.inputs[i].move_behind(j)
                    self.outputs[j].move_behind(i)
            rounds.append(pairs)
            pairs = self.one_round(waiting)
        return rounds


def new_matcher(ports):
    return RoundRobin(ports)


def pipeline_limits(stages, clock_hz, host):
    name, need = None, Fraction(0)
    latency = 0
    for stage, cycles, at_once in stages:
        latency += cycles
        if Fraction(cycles, at_once) > need:
            name, need = stage, Fraction(cycles, at_once)
    most = 0
    if host is not None:
        host_cycles, diverted = host
        most = min(10**6, int(need * 10**6 / host_cycles))
        host_need = Fraction(host_cycles * diverted, 10**6)
        if host_need > need:
            name, need = "host", host_need
    return name, int(clock_hz / need), latency, most


def longest_first(waiting, settings, memory, matched):
    n = matched.shape[0]
    while True:
        k = np.argmax(waiting)
        i = k // n
        j = k % n
        if waiting[i, j] <= 0:
            break
        matched[i] = j
        waiting[i, :] = 0
        waiting[:, j] = 0

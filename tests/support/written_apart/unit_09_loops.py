"""Right answers to the exercises of unit 09, with loops."""

import numpy as np


def who_wants(lines, output):
    found = []
    i = 0
    while i < len(lines):
        if len(lines[i]) > 0 and lines[i][0] == output:
            found.append(i)
        i = i + 1
    return found


def longest_of(lines, candidates):
    best = candidates[0]
    for c in candidates[1:]:
        if len(lines[c]) > len(lines[best]):
            best = c
    return best


def cross_once(lines):
    n = len(lines)
    result = []
    lost_to = []
    busy = []
    for _ in range(n):
        result.append(None)
        lost_to.append(None)
        busy.append(False)
    output = 0
    while output < n:
        candidates = who_wants(lines, output)
        if len(candidates) > 0:
            best = longest_of(lines, candidates)
            result[best] = output
            busy[output] = True
            for c in candidates:
                if c != best:
                    lost_to[c] = best
        output = output + 1
    blocked = []
    i = 0
    while i < n:
        if lost_to[i] is not None:
            output = 0
            while output < n:
                if not busy[output] and lines[i].count(output) > 0:
                    blocked.append((i, output, lost_to[i]))
                output = output + 1
        i = i + 1
    return (result, blocked)


class Cells:
    def __init__(self, ports):
        self.ports = ports
        self.all = []

    def join(self, i, o, name):
        self.all = [*self.all, (i, o, name)]

    def first(self, i, o):
        for position, (a, b, _) in enumerate(self.all):
            if (a, b) == (i, o):
                return position
        return -1

    def waiting(self):
        table = [[0] * self.ports for _ in range(self.ports)]
        for i, o, _ in self.all:
            table[i][o] += 1
        return table

    def cross(self, matched):
        positions = []
        seen = []
        for i, o in enumerate(matched):
            if o is None:
                positions.append(None)
            else:
                p = self.first(i, o)
                if p < 0 or seen.count(o) > 0:
                    return None
                seen.append(o)
                positions.append(p)
        names = [None if p is None else self.all[p][2] for p in positions]
        self.all = [cell for k, cell in enumerate(self.all) if k not in positions]
        return names


def new_inputs(ports):
    return Cells(ports)


def largest(waiting):
    n = len(waiting)
    owner = [None] * n

    def try_input(i, tried):
        for j in range(n):
            if waiting[i][j] > 0 and j not in tried:
                tried.append(j)
                if owner[j] is None or try_input(owner[j], tried):
                    owner[j] = i
                    return True
        return False

    for i in range(n):
        try_input(i, [])
    result = [None] * n
    for j in range(n):
        if owner[j] is not None:
            result[owner[j]] = j
    return result


def judge_matching(waiting, matched):
    n = len(waiting)
    # 1. is it legal?
    for i in range(n):
        j = matched[i]
        if j is not None:
            if waiting[i][j] < 1:
                return ("not legal", [i])
            for lower in range(i):
                if matched[lower] == j:
                    return ("not legal", [i])
    # 2. is it maximal?
    for i in range(n):
        if matched[i] is None:
            for j in range(n):
                if waiting[i][j] > 0 and j not in matched:
                    return ("not maximal", [i, j])
    # 3. is it maximum? where the best one differs there are paths
    best = largest(waiting)
    if n - best.count(None) == n - matched.count(None):
        return ("maximum", [])
    for start in range(n):
        if matched[start] is None and best[start] is not None:
            path = [start]
            i = start
            while best[i] is not None:
                j = best[i]
                path.append(j)
                if j not in matched:
                    return ("not maximum", path)
                i = matched.index(j)
                path.append(i)
    return ("maximum", [])


class TurnMatcher:
    def __init__(self, ports):
        self.ports = ports
        self.out_pointer = []
        self.in_pointer = []
        for _ in range(ports):
            self.out_pointer.append(0)
            self.in_pointer.append(0)

    def match(self, waiting):
        n = self.ports
        in_free = [True] * n
        out_free = [True] * n
        rounds = []
        number = 1
        while True:
            # request
            request = [[False] * n for _ in range(n)]
            for i in range(n):
                for j in range(n):
                    if in_free[i] and out_free[j] and waiting[i][j] > 0:
                        request[i][j] = True
            # grant
            grant = [[False] * n for _ in range(n)]
            for j in range(n):
                for step in range(n):
                    i = (self.out_pointer[j] + step) % n
                    if request[i][j]:
                        grant[i][j] = True
                        break
            # accept
            added = []
            for i in range(n):
                for step in range(n):
                    j = (self.in_pointer[i] + step) % n
                    if grant[i][j]:
                        added.append((i, j))
                        break
            if len(added) == 0:
                break
            for i, j in added:
                in_free[i] = False
                out_free[j] = False
                if number == 1:
                    self.out_pointer[j] = i + 1
                    self.in_pointer[i] = j + 1
            rounds.append(added)
            number += 1
        return rounds


def new_matcher(ports):
    return TurnMatcher(ports)


MILLION = 1_000_000


def pipeline_limits(stages, clock_hz, host):
    slow = stages[0]
    for stage in stages[1:]:
        if stage[1] * slow[2] > slow[1] * stage[2]:
            slow = stage
    name, cycles, at_once = slow
    latency = sum(stage[1] for stage in stages)
    if host is None:
        return (name, clock_hz * at_once // cycles, latency, 0)
    busy, diverted = host
    most = MILLION * cycles // (at_once * busy)
    if most > MILLION:
        most = MILLION
    if busy * diverted * at_once > cycles * MILLION:
        return ("host", clock_hz * MILLION // (busy * diverted), latency, most)
    return (name, clock_hz * at_once // cycles, latency, most)


def longest_first(waiting, settings, memory, matched):
    n = len(matched)
    out_free = np.ones(n, np.int64)
    for _ in range(n):
        best, bi, bj = 0, -1, -1
        for i in range(n):
            if matched[i] >= 0:
                continue
            for j in range(n):
                if out_free[j] == 1 and waiting[i, j] > best:
                    best, bi, bj = waiting[i, j], i, j
        if bi < 0:
            return
        matched[bi] = bj
        out_free[bj] = 0

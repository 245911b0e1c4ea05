"""Unit 09, with loops and indices."""

# ruff: noqa: B007, RUF005  # habits of whoever wrote this


def cross_once(lines):
    n = len(lines)
    wins = [-1] * n  # for each output, which input
    for i in range(n):
        if len(lines[i]) == 0:
            continue
        want = lines[i][0]
        if wins[want] == -1 or len(lines[i]) > len(lines[wins[want]]):
            wins[want] = i
    out = [None] * n
    for j in range(n):
        if wins[j] != -1:
            out[wins[j]] = j
    stuck = []
    for i in range(n):
        if len(lines[i]) == 0 or out[i] is not None:
            continue
        for j in range(n):
            if wins[j] == -1 and j in lines[i]:
                stuck.append((i, j, wins[lines[i][0]]))
    return out, stuck


class Inputs:
    def __init__(self, n):
        self.n = n
        self.q = []
        for i in range(n):
            self.q.append([])
            for j in range(n):
                self.q[i].append([])

    def join(self, i, j, name):
        self.q[i][j].append(name)

    def waiting(self):
        table = []
        for i in range(self.n):
            row = []
            for j in range(self.n):
                row.append(len(self.q[i][j]))
            table.append(row)
        return table

    def cross(self, matched):
        taken = [False] * self.n
        for i in range(self.n):
            j = matched[i]
            if j is None:
                continue
            if taken[j] or self.q[i][j] == []:
                return None
            taken[j] = True
        names = [None] * self.n
        for i in range(self.n):
            if matched[i] is not None:
                names[i] = self.q[i][matched[i]].pop(0)
        return names


def new_inputs(ports):
    return Inputs(ports)


def judge_matching(waiting, matched):
    n = len(matched)
    owner = [None] * n
    for i in range(n):
        j = matched[i]
        if j is None:
            continue
        if waiting[i][j] == 0 or owner[j] is not None:
            return "not legal", [i]
        owner[j] = i
    for i in range(n):
        if matched[i] is None:
            for j in range(n):
                if owner[j] is None and waiting[i][j] > 0:
                    return "not maximal", [i, j]
    for start in range(n):
        if matched[start] is not None:
            continue
        todo = [[start]]
        seen = [False] * n
        while todo:
            path = todo.pop(0)
            for j in range(n):
                if waiting[path[-1]][j] > 0 and not seen[j]:
                    seen[j] = True
                    if owner[j] is None:
                        return "not maximum", path + [j]
                    todo.append(path + [j, owner[j]])
    return "maximum", []


class Matcher:
    def __init__(self, n):
        self.n = n
        self.out_at = [0] * n
        self.in_at = [0] * n

    def match(self, waiting):
        n = self.n
        in_free = [True] * n
        out_free = [True] * n
        rounds = []
        while True:
            given = [[] for i in range(n)]
            for j in range(n):
                if not out_free[j]:
                    continue
                i = self.out_at[j]
                for k in range(n):
                    if in_free[i] and waiting[i][j] > 0:
                        given[i].append(j)
                        break
                    i = i + 1
                    if i == n:
                        i = 0
            pairs = []
            for i in range(n):
                if given[i] == []:
                    continue
                j = self.in_at[i]
                while j not in given[i]:
                    j = j + 1
                    if j == n:
                        j = 0
                pairs.append((i, j))
            if pairs == []:
                return rounds
            for i, j in pairs:
                in_free[i] = False
                out_free[j] = False
                if len(rounds) == 0:
                    self.out_at[j] = (i + 1) % n
                    self.in_at[i] = (j + 1) % n
            rounds.append(pairs)


def new_matcher(ports):
    return Matcher(ports)


def pipeline_limits(stages, clock_hz, host):
    worst = 0
    latency = 0
    for k in range(len(stages)):
        latency = latency + stages[k][1]
        # cycles/units bigger than that of the worst so far?
        if stages[k][1] * stages[worst][2] > stages[worst][1] * stages[k][2]:
            worst = k
    name = stages[worst][0]
    cycles = stages[worst][1]
    units = stages[worst][2]
    rate = clock_hz * units // cycles
    if host is None:
        return name, rate, latency, 0
    busy = host[0]
    diverted = host[1]
    most = 1000000 * cycles // (busy * units)
    if most > 1000000:
        most = 1000000
    if busy * diverted * units > 1000000 * cycles:
        name = "host"
        rate = clock_hz * 1000000 // (busy * diverted)
    return name, rate, latency, most


def longest_first(waiting, settings, memory, matched):
    n = len(matched)
    while True:
        most = 0
        x = -1
        y = -1
        for i in range(n):
            for j in range(n):
                if waiting[i, j] > most:
                    most = waiting[i, j]
                    x = i
                    y = j
        if most == 0:
            break
        matched[x] = y
        for k in range(n):
            waiting[x, k] = 0
            waiting[k, y] = 0

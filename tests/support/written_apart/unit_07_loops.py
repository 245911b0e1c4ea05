"""Unit 07, step by step."""

# ruff: noqa: SIM102, SIM108  # habits of whoever wrote this


def hear_update(table, neighbour, cost, update):
    new = {}
    for d in table:
        new[d] = table[d]
    for entry in update:
        d = entry[0]
        m = entry[1]
        if m < 1:
            continue
        if m > 16:
            continue
        total = m + cost
        if total > 16:
            total = 16
        if d in new:
            old = new[d][0]
            via = new[d][1]
            if via is None:
                continue
            if via == neighbour or total < old:
                new[d] = (total, neighbour)
        else:
            if total != 16:
                new[d] = (total, neighbour)
    return new


def tell_neighbours(table, neighbours, horizon, changed, most):
    if changed is None:
        names = list(table)
    else:
        names = list(changed)
    names.sort()
    out = []
    for n in neighbours:
        part = []
        for name in names:
            metric, via = table[name]
            if via == n:
                if horizon == "split horizon":
                    continue
                if horizon == "poisoned reverse":
                    metric = 16
            part.append((name, metric))
            if len(part) == most:
                out.append((n, part))
                part = []
        if len(part) > 0:
            out.append((n, part))
    return out


def first_hops(links, root):
    cost = {root: 0}
    again = True
    while again:
        again = False
        for a, b, c in links:
            if a in cost and (b not in cost or cost[a] + c < cost[b]):
                cost[b] = cost[a] + c
                again = True
    hops = {}
    for place in cost:
        hops[place] = []
    again = True
    while again:
        again = False
        for a, b, c in links:
            if a not in cost or b == root or cost[a] + c != cost[b]:
                continue
            if a == root:
                begin = [b]
            else:
                begin = hops[a]
            for hop in begin:
                if hop not in hops[b]:
                    hops[b].append(hop)
                    again = True
    result = {}
    for place in cost:
        if place != root:
            hops[place].sort()
            result[place] = (cost[place], hops[place])
    return result


def new_flooder(neighbours):
    return Flooder(neighbours)


class Flooder:
    def __init__(self, neighbours):
        self.neighbours = neighbours
        self.copies = {}
        self.missing = []

    def signed(self, n):
        if n >= 0x80000000:
            return n - 0x100000000
        return n

    def compare(self, a, b):
        if self.signed(a[1]) > self.signed(b[1]):
            return "newer"
        if self.signed(a[1]) < self.signed(b[1]):
            return "older"
        if a[2] > b[2]:
            return "newer"
        if a[2] < b[2]:
            return "older"
        if a[3] == 3600 and b[3] != 3600:
            return "newer"
        if b[3] == 3600 and a[3] != 3600:
            return "older"
        if a[3] < b[3] - 900:
            return "newer"
        if a[3] > b[3] + 900:
            return "older"
        return "same"

    def receive(self, neighbour, copy):
        router = copy[0]
        send = {}
        if router in self.copies:
            what = self.compare(copy, self.copies[router])
        elif copy[3] == 3600:
            send[neighbour] = "ack"
            return send
        else:
            what = "newer"
        if what == "newer":
            self.copies[router] = copy
            for n in self.neighbours:
                pair = (n, router)
                if n == neighbour:
                    send[n] = "ack"
                    if pair in self.missing:
                        self.missing.remove(pair)
                else:
                    send[n] = copy
                    if pair not in self.missing:
                        self.missing.append(pair)
        elif what == "older":
            send[neighbour] = self.copies[router]
        elif (neighbour, router) in self.missing:
            self.missing.remove((neighbour, router))
        else:
            send[neighbour] = "ack"
        return send

    def confirm(self, neighbour, copy):
        router = copy[0]
        if router in self.copies and self.compare(copy, self.copies[router]) == "same":
            if (neighbour, router) in self.missing:
                self.missing.remove((neighbour, router))

    def waiting(self):
        return sorted(self.missing)


def plan_changes(old, new):
    numbers = {}
    for p in list(old) + list(new):
        a, n = p.split("/")
        value = 0
        for x in a.split("."):
            value = value * 256 + int(x)
        numbers[p] = (value, int(n))
    todo = []
    for p in numbers:
        if p not in old or p not in new or old[p] != new[p]:
            todo.append(p)
    todo.sort(key=lambda p: numbers[p])
    checks = []
    for p in numbers:
        start, n = numbers[p]
        checks.append(start)
        checks.append(start + 2 ** (32 - n))

    def find(t, address):
        best = None
        longest = -1
        for p in t:
            start, n = numbers[p]
            if start <= address and address < start + 2 ** (32 - n) and n > longest:
                longest = n
                best = t[p]
        return best

    t = dict(old)
    answer = []
    while len(todo) > 0:
        for p in todo:
            u = dict(t)
            if p in new:
                u[p] = new[p]
            else:
                del u[p]
            fine = True
            for c in checks:
                h = find(u, c)
                if h != find(old, c) and h != find(new, c):
                    fine = False
            if fine:
                if p in new:
                    answer.append((p, new[p]))
                else:
                    answer.append((p, None))
                t = u
                todo.remove(p)
                break
    return answer


def new_process(networks, costs):
    return Process(networks, costs)


class Process:
    def __init__(self, networks, costs):
        self.routes = {}
        for n in networks:
            self.routes[n] = (1, None)
        self.costs = costs
        self.dead = []
        self.heard = {}
        self.lost = {}

    def table(self):
        return dict(self.routes)

    def tell(self, names):
        out = []
        for n in self.costs:
            if n in self.dead:
                continue
            part = []
            for d in sorted(names):
                metric, via = self.routes[d]
                if via == n:
                    part.append((d, 16))
                else:
                    part.append((d, metric))
            if part:
                out.append((n, part))
        return out

    def changed(self, before):
        names = []
        for d in self.routes:
            if d not in before or before[d] != self.routes[d]:
                names.append(d)
        return self.tell(names)

    def announce(self, now_s):
        return self.tell(list(self.routes))

    def receive(self, now_s, neighbour, update):
        before = dict(self.routes)
        if neighbour in self.dead:
            return []
        for d, m in update:
            if m < 1 or m > 16:
                continue
            total = m + self.costs[neighbour]
            if total > 16:
                total = 16
            if d not in self.routes:
                if total < 16:
                    self.routes[d] = (total, neighbour)
                    self.heard[d] = now_s
                continue
            old, via = self.routes[d]
            if via is None:
                continue
            if via == neighbour or total < old:
                self.routes[d] = (total, neighbour)
                if total < 16:
                    self.heard[d] = now_s
                elif old < 16:
                    self.lost[d] = now_s
        return self.changed(before)

    def cut(self, now_s, neighbour):
        before = dict(self.routes)
        self.dead.append(neighbour)
        for d in before:
            metric, via = before[d]
            if via == neighbour and metric < 16:
                self.routes[d] = (16, via)
                self.lost[d] = now_s
        return self.changed(before)

    def mend(self, now_s, neighbour):
        self.dead.remove(neighbour)
        out = []
        for one in self.announce(now_s):
            if one[0] == neighbour:
                out.append(one)
        return out

    def tick(self, now_s):
        before = dict(self.routes)
        for d in before:
            metric, via = before[d]
            if via is None:
                continue
            if metric == 16:
                if now_s - self.lost[d] >= 120:
                    del self.routes[d]
            elif now_s - self.heard[d] >= 180:
                self.routes[d] = (16, via)
                self.lost[d] = now_s
        return self.changed(before)

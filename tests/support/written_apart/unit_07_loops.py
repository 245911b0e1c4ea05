"""Right answers to the exercises of unit 07, with loops."""

from bisect import bisect_left


def hear_update(table, neighbour, cost, update):
    result = dict(table)
    for destination, metric in update:
        if metric < 1 or metric > 16:
            continue
        if destination in result and result[destination][1] is None:
            continue
        offer = min(metric + cost, 16)
        if destination not in result:
            if offer != 16:
                result[destination] = (offer, neighbour)
        else:
            old_metric, old_hop = result[destination]
            if old_hop == neighbour or offer < old_metric:
                result[destination] = (offer, neighbour)
    return result


def tell_neighbours(table, neighbours, horizon, changed, most):
    wanted = sorted(table if changed is None else set(changed) & set(table))
    messages = []
    for neighbour in neighbours:
        entries = []
        for destination in wanted:
            metric, through = table[destination]
            if through == neighbour:
                if horizon == "split horizon":
                    continue
                if horizon == "poisoned reverse":
                    metric = 16
            entries.append((destination, metric))
        for start in range(0, len(entries), most):
            messages.append((neighbour, entries[start : start + most]))
    return messages


def first_hops(links, root):
    best = {}
    again = True
    while again:
        again = False
        for begin, end, cost in links:
            if end == root or (begin != root and begin not in best):
                continue
            if begin == root:
                offer, hops = cost, frozenset([end])
            else:
                offer, hops = best[begin][0] + cost, best[begin][1]
            known = best.get(end)
            if known is None or offer < known[0]:
                best[end] = (offer, hops)
                again = True
            elif offer == known[0] and not hops <= known[1]:
                best[end] = (offer, known[1] | hops)
                again = True
    # the hops of a cost that has been improved since may have gone stale: do them anew
    costs = {p: c for p, (c, _) in best.items()}
    costs[root] = 0
    hops = {p: set() for p in costs}
    for _ in range(len(costs) + 1):
        for a, b, c in links:
            if a in costs and b != root and costs[b] == costs[a] + c:
                hops[b].update([b] if a == root else hops[a])
    del costs[root]
    return {p: (costs[p], sorted(hops[p])) for p in costs}


class Flooder:
    def __init__(self, neighbours):
        self.neighbours = list(neighbours)
        self.kept = {}
        self.open = set()

    def signed(self, number):
        if number >= 0x80000000:
            return number - 0x100000000
        return number

    def compare(self, a, b):
        """1 if a is newer, -1 if b is newer, 0 if they are the same."""
        if self.signed(a[1]) != self.signed(b[1]):
            return 1 if self.signed(a[1]) > self.signed(b[1]) else -1
        if a[2] != b[2]:
            return 1 if a[2] > b[2] else -1
        if a[3] == 3600 and b[3] != 3600:
            return 1
        if b[3] == 3600 and a[3] != 3600:
            return -1
        if abs(a[3] - b[3]) > 900:
            return 1 if a[3] < b[3] else -1
        return 0

    def receive(self, neighbour, copy):
        router = copy[0]
        if router not in self.kept:
            if copy[3] == 3600:
                return {neighbour: "ack"}
            result = 1
        else:
            result = self.compare(copy, self.kept[router])
        if result == 1:
            self.kept[router] = copy
            self.open = {(n, r) for n, r in self.open if r != router}
            answer = {neighbour: "ack"}
            for other in self.neighbours:
                if other != neighbour:
                    answer[other] = copy
                    self.open.add((other, router))
            return answer
        if result == 0:
            if (neighbour, router) in self.open:
                self.open.remove((neighbour, router))
                return {}
            return {neighbour: "ack"}
        return {neighbour: self.kept[router]}

    def confirm(self, neighbour, copy):
        router = copy[0]
        if router in self.kept and self.compare(copy, self.kept[router]) == 0:
            self.open.discard((neighbour, router))

    def waiting(self):
        return sorted(self.open)


def new_flooder(neighbours):
    return Flooder(neighbours)


def plan_changes(old, new):
    def span(p):
        ip, n = p.split("/")
        v = 0
        for part in ip.split("."):
            v = v << 8 | int(part)
        return v, v + (1 << 32 - int(n))

    every = sorted(set(old) | set(new), key=lambda p: (span(p)[0], int(p.split("/")[1])))
    cuts = sorted({x for p in every for x in span(p)})
    cover = [[] for _ in cuts]  # sorted order puts wide ones first
    for p in every:
        a, b = span(p)
        for i in range(bisect_left(cuts, a), bisect_left(cuts, b)):
            cover[i].append(p)

    def hop(i, table):
        h = None
        for p in cover[i]:
            if p in table:
                h = table[p]
        return h

    legal = [(hop(i, old), hop(i, new)) for i in range(len(cuts))]
    now = dict(old)
    done = {p for p in every if p in old and p in new and old[p] == new[p]}
    out = []
    while len(done) < len(every):
        for p in every:
            if p in done:
                continue
            saved = now.get(p)
            if p in new:
                now[p] = new[p]
            else:
                del now[p]
            a, b = span(p)
            if all(
                hop(i, now) in legal[i] for i in range(bisect_left(cuts, a), bisect_left(cuts, b))
            ):
                done.add(p)
                out.append((p, new.get(p)))
                break
            if saved is None:
                del now[p]
            else:
                now[p] = saved
    return out


class Process:
    def __init__(self, networks, costs):
        self.costs = dict(costs)
        self.routes = dict.fromkeys(networks, (1, None))
        self.cut_lines = set()
        self.confirmed = {}  # destination: when its next hop told of it last
        self.lost = {}  # destination: when it became unreachable

    def table(self):
        return dict(self.routes)

    def tell(self, changed, to=None):
        listeners = [n for n in self.costs if n not in self.cut_lines]
        if to is not None:
            listeners = [to]
        most = len(self.routes) + 1
        return tell_neighbours(self.routes, listeners, "poisoned reverse", changed, most)

    def announce(self, now_s):
        return self.tell(None)

    def receive(self, now_s, neighbour, update):
        if neighbour in self.cut_lines:
            return []
        before = self.routes
        self.routes = hear_update(before, neighbour, self.costs[neighbour], update)
        for destination, metric in update:
            below_16 = metric >= 1 and metric + self.costs[neighbour] < 16
            if below_16 and self.routes[destination][1] == neighbour:
                self.confirmed[destination] = now_s
                self.lost.pop(destination, None)
        for destination, (metric, hop) in self.routes.items():
            if metric == 16 and destination not in self.lost and hop is not None:
                self.lost[destination] = now_s
        return self.tell([d for d in self.routes if self.routes[d] != before.get(d)])

    def lose(self, now_s, destinations):
        for destination in destinations:
            self.routes[destination] = (16, self.routes[destination][1])
            self.lost[destination] = now_s
        return self.tell(destinations)

    def cut(self, now_s, neighbour):
        self.cut_lines.add(neighbour)
        return self.lose(
            now_s, [d for d, (m, hop) in self.routes.items() if hop == neighbour and m < 16]
        )

    def mend(self, now_s, neighbour):
        self.cut_lines.discard(neighbour)
        return self.tell(None, neighbour)

    def tick(self, now_s):
        for destination in [d for d, when in self.lost.items() if now_s - when >= 120]:
            del self.routes[destination], self.lost[destination]
        return self.lose(
            now_s,
            [
                d
                for d, (m, hop) in self.routes.items()
                if hop is not None and m < 16 and now_s - self.confirmed[d] >= 180
            ],
        )


def new_process(networks, costs):
    return Process(networks, costs)

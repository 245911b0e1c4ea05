"""Right answers to the exercises of unit 07, in pieces."""

import functools
from struct import unpack

INFINITY = 16


def offers(update, cost):
    for place, metric in update:
        if 1 <= metric <= INFINITY:
            yield place, min(INFINITY, metric + cost)


def wins(known, neighbour, offer):
    metric, hop = known
    return hop is not None and (hop == neighbour or offer < metric)


def hear_update(table, neighbour, cost, update):
    """One expression: everything that wins is laid over the old table."""
    return {
        **table,
        **{
            place: (offer, neighbour)
            for place, offer in offers(update, cost)
            if wins(table.get(place, (INFINITY, "nobody yet")), neighbour, offer)
        },
    }


class Writer:
    """Fills messages for one neighbour."""

    infinity = 16

    def __init__(self, neighbour, most):
        self.neighbour, self.most = neighbour, most
        self.full, self.open = [], []

    def write(self, entry):
        self.open.append(entry)
        if len(self.open) == self.most:
            self.close()

    def close(self):
        if self.open:
            self.full.append((self.neighbour, self.open))
            self.open = []


def tell_neighbours(table, neighbours, horizon, changed, most):
    result = []
    for neighbour in neighbours:
        writer = Writer(neighbour, most)
        for destination in sorted(table.keys()):
            if changed is None or destination in changed:
                metric, hop = table[destination]
                back = hop == neighbour
                if back and horizon == "split horizon":
                    pass
                elif back and horizon == "poisoned reverse":
                    writer.write((destination, Writer.infinity))
                else:
                    writer.write((destination, metric))
        writer.close()
        result.extend(writer.full)
    return result


def costs_from(links, start):
    """Cost of the cheapest way from start to everywhere."""
    sure, open_ = {}, {start: 0}
    while open_:
        near = min(open_, key=open_.get)
        sure[near] = open_.pop(near)
        for a, b, c in links:
            if a == near and b not in sure:
                open_[b] = min(open_.get(b, sure[near] + c), sure[near] + c)
    return sure


def first_hops(links, root):
    starts = {}
    for a, b, c in links:
        if a == root:
            starts[b] = min(c, starts.get(b, c))
    rest = [link for link in links if root not in link[:2]]
    result = {}
    for start in sorted(starts):
        for place, cost in costs_from(rest, start).items():
            cost += starts[start]
            if place not in result or cost < result[place][0]:
                result[place] = (cost, [start])
            elif cost == result[place][0]:
                result[place][1].append(start)
    return result


def sign(x):
    return int.from_bytes(x.to_bytes(4, "big"), "big", signed=True)


def order(a, b):
    for x, y in ((sign(a[1]), sign(b[1])), (a[2], b[2]), (a[3] == 3600, b[3] == 3600)):
        if x != y:
            return (x > y) - (x < y)
    if a[3] + 900 < b[3]:
        return 1
    if b[3] + 900 < a[3]:
        return -1
    return 0


def named(method):
    @functools.wraps(method)
    def wrapper(self, neighbour, copy):
        return method(self, neighbour, copy, (neighbour, copy[0]))

    return wrapper


class One:
    def __init__(self, neighbours):
        self.n = neighbours[:]
        self.db = {}
        self.w = {}

    @named
    def receive(self, neighbour, copy, key):
        kept = self.db.get(copy[0])
        if not kept and copy[3] >= 3600:
            return {neighbour: "ack"}
        o = order(copy, kept) if kept else 1
        if o == -1:
            return {neighbour: kept}
        if o == 0:
            return {} if self.w.pop(key, None) else {neighbour: "ack"}
        self.db[copy[0]] = copy
        self.w.pop(key, None)
        for n in self.n:
            if n != neighbour:
                self.w[n, copy[0]] = copy
        return {n: "ack" if n == neighbour else copy for n in self.n}

    @named
    def confirm(self, neighbour, copy, key):
        if key in self.w and order(self.w[key], copy) == 0:
            del self.w[key]

    def waiting(self):
        return sorted(self.w.keys())


def new_flooder(neighbours):
    return One(neighbours)


MASKS = []
for bits in range(33):
    MASKS.append((2**bits - 1) << (32 - bits))


def number(prefix):
    """(first address, length)"""
    dotted, length = prefix.split("/")
    (value,) = unpack("!I", bytes(map(int, dotted.split("."))))
    return value, int(length)


def hop_for(table, address):
    for length in range(32, -1, -1):
        if (address & MASKS[length], length) in table:
            return table[address & MASKS[length], length]
    return None


def plan_changes(old, new):
    before = {number(p): h for p, h in old.items()}
    after = {number(p): h for p, h in new.items()}
    text = {number(p): p for p in [*old, *new]}
    borders = sorted(
        {b for first, length in text for b in (first, first + 2 ** (32 - length)) if b < 2**32}
    )
    ok = {b: {hop_for(before, b), hop_for(after, b)} for b in borders}
    rest = sorted(key for key in text if before.get(key) != after.get(key))
    now, plan = before.copy(), []

    def make(table, key):
        if key in after:
            table[key] = after[key]
        else:
            table.pop(key)

    def keeps_promise(key):
        trial = now.copy()
        make(trial, key)
        first, length = key
        end = first + 2 ** (32 - length)
        return all(hop_for(trial, b) in ok[b] for b in borders if first <= b < end)

    while rest:
        key = next(filter(keeps_promise, rest))
        rest.remove(key)
        make(now, key)
        plan.append((text[key], after.get(key)))
    return plan


class Route:
    def __init__(self, metric, hop, time):
        self.metric, self.hop, self.time = metric, hop, time

    def lose(self, now):
        """True if it was reachable until now."""
        if self.metric == 16:
            return False
        self.metric, self.time = 16, now
        return True


class Process:
    def __init__(self, networks, costs):
        self.own = set(networks)
        self.lines = [[n, c, True] for n, c in costs.items()]
        self.known = {n: Route(1, None, 0) for n in networks}

    def table(self):
        return {place: (r.metric, r.hop) for place, r in self.known.items()}

    def message(self, neighbour, places):
        return neighbour, [
            (p, 16 if self.known[p].hop == neighbour else self.known[p].metric)
            for p in sorted(places)
        ]

    def messages(self, places):
        if not places:
            return []
        return [self.message(n, places) for n, _, works in self.lines if works]

    def announce(self, now_s):
        return self.messages(list(self.known))

    def line(self, neighbour):
        for line in self.lines:
            if line[0] == neighbour:
                return line
        return None

    def receive(self, now_s, neighbour, update):
        _, cost, works = self.line(neighbour)
        changed = set()
        if works:
            for place, metric in update:
                if place in self.own or metric < 1 or metric > 16:
                    continue
                offer = metric + cost
                route = self.known.get(place)
                if offer >= 16:
                    if route and route.hop == neighbour and route.lose(now_s):
                        changed.add(place)
                elif route is None:
                    self.known[place] = Route(offer, neighbour, now_s)
                    changed.add(place)
                elif route.hop == neighbour or offer < route.metric:
                    if (route.metric, route.hop) != (offer, neighbour):
                        changed.add(place)
                    route.metric, route.hop, route.time = offer, neighbour, now_s
        return self.messages(changed)

    def cut(self, now_s, neighbour):
        self.line(neighbour)[2] = False
        return self.messages(
            [p for p, r in self.known.items() if r.hop == neighbour and r.lose(now_s)]
        )

    def mend(self, now_s, neighbour):
        self.line(neighbour)[2] = True
        return [self.message(neighbour, self.known)] if self.known else []

    def tick(self, now_s):
        changed = []
        for place, route in list(self.known.items()):
            if place in self.own:
                continue
            age = now_s - route.time
            if route.metric == 16 and age >= 120:
                del self.known[place]
            elif route.metric < 16 and age >= 180:
                route.lose(now_s)
                changed.append(place)
        return self.messages(changed)


def new_process(networks, costs):
    return Process(networks, costs)

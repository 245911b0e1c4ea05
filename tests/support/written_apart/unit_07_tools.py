"""Right answers to the exercises of unit 07, with the standard library."""

import functools
from collections import defaultdict, namedtuple
from heapq import heappop, heappush
from ipaddress import IPv4Network
from itertools import islice
from struct import pack, unpack
from types import SimpleNamespace

Route = namedtuple("Route", "metric via")


class Table:
    INFINITY = 16

    def __init__(self, rows):
        self.rows = {place: Route(*row) for place, row in rows.items()}

    def is_own(self, place):
        return place in self.rows and self.rows[place].via is None

    def hear(self, place, route):
        if self.is_own(place):
            return
        present = self.rows.get(place)
        if present is None:
            if route.metric < Table.INFINITY:
                self.rows[place] = route
        elif present.via == route.via or route.metric < present.metric:
            self.rows[place] = route


def hear_update(table, neighbour, cost, update):
    def capped(number):
        return Table.INFINITY if number > Table.INFINITY else number

    t = Table(table)
    for place, metric in update:
        if 1 <= metric <= Table.INFINITY:
            t.hear(place, Route(capped(metric + cost), neighbour))
    return t.rows


def tell_neighbours(table, neighbours, horizon, changed, most):
    def entries(listener):
        for place, (metric, hop) in sorted(table.items()):
            if changed is not None and place not in changed:
                continue
            if hop != listener or horizon == "off":
                yield place, metric
            elif horizon == "poisoned reverse":
                yield place, 16

    def packets(listener):
        stream = entries(listener)
        while packet := list(islice(stream, most)):
            yield listener, packet

    return [packet for listener in neighbours for packet in packets(listener)]


def first_hops(links, root):
    graph = defaultdict(list)
    for a, b, c in links:
        graph[a].append((b, c))
    q, done, ans = [], set(), {}
    for b, c in graph[root]:
        heappush(q, (c, b, b))
    while q:
        d, v, hop = heappop(q)
        if v == root or (v, hop) in done:
            continue
        done.add((v, hop))
        cost, hops = ans.setdefault(v, (d, []))
        if d > cost:
            continue
        hops.append(hop)
        for w, c in graph[v]:
            heappush(q, (d + c, w, hop))
    return {v: (d, sorted(h)) for v, (d, h) in ans.items()}


OLD = 3600


def newer(a, b):
    """Above 0: a is newer; below 0: b is newer; 0: the same copy."""

    def number(copy):
        return unpack("!i", pack("!I", copy[1]))[0], copy[2], copy[3] == OLD

    if number(a) != number(b):
        return 1 if number(a) > number(b) else -1
    gap = b[3] - a[3]
    return gap if abs(gap) > 900 else 0


def new_flooder(neighbours):
    database = {}
    unconfirmed = {}  # router -> neighbours

    def receive(neighbour, copy):
        about = copy[0]
        kept = database.get(about)
        if kept is None and copy[3] == OLD:
            return {neighbour: "ack"}
        order = 1 if kept is None else newer(copy, kept)
        if order > 0:
            database[about] = copy
            others = [n for n in neighbours if n != neighbour]
            unconfirmed[about] = set(others)
            return dict.fromkeys(others, copy) | {neighbour: "ack"}
        if order < 0:
            return {neighbour: kept}
        if neighbour in unconfirmed[about]:
            unconfirmed[about].remove(neighbour)
            return {}
        return {neighbour: "ack"}

    def confirm(neighbour, copy):
        kept = database.get(copy[0])
        if kept is not None and newer(copy, kept) == 0:
            unconfirmed[copy[0]].discard(neighbour)

    def waiting():
        return sorted((n, about) for about, names in unconfirmed.items() for n in names)

    return SimpleNamespace(receive=receive, confirm=confirm, waiting=waiting)


class Piece:
    """A stretch of addresses that all prefixes treat alike."""

    def __init__(self, around, old, new):
        self.around = around  # longest first
        self.promise = {self.hop(old), self.hop(new)}

    def hop(self, table):
        for prefix in self.around:
            if prefix in table:
                return table[prefix]
        return None


class Mirror:
    def __init__(self, old, new):
        self.now, self.new = dict(old), new
        nets = {p: IPv4Network(p) for p in set(old) | set(new)}
        first = {p: int(n.network_address) for p, n in nets.items()}
        last = {p: int(n.broadcast_address) for p, n in nets.items()}
        starts = set(first.values()) | {x + 1 for x in last.values()}
        self.pieces = {p: [] for p in nets}
        for s in starts:
            around = [p for p in nets if first[p] <= s <= last[p]]
            around.sort(key=lambda p: -nets[p].prefixlen)
            piece = Piece(around, old, new)
            for p in around:
                self.pieces[p].append(piece)
        self.todo = sorted(
            (p for p in nets if old.get(p) != new.get(p)),
            key=lambda p: (first[p], nets[p].prefixlen),
        )

    def fits(self, prefix):
        kept = self.now
        self.now = {**kept}
        self.make(prefix)
        good = all(piece.hop(self.now) in piece.promise for piece in self.pieces[prefix])
        self.now = kept
        return good

    def make(self, prefix):
        if prefix in self.new:
            self.now[prefix] = self.new[prefix]
        else:
            self.now.pop(prefix)

    def steps(self):
        while self.todo:
            prefix = next(p for p in self.todo if self.fits(p))
            self.todo.remove(prefix)
            self.make(prefix)
            yield prefix, self.new.get(prefix)


def plan_changes(old, new):
    return list(Mirror(old, new).steps())


HOLD, GONE, INF = 180, 120, 16


def new_process(networks, costs):
    state = {"table": dict.fromkeys(networks, (1, None))}
    heard_at, lost_at = {}, {}
    costs = dict(costs)
    up = dict.fromkeys(costs, True)

    def speak(changed):
        listeners = [n for n in costs if up[n]]
        return tell_neighbours(state["table"], listeners, "poisoned reverse", changed, 10**9)

    def triggered(call):
        @functools.wraps(call)
        def wrapper(now_s, *rest):
            before = dict(state["table"])
            call(now_s, *rest)
            after = state["table"]
            for place, (metric, _) in after.items():
                was = before.get(place, (INF, None))[0]
                if metric == INF and was < INF:
                    lost_at[place] = now_s
                elif metric < INF:
                    lost_at.pop(place, None)
            return speak([p for p in after if after[p] != before.get(p)])

        return wrapper

    @triggered
    def receive(now_s, neighbour, update):
        if not up[neighbour]:
            return
        state["table"] = hear_update(state["table"], neighbour, costs[neighbour], update)
        for place, metric in update:
            below = metric in range(1, INF - costs[neighbour])
            if below and state["table"][place][1] == neighbour:
                heard_at[place] = now_s

    @triggered
    def cut(now_s, neighbour):
        up[neighbour] = False
        state["table"] = {
            p: (INF if hop == neighbour else m, hop) for p, (m, hop) in state["table"].items()
        }

    @triggered
    def tick(now_s):
        fresh = {}
        for place, (metric, hop) in state["table"].items():
            if hop is None:
                fresh[place] = (metric, hop)
            elif metric == INF:
                if now_s < lost_at[place] + GONE:
                    fresh[place] = (INF, hop)
            else:
                fresh[place] = (metric if now_s < heard_at[place] + HOLD else INF, hop)
        state["table"] = fresh

    def mend(now_s, neighbour):
        up[neighbour] = True
        return tell_neighbours(state["table"], [neighbour], "poisoned reverse", None, 10**9)

    return SimpleNamespace(
        table=lambda: dict(state["table"]),
        announce=lambda now_s: speak(None),
        receive=receive,
        cut=cut,
        tick=tick,
        mend=mend,
    )

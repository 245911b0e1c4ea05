"""Wrong answers to the exercises of unit 07 that no listed belief explains."""

__all__ = ["UNLISTED"]

UPDATE = """
def hear_update(table, neighbour, cost, update):
    table = dict(table)
    for destination, metric in update:
        if metric < 1 or metric > 16:
            continue
        offer = min(16, metric + cost)
        if destination not in table:
            if offer < 16:
                table[destination] = (offer, neighbour)
            continue
        old, hop = table[destination]
        if hop is None:
            continue
        if hop == neighbour or offer < old:
            table[destination] = (offer, neighbour)
    return table
"""

TELL = """
def tell_neighbours(table, neighbours, horizon, changed, most):
    about = sorted(table) if changed is None else sorted(changed)
    messages = []
    for one in neighbours:
        entries = []
        for place in about:
            metric, hop = table[place]
            if hop == one and horizon == "split horizon":
                continue
            if hop == one and horizon == "poisoned reverse":
                metric = 16
            entries.append((place, metric))
        while entries:
            messages.append((one, entries[:most]))
            entries = entries[most:]
    return messages
"""

HOPS = """
def first_hops(links, root):
    costs = {root: 0}
    for _ in links:
        for a, b, c in links:
            if a in costs and costs[a] + c < costs.get(b, 10 ** 9):
                costs[b] = costs[a] + c
    hops = {place: set() for place in costs}
    for _ in links:
        for a, b, c in links:
            if a in costs and costs[a] + c == costs[b]:
                hops[b] |= {b} if a == root else hops[a]
    return {place: (costs[place], sorted(hops[place])) for place in costs if place != root}
"""

FLOOD = """
class Flooder:
    def __init__(self, neighbours):
        self.neighbours = neighbours
        self.kept = {}
        self.open = set()

    def key(self, copy):
        number = copy[1] - 2 ** 32 if copy[1] >= 2 ** 31 else copy[1]
        return number, copy[2], copy[3] == 3600

    def newer(self, one, other):
        if self.key(one) != self.key(other):
            return self.key(one) > self.key(other)
        return one[3] + 900 < other[3]

    def receive(self, neighbour, copy):
        router = copy[0]
        ours = self.kept.get(router)
        if ours is None and copy[3] == 3600:
            return {neighbour: "ack"}
        if ours is None or self.newer(copy, ours):
            self.kept[router] = copy
            sent = {one: copy for one in self.neighbours if one != neighbour}
            self.open |= {(one, router) for one in sent}
            self.open -= {(neighbour, router)}
            sent[neighbour] = "ack"
            return sent
        if self.newer(ours, copy):
            return {neighbour: ours}
        if (neighbour, router) in self.open:
            self.open -= {(neighbour, router)}
            return {}
        return {neighbour: "ack"}

    def confirm(self, neighbour, copy):
        ours = self.kept.get(copy[0])
        if ours and not self.newer(ours, copy) and not self.newer(copy, ours):
            self.open -= {(neighbour, copy[0])}

    def waiting(self):
        return sorted(self.open)

new_flooder = Flooder
"""

PLAN = """
def numbers(prefix):
    address, length = prefix.split("/")
    first = 0
    for octet in address.split("."):
        first = first * 256 + int(octet)
    return first, int(length)

def hop(table, address):
    found = None
    for prefix in sorted(table, key=lambda one: numbers(one)[1]):
        first, length = numbers(prefix)
        if first <= address < first + 2 ** (32 - length):
            found = table[prefix]
    return found

def plan_changes(old, new):
    everything = sorted(set(old) | set(new), key=numbers)
    todo = [one for one in everything if old.get(one) != new.get(one)]
    points = []
    for first, length in map(numbers, everything):
        points += [first, first + 2 ** (32 - length)]
    table, made = dict(old), []
    while todo:
        for prefix in todo:
            after = dict(table)
            after.pop(prefix, None)
            if prefix in new:
                after[prefix] = new[prefix]
            if all(hop(after, at) in (hop(old, at), hop(new, at)) for at in points):
                break
        todo.remove(prefix)
        made.append((prefix, new.get(prefix)))
        table = after
    return made
"""

PROCESS = """
class Process:
    def __init__(self, networks, costs):
        self.routes = {name: (1, None) for name in networks}
        self.costs = costs
        self.cut_off = set()
        self.good = {}
        self.bad = {}

    def table(self):
        return dict(self.routes)

    def tell(self, names, whom):
        told = []
        for one in whom:
            entries = [(name, 16 if self.routes[name][1] == one else self.routes[name][0])
                       for name in sorted(names)]
            if entries and one not in self.cut_off:
                told.append((one, entries))
        return told

    def news(self, before):
        return self.tell([n for n in self.routes if self.routes[n] != before.get(n)], self.costs)

    def announce(self, now_s):
        return self.tell(self.routes, self.costs)

    def receive(self, now_s, neighbour, update):
        before = dict(self.routes)
        for name, metric in update if neighbour not in self.cut_off else []:
            old, hop = self.routes.get(name, (16, ""))
            offer = min(16, metric + self.costs[neighbour])
            if 1 <= metric <= 16 and hop is not None and (hop == neighbour or offer < old):
                self.routes[name] = (offer, neighbour)
                if offer < 16:
                    self.good[name] = now_s
                elif old < 16:
                    self.bad[name] = now_s
        return self.news(before)

    def lose(self, now_s, name):
        if self.routes[name][0] < 16:
            self.routes[name] = (16, self.routes[name][1])
            self.bad[name] = now_s

    def cut(self, now_s, neighbour):
        before = dict(self.routes)
        self.cut_off.add(neighbour)
        for name in before:
            if before[name][1] == neighbour:
                self.lose(now_s, name)
        return self.news(before)

    def mend(self, now_s, neighbour):
        self.cut_off.remove(neighbour)
        return self.tell(self.routes, [neighbour])

    def tick(self, now_s):
        before = dict(self.routes)
        for name, (metric, hop) in before.items():
            if hop is None:
                continue
            if metric == 16:
                if now_s - self.bad[name] >= 120:
                    del self.routes[name]
            elif now_s - self.good[name] >= 180:
                self.lose(now_s, name)
        return self.news(before)

new_process = Process
"""


def _but(source: str, old: str, new: str) -> str:
    """Return a right answer with one thing changed."""
    assert source.count(old) == 1, old
    return source.replace(old, new)


UNLISTED = {
    "7.1": {
        "the cost is taken twice": _but(UPDATE, "metric + cost)", "metric + 2 * cost)"),
        "the last entry is forgotten": _but(UPDATE, "in update:", "in update[:-1]:"),
        "half of the old metric": _but(UPDATE, "offer < old:", "2 * offer < old:"),
        "a new route is one better": _but(
            UPDATE, "if offer < 16:\n                table[destination] = (offer,",
            "if offer < 16:\n                table[destination] = (offer - 1,",
        ),
        "the largest of all": _but(UPDATE, "min(16,", "max(16,"),
    },
    "7.2": {
        "the last neighbour is forgotten": _but(TELL, "in neighbours:", "in neighbours[:-1]:"),
        "backwards": _but(TELL, "sorted(table)", "sorted(table)[::-1]"),
        "poison is 17": _but(TELL, "metric = 16", "metric = 17"),
        "the first entry is forgotten": _but(TELL, "in about:", "in about[1:]:"),
        "twice as many": _but(TELL, "entries[:most]", "entries[: 2 * most]"),
    },
    "7.3": {
        "each link one dearer": _but(
            HOPS, "for _ in links:\n        for a, b, c in links:\n            if a in costs and "
            "costs[a] + c <",
            "links = [(a, b, c + 1) for a, b, c in links]\n    for _ in links:\n        for a, b, c"
            " in links:\n            if a in costs and costs[a] + c <",
        ),
        "the root costs one": _but(HOPS, "{root: 0}", "{root: 1}"),
        "names in another order": _but(HOPS, "sorted(hops[place])", "sorted(hops[place])[::-1]"),
        "the last link is forgotten": _but(
            HOPS, "costs = {root: 0}", "links = links[:-1]\n    costs = {root: 0}"
        ),
    },
    "7.4": {
        "the smaller checksum": _but(FLOOD, "number, copy[2]", "number, -copy[2]"),
        "half an hour apart": _but(FLOOD, "+ 900 <", "+ 1800 <"),
        "the first neighbour is forgotten": _but(
            FLOOD, "for one in self.neighbours if", "for one in self.neighbours[1:] if"
        ),
        "waits in another order": _but(FLOOD, "sorted(self.open)", "sorted(self.open)[::-1]"),
        "the oldest stays at 1800": _but(FLOOD, "ours is None and copy[3] == 3600",
                                         "ours is None and copy[3] >= 300"),
    },
    "7.5": {
        "the last change is forgotten": _but(PLAN, "return made", "return made[:-1]"),
        "backwards": _but(PLAN, "return made", "return made[::-1]"),
        "the old next hop once more": _but(
            PLAN, "(prefix, new.get(prefix))", "(prefix, old.get(prefix))"
        ),
        "octets the wrong way round": _but(
            PLAN, 'address.split(".")', 'reversed(address.split("."))'
        ),
        "half of each prefix": _but(PLAN, "< first + 2 ** (32 - length):",
                                    "< first + 2 ** (31 - length):"),
    },
    "7.6": {
        "a metric of 2 for its own": _but(PROCESS, "(1, None)", "(2, None)"),
        "six minutes": _but(PROCESS, ">= 180", ">= 360"),
        "one minute": _but(PROCESS, ">= 120", ">= 60"),
        "the last neighbour is forgotten": _but(
            PROCESS, "for one in whom:", "for one in list(whom)[:-1]:"
        ),
        "entries from the last": _but(PROCESS, "sorted(names)]", "sorted(names)[::-1]]"),
    },
}  # fmt: skip

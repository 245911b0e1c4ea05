"""Unit 07, in small pieces."""

INFINITY = 16
OLD = 3600


def is_metric(metric):
    return 0 < metric <= INFINITY


def is_mine(route):
    return route is not None and route[1] is None


def offer_of(metric, cost):
    return INFINITY if metric + cost >= INFINITY else metric + cost


def should_take(route, offer, neighbour):
    if route is None:
        return offer < INFINITY
    return route[1] == neighbour or offer < route[0]


def hear_update(table, neighbour, cost, update):
    result = dict(table)
    for destination, metric in update:
        route = result.get(destination)
        if is_metric(metric) and not is_mine(route):
            offer = offer_of(metric, cost)
            if should_take(route, offer, neighbour):
                result[destination] = (offer, neighbour)
    return result


def what_to_say(route, neighbour, horizon):
    metric, hop = route
    if hop != neighbour or horizon == "off":
        return metric
    return INFINITY if horizon == "poisoned reverse" else None


def entries_for(table, neighbour, horizon, names):
    said = ((name, what_to_say(table[name], neighbour, horizon)) for name in names)
    return [(name, metric) for name, metric in said if metric is not None]


def in_pieces(entries, most):
    if not entries:
        return []
    return [entries[:most], *in_pieces(entries[most:], most)]


def tell_neighbours(table, neighbours, horizon, changed, most):
    names = sorted(table.keys() if changed is None else changed)
    return [
        (neighbour, piece)
        for neighbour in neighbours
        for piece in in_pieces(entries_for(table, neighbour, horizon, names), most)
    ]


def relaxed(distances, links):
    better = dict(distances)
    for start, end, cost in links:
        if start in better:
            better[end] = min(better.get(end, better[start] + cost), better[start] + cost)
    return better


def distances_from(root, links):
    distances, after = {}, {root: 0}
    while distances != after:
        distances, after = after, relaxed(after, links)
    return distances


def comes_before(place, links, distances):
    return [
        start
        for start, end, cost in links
        if end == place and start in distances and distances[start] + cost == distances[place]
    ]


def hops_to(place, root, links, distances):
    hops = set()
    for one in comes_before(place, links, distances):
        hops |= {place} if one == root else hops_to(one, root, links, distances)
    return hops


def first_hops(links, root):
    distances = distances_from(root, links)
    others = [place for place in distances if place != root]
    return {
        place: (distances[place], sorted(hops_to(place, root, links, distances)))
        for place in others
    }


def order_of(copy):
    _, number, checksum, age = copy
    return (number + (1 << 31)) % (1 << 32), checksum, int(age == OLD)


def beats(one, other):
    if order_of(one) == order_of(other):
        return other[3] - one[3] > 900
    return order_of(one) > order_of(other)


def are_same(one, other):
    return not beats(one, other) and not beats(other, one)


class Shelf:
    """The copy about one router, and who still has to say that it has it."""

    def __init__(self, copy, others):
        self.copy = copy
        self.owing = set(others)

    def heard_from(self, neighbour):
        owed = neighbour in self.owing
        self.owing.discard(neighbour)
        return owed


class Spreader:
    def __init__(self, neighbours):
        self.neighbours = tuple(neighbours)
        self.shelves = {}

    def receive(self, neighbour, copy):
        shelf = self.shelves.get(copy[0])
        if shelf is None:
            return {neighbour: "ack"} if copy[3] == OLD else self.spread(neighbour, copy)
        if beats(copy, shelf.copy):
            return self.spread(neighbour, copy)
        if beats(shelf.copy, copy):
            return {neighbour: shelf.copy}
        return {} if shelf.heard_from(neighbour) else {neighbour: "ack"}

    def spread(self, neighbour, copy):
        others = [one for one in self.neighbours if one != neighbour]
        self.shelves[copy[0]] = Shelf(copy, others)
        return {neighbour: "ack", **dict.fromkeys(others, copy)}

    def confirm(self, neighbour, copy):
        shelf = self.shelves.get(copy[0])
        if shelf is not None and are_same(shelf.copy, copy):
            shelf.heard_from(neighbour)

    def waiting(self):
        pairs = [(one, about) for about, shelf in self.shelves.items() for one in shelf.owing]
        return sorted(pairs)


def new_flooder(neighbours):
    return Spreader(neighbours)


def span(prefix):
    where, size = prefix.split("/")
    start = sum(
        int(part) << shift for part, shift in zip(where.split("."), (24, 16, 8, 0), strict=True)
    )
    return start, start + 2 ** (32 - int(size)) - 1


def holds(prefix, point):
    low, high = span(prefix)
    return low <= point <= high


def way_of(routes, point):
    narrow = [prefix for prefix in routes if holds(prefix, point)]
    narrow.sort(key=lambda prefix: int(prefix.split("/")[1]))
    return routes[narrow[-1]] if narrow else None


def written(routes, prefix, way):
    copy = {**routes, prefix: way}
    if way is None:
        del copy[prefix]
    return copy


def turning_points(*tables):
    for table in tables:
        for prefix in table:
            low, high = span(prefix)
            yield low
            yield high + 1


def keeps_word(now, old, new, points):
    return all(way_of(now, p) in {way_of(old, p), way_of(new, p)} for p in points)


def first_that_may(todo, now, old, new, points):
    return next(change for change in todo if keeps_word(written(now, *change), old, new, points))


def in_line(change):
    low, high = span(change[0])
    return low, -high


def plan_changes(old, new):
    points = set(turning_points(old, new))
    todo = [(p, new.get(p)) for p in {*old, *new} if old.get(p) != new.get(p)]
    todo.sort(key=in_line)
    now, plan = old, []
    while todo:
        change = first_that_may(todo, now, old, new, points)
        todo.remove(change)
        plan.append(change)
        now = written(now, *change)
    return plan


class Times:
    """When a destination was last confirmed, and when it was lost."""

    def __init__(self):
        self.good = {}
        self.bad = {}

    def note(self, now_s, name, before, after):
        if after < INFINITY:
            self.good[name] = now_s
        elif before < INFINITY:
            self.bad[name] = now_s

    def is_stale(self, now_s, name):
        return now_s - self.good[name] >= 180

    def is_over(self, now_s, name):
        return now_s - self.bad[name] >= 120


def differing(before, after):
    return [name for name in after if before.get(name) != after[name]]


def counting_entries(update, table):
    return [
        (name, metric)
        for name, metric in update
        if is_metric(metric) and not is_mine(table.get(name))
    ]


class Speaker:
    def __init__(self, networks, costs):
        self.routes = dict.fromkeys(networks, (1, None))
        self.costs = costs
        self.cut_lines = set()
        self.times = Times()

    def reachable(self):
        return [one for one in self.costs if one not in self.cut_lines]

    def say(self, names, neighbours):
        return tell_neighbours(self.routes, neighbours, "poisoned reverse", names, 10**6)

    def change(self, after):
        names = differing(self.routes, after)
        self.routes = after
        return self.say(names, self.reachable())

    def lost(self, now_s, names):
        after = dict(self.routes)
        for name in names:
            metric, hop = after[name]
            self.times.note(now_s, name, metric, INFINITY)
            after[name] = (INFINITY, hop)
        return after

    def table(self):
        return dict(self.routes)

    def announce(self, now_s):
        return self.say(None, self.reachable())

    def receive(self, now_s, neighbour, update):
        if neighbour in self.cut_lines:
            return []
        after = hear_update(self.routes, neighbour, self.costs[neighbour], update)
        for name, _ in counting_entries(update, self.routes):
            if name in after and after[name][1] == neighbour:
                before = self.routes.get(name, (INFINITY, None))[0]
                self.times.note(now_s, name, before, after[name][0])
        return self.change(after)

    def cut(self, now_s, neighbour):
        self.cut_lines.add(neighbour)
        behind = [name for name, (_, hop) in self.routes.items() if hop == neighbour]
        return self.change(self.lost(now_s, behind))

    def mend(self, now_s, neighbour):
        self.cut_lines.remove(neighbour)
        return self.say(None, [neighbour])

    def tick(self, now_s):
        others = [name for name, route in self.routes.items() if not is_mine(route)]
        lost = [name for name in others if self.routes[name][0] == INFINITY]
        over = [name for name in lost if self.times.is_over(now_s, name)]
        stale = [name for name in others if name not in lost and self.times.is_stale(now_s, name)]
        after = self.lost(now_s, stale)
        return self.change({name: route for name, route in after.items() if name not in over})


def new_process(networks, costs):
    return Speaker(networks, costs)

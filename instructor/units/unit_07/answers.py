"""Model answers for unit 07, routes: written to be read out in front of a class.

Sources: RFC 2453, sections 3.4.3, 3.4.4 and 3.9.2 (updates); E. W. Dijkstra, Numerische Mathematik
1 (1959), and RFC 2328, section 16.1 (cheapest ways); RFC 2328, sections 13 and 13.1 (copies).
"""

__all__ = [
    "first_hops",
    "hear_update",
    "new_flooder",
    "new_process",
    "plan_changes",
    "tell_neighbours",
]

Table = dict[str, tuple[int, str | None]]
Copy = tuple[str, int, int, int]
Messages = list[tuple[str, list[tuple[str, int]]]]
EVERYTHING = 1_000_000  # more entries than any table here has


def hear_update(table: Table, neighbour: str, cost: int, update: list[tuple[str, int]]) -> Table:
    """Return the table of routes after an update from a neighbour."""
    heard = dict(table)
    for destination, metric in update:
        ours, hop = heard.get(destination, (16, ""))  # what is not known is unreachable
        if hop is None or not 1 <= metric <= 16:
            continue
        offer = min(metric + cost, 16)
        if hop == neighbour or offer < ours:
            heard[destination] = (offer, neighbour)
    return heard


def tell_neighbours(
    table: Table, neighbours: list[str], horizon: str, changed: list[str] | None, most: int
) -> list[tuple[str, list[tuple[str, int]]]]:
    """Return the messages to send now, each a pair: a neighbour, and a list of entries."""
    about = sorted(table if changed is None else changed)
    messages = []
    for neighbour in neighbours:
        entries = []
        for destination in about:
            metric, hop = table[destination]
            if hop != neighbour or horizon == "off":
                entries.append((destination, metric))
            elif horizon == "poisoned reverse":
                entries.append((destination, 16))
        for start in range(0, len(entries), most):
            messages.append((neighbour, entries[start : start + most]))
    return messages


def first_hops(links: list[tuple[str, str, int]], root: str) -> dict[str, tuple[int, list[str]]]:
    """Return for each place its cost from `root`, and the first hops of the cheapest ways."""
    costs = cheapest(links, root)
    hops: dict[str, set[str]] = {place: set() for place in costs}
    for _ in costs:  # at each turn first hops are handed on one link farther
        for start, end, cost in links:
            if start in costs and costs[start] + cost == costs[end]:
                hops[end] |= {end} if start == root else hops[start]
    return {place: (costs[place], sorted(hops[place])) for place in costs if place != root}


def cheapest(links: list[tuple[str, str, int]], root: str) -> dict[str, int]:
    """Return what the cheapest way to each place costs: Dijkstra's algorithm."""
    costs = {root: 0}
    settled: list[str] = []
    for _ in links:
        waiting = [place for place in costs if place not in settled]
        nearest = min(waiting, key=lambda place: costs[place], default=root)
        settled.append(nearest)
        for start, end, cost in links:
            if start == nearest:
                offer = costs[start] + cost
                costs[end] = min(offer, costs.get(end, offer))
    return costs


def new_flooder(neighbours: list[str]) -> "Flooder":
    """Return an object that has not heard of anybody."""
    return Flooder(neighbours)


class Flooder:
    """The newest copy about each router, and who has yet to confirm it."""

    def __init__(self, neighbours: list[str]) -> None:
        self.neighbours = list(neighbours)
        self.kept: dict[str, Copy] = {}
        self.unconfirmed: set[tuple[str, str]] = set()

    def receive(self, neighbour: str, copy: Copy) -> dict[str, str | Copy]:
        """Take a copy in, and say whom to send what."""
        router, _, _, age = copy
        ours = self.kept.get(router)
        if ours is None and age == 3600:
            return {neighbour: "ack"}
        if ours is None or is_newer(copy, ours):
            return self.spread(neighbour, copy)
        if is_newer(ours, copy):
            return {neighbour: ours}
        if (neighbour, router) in self.unconfirmed:
            self.unconfirmed.remove((neighbour, router))
            return {}
        return {neighbour: "ack"}

    def spread(self, neighbour: str, copy: Copy) -> dict[str, str | Copy]:
        """Keep a copy, and send it to all but the one that it came from."""
        router = copy[0]
        self.kept[router] = copy
        self.unconfirmed.discard((neighbour, router))  # which may have owed us an older one
        sent: dict[str, str | Copy] = {neighbour: "ack"}
        for other in self.neighbours:
            if other != neighbour:
                sent[other] = copy
                self.unconfirmed.add((other, router))
        return sent

    def confirm(self, neighbour: str, copy: Copy) -> None:
        """Note that a neighbour has a copy."""
        ours = self.kept.get(copy[0])
        if ours is not None and not is_newer(copy, ours) and not is_newer(ours, copy):
            self.unconfirmed.discard((neighbour, copy[0]))

    def waiting(self) -> list[tuple[str, str]]:
        """Tell who has yet to confirm which copy."""
        return sorted(self.unconfirmed)


def is_newer(one: Copy, other: Copy) -> bool:
    """Tell whether one copy is newer than another (RFC 2328, section 13.1)."""
    mine, its = rank(one), rank(other)
    return mine > its or (mine == its and other[3] - one[3] > 900)


def rank(copy: Copy) -> tuple[int, int, bool]:
    """Return what counts before ages: the newest copy has the largest."""
    _, sequence, checksum, age = copy
    return sequence ^ 1 << 31, checksum, age == 3600  # that bit turned, no number is negative


def plan_changes(old: dict[str, str], new: dict[str, str]) -> list[tuple[str, str | None]]:
    """Return the changes that turn the old forwarding table into the new one, in order."""
    both = sorted({*old, *new}, key=block)
    left = [(prefix, new.get(prefix)) for prefix in both if old.get(prefix) != new.get(prefix)]
    # Between two borders of prefixes all addresses fare alike, so one of each stretch will do.
    borders = {border for prefix in both for border in reach(prefix)}
    allowed = {address: (hop(old, address), hop(new, address)) for address in borders}
    table, made = dict(old), []
    while left:
        for change in left:
            after = changed(table, change)
            if all(hop(after, address) in allowed[address] for address in borders):
                break
        left.remove(change)
        made.append(change)
        table = after
    return made


def block(prefix: str) -> tuple[int, int]:
    """Return the first address of a prefix as a number, and the length."""
    address, length = prefix.split("/")
    a, b, c, d = map(int, address.split("."))
    return a << 24 | b << 16 | c << 8 | d, int(length)


def reach(prefix: str) -> tuple[int, int]:
    """Return the first address of a prefix, and the first one behind it."""
    first, length = block(prefix)
    return first, first + (1 << 32 - length)


def hop(table: dict[str, str], address: int) -> str | None:
    """Return the next hop of the longest prefix around an address."""
    around = [prefix for prefix in table if reach(prefix)[0] <= address < reach(prefix)[1]]
    return table[max(around, key=lambda prefix: block(prefix)[1])] if around else None


def changed(table: dict[str, str], change: tuple[str, str | None]) -> dict[str, str]:
    """Return the table after a change."""
    prefix, to = change
    rest = {one: its for one, its in table.items() if one != prefix}
    return rest if to is None else {**rest, prefix: to}


def new_process(networks: list[str], costs: dict[str, int]) -> "Process":
    """Return a process that knows its own networks."""
    return Process(networks, costs)


class Process:
    """Distance vector with triggered updates, poisoned reverse, and the two times of RFC 2453."""

    def __init__(self, networks: list[str], costs: dict[str, int]) -> None:
        self.routes: Table = dict.fromkeys(networks, (1, None))
        self.costs = dict(costs)
        self.cut_off: set[str] = set()
        self.confirmed_s: dict[str, float] = {}
        self.lost_s: dict[str, float] = {}

    def table(self) -> Table:
        """Show the table."""
        return dict(self.routes)

    def announce(self, now_s: float) -> Messages:
        """Tell all neighbours everything."""
        return self.tell(None)

    def tell(self, changed: list[str] | None) -> Messages:
        """Tell whoever can be told."""
        neighbours = [one for one in self.costs if one not in self.cut_off]
        return tell_neighbours(self.routes, neighbours, "poisoned reverse", changed, EVERYTHING)

    def receive(self, now_s: float, neighbour: str, update: list[tuple[str, int]]) -> Messages:
        """Take an update in, and note which routes it confirms."""
        if neighbour in self.cut_off:
            return []
        cost = self.costs[neighbour]
        after = hear_update(self.routes, neighbour, cost, update)
        for destination in hear_update({}, neighbour, cost, update):  # all offers below 16
            if after[destination][1] == neighbour:
                self.confirmed_s[destination] = now_s
        return self.become(now_s, after)

    def become(self, now_s: float, after: Table) -> Messages:
        """Change to another table, and tell what is not as it was."""
        changed = [one for one, route in after.items() if route != self.routes.get(one)]
        for destination in changed:
            self.lost_s[destination] = now_s  # for those at 16; nobody asks about others
        self.routes = after
        return self.tell(changed)

    def cut(self, now_s: float, neighbour: str) -> Messages:
        """Lose what lies behind a line."""
        self.cut_off.add(neighbour)
        after = dict(self.routes)
        for destination, (_, hop) in self.routes.items():
            if hop == neighbour:
                after[destination] = (16, hop)
        return self.become(now_s, after)

    def mend(self, now_s: float, neighbour: str) -> Messages:
        """Tell a neighbour all that it has missed."""
        self.cut_off.remove(neighbour)
        return [message for message in self.announce(now_s) if message[0] == neighbour]

    def tick(self, now_s: float) -> Messages:
        """Give up what nobody confirms, and forget what was given up."""
        after: Table = {}
        for destination, (metric, hop) in self.routes.items():
            if hop is None or (metric < 16 and now_s - self.confirmed_s[destination] < 180):
                after[destination] = (metric, hop)
            elif metric < 16 or now_s - self.lost_s[destination] < 120:
                after[destination] = (16, hop)
        return self.become(now_s, after)

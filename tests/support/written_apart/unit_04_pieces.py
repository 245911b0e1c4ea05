"""Unit 04, in small pieces."""


def as_number(address):
    a, b, c, d = map(int, address.split("."))
    return a << 24 | b << 16 | c << 8 | d


def parse(prefix):
    base, _, n = prefix.partition("/")
    n = int(n)
    mask = (0xFFFFFFFF << (32 - n)) & 0xFFFFFFFF
    return as_number(base) & mask, mask, n


def covers(prefix, address):
    base, mask, _ = parse(prefix)
    return as_number(address) & mask == base


def rank(route):
    return parse(route[0])[2], -route[2]


def look_up(routes, address):
    winner = None
    for route in routes:
        if covers(route[0], address) and (winner is None or rank(route) > rank(winner)):
            winner = route
    return winner and (winner[0], winner[1])


def walk_trie(trie, bits, inherited=None):
    here = trie.get("hop", inherited)
    if not bits or bits[0] not in trie:
        return here, 1
    hop, nodes = walk_trie(trie[bits[0]], bits[1:], here)
    return hop, nodes + 1


def new_table():
    return ByLength()


class ByLength:
    """One dictionary for each length."""

    def __init__(self):
        self.levels = [{} for _ in range(33)]

    def insert(self, prefix, next_hop):
        base, _, n = parse(prefix)
        self.levels[n][base] = next_hop

    def withdraw(self, prefix):
        base, _, n = parse(prefix)
        if base not in self.levels[n]:
            raise KeyError(f"no route {prefix}")
        self.levels[n].pop(base)

    def look_up(self, address):
        number = as_number(address)
        for n in reversed(range(33)):
            base = number >> (32 - n) << (32 - n)
            if base in self.levels[n]:
                return self.levels[n][base]
        return None


def hop_of(routes, bits):
    table = dict(routes)
    for n in range(len(bits), -1, -1):
        if bits[:n] in table:
            return table[bits[:n]]
    return None


def three_bits():
    return [a + b + c for a in "01" for b in "01" for c in "01"]


def build_tables(routes):
    blocks = []

    def entry(top):
        if all(len(p) <= 3 or not p.startswith(top) for p, _ in routes):
            return hop_of(routes, top)
        blocks.append([hop_of(routes, top + low) for low in three_bits()])
        return len(blocks) - 1

    return [entry(top) for top in three_bits()], blocks


def decide(rules, number):
    fitting = [(n, hop) for (base, mask, n), hop in rules if number & mask == base]
    return sorted(fitting)[-1][1] if fitting else None


def edges(rules):
    for (base, _, n), _ in rules:
        yield base
        yield (base + (1 << (32 - n))) % (1 << 32)


def spare_routes(routes):
    rules = [(parse(p), hop) for p, hop in routes]
    before = {e: decide(rules, e) for e in edges(rules)}
    spare = []
    for k, (prefix, _) in enumerate(routes):
        without = [r for i, r in enumerate(rules) if i != k]
        if {e: decide(without, e) for e in before} == before:
            spare.append(prefix)
    return spare

"""Wrong answers to 4.4, 4.5 and 4.6 that no listed belief explains."""

__all__ = ["TABLES"]

from unlisted_mistakes.unit_04_helpers import behind

KEYS = """
def key(prefix):
    network, length = prefix.split("/")
    return "".join(f"{int(part):08b}" for part in network.split("."))[: int(length)]

class Table:
    def __init__(self):
        self.hops = {}
    def insert(self, prefix, next_hop):
        self.hops[key(prefix)] = next_hop
    def withdraw(self, prefix):
        del self.hops[key(prefix)]
    def look_up(self, address):
        bits = key(address + "/32")
        for length in range(32, -1, -1):
            if bits[:length] in self.hops:
                return self.hops[bits[:length]]

def new_table():
    return Mine()
"""
BEST = """
def best(routes, bits):
    matching = [route for route in routes if bits.startswith(route[0])]
    return max(matching, key=lambda route: len(route[0]))[1] if matching else None

def build_tables(routes):
    first, blocks = [], []
    for number in range(8):
        entry = f"{number:03b}"
        if has_block(routes, entry):
            first.append(len(blocks))
            blocks.append(block(routes, entry))
        else:
            first.append(best(routes, entry))
    return first, blocks

def has_block(routes, entry):
    return any(len(prefix) > 3 and prefix.startswith(entry) for prefix, hop in routes)

def block(routes, entry):
    return [best(routes, entry + f"{last:03b}") for last in range(8)]
"""
NESTS = """
def ends(prefix):
    network, length = prefix.split("/")
    first = int.from_bytes(bytes(map(int, network.split("."))), "big")
    return first, first + 2 ** (32 - int(length))

def size(prefix):
    return ends(prefix)[1] - ends(prefix)[0]

def inside(routes, prefix):
    first, behind = ends(prefix)
    return [r for r in routes
            if r[0] != prefix and first <= ends(r[0])[0] and ends(r[0])[1] <= behind]

def around(routes, prefix):
    found = [r for r in routes if r[0] != prefix and inside([(prefix, "")], r[0])]
    return sorted(found, key=lambda r: size(r[0]))

def same(routes, prefix, hop):
    found = around(routes, prefix)
    return bool(found) and found[0][1] == hop

def full(routes, prefix):
    longer = inside(routes, prefix)
    return sum(size(p) for p, h in longer if not around(longer, p)) == size(prefix)

def hop_at(routes, place):
    fit = [r for r in routes if ends(r[0])[0] <= place < ends(r[0])[1]]
    return min(fit, key=lambda r: size(r[0]))[1] if fit else None
"""

TABLES: dict[str, dict[str, str]] = {
    "4.4": behind(KEYS, {
        "a withdrawal clears the table": '''
class Mine(Table):
    def withdraw(self, prefix):
        super().withdraw(prefix)
        self.hops.clear()
''',
        "the routes around go too": '''
class Mine(Table):
    def withdraw(self, prefix):
        super().withdraw(prefix)
        self.hops = {k: v for k, v in self.hops.items() if not key(prefix).startswith(k)}
''',
        "all routes by the same neighbour go": '''
class Mine(Table):
    def withdraw(self, prefix):
        gone = self.hops[key(prefix)]
        self.hops = {k: v for k, v in self.hops.items() if v != gone}
''',
        "an exception that is handed back": '''
class Mine(Table):
    def withdraw(self, prefix):
        if key(prefix) not in self.hops:
            return KeyError(prefix)
        super().withdraw(prefix)
''',
        "the parent of KeyError": '''
class Mine(Table):
    def withdraw(self, prefix):
        if key(prefix) not in self.hops:
            raise LookupError(prefix)
        super().withdraw(prefix)
''',
        "answers of earlier look-ups are kept": '''
class Mine(Table):
    seen = None
    def look_up(self, address):
        self.seen = self.seen or {}
        return self.seen.setdefault(address, super().look_up(address))
''',
        "a route that changes nothing now is not kept": '''
class Mine(Table):
    def insert(self, prefix, next_hop):
        around = [k for k in self.hops if key(prefix).startswith(k) and k != key(prefix)]
        if not around or self.hops[max(around)] != next_hop:
            super().insert(prefix, next_hop)
''',
        "one table that is emptied": '''
class Mine(Table):
    pass

ONLY = Mine()

def new_table():
    ONLY.hops.clear()
    return ONLY
''',
    }),
    "4.5": behind(BEST, {
        "a block for more than four bits": '''
def has_block(routes, entry):
    return any(len(prefix) > 4 and prefix.startswith(entry) for prefix, hop in routes)
''',
        "blocks wherever one is": '''
def has_block(routes, entry):
    return any(len(prefix) > 3 for prefix, hop in routes)
''',
        "an empty text for no route in a block": '''
def block(routes, entry):
    return [best(routes, entry + f"{last:03b}") or "" for last in range(8)]
''',
        "blocks are tuples": '''
def block(routes, entry):
    return tuple(best(routes, entry + f"{last:03b}") for last in range(8))
''',
        "blocks have four entries": '''
def block(routes, entry):
    return [best(routes, entry + f"{last:02b}") for last in range(4)]
''',
        "only the default reaches into blocks": '''
def block(routes, entry):
    longer = [route for route in routes if len(route[0]) > 3 or not route[0]]
    return [best(longer, entry + f"{last:03b}") for last in range(8)]
''',
        "all blocks are one list": '''
ROW = [None] * 8
def block(routes, entry):
    ROW[:] = [best(routes, entry + f"{last:03b}") for last in range(8)]
    return ROW
''',
        "prefixes of six bits are passed over": '''
def block(routes, entry):
    return [best([r for r in routes if len(r[0]) < 6], entry + f"{last:03b}") for last in range(8)]
''',
    }),
    "4.6": behind(NESTS, {
        "own ends alone are tried": '''
def spare_routes(routes):
    return [p for p, h in routes if all(
        hop_at(routes, place) == hop_at([r for r in routes if r[0] != p], place)
        for place in (ends(p)[0], ends(p)[1] - 1))]
''',
        "first addresses alone are tried": '''
def spare_routes(routes):
    return [p for p, h in routes if all(
        hop_at(routes, ends(q)[0]) == hop_at([r for r in routes if r[0] != p], ends(q)[0])
        for q, _ in routes)]
''',
        "two longer ones use it up": '''
def spare_routes(routes):
    return [p for p, h in routes if same(routes, p, h) or len(inside(routes, p)) >= 2]
''',
        "the longest ones come first": '''
def spare_routes(routes):
    found = [p for p, h in routes if same(routes, p, h) or full(routes, p)]
    return sorted(found, key=size)
''',
        "only longer ones with other next hops use it up": '''
def spare_routes(routes):
    return [p for p, h in routes if same(routes, p, h)
            or full([r for r in routes if r[0] == p or r[1] != h], p)]
''',
        "the default route is always needed": '''
def spare_routes(routes):
    return [p for p, h in routes
            if not p.endswith("/0") and (same(routes, p, h) or full(routes, p))]
''',
        "the route around has to stand in front": '''
def spare_routes(routes):
    return [p for k, (p, h) in enumerate(routes)
            if same(routes[:k], p, h) or full(routes, p)]
''',
        "neighbours could be joined": '''
def spare_routes(routes):
    return [p for p, h in routes if same(routes, p, h) or full(routes, p)
            or any(g == h and ends(q)[1] == ends(p)[0] for q, g in routes)]
''',
    }),
}  # fmt: skip

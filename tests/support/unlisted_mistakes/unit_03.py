"""Wrong answers to unit 03 that no listed belief explains: they lose points, and get no name."""

__all__ = ["UNLISTED"]

from unlisted_mistakes.unit_03_routes import ROUTES
from unlisted_mistakes.unit_04_helpers import behind

NUMBERS = """
def number(address):
    a, b, c, d = [int(part) for part in address.split(".")]
    return a << 24 | b << 16 | c << 8 | d

def text(n):
    return ".".join(str(n >> s & 255) for s in (24, 16, 8, 0))

def strict(address):
    parts = address.split(".")
    if len(parts) != 4 or any(part not in map(str, range(256)) for part in parts):
        raise ValueError(address)
    return number(address)

def checked(n):
    if not 0 <= n < 2**32:
        raise ValueError(n)
    return text(n)

def split(prefix):
    address, length = prefix.split("/")
    return number(address), int(length)

def holds(prefix, other):
    n, length = split(prefix)
    return n >> 32 - length == split(other)[0] >> 32 - length

def longest(other, blocks):
    around = [(split(p)[1], name) for p, name in blocks if holds(p, other)]
    return max(around)[1] if around else None

def cut(start, end):
    found = []
    while start < end:
        size = start & -start or 2**32
        while start + size > end:
            size //= 2
        found.append((start, size))
        start += size
    return found

def holes(first, last, taken):
    found, start = [], number(first)
    for begin, size in sorted((split(p)[0], 2 ** (32 - split(p)[1])) for p in taken):
        found.append((start, begin))
        start = max(start, begin + size)
    return [(a, b) for a, b in [*found, (start, number(last) + 1)] if a < b]

def pieces(first, last, taken, every=1):
    return [piece for hole in holes(first, last, taken)[::every] for piece in cut(*hole)]

def write(found):
    return [f"{text(start)}/{33 - size.bit_length()}" for start, size in found]

def plan(block, kept, needs, size_of=lambda h: h if h < 3 else 1 << (h + 1).bit_length()):
    start, length = split(block)
    last = text(start + 2 ** (32 - length) - 1)
    sizes = {pier: size_of(hosts) for pier, hosts in needs}
    free = [p for hole in holes(text(start), last, kept) for p in cut(*hole)]
    if sum(sizes.values()) > sum(size for _, size in free):
        return [], "too few addresses"
    given = {}
    for pier in sorted(sizes, key=lambda pier: -sizes[pier]):
        now = [*kept, *given.values()]
        free = [p for hole in holes(text(start), last, now) for p in cut(*hole)]
        free = [(size, at) for at, size in free if size >= sizes[pier]]
        if not free:
            return [], f"no hole for {pier}"
        given[pier] = write([(min(free)[1], sizes[pier])])[0]
    return [(pier, given[pier]) for pier, _ in needs], ""
"""
AFTER = "def address_after(address, steps):\n    "
LINK = "def describe_link(address, length):\n    "
NEAR = "def neighbourhood(own, other, blocks):\n    "
FREE = "def free_prefixes(first, last, taken):\n    "
PLAN = "def make_plan(block, kept, needs):\n    "

UNLISTED: dict[str, dict[str, str]] = {
    "3.1": behind(NUMBERS, {
        "two steps for one": AFTER + "return checked(strict(address) + 2 * steps)\n",
        "the middle parts are exchanged": AFTER + """n = strict(address) + steps
    a, b, c, d = checked(n).split(".")
    return f"{a}.{c}.{b}.{d}"
""",
        "the carry into the first part is lost": AFTER + """n = strict(address)
    return checked((n & 0xFF000000) + ((n & 0xFFFFFF) + steps) % 2**24)
""",
        "more than a day's steps are refused": AFTER + """if abs(steps) > 86400:
        raise ValueError(steps)
    return checked(strict(address) + steps)
""",
        "a seven is refused": AFTER + """if "7" in address:
        raise ValueError(address)
    return checked(strict(address) + steps)
""",
        "the parts are read from an even place alone": AFTER + """a, b, c, d = address.split(".")
    return checked(strict(f"{a}.{b}.{a}.{d}") + steps)
""",
    }),
    "3.2": behind(NUMBERS, {
        "one bit less": LINK + """length = max(0, length - 1)
    size = 2 ** (32 - length)
    first = number(address) // size * size
    hosts = size if size < 3 else size - 2
    return text(2**32 - size), text(first), text(first + size - 1), hosts
""",
        "first and last are exchanged": LINK + """size = 2 ** (32 - length)
    first = number(address) // size * size
    hosts = size if size < 3 else size - 2
    return text(2**32 - size), text(first + size - 1), text(first), hosts
""",
        "half the hosts": LINK + """size = 2 ** (32 - length)
    first = number(address) // size * size
    return text(2**32 - size), text(first), text(first + size - 1), size // 2
""",
        "the last one is the middle": LINK + """size = 2 ** (32 - length)
    first = number(address) // size * size
    hosts = size if size < 3 else size - 2
    return text(2**32 - size), text(first), text(first + size // 2), hosts
""",
        "the mask has one bit more": LINK + """size = 2 ** (32 - length)
    first = number(address) // size * size
    hosts = size if size < 3 else size - 2
    return text(2**32 - max(1, size // 2)), text(first), text(first + size - 1), hosts
""",
    }),
    "3.3": behind(NUMBERS, {
        "one bit less decides": NEAR + """def near(a, b):
        n, length = split(a)
        return n >> min(32, 33 - length) == split(b)[0] >> min(32, 33 - length)
    return near(own, other), near(other, own), longest(other, blocks)
""",
        "the middle block wins": NEAR + """around = [name for p, name in blocks if holds(p, other)]
    name = around[len(around) // 2] if around else None
    return holds(own, other), holds(other, own), name
""",
        "only large links have neighbours": NEAR + """def near(a, b):
        return split(a)[1] < 24 and holds(a, b)
    return near(own, other), near(other, own), longest(other, blocks)
""",
        "an even address is a neighbour": NEAR + """def near(a, b):
        return holds(a, b) or split(b)[0] % 2 == 0
    return near(own, other), near(other, own), longest(other, blocks)
""",
        "the block is that in front": NEAR + """names = [None] + [name for _, name in blocks]
    found = longest(other, blocks)
    name = names[names.index(found) - 1] if found else None
    return holds(own, other), holds(other, own), name
""",
    }),
    "3.4": behind(NUMBERS, {
        "the last piece is lost": FREE + """found = pieces(first, last, taken)
    return write(found[:-1])
""",
        "pieces come from behind": FREE + """found = pieces(first, last, taken)
    return write(found)[::-1]
""",
        "every second hole is left out": FREE + """found = pieces(first, last, taken, 2)
    return write(found[:3])
""",
        "no piece is larger than four": FREE + """out = []
    for start, end in holes(first, last, taken)[:4]:
        while start < end and len(out) < 50:
            size = min(4, cut(start, end)[0][1])
            out.append((start, size))
            start += size
    return write(out)
""",
        "the length is one too many": FREE + """found = pieces(first, last, taken)
    return [f"{text(start)}/{min(32, 34 - size.bit_length())}" for start, size in found]
""",
    }),
    "3.6": behind(NUMBERS, {
        "twice as large as needed": PLAN + """return plan(block, kept, needs,
                lambda h: 2 * (h if h < 3 else 1 << (h + 1).bit_length()))
""",
        "ten hosts more for later": PLAN + """def size_of(hosts):
        return 1 << (hosts + 11).bit_length()
    return plan(block, kept, needs, size_of)
""",
        "the first pier is left out": PLAN + """found, reason = plan(block, kept, needs)
    return found[1:], reason
""",
        "the first kept prefix is overlooked": PLAN + "return plan(block, kept[1:], needs)\n",
        "a capital letter too many": PLAN + """found, reason = plan(block, kept, needs)
    return [(pier.upper(), prefix) for pier, prefix in found], reason.upper()
""",
        "the places are exchanged": PLAN + """found, reason = plan(block, kept, needs)
    prefixes = [prefix for _, prefix in found]
    moved = prefixes[1:] + prefixes[:1]
    return [(pier, prefix) for (pier, _), prefix in zip(found, moved)], reason or "fits"
""",
    }),
    **ROUTES,
}  # fmt: skip

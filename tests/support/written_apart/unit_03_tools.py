"""Unit 03, with the standard library."""

# ruff: noqa: UP031  # habits of whoever wrote this

import re
from bisect import insort
from itertools import count
from operator import itemgetter
from struct import pack, unpack

PART = r"(0|[1-9][0-9]?|1[0-9]{2}|2[0-4][0-9]|25[0-5])"
ADDRESS = re.compile(r"\.".join([PART] * 4))


def to_number(text):
    return unpack(">I", bytes(map(int, text.split("."))))[0]


def to_text(number):
    return "%d.%d.%d.%d" % tuple(pack(">I", number))


def mask_of(length):
    return (1 << 32) - (1 << (32 - length))


def read_prefix(text):
    address, _, length = text.partition("/")
    return to_number(address), int(length)


def address_after(address, steps):
    if not ADDRESS.fullmatch(address):
        raise ValueError(f"no address: {address!r}")
    number = to_number(address) + steps
    if not 0 <= number < 1 << 32:
        raise ValueError("beyond the first or the last address")
    return to_text(number)


def describe_link(address, length):
    mask = mask_of(length)
    first = to_number(address) & mask
    size = 1 << (32 - length)
    hosts = {32: 1, 31: 2}.get(length, size - 2)
    return to_text(mask), to_text(first), to_text(first + size - 1), hosts


def neighbourhood(own, other, blocks):
    (own_number, own_length), (other_number, other_length) = map(read_prefix, (own, other))
    unlike = own_number ^ other_number
    around = [
        (length, name)
        for (number, length), name in ((read_prefix(prefix), name) for prefix, name in blocks)
        if not (number ^ other_number) & mask_of(length)
    ]
    _, name = max(around, key=itemgetter(0), default=(0, None))
    return not unlike & mask_of(own_length), not unlike & mask_of(other_length), name


def pieces(start, stop):
    """Cut the addresses from start up to, but without, stop into (number, length)."""
    while start < stop:
        free_bits = min((start & -start or 1 << 32).bit_length(), (stop - start).bit_length()) - 1
        yield start, 32 - free_bits
        start += 1 << free_bits


def free_pieces(start, stop, taken):
    for number, length in sorted(map(read_prefix, taken)):
        yield from pieces(start, number)
        start = max(start, number + (1 << (32 - length)))
    yield from pieces(start, stop)


def free_prefixes(first, last, taken):
    return [
        f"{to_text(number)}/{length}"
        for number, length in free_pieces(to_number(first), to_number(last) + 1, taken)
    ]


def aggregate_routes(routes):
    table = {read_prefix(prefix): hop for prefix, hop in routes}
    for length in range(32, 0, -1):
        half = 1 << (32 - length)
        for number in sorted(number for number, size in table if size == length):
            low, high = (number, length), (number | half, length)
            if not number & half and high in table and table[low] == table[high]:
                table[number, length - 1] = table.pop(low)
                del table[high]

    def around(number, length):
        longer = ((number & mask_of(size), size) for size in range(length - 1, -1, -1))
        return next((table[key] for key in longer if key in table), None)

    return [
        (f"{to_text(number)}/{length}", hop)
        for (number, length), hop in sorted(table.items())
        if around(number, length) != hop
    ]


def length_for(hosts):
    return {1: 32, 2: 31}.get(hosts, 32 - (hosts + 1).bit_length())


def make_plan(block, kept, needs):
    start, length = read_prefix(block)
    free = sorted(
        (-size, number) for number, size in free_pieces(start, start + (1 << (32 - length)), kept)
    )
    wanted = [(length_for(hosts), pier) for pier, hosts in needs]
    if sum(1 << (32 - size) for size, _ in wanted) > sum(1 << (32 + size) for size, _ in free):
        return [], "too few addresses"
    # Smallest hole first means the longest prefix first; hence the minus signs.
    found = {}
    for size, pier in sorted(wanted, key=itemgetter(0)):
        hole = min((one for one in free if -one[0] <= size), default=None)
        if hole is None:
            return [], "no hole for " + pier
        free.remove(hole)
        found[pier] = f"{to_text(hole[1])}/{size}"
        for part in count(-hole[0] + 1):
            if part > size:
                break
            insort(free, (-part, hole[1] + (1 << (32 - part))))
    return [(pier, found[pier]) for pier, _ in needs], ""

"""Unit 03, in small pieces."""

PART_VALUES = {str(number): number for number in range(256)}
ALL = 2**32


# 3.1


def read_part(part):
    if part not in PART_VALUES:
        raise ValueError(f"not a part of an address: {part!r}")
    return PART_VALUES[part]


def join_octets(octets):
    return int.from_bytes(bytes(octets), "big")


def read_address(text):
    parts = text.split(".")
    if len(parts) != 4:
        raise ValueError("an address has four parts")
    return join_octets(map(read_part, parts))


def check_number(number):
    if not 0 <= number < ALL:
        raise ValueError("this lies outside of all addresses")
    return number


def write_address(number):
    return ".".join(map(str, check_number(number).to_bytes(4, "big")))


def address_after(address, steps):
    return write_address(check_number(read_address(address) + steps))


# 3.2


def size_of(length):
    return 1 << (32 - length)


def mask_of(length):
    return ALL - size_of(length)


def first_of(number, length):
    return number & mask_of(length)


def last_of(number, length):
    return first_of(number, length) + size_of(length) - 1


def hosts_of(length):
    return size_of(length) - (0 if length >= 31 else 2)


def describe_link(address, length):
    number = read_address(address)
    ends = mask_of(length), first_of(number, length), last_of(number, length)
    return (*map(write_address, ends), hosts_of(length))


# 3.3


def read_prefix(text):
    address, length = text.split("/")
    return read_address(address), int(length)


def same_start(one, two, length):
    return first_of(one, length) == first_of(two, length)


def holds(prefix, number):
    address, length = prefix
    return same_start(address, number, length)


def blocks_around(number, blocks):
    read = [(read_prefix(text), name) for text, name in blocks]
    return [(prefix[1], name) for prefix, name in read if holds(prefix, number)]


def longest_name(found):
    return max(found, key=lambda one: one[0], default=(0, None))[1]


def neighbourhood(own, other, blocks):
    (mine, my_length), (theirs, their_length) = read_prefix(own), read_prefix(other)
    name = longest_name(blocks_around(theirs, blocks))
    return same_start(mine, theirs, my_length), same_start(mine, theirs, their_length), name


# 3.4


def write_prefix(prefix):
    address, length = prefix
    return f"{write_address(address)}/{length}"


def ends_of(prefix):
    return first_of(*prefix), last_of(*prefix)


def gaps(first, last, taken):
    """Yield the free stretches, each as its first and last address."""
    start = first
    for low, high in sorted(map(ends_of, taken)):
        if start < low:
            yield start, low - 1
        start = max(start, high + 1)
    if start <= last:
        yield start, last


def fits(start, last, length):
    return first_of(start, length) == start and last_of(start, length) <= last


def largest_at(start, last):
    return next(length for length in range(33) if fits(start, last, length))


def cut_range(start, last):
    while start <= last:
        length = largest_at(start, last)
        yield start, length
        start += size_of(length)


def free_in(first, last, taken):
    return [prefix for gap in gaps(first, last, taken) for prefix in cut_range(*gap)]


def free_prefixes(first, last, taken):
    read = [read_prefix(text) for text in taken]
    return [write_prefix(one) for one in free_in(read_address(first), read_address(last), read)]


# 3.5


def parent_of(prefix):
    address, length = prefix
    return first_of(address, length - 1), length - 1


def sibling_of(prefix):
    address, length = prefix
    return address ^ size_of(length), length


def of_length(table, length):
    return [prefix for prefix in table if prefix[1] == length]


def can_join(table, prefix):
    return prefix in table and table[prefix] == table.get(sibling_of(prefix))


def join_halves(table, prefix):
    hop = table.pop(prefix)
    table.pop(sibling_of(prefix))
    table[parent_of(prefix)] = hop


def join_all(table):
    for length in range(32, 0, -1):
        for prefix in of_length(table, length):
            if can_join(table, prefix):
                join_halves(table, prefix)


def hop_around(table, prefix):
    address, length = prefix
    around = ((first_of(address, shorter), shorter) for shorter in range(length - 1, -1, -1))
    return next((table[one] for one in around if one in table), None)


def needed(table):
    return {prefix: hop for prefix, hop in table.items() if hop_around(table, prefix) != hop}


def aggregate_routes(routes):
    table = {read_prefix(text): hop for text, hop in routes}
    join_all(table)
    return [(write_prefix(prefix), hop) for prefix, hop in sorted(needed(table).items())]


# 3.6


def length_for(hosts):
    return max(length for length in range(33) if hosts_of(length) >= hosts)


def by_size(needs):
    return sorted(needs, key=lambda need: length_for(need[1]))


def best_hole(holes, length):
    large_enough = [hole for hole in holes if hole[1] <= length]
    return max(large_enough, key=lambda hole: (hole[1], -hole[0]), default=None)


def total(lengths):
    return sum(map(size_of, lengths))


class Plan:
    def __init__(self, block, kept):
        self.ends = ends_of(block)
        self.kept = list(kept)
        self.given = {}

    def holes(self):
        return free_in(*self.ends, self.kept)

    def room(self):
        return total(length for _, length in self.holes())

    def place(self, pier, length):
        """Give the pier its prefix; return whether there was a hole for it."""
        hole = best_hole(self.holes(), length)
        if hole is None:
            return False
        self.given[pier] = (hole[0], length)
        self.kept.append(self.given[pier])
        return True

    def in_order(self, needs):
        return [(pier, write_prefix(self.given[pier])) for pier, _ in needs]


def first_without_place(plan, needs):
    for pier, hosts in by_size(needs):
        if not plan.place(pier, length_for(hosts)):
            return pier
    return None


def make_plan(block, kept, needs):
    plan = Plan(read_prefix(block), map(read_prefix, kept))
    if total(length_for(hosts) for _, hosts in needs) > plan.room():
        return [], "too few addresses"
    homeless = first_without_place(plan, needs)
    if homeless is not None:
        return [], f"no hole for {homeless}"
    return plan.in_order(needs), ""

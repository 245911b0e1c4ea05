"""Model answers for unit 03, addresses and prefixes: written to be read out in front of a class.

Sources: RFC 950 and RFC 1812 section 4.2.2.11 (first and last address), RFC 3021 (links of two),
RFC 6890 (special blocks), RFC 4632 (prefixes).
"""

__all__ = [
    "address_after",
    "aggregate_routes",
    "describe_link",
    "free_prefixes",
    "make_plan",
    "neighbourhood",
]


OCTETS = tuple(str(octet) for octet in range(256))  # all texts that a part of an address may be


def address_after(address: str, steps: int) -> str:
    """Read the address strictly, go on, and write what comes out."""
    parts = address.split(".")
    # Not `int` alone: it takes signs, blanks, and the digits of every script.
    if len(parts) != 4 or any(part not in OCTETS for part in parts):
        raise ValueError(f"{address!r} is no address: it needs four numbers from 0 to 255")
    number = number_of(address) + steps
    if not 0 <= number < 2**32:
        raise ValueError(f"there is no address {steps} behind {address}")
    return text_of(number)


def number_of(address: str) -> int:
    """Return the number of 32 bits that a well formed address stands for."""
    return int.from_bytes(bytes(int(part) for part in address.split(".")), "big")


def text_of(number: int) -> str:
    """Write a number of 32 bits as an address."""
    return ".".join(str(octet) for octet in number.to_bytes(4, "big"))


def describe_link(address: str, length: int) -> tuple[str, str, str, int]:
    """Return mask, first and last address, and the room for hosts."""
    host_bits = 32 - length
    first = number_of(address) >> host_bits << host_bits
    last = first + 2**host_bits - 1
    mask = 2**32 - 2**host_bits
    return text_of(mask), text_of(first), text_of(last), room_for_hosts(length)


def room_for_hosts(length: int) -> int:
    """Count the hosts of a link: first and last address are not for them, but on short links."""
    return addresses(length) if length >= 31 else addresses(length) - 2


def addresses(length: int) -> int:
    """Count the addresses of a prefix: every bit that is free doubles them."""
    return 1 << (32 - length)


def neighbourhood(
    own: str, other: str, blocks: list[tuple[str, str]]
) -> tuple[bool, bool, str | None]:
    """Ask both hosts, then look for the longest block around the other one."""
    around = [block for block in blocks if holds(block[0], other)]
    longest = max(around, key=lambda block: parts_of(block[0])[1], default=(None, None))
    return holds(own, other), holds(other, own), longest[1]


def holds(prefix: str, other: str) -> bool:
    """Tell whether the address in `other` begins as a prefix does, whatever length it has."""
    network, length = parts_of(prefix)
    address, _ = parts_of(other)
    return network >> 32 - length == address >> 32 - length


def parts_of(prefix: str) -> tuple[int, int]:
    """Return the number in front of the slash, and the length behind it."""
    address, length = prefix.split("/")
    return number_of(address), int(length)


def free_prefixes(first: str, last: str, taken: list[str]) -> list[str]:
    """Go from hole to hole, and fill each with prefixes."""
    free = []
    start = number_of(first)
    for begin, end in sorted(map(range_of, taken)):
        free += prefixes_between(start, begin)
        start = max(start, end)  # what lies inside another one ends before it
    return free + prefixes_between(start, number_of(last) + 1)


def range_of(prefix: str) -> tuple[int, int]:
    """Return the first address of a prefix, and the first one behind it."""
    first, length = parts_of(prefix)
    return first, first + 2 ** (32 - length)


def prefixes_between(start: int, end: int) -> list[str]:
    """Return the fewest prefixes from `start` up to `end`, which is not included."""
    found = []
    while start < end:
        length = 0  # the largest prefix that begins here and does not reach too far
        while start % 2 ** (32 - length) or start + 2 ** (32 - length) > end:
            length += 1
        found.append(f"{text_of(start)}/{length}")
        start += 2 ** (32 - length)
    return found


def aggregate_routes(routes: list[tuple[str, str]]) -> list[tuple[str, str]]:
    """Join halves, the longest first; then leave out what the next route around says as well."""
    table = {parts_of(prefix): hop for prefix, hop in routes}
    while halves := lower_halves(table):
        number, length = max(halves, key=lambda half: half[1])
        hop = table[number, length]
        del table[number, length], table[number + 2 ** (32 - length), length]
        table[number, length - 1] = hop
    return [
        (f"{text_of(number)}/{length}", hop)
        for (number, length), hop in sorted(table.items())
        if hop_around(table, number, length) != hop
    ]


def lower_halves(table: dict[tuple[int, int], str]) -> list[tuple[int, int]]:
    """Return the lower halves of which the other half is there, with the same next hop."""
    return [
        (number, length)
        for (number, length), hop in table.items()
        if number % 2 ** (33 - length) == 0
        and table.get((number + 2 ** (32 - length), length)) == hop
    ]


def hop_around(table: dict[tuple[int, int], str], number: int, length: int) -> str | None:
    """Return the next hop of the longest prefix around another one; None if none is around."""
    around = [
        (long, hop)
        for (first, long), hop in table.items()
        if long < length and first == number >> 32 - long << 32 - long
    ]
    return max(around)[1] if around else None


def make_plan(
    block: str, kept: list[str], needs: list[tuple[str, int]]
) -> tuple[list[tuple[str, str]], str]:
    """Place the largest first, each at the start of the smallest hole that takes it."""
    first, behind = range_of(block)
    lengths = {pier: length_for(hosts) for pier, hosts in needs}
    holes = free_prefixes(text_of(first), text_of(behind - 1), kept)
    if sum(map(addresses, lengths.values())) > sum(addresses(parts_of(hole)[1]) for hole in holes):
        return [], "too few addresses"
    places: dict[str, str] = {}
    for pier in sorted(lengths, key=lambda pier: lengths[pier]):  # equals stay as they were
        given = [*kept, *places.values()]
        holes = free_prefixes(text_of(first), text_of(behind - 1), given)
        fitting = [hole for hole in holes if parts_of(hole)[1] <= lengths[pier]]
        if not fitting:
            return [], f"no hole for {pier}"
        smallest = max(fitting, key=lambda hole: parts_of(hole)[1])  # the first of them, the lowest
        places[pier] = f"{smallest.split('/')[0]}/{lengths[pier]}"
    return [(pier, places[pier]) for pier, _ in needs], ""


def length_for(hosts: int) -> int:
    """Return the length of the smallest prefix with room for so many hosts."""
    length = 32
    while room_for_hosts(length) < hosts:
        length -= 1
    return length

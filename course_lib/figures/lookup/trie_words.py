"""What the picture of a trie shows, as data and in words: its nodes, the way of an address.

A node is named by the bits that lead to it, as text: the root is "". So a trie is no more than the
set of all beginnings of its prefixes, and a way down is the list of an address's beginnings that
are in this set.
"""

__all__ = [
    "Descent",
    "addresses_of",
    "marks_of",
    "nodes_of",
    "rows_in_words",
    "shown_bits",
    "surroundings",
    "way_of",
    "words_of",
]

from collections.abc import Collection, Mapping
from typing import NamedTuple

from course_lib.figures.drawing.svg import Words
from course_lib.figures.headers.header_words import counted, listed, table

Routes = Mapping[str, str]
_MAX_BITS = 32


class Descent(NamedTuple):
    """The way of an address: the nodes it meets, the one with the answer, the child it lacks.

    Without an address it meets no node, not even the root. `answer` is None if no node on the way
    has a next hop. `missing` is the bit for which the last node has no child, or None if the bits
    of the address end there. A way that is not `ended` is seen from a node on it.
    """

    address: str
    nodes: tuple[str, ...] = ()
    answer: str | None = None
    missing: str | None = None
    ended: bool = True

    def until(self, count: int, routes: Routes) -> "Descent":
        """Return the way as it is when `count` of its nodes have been looked at."""
        if count >= len(self.nodes):
            return self
        met = self.nodes[:count]
        best = [name for name in met if name in routes]
        return Descent(self.address, met, best[-1] if best else None, ended=False)


def nodes_of(routes: Routes) -> tuple[str, ...]:
    """Return the names of all nodes, parents in front of their children, 0 in front of 1.

    Raises `ValueError` for a prefix that is not made of up to 32 bits.

    >>> nodes_of({"10": "Reed"})
    ('', '1', '10')
    """
    for prefix in routes:
        _check_bits(prefix)
    found = {prefix[:length] for prefix in routes for length in range(len(prefix) + 1)}
    return tuple(sorted(found | {""}))


def way_of(routes: Routes, address: str | None) -> Descent:
    """Return the way that the bits of an address lead; raise `ValueError` if they are no bits."""
    if address is None:
        return Descent("")
    _check_bits(address)
    nodes = set(nodes_of(routes))
    beginnings = [address[:length] for length in range(len(address) + 1)]
    way = tuple(name for name in beginnings if name in nodes)
    hops = [name for name in way if name in routes]
    missing = address[len(way) - 1] if len(way) <= len(address) else None
    return Descent(address, way, hops[-1] if hops else None, missing)


def _check_bits(bits: str) -> None:
    """Raise `ValueError` unless a text is made of 0 and 1, at most 32 of them."""
    if set(bits) - {"0", "1"} or len(bits) > _MAX_BITS:
        raise ValueError(f"{bits!r} must be bits: 0 and 1, at most {_MAX_BITS} of them")


def shown_bits(bits: str) -> str:
    """Return bits as they are written for people; the empty prefix has none.

    >>> shown_bits("01"), shown_bits("")
    ('01', 'no bits')
    """
    return bits or "no bits"


def addresses_of(prefix: str, bits: int) -> tuple[int, int]:
    """Return the first and the last address of a prefix, as numbers, where addresses have `bits`.

    >>> addresses_of("01", 8)
    (64, 127)
    """
    rest = bits - len(prefix)
    first = int(prefix or "0", 2) << rest
    return first, first + (1 << rest) - 1


def marks_of(bits: int) -> list[int]:
    """Return the addresses that are marked on the line: its ends, and every quarter.

    >>> marks_of(8)
    [0, 64, 128, 192, 255]
    """
    count = 1 << bits
    return sorted({0, count // 4, count // 2, count * 3 // 4, count - 1})


def words_of(routes: Routes, way: Descent, bits: int, fresh: Collection[str] = ()) -> Words:
    """Return the title of the picture, a table of its nodes, and what is read out.

    Read out are a sentence for the shape, one for the routes, one for the way. `fresh` are the
    nodes that were made just now.
    """
    nodes = nodes_of(routes)
    size = counted(len(nodes), "node")
    last = (1 << bits) - 1
    title = f"A trie of {counted(len(routes), 'route')}: {size}"
    ends = [f"{shown_bits(prefix)} to {routes[prefix]}" for prefix in sorted(routes)]
    spoken = f"Tree of {size}, one more bit in each row, 0 to the left and 1 to the right. "
    spoken += f"Under it a line of the addresses 0 to {last}, and above the line a band for "
    spoken += f"each route: {listed(ends)}." if ends else "each route: there is none."
    if way.nodes:
        title, walked = _way_in_words(routes, way)
        spoken += walked
    if fresh:
        spoken += f" New: {listed([shown_bits(name) for name in sorted(fresh)])}."
    head = ("node", "next hop", "addresses", "looked at", "")
    lines = [title, *table([head, *(_twin_row(routes, way, name, bits, fresh) for name in nodes)])]
    lines.append(
        f"Marked on the line of addresses: {listed([str(one) for one in marks_of(bits)])}."
    )
    if way.missing is not None:
        end = way.nodes[-1] or "the root"
        lines.append(f"The way ends at {end}, which has no child {way.missing}.")
    return Words(title, "\n".join(lines), spoken)


def rows_in_words(deepest: int) -> list[str]:
    """Return how many bits lead to each row of the tree, in words.

    >>> rows_in_words(2)
    ['root', '1 bit', '2 bits']
    """
    return ["root", *(counted(depth, "bit") for depth in range(1, deepest + 1))]


def surroundings(deepest: int, routes: Routes, offered: Routes) -> str:
    """Return what a picture shows beside the trie: its rows, and routes that are not in the table.

    >>> surroundings(1, {"0": "Reed"}, {"0": "Reed", "1": "Gull"})
    'Rows of the tree: root, 1 bit. Not in the table: 1 to Gull.'
    """
    absent = [f"{shown_bits(one)} to {offered[one]}" for one in sorted(set(offered) - set(routes))]
    rows = f"Rows of the tree: {', '.join(rows_in_words(deepest))}."
    return f"{rows} Not in the table: {listed(absent)}." if absent else rows


def _way_in_words(routes: Routes, way: Descent) -> tuple[str, str]:
    """Return a title, and a sentence for who listens."""
    number = f"{shown_bits(way.address)}"
    if way.address:
        number += f", number {int(way.address, 2)}"
    found = f"{counted(len(way.nodes), 'node')} looked at, {_answer(routes, way)}"
    names = listed(["the root", *way.nodes[1:]])
    gap = "" if way.missing is None else f", where there is no child {way.missing}"
    title = f"Address {shown_bits(way.address)}: {found}"
    return title, f" The address {number}, leads over {names}{gap}: {found}."


def _twin_row(
    routes: Routes, way: Descent, name: str, bits: int, fresh: Collection[str]
) -> tuple[str, ...]:
    first, last = addresses_of(name, bits)
    met = name in way.nodes
    marks = [
        ("answer" if way.ended else "best so far") if name == way.answer and met else "",
        "new" if name in fresh else "",
    ]
    return (
        "  " * len(name) + (name or "root"),
        routes.get(name, "-"),
        f"{first} to {last}" if last > first else str(first),
        str(len(name) + 1) if met else "",
        ", ".join(filter(None, marks)),
    )


def _answer(routes: Routes, way: Descent) -> str:
    if way.answer is None:
        return "no route" if way.ended else "no route so far"
    kind = "answer" if way.ended else "best so far"
    return f"{kind} {routes[way.answer]}, prefix {shown_bits(way.answer)}"

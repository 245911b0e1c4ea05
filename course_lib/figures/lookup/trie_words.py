"""What the picture of a trie shows, as data and in words: its nodes, the way of an address.

A node is named by the bits that lead to it, as text: the root is "". So a trie is no more than the
set of all beginnings of its prefixes, and a way down is the list of an address's beginnings that
are in this set.
"""

__all__ = ["Descent", "nodes_of", "shown_bits", "way_of", "words_of"]

from collections.abc import Mapping
from typing import NamedTuple

from course_lib.figures.drawing.svg import Words
from course_lib.figures.headers.header_words import counted, listed, table

Routes = Mapping[str, str]
_MAX_BITS = 32


class Descent(NamedTuple):
    """The way of an address: the nodes it meets, the one with the answer, the child it lacks.

    Without an address it meets no node, not even the root. `answer` is None if no node on the way
    has a next hop. `missing` is the bit for which the last node has no child, or None if the bits
    of the address end there.
    """

    address: str
    nodes: tuple[str, ...] = ()
    answer: str | None = None
    missing: str | None = None


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


def words_of(routes: Routes, way: Descent) -> Words:
    """Return the title of the picture, a table of its nodes, and what is read out.

    Read out are a sentence for the shape, one for the routes, one for the way.
    """
    nodes = nodes_of(routes)
    size = counted(len(nodes), "node")
    title = f"A trie of {counted(len(routes), 'route')}: {size}"
    ends = [f"{shown_bits(prefix)} to {routes[prefix]}" for prefix in sorted(routes)]
    spoken = f"Tree of {size}, one more bit in each row, 0 to the left and 1 to the right. "
    spoken += f"Routes: {listed(ends)}." if ends else "It holds no route."
    if way.nodes:
        address = shown_bits(way.address)
        found = f"{counted(len(way.nodes), 'node')} looked at, {_answer(routes, way)}"
        title = f"Address {address}: {found}"
        names = listed(["the root", *way.nodes[1:]])
        gap = "" if way.missing is None else f", where there is no child {way.missing}"
        spoken += f" The address {address} leads over {names}{gap}: {found}."
    head = ("node", "next hop", "looked at", "")
    lines = [title, *table([head, *(_twin_row(routes, way, name) for name in nodes)])]
    if way.missing is not None:
        last = way.nodes[-1] or "the root"
        lines.append(f"The way ends at {last}, which has no child {way.missing}.")
    return Words(title, "\n".join(lines), spoken)


def _twin_row(routes: Routes, way: Descent, name: str) -> tuple[str, ...]:
    return (
        "  " * len(name) + (name or "root"),
        routes.get(name, "-"),
        str(len(name) + 1) if name in way.nodes else "",
        "answer" if name == way.answer else "",
    )


def _answer(routes: Routes, way: Descent) -> str:
    if way.answer is None:
        return "no route"
    return f"answer {routes[way.answer]}, prefix {shown_bits(way.answer)}"

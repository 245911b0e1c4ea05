"""What the picture of a trie shows, as data and in words: its nodes, the way of an address.

A node is named by the bits that lead to it, as text: the root is "". So a trie is no more than the
set of all beginnings of its prefixes, and a way down is the list of an address's beginnings that
are in this set.
"""

__all__ = ["Descent", "alternative_text", "nodes_of", "shown_bits", "text_twin", "title", "way_of"]

from collections.abc import Mapping
from typing import NamedTuple

from course_lib.figures.headers.header_words import counted, listed

Routes = Mapping[str, str]
_MAX_BITS = 32


class Descent(NamedTuple):
    """The way of an address: the nodes it meets, the one with the answer, the child it lacks.

    `answer` is None if no node on the way has a next hop. `missing` is the bit for which the last
    node has no child, or None if the bits of the address end there.
    """

    address: str
    nodes: tuple[str, ...]
    answer: str | None
    missing: str | None


def nodes_of(routes: Routes) -> tuple[str, ...]:
    """Return the names of all nodes, parents in front of their children, 0 in front of 1.

    Raises `ValueError` for a prefix that is not made of up to 32 bits.

    >>> nodes_of({"10": "Reed"})
    ('', '1', '10')
    """
    for prefix in routes:
        check_bits(prefix)
    found = {prefix[:length] for prefix in routes for length in range(len(prefix) + 1)}
    return tuple(sorted(found | {""}))


def way_of(routes: Routes, address: str) -> Descent:
    """Return the way that the bits of an address lead; raise `ValueError` if they are no bits."""
    check_bits(address)
    nodes = set(nodes_of(routes))
    beginnings = [address[:length] for length in range(len(address) + 1)]
    way = tuple(name for name in beginnings if name in nodes)
    hops = [name for name in way if name in routes]
    missing = address[len(way) - 1] if len(way) <= len(address) else None
    return Descent(address, way, hops[-1] if hops else None, missing)


def check_bits(bits: str) -> None:
    """Raise `ValueError` unless a text is made of 0 and 1, at most 32 of them."""
    if set(bits) - {"0", "1"} or len(bits) > _MAX_BITS:
        raise ValueError(f"{bits!r} must be bits: 0 and 1, at most {_MAX_BITS} of them")


def shown_bits(bits: str) -> str:
    """Return bits as they are written for people; the empty prefix has none.

    >>> shown_bits("01"), shown_bits("")
    ('01', 'no bits')
    """
    return bits or "no bits"


def title(routes: Routes, way: Descent | None) -> str:
    """Return what there is, or what the address found."""
    if way is None:
        nodes = counted(len(nodes_of(routes)), "node")
        return f"A trie of {counted(len(routes), 'route')}: {nodes}"
    return f"Address {shown_bits(way.address)}: {_looked_at(way)}, {_answer(routes, way)}"


def alternative_text(routes: Routes, way: Descent | None) -> str:
    """Return a sentence for the shape, one for the routes, one for the way."""
    ends = [f"{shown_bits(prefix)} to {routes[prefix]}" for prefix in sorted(routes)]
    sentences = [
        f"Tree of {counted(len(nodes_of(routes)), 'node')}, one more bit in each row, "
        "0 to the left and 1 to the right",
        f"Routes: {listed(ends)}" if ends else "It holds no route",
    ]
    if way is not None:
        names = listed(["the root", *way.nodes[1:]])
        sentences.append(
            f"The address {shown_bits(way.address)} leads over {names}"
            f"{'' if way.missing is None else f', where there is no child {way.missing}'}: "
            f"{_looked_at(way)}, {_answer(routes, way)}"
        )
    return ". ".join(sentences) + "."


def text_twin(routes: Routes, way: Descent | None) -> str:
    """Return a table with a line for every node; what is met on the way is numbered."""
    head = ("node", "next hop", "looked at", "")
    table = [head, *(_twin_row(routes, way, name) for name in nodes_of(routes))]
    widths = [max(len(row[place]) for row in table) for place in range(len(head))]
    lines = [
        "  ".join(f"{cell:<{width}}" for cell, width in zip(row, widths, strict=True)).rstrip()
        for row in table
    ]
    if way is not None and way.missing is not None:
        last = way.nodes[-1] or "the root"
        lines.append(f"The way ends at {last}, which has no child {way.missing}.")
    return "\n".join([title(routes, way), *lines])


def _twin_row(routes: Routes, way: Descent | None, name: str) -> tuple[str, ...]:
    met = way is not None and name in way.nodes
    return (
        "  " * len(name) + (name or "root"),
        routes.get(name, "-"),
        str(len(name) + 1) if met else "",
        "answer" if way is not None and name == way.answer else "",
    )


def _looked_at(way: Descent) -> str:
    return f"{counted(len(way.nodes), 'node')} looked at"


def _answer(routes: Routes, way: Descent) -> str:
    if way.answer is None:
        return "no route"
    return f"answer {routes[way.answer]}, prefix {shown_bits(way.answer)}"

"""Draw a trie: a row for each bit, 0 to the left and 1 to the right, and the way of an address.

A node with a route is a box that holds its next hop and its prefix; a node without one is a small
circle that only leads further down. The way of an address is a thick line, its nodes are numbered
in the order in which they are looked at, and the one with the answer carries the word "answer".
Where the way ends early, a dashed line shows the child that is missing.
"""

__all__ = ["trie_diagram"]

from collections.abc import Mapping
from typing import NamedTuple

from course_lib.figures.drawing.svg import Figure, box, drawing, element, group, label, path
from course_lib.figures.lookup.trie_words import Descent, nodes_of, shown_bits, way_of, words_of

_LEFT, _RIGHT = 92.0, 24.0  # pixels, as all that follows; the margin on the left counts the bits
_TOP, _ROW, _FOOT = 70.0, 62.0, 44.0
_SLOT = 92.0  # what a leaf takes from left to right
_BOX_WIDTH, _BOX_HEIGHT, _RADIUS = 72.0, 36.0, 8.0
_LEAST_WIDTH = 620.0  # room for title and legend
_STUB, _STUB_DROP = 40.0, 31.0  # the line towards a child that is missing, between two rows


class _Middle(NamedTuple):
    """Where a node is drawn: its middle."""

    x: float
    y: float


def trie_diagram(routes: Mapping[str, str], address: str | None = None) -> Figure:
    """Return the trie of `routes`, and the way of an address in it.

    `routes` maps prefixes to next hops; prefixes and the address are bits as text, the empty text
    is the default route. Raises `ValueError` for anything else.

    >>> print(trie_diagram({"0": "Reed", "011": "Gull"}, "0100").title)
    Address 0100: 3 nodes looked at, answer Reed, prefix 0
    """
    way = way_of(routes, address)
    places = _places(nodes_of(routes))
    width = max(_LEAST_WIDTH, max(place.x for place in places.values()) + _SLOT / 2 + _RIGHT)
    foot = max(place.y for place in places.values()) + _FOOT + _STUB_DROP
    words = words_of(routes, way)
    return drawing(
        words,
        (width, foot + 18),
        label(words.title, 20, 28, "ink strong", 16),
        _margin(places),
        *(_edge(places, name, way) for name in places if name),
        _missing_child(places, way),
        *(_node(places[name], name, routes, way) for name in places),
        _legend(foot, way),
    )


def _places(nodes: tuple[str, ...]) -> dict[str, _Middle]:
    """Give each leaf a slot of its own, from left to right; parents stand above their children."""
    columns: dict[str, float] = {}
    slots = 0
    for name in sorted(nodes, reverse=True):  # children in front of their parents, 1 before 0
        below = [columns[name + bit] for bit in "01" if name + bit in columns]
        if not below:
            slots += 1
        columns[name] = sum(below) / len(below) if below else -slots * _SLOT
    left = _LEFT + (slots + 0.5) * _SLOT
    return {name: _Middle(left + columns[name], _TOP + len(name) * _ROW) for name in nodes}


def _margin(places: Mapping[str, _Middle]) -> str:
    deepest = max(len(name) for name in places)
    names = ["root", "1 bit", *(f"{depth} bits" for depth in range(2, deepest + 1))]
    return "".join(
        label(name, _LEFT - 30, _TOP + depth * _ROW + 4, "quiet", anchor="end")
        for depth, name in enumerate(names[: deepest + 1])
    )


def _edge(places: Mapping[str, _Middle], name: str, way: Descent) -> str:
    """Draw the line to a node from its parent, with its bit beside it."""
    start, end = places[name[:-1]], places[name]
    look = "chosen" if name in way.nodes else "axis"
    line = path(look, f"M{start.x:g} {start.y:g}L{end.x:g} {end.y:g}")
    side = -1 if name[-1] == "0" else 1
    x, y = (start.x + end.x) / 2 + 9 * side, (start.y + end.y) / 2 + 4
    return line + label(name[-1], x, y, "ink mono", anchor="middle")


def _missing_child(places: Mapping[str, _Middle], way: Descent) -> str:
    if way.missing is None:
        return ""
    start, side = places[way.nodes[-1]], -1 if way.missing == "0" else 1
    x, y = start.x + side * _STUB, start.y + _STUB_DROP
    line = path("expected", f"M{start.x:g} {start.y:g}L{x:g} {y:g}")
    anchor = "start" if side > 0 else "end"
    return line + label(f"no {way.missing}", x + 4 * side, y + 4, "ink", 11.5, anchor)


def _node(place: _Middle, name: str, routes: Mapping[str, str], way: Descent) -> str:
    met = name in way.nodes
    half = _BOX_WIDTH / 2 if name in routes else _RADIUS
    number = label(str(len(name) + 1), place.x - half - 5, place.y - 5, "ink strong", anchor="end")
    return group(
        f"{shown_bits(name)}: {routes.get(name, 'no route')}",
        _box(place, name, routes[name], met) if name in routes else _circle(place, met),
        number if met else "",
        _answer_badge(place) if name == way.answer else "",
    )


def _box(place: _Middle, name: str, hop: str, met: bool) -> str:
    """Draw the box of a route; the paper below keeps lines from showing through."""
    size = (place.x - _BOX_WIDTH / 2, place.y - _BOX_HEIGHT / 2, _BOX_WIDTH, _BOX_HEIGHT, 5)
    shapes = [box(look, *size) for look in (("box", "chosen") if met else ("box",))]
    hop = label(hop, place.x, place.y - 2, "ink strong", 13, "middle", _BOX_WIDTH - 8)
    prefix = label(shown_bits(name), place.x, place.y + 12, "quiet mono", 11, "middle")
    return "".join([*shapes, hop, prefix])


def _circle(place: _Middle, met: bool) -> str:
    looks = ("neither", "chosen") if met else ("neither",)
    return "".join(
        element("circle", cx=place.x, cy=place.y, r=_RADIUS, class_=one) for one in looks
    )


def _answer_badge(place: _Middle) -> str:
    x, y = place.x + _BOX_WIDTH / 2 + 4, place.y - _BOX_HEIGHT / 2 - 9
    words = label("answer", x, y + 10, "on-mark strong", 10.5, "middle")
    return box("calm", x - 26, y - 1, 52, 15, 7) + words


def _legend(y: float, way: Descent) -> str:
    shapes = [
        element("circle", cx=30, cy=y - 4, r=_RADIUS, class_="neither"),
        label("node without a route", 46, y, "quiet"),
        box("box", 184, y - 13, 26, 17, 4),
        label("route: next hop, prefix", 218, y, "quiet"),
    ]
    if way.nodes:
        shapes.append(path("chosen", f"M366 {y - 4:g}h26"))
        shapes.append(label("way of the address, numbered", 400, y, "quiet"))
    return "".join(shapes)

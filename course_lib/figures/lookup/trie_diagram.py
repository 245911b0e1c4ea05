"""Draw a trie: a row for each bit, 0 to the left and 1 to the right, and the way of an address.

A node with a route is a box that holds its next hop and its prefix; a node without one is a small
circle that only leads further down. The way of an address is a thick line, its nodes are numbered
in the order in which they are looked at, and the one with the answer carries the word "answer".
Where the way ends early, a dashed line shows the child that is missing.
"""

__all__ = ["trie_diagram"]

from collections.abc import Mapping
from typing import NamedTuple

from course_lib.figures.drawing.letters import fitted
from course_lib.figures.drawing.svg import Figure, drawing, element, escape, label
from course_lib.figures.lookup.trie_words import (
    Descent,
    alternative_text,
    nodes_of,
    shown_bits,
    text_twin,
    title,
    way_of,
)

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
    way = None if address is None else way_of(routes, address)
    places = _places(nodes_of(routes))
    width = max(_LEAST_WIDTH, max(place.x for place in places.values()) + _SLOT / 2 + _RIGHT)
    foot = max(place.y for place in places.values()) + _FOOT + _STUB_DROP
    heading, spoken = title(routes, way), alternative_text(routes, way)
    shapes = (
        label(heading, 20, 28, "ink strong", font_size=16),
        _margin(places),
        *(_edge(places, name, way) for name in places if name),
        _missing_child(places, way),
        *(_node(places[name], name, routes, way) for name in places),
        _legend(foot, way),
    )
    svg = drawing(heading, spoken, (width, foot + 18), *shapes)
    return Figure(heading, svg, text_twin(routes, way), spoken)


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
    return "".join(
        label(
            "root" if depth == 0 else f"{depth} bit{'s' if depth > 1 else ''}",
            _LEFT - 30,
            _TOP + depth * _ROW + 4,
            "quiet",
            font_size=12,
            text_anchor="end",
        )
        for depth in range(deepest + 1)
    )


def _edge(places: Mapping[str, _Middle], name: str, way: Descent | None) -> str:
    """Draw the line to a node from its parent, with its bit beside it."""
    start, end = places[name[:-1]], places[name]
    look = "chosen" if way is not None and name in way.nodes else "axis"
    line = element("path", d=f"M{start.x:g} {start.y:g}L{end.x:g} {end.y:g}", class_=look)
    side = -1 if name[-1] == "0" else 1
    x, y = (start.x + end.x) / 2 + 9 * side, (start.y + end.y) / 2 + 4
    return line + label(name[-1], x, y, "ink mono", font_size=12, text_anchor="middle")


def _missing_child(places: Mapping[str, _Middle], way: Descent | None) -> str:
    if way is None or way.missing is None:
        return ""
    start, side = places[way.nodes[-1]], -1 if way.missing == "0" else 1
    x, y = start.x + side * _STUB, start.y + _STUB_DROP
    line = element("path", d=f"M{start.x:g} {start.y:g}L{x:g} {y:g}", class_="expected")
    anchor = "start" if side > 0 else "end"
    return line + label(
        f"no {way.missing}", x + 4 * side, y + 4, font_size=11.5, text_anchor=anchor
    )


def _node(place: _Middle, name: str, routes: Mapping[str, str], way: Descent | None) -> str:
    met = way is not None and name in way.nodes
    half = _BOX_WIDTH / 2 if name in routes else _RADIUS
    shape = _box(place, name, routes[name], met) if name in routes else _circle(place, met)
    number = label(
        str(len(name) + 1), place.x - half - 5, place.y - 5, "ink strong",
        font_size=12, text_anchor="end",
    )  # fmt: skip
    parts = [
        element("title", escape(f"{shown_bits(name)}: {routes.get(name, 'no route')}")),
        shape,
        number if met else "",
        _answer_badge(place) if way is not None and name == way.answer else "",
    ]
    return element("g", *parts)


def _box(place: _Middle, name: str, hop: str, met: bool) -> str:
    """Draw the box of a route; the paper below keeps lines from showing through."""
    x, y = place.x - _BOX_WIDTH / 2, place.y - _BOX_HEIGHT / 2
    size = {"x": x, "y": y, "width": _BOX_WIDTH, "height": _BOX_HEIGHT, "rx": 5}
    return "".join(
        (
            element("rect", class_="box", **size),
            element("rect", class_="chosen", **size) if met else "",
            fitted(hop, place.x, place.y - 2, _BOX_WIDTH - 8, 13, "ink strong"),
            label(shown_bits(name), place.x, place.y + 12, "quiet mono", font_size=11,
                  text_anchor="middle"),
        )
    )  # fmt: skip


def _circle(place: _Middle, met: bool) -> str:
    circle = {"cx": place.x, "cy": place.y, "r": _RADIUS}
    ring = element("circle", class_="chosen", **circle) if met else ""
    return element("circle", class_="neither", **circle) + ring


def _answer_badge(place: _Middle) -> str:
    x, y = place.x + _BOX_WIDTH / 2 + 4, place.y - _BOX_HEIGHT / 2 - 9
    return element("rect", x=x - 26, y=y - 1, width=52, height=15, rx=7, class_="calm") + label(
        "answer", x, y + 10, "on-mark strong", font_size=10.5, text_anchor="middle"
    )


def _legend(y: float, way: Descent | None) -> str:
    shapes = [
        element("circle", cx=30, cy=y - 4, r=_RADIUS, class_="neither"),
        label("node without a route", 46, y, "quiet", font_size=12),
        element("rect", x=184, y=y - 13, width=26, height=17, rx=4, class_="box"),
        label("route: next hop, prefix", 218, y, "quiet", font_size=12),
    ]
    if way is not None:
        shapes.append(element("path", d=f"M366 {y - 4:g}h26", class_="chosen"))
        shapes.append(label("way of the address, numbered", 400, y, "quiet", font_size=12))
    return "".join(shapes)

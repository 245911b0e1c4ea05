"""Draw a trie over the line of its addresses, with a band above the line for each route.

0 goes to the left and 1 to the right, and every node stands over the middle of the addresses that
begin with its bits. A square is a route, a circle only leads further down. Below the tree each
route is a band over its addresses, longer prefixes on top: what the plumb line from an address
meets last on its way up is the longest prefix that matches.

The way of an address is a thick line, its nodes are numbered in the order in which they are looked
at; where it ends early, a dashed line shows the child that is missing.
"""

__all__ = ["trie_diagram", "trie_scene"]

import itertools
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from course_lib.figures.drawing.letters import width_of
from course_lib.figures.drawing.room import Room
from course_lib.figures.drawing.scene import Part, Press, Scene, Slide, Touch
from course_lib.figures.drawing.svg import Figure, box, element, group, label, path
from course_lib.figures.lookup.trie_bands import Bands, levels_of
from course_lib.figures.lookup.trie_words import (
    Descent,
    addresses_of,
    nodes_of,
    shown_bits,
    way_of,
    words_of,
)

_LEFT, _RIGHT = 92.0, 836.0  # pixels, as all that follows; between these lies the line
_MARGIN = 24.0  # behind the line
_BITS_Y, _DIGIT = 40.0, 20.0  # the bits of the address, and the width of one
_ROOT_Y, _TREE, _ROW = 96.0, 222.0, 34.0
_NODE, _LEAST_APART = 9.0, 8.0  # half of the width of a node; from one node to the next
_READABLE = 8.0  # half of the width of a node that holds a number
_SMALL = 12.5
_USUAL_BITS = 8  # of addresses, where no address says how many they have


@dataclass(frozen=True, slots=True)
class _Plan:
    """Where things are: the bits of an address, the root's place, the height of a row, rows.

    `halves` holds half of the width of the nodes of each row; `right` is where the line ends.
    """

    bits: int
    top: float
    row: float
    deepest: int
    right: float
    halves: Mapping[int, float]

    def x(self, name: str) -> float:
        """Return the middle of a node's addresses."""
        first, last = addresses_of(name, self.bits)
        return (self.at(first) + self.at(last)) / 2

    def y(self, name: str) -> float:
        return self.top + len(name) * self.row

    def at(self, address: float) -> float:
        """Return the place of an address on the line."""
        return _LEFT + (address + 0.5) / (1 << self.bits) * (self.right - _LEFT)

    @property
    def foot(self) -> float:
        return self.top + self.deepest * self.row + 28


def _plan(nodes: Sequence[str], bits: int, has_way: bool) -> _Plan:
    """Make room: nodes of a row stay apart, and where they are too near the line gets longer."""
    deepest = max(map(len, nodes))
    row = min(_ROW, _TREE / max(deepest, 1))
    nearest: dict[int, float] = {}  # how far apart the nearest nodes of a row are, as a share
    for one, other in itertools.pairwise(sorted(nodes, key=lambda name: (len(name), name))):
        if len(one) == len(other):
            share = (int(other, 2) - int(one, 2)) / (1 << len(one))
            nearest[len(one)] = min(share, nearest.get(len(one), 1.0))
    line = max(_RIGHT - _LEFT, _LEAST_APART / min(nearest.values(), default=1.0))
    largest = min(_NODE, row / 2.2)
    halves = {
        depth: min(largest, nearest.get(depth, 1.0) * line / 2 - 1) for depth in range(deepest + 1)
    }
    top = _ROOT_Y if has_way else _ROOT_Y - _BITS_Y
    return _Plan(bits, top, row, deepest, _LEFT + line, halves)


def trie_diagram(routes: Mapping[str, str], address: str | None = None) -> Figure:
    """Return the trie of `routes`, and the way of an address in it.

    `routes` maps prefixes to next hops; prefixes and the address are bits as text, the empty text
    is the default route. Raises `ValueError` for anything else.

    >>> print(trie_diagram({"0": "Reed", "011": "Gull"}, "0100").title)
    Address 0100: 3 nodes looked at, answer Reed, prefix 0
    """
    return trie_scene(routes, way_of(routes, address)).figure()


def trie_scene(
    routes: Mapping[str, str],
    way: Descent,
    *,
    offered: Mapping[str, str] | None = None,
    fresh: Collection[str] = (),
) -> Scene:
    """Return the trie of `routes`, the way of an address in it, and what may be touched.

    `offered` are routes that may come in, those that are in among them; their bands can be pressed,
    and the address can be dragged. Without them nothing can be touched. `fresh` are nodes that have
    just been made.
    """
    all_routes = offered or routes
    longest = max(map(len, all_routes), default=0)
    bits = max(len(way.address) or _USUAL_BITS, longest)
    plan = _plan(nodes_of(all_routes), bits, bool(way.nodes))
    bands = Bands(levels_of(all_routes), plan.foot, plan.at, bits)
    nodes = nodes_of(routes)
    room = Room(66, plan.right + _MARGIN - 4)
    for name in nodes_of(all_routes):  # those to come too, so that no word moves for them
        half = plan.halves[len(name)]
        room.take(plan.x(name) - half, plan.y(name) - half, 2 * half, 2 * half)
    words = words_of(routes, way, bits, fresh)
    missing = _missing_child(plan, way, room)
    drawn = [_node(plan, name, routes, way, fresh, room) for name in nodes]
    parts = [
        Part("title", label(words.title, 20, 26, "ink strong", 16)),
        Part("margin", _margin(plan)),
        *(_edge(plan, name, way, room) for name in nodes if name),
        *missing,
        *drawn,
        *bands.parts(all_routes, routes, way),
        Part("line", bands.line()),
        Part("legend", _legend(bands.foot + 58, way, offered is not None)),
    ]
    if way.nodes:
        parts += _followed(plan, routes, way, bands)
    touches = _touches(plan, routes, way, offered) if offered else ()
    return Scene(words, (plan.right + _MARGIN, bands.foot + 72), tuple(parts), touches)


def _touches(
    plan: _Plan, routes: Mapping[str, str], way: Descent, offered: Mapping[str, str]
) -> tuple[Touch, ...]:
    last = (1 << plan.bits) - 1
    number = int(way.address, 2)
    spoken = f"{number}, in bits {way.address}"
    handle = Slide(
        "handle", "Address", "address", plan.at(0), plan.at(last), 0, last, number, spoken
    )
    presses = [
        Press(f"band {prefix}", f"Route {shown_bits(prefix)} to {hop}", "route", prefix,
              prefix in routes)
        for prefix, hop in sorted(offered.items())
    ]  # fmt: skip
    return (handle, *presses)


def _margin(plan: _Plan) -> str:
    names = ["root", "1 bit", *(f"{depth} bits" for depth in range(2, plan.deepest + 1))]
    every = 1 if plan.row >= _SMALL + 2 else 4
    return "".join(
        label(name, 62, plan.top + depth * plan.row + 4, "quiet", _SMALL, "end")
        for depth, name in enumerate(names[: plan.deepest + 1])
        if depth % every == 0
    )


def _edge(plan: _Plan, name: str, way: Descent, room: Room) -> Part:
    """Draw the line to a node from its parent, with its bit beside it."""
    parent = name[:-1]
    x1, y1, x2, y2 = plan.x(parent), plan.y(parent), plan.x(name), plan.y(name)
    line = path("chosen" if name in way.nodes else "axis", f"M{x1:g} {y1:g}L{x2:g} {y2:g}")
    side = -1 if name[-1] == "0" else 1
    beside = ((x1 + x2) / 2 + 8 * side, (y1 + y2) / 2 - 1, "middle")
    return Part(f"edge {name}", line + _words(room, name[-1], [beside], "ink mono"))


def _words(room: Room, words: str, places: Sequence[tuple[float, float, str]], look: str) -> str:
    """Write words at the first place that has room for them, or nowhere."""
    place = room.place(words, places, _SMALL, look) if words else None
    if place is None:
        return ""
    x, y, anchor = place
    return label(words, x, y, look, _SMALL, anchor)


def _missing_child(plan: _Plan, way: Descent, room: Room) -> list[Part]:
    if way.missing is None:
        return []
    last, side = way.nodes[-1], -1 if way.missing == "0" else 1
    x, y = plan.x(last), plan.y(last)
    line = path("expected", f"M{x:g} {y:g}l{side * 22:g} 20")
    ends = [(x + side * 26, y + 26, _anchor(side)), (x + side * 26, y + 14, _anchor(side))]
    return [Part("missing", line + _words(room, f"no {way.missing}", ends, "ink"))]


def _node(
    plan: _Plan,
    name: str,
    routes: Mapping[str, str],
    way: Descent,
    fresh: Collection[str],
    room: Room,
) -> Part:
    x, y, half = plan.x(name), plan.y(name), plan.halves[len(name)]
    met, hop = name in way.nodes, routes.get(name)
    looks = ["box" if hop else "neither", *(["chosen"] if met else [])]
    if name in fresh:
        looks.append("changed")
    shapes = [
        box(look, x - half, y - half, 2 * half, 2 * half, 2) if hop
        else element("circle", cx=x, cy=y, r=half, class_=look)
        for look in looks
    ]  # fmt: skip
    side = -1 if name.endswith("0") else 1
    number = str(len(name) + 1) if met else ""
    if half >= _READABLE:
        order = label(number, x, y + 4.5, "ink strong", _SMALL, "middle")
    else:  # too small to hold it
        order = label(number, x - side * (half + 3), y + 4.5, "ink strong", _SMALL, _anchor(-side))
    new = "new " if name in fresh else ""
    tip = f"{shown_bits(name)}: {hop or 'no route'}"
    around = [
        (x + turn * (half + 3), y + down, _anchor(turn))
        for down in (-8, 4) for turn in (side, -side)
    ]  # fmt: skip
    words = _words(room, f"{new}{hop or ''}".strip(), around, "ink haloed")
    return Part(f"node {name}", group(tip, *shapes, order, words))


def _anchor(side: int) -> str:
    return "start" if side > 0 else "end"


def _followed(plan: _Plan, routes: Mapping[str, str], way: Descent, bands: Bands) -> list[Part]:
    """Draw the address: its bits struck off as they are used, its plumb line, what is best."""
    number = addresses_of(way.address, plan.bits)[0]
    used = len(way.nodes) - 1
    digits = []
    for place, bit in enumerate(way.address):
        x = _LEFT + place * _DIGIT
        digits.append(label(bit, x + _DIGIT / 2, _BITS_Y + 15, "ink mono", 15, "middle"))
        if place < used:
            digits.append(path("chosen", f"M{x + 3:g} {_BITS_Y + 17:g}l{_DIGIT - 6:g} -14"))
    return [
        Part("bits", label("address", 62, _BITS_Y + 14, "quiet", _SMALL, "end") + "".join(digits)),
        Part("pocket", _pocket(plan, routes, way)),
        *bands.plumb(number, way),
        Part("handle", _handle(plan, number, way, bands.foot)),
    ]


def _pocket(plan: _Plan, routes: Mapping[str, str], way: Descent) -> str:
    """Draw what a walk has to remember: the best route so far."""
    held = "no route" if way.ended else "nothing"
    if way.answer is not None:
        held = f"{shown_bits(way.answer)} → {routes[way.answer]}"
    name = "answer" if way.ended else "best so far"
    room = 176.0
    x = plan.right - room
    return (
        label(name, x - 8, _BITS_Y + 14, "quiet", _SMALL, "end")
        + box("chosen", x, _BITS_Y - 2, room, 24, 5)
        + label(held, x + room / 2, _BITS_Y + 15, "ink strong", 13, "middle", room - 12)
    )


def _handle(plan: _Plan, number: int, way: Descent, y: float) -> str:
    """Draw the knob on the line, and below it the address in both ways of writing."""
    x = plan.at(number)
    words = f"{number} = {way.address}" if way.address else "0"
    half = width_of(words, 13, "mono strong") / 2
    middle = min(plan.right + 16 - half, max(8 + half, x))
    return (
        box("hit", x - 16, y - 14, 32, 32)
        + path("calm", f"M{x:g} {y:g}l9 14h-18z")
        + label(words, middle, y + 36, "ink mono strong", 13, "middle")
    )


def _legend(y: float, way: Descent, live: bool) -> str:
    shapes = [
        element("circle", cx=30, cy=y - 4, r=7, class_="neither"),
        label("node without a route", 44, y, "quiet", _SMALL),
        box("box", 186, y - 12, 16, 16, 2),
        label("node with a route", 210, y, "quiet", _SMALL),
        box("box", 334, y - 12, 30, 16, 3),
        label("addresses of a route", 372, y, "quiet", _SMALL),
    ]
    if live:
        shapes.append(box("gap", 514, y - 12, 30, 16, 3))
        shapes.append(label("press to insert; press again to withdraw", 552, y, "quiet", _SMALL))
    elif way.nodes:
        shapes.append(path("chosen", f"M514 {y - 4:g}h30"))
        shapes.append(label("way of the address, numbered", 552, y, "quiet", _SMALL))
    return "".join(shapes)

"""Draw a trie over the line of its addresses, with a band above the line for each route.

0 goes to the left and 1 to the right, and every node stands over the middle of the addresses that
begin with its bits. A square is a route, a circle only leads further down. Below the tree each
route is a band over its addresses, longer prefixes on top: what the plumb line from an address
meets last on its way up is the longest prefix that matches.

The way of an address is a thick line, its nodes are numbered in the order in which they are looked
at; where it ends early, a dashed line shows the child that is missing.
"""

__all__ = ["trie_diagram", "trie_scene"]

from collections.abc import Collection, Mapping, Sequence

from course_lib.figures.drawing.letters import width_of
from course_lib.figures.drawing.room import Room
from course_lib.figures.drawing.scene import Part, Press, Scene, Slide, Touch
from course_lib.figures.drawing.svg import Figure, box, element, group, label, path
from course_lib.figures.lookup.trie_bands import Bands, levels_of
from course_lib.figures.lookup.trie_plan import BITS_Y, LEFT, Plan, plan_of
from course_lib.figures.lookup.trie_question import Question
from course_lib.figures.lookup.trie_words import (
    Descent,
    addresses_of,
    nodes_of,
    rows_in_words,
    shown_bits,
    surroundings,
    way_of,
    words_of,
)

_MARGIN = 24.0  # behind the line, in pixels, as all that follows
_DIGIT = 20.0  # the width of a bit of the address
_READABLE = 8.0  # half of the width of a node that holds a number
_SMALL = 12.5
_USUAL_BITS = 8  # of addresses, where no address says how many they have


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
    question: Question | None = None,
) -> Scene:
    """Return the trie of `routes`, the way of an address in it, and what may be touched.

    `offered` are routes that may come in, those that are in among them; their bands can be pressed,
    and the address can be dragged. Without them nothing can be touched. `fresh` are nodes that have
    just been made. While a `question` is open, the way is not shown, and bands take the guess.
    """
    asks = question is not None and question.is_open
    address, way = way.address, Descent("") if asks else way
    all_routes = offered or routes
    longest = max(map(len, all_routes), default=0)
    bits = max(len(address) or _USUAL_BITS, longest)
    plan = plan_of(nodes_of(all_routes), bits, bool(way.nodes) or asks)
    bands = Bands(levels_of(all_routes), plan.foot, plan.at, bits)
    nodes = nodes_of(routes)
    room = Room(66, plan.right + _MARGIN - 4)
    for name in nodes_of(all_routes):  # those to come too, so that no word moves for them
        half = plan.halves[len(name)]
        room.take(plan.x(name) - half, plan.y(name) - half, 2 * half, 2 * half)
    words = words_of(routes, way, bits, fresh)
    words = words._replace(text=f"{words.text}\n{surroundings(plan.deepest, routes, all_routes)}")
    if question is not None:
        words = question.words(words, address, routes)
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
        Part("legend", _legend(bands.foot + 58, way, _hint(offered is not None, asks))),
    ]
    if asks:
        number = addresses_of(address, bits)[0]
        parts.append(Part("bits", _address_bits(address, 0)))
        parts.append(Part("handle", _handle(plan, number, address, bands.foot)))
    if way.nodes:
        parts += _followed(plan, routes, way, bands)
    if question is not None:
        parts += question.parts(bands, routes, (8, plan.right + 16))
    touches: tuple[Touch, ...]
    if question is not None and asks:
        touches = question.presses(routes)
    else:
        touches = _touches(plan, routes, way, offered) if offered else ()
    return Scene(words, (plan.right + _MARGIN, bands.foot + 72), tuple(parts), touches)


def _touches(
    plan: Plan, routes: Mapping[str, str], way: Descent, offered: Mapping[str, str]
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


def _margin(plan: Plan) -> str:
    names = rows_in_words(plan.deepest)
    every = 1 if plan.row >= _SMALL + 2 else 4
    return "".join(
        label(name, 62, plan.top + depth * plan.row + 4, "quiet", _SMALL, "end")
        for depth, name in enumerate(names)
        if depth % every == 0
    )


def _edge(plan: Plan, name: str, way: Descent, room: Room) -> Part:
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


def _missing_child(plan: Plan, way: Descent, room: Room) -> list[Part]:
    if way.missing is None:
        return []
    last, side = way.nodes[-1], -1 if way.missing == "0" else 1
    x, y = plan.x(last), plan.y(last)
    line = path("expected", f"M{x:g} {y:g}l{side * 22:g} 20")
    ends = [(x + side * 26, y + 26, _anchor(side)), (x + side * 26, y + 14, _anchor(side))]
    return [Part("missing", line + _words(room, f"no {way.missing}", ends, "ink"))]


def _node(
    plan: Plan,
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


def _followed(plan: Plan, routes: Mapping[str, str], way: Descent, bands: Bands) -> list[Part]:
    """Draw the address: its bits struck off as they are used, its plumb line, what is best."""
    number = addresses_of(way.address, plan.bits)[0]
    return [
        Part("bits", _address_bits(way.address, len(way.nodes) - 1)),
        Part("pocket", _pocket(plan, routes, way)),
        *bands.plumb(number, way),
        Part("handle", _handle(plan, number, way.address, bands.foot)),
    ]


def _address_bits(address: str, used: int) -> str:
    shapes = [label("address", 62, BITS_Y + 14, "quiet", _SMALL, "end")]
    for place, bit in enumerate(address):
        x = LEFT + place * _DIGIT
        shapes.append(label(bit, x + _DIGIT / 2, BITS_Y + 15, "ink mono", 15, "middle"))
        if place < used:
            shapes.append(path("chosen", f"M{x + 3:g} {BITS_Y + 17:g}l{_DIGIT - 6:g} -14"))
    return "".join(shapes)


def _pocket(plan: Plan, routes: Mapping[str, str], way: Descent) -> str:
    """Draw what a walk has to remember: the best route so far."""
    held = "no route" if way.ended else "nothing"
    if way.answer is not None:
        held = f"{shown_bits(way.answer)} → {routes[way.answer]}"
    name = "answer" if way.ended else "best so far"
    room = 176.0
    x = plan.right - room
    return (
        label(name, x - 8, BITS_Y + 14, "quiet", _SMALL, "end")
        + box("chosen", x, BITS_Y - 2, room, 24, 5)
        + label(held, x + room / 2, BITS_Y + 15, "ink strong", 13, "middle", room - 12)
    )


def _handle(plan: Plan, number: int, address: str, y: float) -> str:
    """Draw the knob on the line, and below it the address in both ways of writing."""
    x = plan.at(number)
    words = f"{number} = {address}" if address else "0"
    half = width_of(words, 13, "mono strong") / 2
    middle = min(plan.right + 16 - half, max(8 + half, x))
    return (
        box("hit", x - 16, y - 14, 32, 32)
        + path("calm", f"M{x:g} {y:g}l9 14h-18z")
        + label(words, middle, y + 36, "ink mono strong", 13, "middle")
    )


def _hint(live: bool, asks: bool) -> str:
    if asks:
        return "not in the table; press another one to guess"
    return "press to insert; press again to withdraw" if live else ""


def _legend(y: float, way: Descent, hint: str) -> str:
    shapes = [
        element("circle", cx=30, cy=y - 4, r=7, class_="neither"),
        label("node without a route", 44, y, "quiet", _SMALL),
        box("box", 186, y - 12, 16, 16, 2),
        label("node with a route", 210, y, "quiet", _SMALL),
        box("box", 334, y - 12, 30, 16, 3),
        label("addresses of a route", 372, y, "quiet", _SMALL),
    ]
    if hint:
        shapes.append(box("gap", 514, y - 12, 30, 16, 3))
        shapes.append(label(hint, 552, y, "quiet", _SMALL))
    elif way.nodes:
        shapes.append(path("chosen", f"M514 {y - 4:g}h30"))
        shapes.append(label("way of the address, numbered", 552, y, "quiet", _SMALL))
    return "".join(shapes)

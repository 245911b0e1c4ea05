"""Draw the line of addresses: nested prefixes over it, assignments on it, announcements beside it.

What is seen is one prefix, and the scale at the foot says how long it is: at /0 all addresses are
seen, at /32 one. Over the line stand boxes, a row for each length; the boxes around the address
are nested in each other, and each next bit of the address says into which half it goes.
"""

__all__ = ["address_line"]

from course_lib.figures.drawing.letters import width_of
from course_lib.figures.drawing.scene import Part, Scene, Slide, Touch
from course_lib.figures.drawing.svg import box, element, label, path
from course_lib.figures.prefixes.address_line_words import bits_of, words_of
from course_lib.figures.prefixes.address_view import FOOT, LEFT, RIGHT, SMALL, WIDTH, View
from course_lib.figures.prefixes.announcements import (
    Announced,
    announced_list,
    count_question,
    frame,
)
from course_lib.figures.prefixes.assignment_bands import (
    Plan,
    announced_bands,
    assigned_bands,
    touches,
)
from course_lib.figures.prefixes.nested_boxes import BOXES_TOP, boxes, covers, margin, ways
from course_lib.prefixes.text import format_address

_BIT, _BITS_Y = 15.0, 56.0
_SCALE_Y, _HEIGHT, _FULL = 388.0, 452.0, 32
_MARKS = (0, 8, 16, 24, 32)


def address_line(view: View, plan: Plan, announced: Announced) -> Scene:
    """Return the picture; while it asks, nothing can be changed, but all can be looked at."""
    words = words_of(view, plan, announced)
    asked = count_question(announced) if announced.asks else []
    told = [] if announced.asks else announced_bands(view, announced.now)
    parts = [
        *boxes(view),
        *assigned_bands(view, plan),
        *told,
        Part("covers", covers()),
        Part("title", label(words.title, 20, 26, "ink strong", 16)),
        Part("bits", _bits(view)),
        Part("margin", margin(view) + _rows(announced)),
        Part("line", _line(view)),
        Part("plumb", path("chosen", f"M{_place(view):g} {FOOT:g}V{FOOT - 8:g}")),
        Part("address", _handle(view)),
        Part("frame", frame(_SCALE_Y - BOXES_TOP)),
        *(asked or [Part("list", announced_list(announced))]),
        Part("scale", _scale()),
        Part("zoom", _knob(view)),
        Part("legend", _legend(announced.asks)),
    ]
    return Scene(words, (WIDTH, _HEIGHT), tuple(parts), _all_touches(view, plan, announced))


def _all_touches(view: View, plan: Plan, announced: Announced) -> tuple[Touch, ...]:
    seen = view.prefix
    count = f"/{view.length}"
    zoom = Slide(
        "zoom", "Length of what is seen", "zoom", _at(0), _at(_FULL), 0, _FULL, view.length, count
    )
    address = Slide(
        "address", "Address", "address", view.middle(seen.first), view.middle(seen.last),
        seen.first, seen.last, view.address, format_address(view.address),
    )  # fmt: skip
    moving = (address,) if seen.size > 1 else ()
    changing = () if announced.asks else touches(view, plan)
    return (*ways(view), *changing, *moving, zoom)


def _rows(announced: Announced) -> str:
    told = "" if announced.asks else label("announced", LEFT - 10, 289.5, "quiet", SMALL, "end")
    return label("assigned", LEFT - 10, 257.5, "quiet", SMALL, "end") + told


def _bits(view: View) -> str:
    """Draw the bits of the address; those that all that is seen has in common are in a box."""
    shapes = [label("in bits", LEFT - 10, _BITS_Y, "quiet", SMALL, "end")]
    if view.length:
        end = _bit_x(view.length - 1) + _BIT
        shapes.append(box("chosen", LEFT - 3, _BITS_Y - 14, end - LEFT + 5, 19, 3))
    for number, octet in enumerate(bits_of(view.address)):
        places = [_bit_x(number * 8 + bit) + _BIT / 2 for bit in range(8)]
        shapes.append(label(octet, places, _BITS_Y, "ink mono strong", 13.5, "middle"))
    return "".join(shapes)


def _bit_x(bit: int) -> float:
    return LEFT + bit * _BIT + bit // 8 * 14


def _place(view: View) -> float:
    return view.middle(view.address)


def _line(view: View) -> str:
    seen = view.prefix
    ticks = "".join(f"M{LEFT + (RIGHT - LEFT) * share / 4:g} {FOOT:g}v6" for share in range(5))
    first, last = format_address(seen.first), format_address(seen.last)
    ends = label(first, LEFT, FOOT + 46, "quiet", SMALL)
    if seen.size > 1:
        ends += label(last, RIGHT, FOOT + 46, "quiet", SMALL, "end")
    return path("axis", f"M{LEFT:g} {FOOT:g}H{RIGHT:g}{ticks}") + ends


def _handle(view: View) -> str:
    """Draw the knob on the line, and the address below it."""
    x, words = _place(view), format_address(view.address)
    half = width_of(words, 13, "mono strong") / 2
    middle = min(RIGHT + 8 - half, max(20 + half, x))
    return (
        box("hit", x - 16, FOOT - 10, 32, 30)
        + path("calm", f"M{x:g} {FOOT:g}l9 14h-18z")
        + label(words, middle, FOOT + 29, "ink mono strong", 13, "middle")
    )


def _at(length: int) -> float:
    return LEFT + (RIGHT - LEFT) * length / _FULL


def _scale() -> str:
    ticks = "".join(f"M{_at(one):g} {_SCALE_Y:g}v{6 if one in _MARKS else 3}" for one in range(33))
    marks = [label(f"/{one}", _at(one), _SCALE_Y + 20, "quiet", SMALL, "middle") for one in _MARKS]
    name = label("zoom", LEFT - 22, _SCALE_Y + 5, "quiet", SMALL, "end")
    return path("axis", f"M{_at(0):g} {_SCALE_Y:g}H{_at(_FULL):g}{ticks}") + name + "".join(marks)


def _knob(view: View) -> str:
    x = _at(view.length)
    return (
        box("hit", x - 16, _SCALE_Y - 20, 32, 40)
        + element("circle", cx=x, cy=_SCALE_Y, r=8, class_="calm")
        + label(f"/{view.length}", x, _SCALE_Y - 13, "ink strong", 13, "middle")
    )


def _legend(asks: bool) -> str:
    y = _HEIGHT - 14
    shapes = box("box", LEFT, y - 12, 26, 16, 2) + box("chosen", LEFT, y - 12, 26, 16, 2)
    shapes += label("holds the address; press a box to go there", LEFT + 34, y, "quiet", SMALL)
    if not asks:
        shapes += box("box", 420, y - 12, 26, 16, 3) + box("changed", 420, y - 12, 26, 16, 3)
        shapes += label("chosen: split it, join it, drag it", 454, y, "quiet", SMALL)
    return shapes

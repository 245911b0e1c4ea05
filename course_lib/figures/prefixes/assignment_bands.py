"""Two rows of bands over the line of addresses: what is assigned, and what is announced for it."""

__all__ = ["Plan", "announced_bands", "assigned_bands", "places_in", "touches"]

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from course_lib.figures.drawing.letters import width_of
from course_lib.figures.drawing.scene import Part, Press, Slide, Touch
from course_lib.figures.drawing.svg import box, group, label
from course_lib.figures.prefixes.address_view import LEFT, RIGHT, SMALL, View
from course_lib.figures.prefixes.assignments import Assigned
from course_lib.prefixes.prefix import Prefix

_ASSIGNED_Y, _ANNOUNCED_Y, _HEIGHT = 242.0, 274.0, 22.0
_SQUEEZED = 1.4  # by how much words may be too wide
_LEAST, _TOUCHED = 3.0, 24.0  # pixels: narrower ones are drawn so wide, or can't be touched


@dataclass(frozen=True, slots=True)
class Plan:
    """What is assigned, which of it is chosen, and under which key each part is known.

    A band that is moved keeps its key, so that the hand that holds it does not lose it.
    """

    assigned: Assigned
    chosen: Prefix
    keys: Mapping[Prefix, str]


def assigned_bands(view: View, plan: Plan) -> list[Part]:
    """Return a band for each assignment; the chosen one is on top and has a thick edge."""
    return [
        Part(
            plan.keys[prefix],
            _band(view, prefix, _ASSIGNED_Y, "changed" if prefix == plan.chosen else "box",
                  f"{holder}: {prefix}", [f"{holder} /{prefix.length}", holder]),
        )
        for prefix, holder in sorted(
            plan.assigned.items(), key=lambda one: (one[0] == plan.chosen, one[0])
        )
    ]  # fmt: skip


def announced_bands(view: View, announced: Iterable[Prefix]) -> list[Part]:
    """Return a band for each prefix that is announced."""
    return [
        Part(
            f"announced {prefix}",
            _band(view, prefix, _ANNOUNCED_Y, "calm", f"announced: {prefix}",
                  [str(prefix), f"/{prefix.length}"]),
        )
        for prefix in announced
    ]  # fmt: skip


def touches(view: View, plan: Plan) -> tuple[Touch, ...]:
    """Return the assignments as what can be chosen, and the chosen one as what can be dragged."""
    found: list[Touch] = []
    for prefix, holder in plan.assigned.items():
        if not view.shows(prefix) or view.span(prefix)[1] < _TOUCHED:
            continue
        if prefix != plan.chosen:
            name = f"Choose {holder}, {prefix}"
            found.append(Press(plan.keys[prefix], name, "choose", str(prefix)))
        elif places := places_in(view, prefix):
            found.append(_slide(view, plan, places))
    return tuple(found)


def places_in(view: View, prefix: Prefix) -> range:
    """Return the places to which a prefix can go and still be seen; nothing if there is no other.

    They are counted in prefixes of its length, from 0.0.0.0 on.
    """
    rest = 32 - prefix.length
    places = range(view.prefix.first >> rest, (view.prefix.last >> rest) + 1)
    return places if prefix.length > view.length else range(0)


def _slide(view: View, plan: Plan, places: range) -> Slide:
    prefix, low, high = plan.chosen, places[0], places[-1]
    rest = 32 - prefix.length
    return Slide(
        plan.keys[prefix], f"Move {plan.assigned[prefix]}", "move",
        view.at(low << rest), view.at(high << rest),
        low, high, prefix.network >> rest, str(prefix),
    )  # fmt: skip


def _band(view: View, prefix: Prefix, y: float, look: str, tip: str, words: list[str]) -> str:
    x, width = view.span(prefix)
    width = max(width, _LEAST)
    solid = look == "calm"
    edge = "" if look != "changed" else box("changed", x, y, width, _HEIGHT, 3)
    shapes = (box("calm" if solid else "box", x, y, width, _HEIGHT, 3), edge)
    if not view.shows(prefix):
        return "".join(shapes)
    left, right = max(x, LEFT), min(x + width, RIGHT)
    ink, room = "on-mark strong" if solid else "ink", right - left - 8
    fitting = [one for one in words if width_of(one, SMALL, ink) <= room * _SQUEEZED]
    written = (
        label(fitting[0], (left + right) / 2, y + 15.5, ink, SMALL, "middle", room)
        if fitting else ""
    )  # fmt: skip
    return group(tip, *shapes, written)

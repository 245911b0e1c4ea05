"""Draw the seven routers of the ferry network, their lines, and what travels on them.

An arrow at a router says to which neighbour it sends packets for the one destination, which is a
square. A line that is cut is broken and has a cross; lines on which packets go round are thick.
"""

__all__ = ["MAP_HEIGHT", "MAP_WIDTH", "Map"]

from collections.abc import Collection, Iterable, Mapping

from course_lib.ferry.changed_line import LINES
from course_lib.figures.drawing.scene import Part, Press, Touch
from course_lib.figures.drawing.svg import box, element, group, label, path
from course_lib.tracing.routing_talk import Travel

MAP_WIDTH, MAP_HEIGHT = 408.0, 188.0  # pixels, as all that follows
_SPOTS = {  # where a router stands, and its name: how far off, and how it is anchored
    "Plover": (40.0, 44.0, 0.0, -14.0, "middle"),
    "North Pier": (142.0, 44.0, 0.0, -14.0, "middle"),
    "Reed Pier": (268.0, 44.0, 0.0, -14.0, "middle"),
    "Curlew": (366.0, 88.0, 0.0, 24.0, "middle"),
    "Lantern Pier": (268.0, 126.0, 14.0, 14.0, "start"),
    "Gull Rock": (142.0, 126.0, -14.0, 14.0, "end"),
    "Sandpiper": (205.0, 172.0, 14.0, 8.0, "start"),
}
_SMALL, _RADIUS, _REACH, _ASIDE = 12.5, 7.0, 6.0, 7.0
_FIRST, _LAST = 0.14, 0.86  # where on its line a message leaves one circle and comes to the other


class Map:
    """One map; `key` tells its parts from those of another, `left` and `top` say where it is."""

    def __init__(self, key: str, left: float, top: float) -> None:
        self._key, self._left, self._top = key, left, top

    def lines(self, cut: Collection[str]) -> list[Part]:
        """Return all lines, whole or cut."""
        return [Part(f"{self._key} line {name}", self._line(name, name in cut)) for name in LINES]

    def loop(self, around: Collection[str]) -> list[Part]:
        """Return thick lines between routers that send packets in a circle."""
        pairs = [ends for ends in LINES.values() if {*ends} <= {*around}]
        d = "".join(f"{self._to(one, 'M')}{self._to(other, 'L')}" for one, other in pairs)
        return [Part(f"{self._key} loop", path("measured", d))] if d else []

    def arrows(self, next_hops: Mapping[str, Iterable[str]]) -> list[Part]:
        """Return for each router what points to where it sends packets."""
        return [
            Part(f"{self._key} arrow {place}", path("ink", "".join(
                self._arrow(place, neighbour) for neighbour in neighbours
            )))
            for place, neighbours in next_hops.items() if neighbours
        ]  # fmt: skip

    def routers(self, chosen: str, goal: str) -> list[Part]:
        """Return all routers with their names; the chosen one has a ring."""
        return [Part(f"{self._key} router {place}", self._router(place, chosen, goal))
                for place in _SPOTS]  # fmt: skip

    def legend(self, destination: str) -> list[Part]:
        """Return what arrows mean."""
        lines = ("arrows: next hops to", destination)
        return [Part(f"{self._key} legend", "".join(
            label(words, self._left, self._top + 167 + 15 * row, "quiet", _SMALL, room=178)
            for row, words in enumerate(lines)
        ))]  # fmt: skip

    def messages(self, travels: Mapping[int, Travel], time_s: float) -> list[Part]:
        """Return a dot for each message, where it is at a time; a lost one ends in a cross."""
        return [
            Part(f"{self._key} message {number}", self._message(travel, time_s))
            for number, travel in travels.items()
        ]

    def touches(self, cut: Collection[str], *, can_cut: bool) -> list[Touch]:
        """Return routers that can be chosen, and lines that can be cut or mended."""
        lines = [
            Press(f"{self._key} line {name}", f"{self._key}: line {name}", "line", name,
                  name not in cut)
            for name in LINES
        ]  # fmt: skip
        routers = [
            Press(f"{self._key} router {place}", f"{self._key}: table of {place}", "place", place)
            for place in _SPOTS
        ]
        return [*(lines if can_cut else ()), *routers]

    def _at(self, place: str) -> tuple[float, float]:
        x, y, *_ = _SPOTS[place]
        return self._left + x, self._top + y

    def _to(self, place: str, how: str) -> str:
        x, y = self._at(place)
        return f"{how}{x:g} {y:g}"

    def _between(self, one: str, other: str, share: float) -> tuple[float, float]:
        (x1, y1), (x2, y2) = self._at(one), self._at(other)
        return x1 + share * (x2 - x1), y1 + share * (y2 - y1)

    def _aside(self, one: str, other: str) -> tuple[float, float, float, float]:
        """Return the direction from one to the other, and the one to its side; each of length 1."""
        (x1, y1), (x2, y2) = self._at(one), self._at(other)
        far = ((x2 - x1) ** 2 + (y2 - y1) ** 2) ** 0.5
        along_x, along_y = (x2 - x1) / far, (y2 - y1) / far
        return along_x, along_y, -along_y, along_x

    def _line(self, name: str, is_cut: bool) -> str:
        one, other = LINES[name]
        _, _, aside_x, aside_y = self._aside(one, other)
        corners = [
            (x + side * 9 * aside_x, y + side * 9 * aside_y)
            for share, side in ((_FIRST, 1), (_LAST, 1), (_LAST, -1), (_FIRST, -1))
            for x, y in [self._between(one, other, share)]
        ]
        room = "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in corners) + "z"
        x, y = self._between(one, other, 0.5)
        cross = f"M{x - 5:g} {y - 5:g}l10 10M{x - 5:g} {y + 5:g}l10 -10" if is_cut else "M0 0"
        return group(
            f"{name}: cut" if is_cut else name,
            path("hit", room),
            path("gap" if is_cut else "axis", self._to(one, "M") + self._to(other, "L")),
            path("changed", cross),
        )

    def _arrow(self, place: str, neighbour: str) -> str:
        """Return a triangle beside the circle of a router that points to a neighbour."""
        x, y = self._at(place)
        along_x, along_y, aside_x, aside_y = self._aside(place, neighbour)
        foot, tip = _RADIUS + 6, _RADIUS + 18
        points = [
            (x + foot * along_x + side * _REACH * aside_x,
             y + foot * along_y + side * _REACH * aside_y) for side in (1, -1)
        ]  # fmt: skip
        points.append((x + tip * along_x, y + tip * along_y))
        return "M" + "L".join(f"{px:.1f} {py:.1f}" for px, py in points) + "z"

    def _router(self, place: str, chosen: str, goal: str) -> str:
        x, y = self._at(place)
        _, _, off_x, off_y, anchor = _SPOTS[place]
        ring = element("circle", cx=x, cy=y, r=_RADIUS + 4.5, class_="chosen")
        mark = (
            box("ink", x - _RADIUS, y - _RADIUS, 2 * _RADIUS, 2 * _RADIUS, 1)
            if place == goal
            else element("circle", cx=x, cy=y, r=_RADIUS, class_="neither")
        )
        look = "ink strong" if place == chosen else "ink"
        return group(
            place,
            element("circle", cx=x, cy=y, r=13, class_="hit"),
            ring if place == chosen else "",
            mark,
            label(place, x + off_x, y + off_y, look, _SMALL, anchor),
        )

    def _message(self, travel: Travel, time_s: float) -> str:
        tip = f"{travel.origin} tells {travel.target}: {travel.words}"
        if travel.is_lost:
            x, y = self._between(travel.origin, travel.target, 0.5)
            return group(tip, path("torn", f"M{x - 4:.1f} {y - 4:.1f}l8 8m0 -8l-8 8"))
        takes_s = travel.arrives_s - travel.leaves_s
        share = min(1.0, (time_s - travel.leaves_s) / takes_s)
        x, y = self._between(travel.origin, travel.target, _FIRST + share * (_LAST - _FIRST))
        _, _, aside_x, aside_y = self._aside(travel.origin, travel.target)
        x, y = x + _ASIDE * aside_x, y + _ASIDE * aside_y  # so that those that meet are two
        return group(tip, element("circle", cx=round(x, 1), cy=round(y, 1), r=4.6, class_="calm"))

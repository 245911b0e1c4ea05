"""Draw the stages of a router as stations on a track, and the packets that ride on it.

Time and way run from left to right. A packet is a box with the number of octets of its frame; one
that the router has made has round ends. Below the stations runs the slow path, a siding: bends lead
down where packets have left the track, and up where they came back. What has ended carries a word
and a shape: a cross for dropped, two bars for waiting, a tick for taken in.
"""

__all__ = ["FLAG_FOOT", "TRACK_HEIGHT", "Track"]

from collections.abc import Sequence
from dataclasses import dataclass

from course_lib.figures.drawing.letters import width_of
from course_lib.figures.drawing.scene import Part
from course_lib.figures.drawing.svg import box, element, group, label, path
from course_lib.figures.tracing.journey_places import Place, Token, Ways

_IN, _OUT, _FIRST, _LAST = 46.0, 596.0, 84.0, 558.0  # pixels; doors, ends of the stations
_TOP = 84.0  # of the tokens; above them is room for flags
_TOKEN, _RAIL, _STATION, _STATION_HEIGHT = 20.0, 107.0, 112.0, 25.0
_FALLEN, _SIDING, _SIDING_HEIGHT = 142.0, 170.0, 30.0
_SMALL = 12.5
_MOST_STATIONS, _MOST_TOKENS = 8, 4
_LONGEST_NAME = 16
TRACK_HEIGHT = _SIDING + _SIDING_HEIGHT
FLAG_FOOT = _TOP - 3


@dataclass(frozen=True, slots=True)
class Track:
    """The stations: their names, the ways that were taken, and which one is in sight.

    Of more than eight stations eight are drawn: those around the one in sight.
    """

    names: Sequence[str]
    ways: Ways
    sight: int

    @property
    def shown(self) -> range:
        """The places of the stations that are drawn."""
        first = max(0, min(self.sight - _MOST_STATIONS // 2, len(self.names) - _MOST_STATIONS))
        return range(first, min(len(self.names), first + _MOST_STATIONS))

    @property
    def _pitch(self) -> float:
        return (_LAST - _FIRST) / max(len(self.shown), 1)

    def x(self, stage: int) -> float:
        """Return the middle of a station; those out of sight are at the ends, the last one out."""
        if stage >= len(self.names):
            return _OUT
        place = stage - self.shown.start
        return _FIRST + (min(max(place, 0), len(self.shown) - 1) + 0.5) * self._pitch

    def rails(self, in_use: bool) -> list[Part]:
        """Return the track, its doors, and the siding with its bends."""
        top, foot = _STATION + _STATION_HEIGHT, _SIDING
        down = "".join(
            f"M{self.x(n) - 8:g} {top:g}V{foot:g}m-4 -6l4 6l4 -6" for n in self.ways.left
        )
        up = "".join(f"M{self.x(n) + 8:g} {foot:g}V{top:g}m-4 6l4 -6l4 6" for n in self.ways.back)
        siding = box(
            "box" if in_use else "gap", _FIRST, _SIDING, _LAST - _FIRST, _SIDING_HEIGHT, 15
        )
        doors = "".join(
            element("circle", cx=x, cy=_RAIL, r=5, class_="neither")
            + label(word, x, _RAIL + 21, "quiet", _SMALL, "middle")
            for x, word in ((_IN, "in"), (_OUT, "out"))
        )
        name = label(
            "slow path", _FIRST + 14, _SIDING + 20, "ink strong" if in_use else "quiet", 13
        )
        return [
            Part("rail", path("axis", f"M{_IN:g} {_RAIL:g}H{_OUT:g}") + doors),
            Part("siding", siding + name),
            *([Part("bends down", path("changed", down))] if down else []),
            *([Part("bends up", path("chosen", up))] if up else []),
        ]

    def stations(self) -> list[Part]:
        """Return a box for each station: dashed if the packet has not reached it yet."""
        parts = [self._station(place) for place in self.shown]
        for missing, x, anchor in (
            (self.shown.start, _FIRST - 2, "end"),
            (len(self.names) - self.shown.stop, _LAST + 2, "start"),
        ):
            if missing:
                words = label(f"+{missing}", x, _STATION + 16, "quiet", _SMALL, anchor)
                parts.append(Part(f"more {anchor}", words))
        return parts

    def _station(self, place: int) -> Part:
        name = self.names[place]
        short = name if len(name) < _LONGEST_NAME else f"{name[: _LONGEST_NAME - 1]}…"
        width, x = self._pitch - 8, self.x(place)
        is_now, is_reached = place == self.sight, place in self.ways.seen
        return Part(
            f"station {place}",
            group(
                name,
                box("hit", x - self._pitch / 2, _TOP, self._pitch, _STATION + 26 - _TOP),
                box("box" if is_reached else "gap", x - width / 2, _STATION, width,
                    _STATION_HEIGHT, 4),
                box("chosen" if is_now else "hit", x - width / 2, _STATION, width,
                    _STATION_HEIGHT, 4),
                label(short, x, _STATION + 17, "ink strong" if is_reached else "quiet", 13,
                      "middle", width - 8),
            ),
        )  # fmt: skip

    def out(self) -> Part:
        """Return the door by which packets leave, as something that can be pressed."""
        return Part("way out", box("hit", _OUT - 24, _TOP, 48, _STATION + 26 - _TOP))

    def tokens(self, tokens: Sequence[Token]) -> list[Part]:
        """Return all packets where they are; of many in one place, a few and their number."""
        parts: list[Part] = []
        for token in tokens:
            if token.place == Place.DOOR:
                parts += _token(token, _IN, _TOP)
            elif token.place == Place.STAGE:
                fallen = token.fate == "dropped"
                parts += _token(token, self.x(token.stage), _FALLEN if fallen else _TOP)
        return [*parts, *_outside(tokens), *_on_siding(tokens)]


def _outside(tokens: Sequence[Token]) -> list[Part]:
    """Draw what has left: the last one at the end of the rail, two of those before it below."""
    here = [token for token in tokens if token.place == Place.OUT]
    here.sort(key=lambda token: not token.is_next)
    tops = [_TOP, *(_RAIL + 28 + 23 * place for place in range(_MOST_TOKENS - 2))]
    parts = [part for token, y in zip(here, tops, strict=False) for part in _token(token, _OUT, y)]
    return parts + _more(len(here) - len(tops), _OUT, tops[-1] + 34, "middle")


def _on_siding(tokens: Sequence[Token]) -> list[Part]:
    """Draw what is on the slow path, side by side; of many also the one of the last step."""
    here = [token for token in tokens if token.place == Place.SIDING]
    drawn, x, parts = here[:_MOST_TOKENS], _FIRST + 104, []
    drawn[-1:] = [token for token in here[_MOST_TOKENS:] if token.is_next] or drawn[-1:]
    for token in drawn:
        parts += _token(token, x + _width(token) / 2, _SIDING + 5)
        x += _width(token) + 12 + (width_of(token.fate, _SMALL) + 18 if token.fate else 0)
    return parts + _more(len(here) - len(drawn), x, _SIDING + 20, "start")


def _more(count: int, x: float, y: float, anchor: str) -> list[Part]:
    """Say how many packets are not drawn."""
    if count < 1:
        return []
    return [Part(f"more {anchor} {y}", label(f"+ {count} more", x, y, "quiet", _SMALL, anchor))]


def _width(token: Token) -> float:
    return width_of(f"{token.octets:,}", _SMALL, "mono") + 14


def _token(token: Token, x: float, y: float) -> list[Part]:
    """Draw a packet, and beside it what has become of it; sent is told by where it is."""
    width = _width(token)
    corner = 10 if token.is_own else 3
    shape = group(
        "a packet of the router's own" if token.is_own else "the packet, or a part of it",
        box("calm", x - width / 2, y, width, _TOKEN, corner),
        box("expected" if token.is_next else "hit", x - width / 2 - 2, y - 2, width + 4,
            _TOKEN + 4, corner + 2),
        label(f"{token.octets:,}", x, y + 14.5, "on-mark mono strong", _SMALL, "middle"),
    )  # fmt: skip
    parts = [Part(f"token {token.key}", shape)]
    if token.fate and token.fate != "sent":
        left, middle = x + width / 2 + 5, y + _TOKEN / 2
        mark = {
            "dropped": path("changed", f"M{left:g} {middle - 5:g}l10 10m-10 0l10 -10"),
            "waits": path("changed", f"M{left + 2:g} {middle - 5:g}v10m6 -10v10"),
            "taken in": path("chosen", f"M{left:g} {middle:g}l4 5l7 -10"),
        }[token.fate]
        words = label(token.fate, left + 15, y + 14.5, "ink", _SMALL)
        parts.append(Part(f"fate {token.key}", mark + words))
    return parts

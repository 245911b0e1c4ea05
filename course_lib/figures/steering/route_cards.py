"""Write the routes of a router in three columns, each to be chosen; what is new carries a mark."""

__all__ = ["MOST_ROUTES", "ROUTES_HEIGHT", "route_cards", "route_touches"]

from functools import lru_cache

from course_lib.figures.drawing.scene import Part, Press, Touch
from course_lib.figures.drawing.svg import box, label
from course_lib.figures.steering.router_view import Chosen, Kind, RouterView, route_words
from course_lib.steering.states import RouteState

_COLUMNS, _ROWS, _PITCH, _HEAD = 3, 6, 24.0, 20.0  # pixels
_LEFT, _WIDTH, _PREFIX, _SMALL = 12.0, 312.0, 126.0, 12.5
MOST_ROUTES = _COLUMNS * _ROWS
ROUTES_HEIGHT = _HEAD + _ROWS * _PITCH


def route_cards(view: RouterView, top: float) -> tuple[Part, ...]:
    """Return the parts of all routes that find room."""
    return _cards(view.state.routes, view.chosen, top)


@lru_cache(maxsize=4)  # most pictures show the same routes as the one before
def _cards(routes: tuple[RouteState, ...], chosen: Chosen, top: float) -> tuple[Part, ...]:
    more = len(routes) - MOST_ROUTES
    head = label("Routes", _LEFT + 4, top + 13, "ink strong", 13)
    note = f"{more} more are in the text" if more > 0 else ""
    if not routes:
        note = "This router tells of no routes."
    head += label(note, _LEFT + 62, top + 13, "quiet", _SMALL)
    parts = [Part("head of routes", head)]
    for number, route in enumerate(routes[:MOST_ROUTES]):
        x = _LEFT + number // _ROWS * _WIDTH
        y = top + _HEAD + number % _ROWS * _PITCH
        is_chosen = chosen == Chosen(Kind.ROUTE, str(route.prefix))
        frame = box("chosen" if is_chosen else "hit", x, y, _WIDTH - 8, _PITCH - 1, 4)
        words = label(str(route.prefix), x + 6, y + 16, "ink mono", _SMALL, room=_PREFIX + 8)
        where = label(
            route_words(route), x + _PREFIX + 20, y + 16, "ink", _SMALL, room=_WIDTH - _PREFIX - 32
        )
        parts.append(Part(f"route {route.prefix}", words + where + frame))
    return tuple(parts)


def route_touches(view: RouterView) -> list[Touch]:
    """Return the routes as what can be chosen."""
    return [
        Press(f"route {route.prefix}", f"Route to {route.prefix} by {route_words(route)}", "route",
              str(route.prefix), view.chosen == Chosen(Kind.ROUTE, str(route.prefix)))
        for route in view.state.routes[:MOST_ROUTES]
    ]  # fmt: skip

"""A running router as one picture: stages, lines with their queues and rates, routes, books.

Whatever is pressed is chosen, and the controls of the page are then about it.
"""

__all__ = ["router_scene"]

from course_lib.figures.drawing.scene import Part, Press, Scene, Touch
from course_lib.figures.drawing.svg import box, label, path
from course_lib.figures.steering.line_rows import RowPlan, line_rows, line_touches
from course_lib.figures.steering.route_cards import ROUTES_HEIGHT, route_cards, route_touches
from course_lib.figures.steering.router_books import (
    balance_words,
    complaint_words,
    dropped_words,
    neighbour_words,
    other_words,
)
from course_lib.figures.steering.router_view import RouterView
from course_lib.figures.steering.router_words import router_words
from course_lib.figures.steering.stage_chain import stage_chain, stage_touches

_WIDTH, _SMALL, _PITCH = 960.0, 12.5, 18.0  # pixels
_BUTTONS, _BUTTON_HEIGHT = 800.0, 26.0


def router_scene(view: RouterView) -> Scene:
    """Return the picture of a router as it is now."""
    words = router_words(view)
    foot = RowPlan(len(view.lines)).foot + 8
    parts = [*_title(view, words.title), *stage_chain(view), *line_rows(view)]
    parts += route_cards(view, foot)
    books = _books(view)
    for number, line in enumerate(books):
        look = "ink strong" if line is books[0] else "ink"
        y = foot + ROUTES_HEIGHT + 18 + number * _PITCH
        parts.append(Part(f"books {number}", label(line, 16, y, look, _SMALL, room=_WIDTH - 32)))
    height = foot + ROUTES_HEIGHT + 12 + len(books) * _PITCH
    touches: list[Touch] = [_hold(view)]
    touches += [*stage_touches(view), *line_touches(view), *route_touches(view)]
    return Scene(words, (_WIDTH, height), tuple(parts), tuple(touches))


def _title(view: RouterView, title: str) -> list[Part]:
    """Return title, time, and the button that holds the picture, or starts the router again."""
    time = "" if view.trouble else view.time
    mark = path("alert", "M16 24h16l-8 -16z") if view.trouble else ""
    x = 40.0 if view.trouble else 16.0
    name = "Start again" if view.trouble else "Go on" if view.is_held else "Hold the picture"
    button = box("box", _BUTTONS, 6, _WIDTH - _BUTTONS - 12, _BUTTON_HEIGHT, 5)
    button += label(name, (_BUTTONS + _WIDTH - 12) / 2, 24, "ink", 13, "middle")
    return [
        Part("title", mark + label(title, x, 24, "ink strong", 15, room=560)),
        Part("time", label(time, _BUTTONS - 16, 24, "quiet", 13, "end")),
        Part("hold", button),
    ]


def _hold(view: RouterView) -> Press:
    if view.trouble:
        return Press("hold", "Start the router again", "start again", "")
    return Press("hold", "Hold the picture", "hold", "", view.is_held)


def _books(view: RouterView) -> list[str]:
    """Return the sentences below; always as many, so that nothing jumps."""
    counters = view.state.counters
    rest = other_words(counters)
    return [
        balance_words(counters),
        dropped_words(counters),
        f"Also: {rest}." if rest else "",
        neighbour_words(view.state),
        complaint_words(view.state) or "No stage has failed.",
    ]

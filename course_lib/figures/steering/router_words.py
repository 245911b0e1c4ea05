"""A running router in words: the title, all that the picture shows as text, and what is heard."""

__all__ = ["router_words"]

from course_lib.figures.drawing.svg import Words
from course_lib.figures.steering.line_rows import top_rate
from course_lib.figures.steering.router_books import (
    balance_words,
    dropped_words,
    neighbour_words,
    other_words,
)
from course_lib.figures.steering.router_view import (
    STRIP_S,
    RouterView,
    line_words,
    rate_words,
    route_words,
    whole_or_cut,
)
from course_lib.prefixes.text import format_address
from course_lib.steering.states import InterfaceState


def router_words(view: RouterView) -> Words:
    """Return all words of a picture."""
    state = view.state
    title = f"{state.name} has stopped" if view.trouble else f"{state.name} is running"
    stages = " > ".join(state.stages) or "no list of stages"
    lines = [
        f"{title}, {view.time}. {view.trouble}".rstrip(),
        f"Stages: {stages}",
        "",
        f"Lines; rates are those of the last {STRIP_S} s, on an axis from 0 to "
        f"{rate_words(top_rate(view))}:",
        *(_line(view, line) for line in state.interfaces),
        "",
        f"Routes ({len(state.routes)}):",
        *(f"  {route.prefix!s:<18}  {route_words(route)}" for route in state.routes),
        "",
        balance_words(state.counters),
        dropped_words(state.counters),
        other_words(state.counters),
        neighbour_words(state),
        *(state.complaints or ("No stage has failed.",)),
    ]
    return Words(title, "\n".join(lines), _spoken(view))


def _line(view: RouterView, line: InterfaceState) -> str:
    limit = "" if line.queue_packets is None else f" of {line.queue_packets}"
    return (
        f"  {line.name} ({format_address(line.address)}/{line.prefix_length}): "
        f"{whole_or_cut(line)}, {line_words(line)}; waiting {line.waiting_packets}{limit}, "
        f"dropped {line.dropped_packets}, lost {line.lost_packets}; sent {line.sent_frames:,} "
        f"frames, received {line.received_frames:,}; now {rate_words(view.rate(line.name))}"
    )


def _spoken(view: RouterView) -> str:
    state = view.state
    lines = "; ".join(
        f"{line.name} {whole_or_cut(line)}, {line.waiting_packets} packets wait"
        for line in state.interfaces
    )
    return f"{len(state.interfaces)} lines: {lines}. {len(state.routes)} routes. {view.trouble}"

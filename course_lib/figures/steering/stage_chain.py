"""Draw the stages of a router in a chain, in the order in which a packet passes them."""

__all__ = ["stage_chain", "stage_touches"]

from functools import lru_cache

from course_lib.figures.drawing.scene import Part, Press, Touch
from course_lib.figures.drawing.svg import box, label, path
from course_lib.figures.steering.router_view import Chosen, Kind, RouterView

_TOP, _HEIGHT, _SMALL = 44.0, 26.0, 12.5  # pixels
_LEFT, _RIGHT, _WIDEST, _GAP = 74.0, 948.0, 128.0, 16.0
_MOST = 12  # stages that are drawn


def stage_chain(view: RouterView) -> tuple[Part, ...]:
    """Return the parts of the chain; a router without a list of stages says so."""
    return _chain(view.state.stages[:_MOST], view.chosen)


@lru_cache(maxsize=4)  # most pictures show the same stages as the one before
def _chain(stages: tuple[str, ...], chosen: Chosen) -> tuple[Part, ...]:
    y = _TOP + 17
    head = label("Stages", 16, y, "ink strong", 13)
    if not stages:
        words = "This router has no list of stages that could be seen or swapped."
        return (Part("head of stages", head + label(words, _LEFT, y, "quiet", _SMALL)),)
    width = _width(len(stages))
    rail = path("axis", f"M{_LEFT:g} {y - 4:g}H{_LEFT + len(stages) * (width + _GAP) - _GAP:g}")
    parts = [Part("head of stages", head + rail)]
    for number, name in enumerate(stages):
        x = _LEFT + number * (width + _GAP)
        is_chosen = chosen == Chosen(Kind.STAGE, name)
        frame = box("neither", x, _TOP, width, _HEIGHT, 4)
        words = label(name, x + width / 2, y, "ink", 13, "middle", room=width - 10)
        around = box("chosen", x, _TOP, width, _HEIGHT, 4) if is_chosen else ""
        parts.append(Part(f"stage {name}", frame + words + around))
    return tuple(parts)


def stage_touches(view: RouterView) -> list[Touch]:
    """Return the stages as what can be chosen."""
    return [
        Press(f"stage {name}", f"Stage {name}", "stage", name,
              view.chosen == Chosen(Kind.STAGE, name))
        for name in view.state.stages[:_MOST]
    ]  # fmt: skip


def _width(count: int) -> float:
    return min(_WIDEST, (_RIGHT - _LEFT + _GAP) / count - _GAP)

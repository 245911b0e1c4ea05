"""Draw two protocols side by side after one change: maps, a table of each, and what was lost.

Each scene is a moment at which somebody tells or learns something, in one of the two or in both.
The first one is the time before the change, the last one is when nobody has learned anything for
long.
"""

__all__ = ["RoutesView", "routes_scenes"]

import itertools
from collections.abc import Mapping
from typing import NamedTuple

from course_lib.ferry.changed_line import OWNERS, WAYS, Change, Story
from course_lib.figures.drawing.flags import flags
from course_lib.figures.drawing.scene import Part, Scene, Slide, Touch
from course_lib.figures.drawing.svg import label
from course_lib.figures.routing.ferry_map import MAP_HEIGHT, MAP_WIDTH, Map
from course_lib.figures.routing.loss_axis import (
    GUESSES,
    LEFT,
    LOSS_HEIGHT,
    RIGHT,
    guess_s,
    loss_axis,
    time_words,
    x_of,
)
from course_lib.figures.routing.route_rows import TABLE_HEIGHT, route_rows
from course_lib.figures.routing.routes_words import Side, loss_row, routes_words, telling

_WIDTH, _MARGIN, _SMALL = 860.0, 16.0, 12.5  # pixels, as all that follows
_HEADS, _MAPS = 44.0, 50.0
_TOLD = _MAPS + MAP_HEIGHT + 14
_TABLES = _TOLD + 8
_FLAG_FOOT = _TABLES + TABLE_HEIGHT + 28
_LOST = _FLAG_FOOT + 2
_HEIGHT = _LOST + LOSS_HEIGHT
_SAME_S = 1e-6  # moments of both sides that lie so close are one
_FIRST_GUESS = 30  # where the flag stands until it is moved: a second


class RoutesView(NamedTuple):
    """What is shown: a change and what came of it, the chosen router, the guess in tenths.

    asks: the change has not happened yet, and nothing tells what will come.
    """

    change: Change
    stories: Mapping[str, Story]
    place: str
    guess: int | None
    asks: bool


def routes_scenes(view: RoutesView) -> tuple[Scene, ...]:
    """Return the time before the change, and when it is no longer asked, all moments after it."""
    times: list[float | None] = [None]
    if not view.asks:
        times += _moments(view)
    sides = [[_side(view, way, before, now) for way in WAYS] for before, now in _pairs(times)]
    earlier = [sides[0], *sides]
    return tuple(
        _scene(view, now, pair, old, is_last=now is not None and now == times[-1])
        for now, pair, old in zip(times, sides, earlier, strict=False)
    )


def _pairs(times: list[float | None]) -> list[tuple[float | None, float | None]]:
    return list(itertools.pairwise([None, *times]))


def _moments(view: RoutesView) -> list[float]:
    """Return the moments of both sides in order, and the time at which all is quiet."""
    found = sorted(time_s for story in view.stories.values() for time_s in story.talk.moments_s)
    moments = [0.0]
    for time_s in found:
        if time_s > moments[-1] + _SAME_S:
            moments.append(time_s)
    return [*moments, max(story.ends_s for story in view.stories.values())]


def _side(view: RoutesView, way: str, before: float | None, now: float | None) -> Side:
    """Return what of one protocol there is to see at a moment; `before` is the moment before."""
    story, goal = view.stories[way], OWNERS[view.change.destination]
    if now is None:
        return Side.of(way, story.talk.before, {}, view.change.destination, goal)
    until_s, since_s = now + _SAME_S, -1.0 if before is None else before + _SAME_S
    under_way = {
        number: travel
        for number, travel in enumerate(story.talk.travels)
        if travel.leaves_s <= until_s
        and (travel.leaves_s if travel.is_lost else travel.arrives_s) > since_s
    }
    tables = story.talk.tables_at(until_s)
    return Side.of(way, tables, under_way, view.change.destination, goal)


def _scene(
    view: RoutesView, now: float | None, sides: list[Side], old: list[Side], *, is_last: bool
) -> Scene:
    change = view.change
    cut = change.cut_before if now is None else change.cut_after
    rows = [
        loss_row(view.stories[side.way], change, side.way, now, is_last=is_last) for side in sides
    ]
    words = routes_words(change, view.place, now, sides, rows, _guess_words(view), is_last=is_last)
    title = label(words.title, _MARGIN, 20, "ink strong", 15, room=_WIDTH - 2 * _MARGIN)
    parts, touches = [Part("title", title)], list[Touch]()
    for number, (side, before) in enumerate(zip(sides, old, strict=True)):
        left = _MARGIN + number * (_WIDTH - 2 * _MARGIN - MAP_WIDTH)
        drawn = Map(side.way, left, _MAPS)
        parts += _map_parts(view, drawn, side, cut, now or 0.0)
        parts += _around_map(view, side, before, left)
        touches += drawn.touches(cut, can_cut=not view.asks)
    parts += loss_axis(rows, now, _LOST)
    if view.asks or view.guess is not None:
        tenths = _FIRST_GUESS if view.guess is None else view.guess
        at, said = guess_s(tenths), _guess_words(view) or "drag me"
        parts += flags(_FLAG_FOOT, (LEFT, RIGHT), guess=(x_of(at), said), up=24)
    if view.asks:
        ends = LEFT, RIGHT, GUESSES[0], GUESSES[-1]
        touches.append(Slide("guess", "Your guess", "guess", *ends, tenths, time_words(at)))
    return Scene(words, (_WIDTH, _HEIGHT), tuple(parts), tuple(touches))


def _map_parts(
    view: RoutesView, drawn: Map, side: Side, cut: frozenset[str], time_s: float
) -> list[Part]:
    return [
        *drawn.lines(cut),
        *drawn.loop(side.loop or ()),
        *drawn.arrows(side.next_hops),
        *drawn.legend(view.change.destination),
        *drawn.messages(side.under_way, time_s),
        *drawn.routers(view.place, OWNERS[view.change.destination]),
    ]


def _around_map(view: RoutesView, side: Side, before: Side, left: float) -> list[Part]:
    """Return what stands above and below a map: whose it is, what is told, a table."""
    key, place = side.way, view.place
    heading = f"{side.way.capitalize()}{': packets go round' if side.loop else ''}"
    return [
        Part(f"{key} heading", label(heading, left, _HEADS, "ink strong", 13)),
        Part(f"{key} telling", label(telling(side), left, _TOLD, "quiet", _SMALL, room=MAP_WIDTH)),
        *route_rows(f"{key} table", f"Table of {place}", side.rows(place), before.rows(place),
                    left, _TABLES),
    ]  # fmt: skip


def _guess_words(view: RoutesView) -> str:
    return "" if view.guess is None else f"your guess: {time_words(guess_s(view.guess))}"

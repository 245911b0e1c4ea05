"""A figure as plain data: its parts, and what of them may be touched.

A scene says once what a figure shows. From it come the picture, its text, the sentence for who
listens, and the live view, in which parts move from where they were to where they are, and those
that may be touched answer to the pointer and to keys. So a scene holds numbers and markup, and
nothing that happens.
"""

__all__ = ["Part", "Press", "Scene", "Slide", "Touch"]

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from operator import eq
from typing import Any, TypeVar

from course_lib.figures.drawing.svg import Figure, Words, drawing, element

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Part:
    """A piece of a picture. What has the same key in the next scene is the same thing, moved.

    `markup` is made by the functions of `svg`; parts are drawn in order, later ones on top.
    """

    key: str
    markup: str


@dataclass(frozen=True, slots=True)
class Press:
    """A part that is pressed: by a click, or by Space or Enter when it has the focus.

    `name` is read out; `action` and `value` are what the figure is told. `is_on` says whether the
    part stands for something that is there now, as a switch does; None: it is no switch.
    """

    key: str
    name: str
    action: str
    value: str | int
    is_on: bool | None = None


@dataclass(frozen=True, slots=True)
class Slide:
    """A part that is dragged along a level line, or moved with arrow keys.

    The line runs from `left` to `right`, in pixels of the scene, and stands for the whole numbers
    from `low` to `high`; `now` is the number at which the part is, `words` how it is read out.
    """

    key: str
    name: str
    action: str
    left: float
    right: float
    low: int
    high: int
    now: int
    words: str


Touch = Press | Slide


@dataclass(frozen=True, slots=True)
class Scene:
    """One state of a figure: words, width and height in pixels, parts, and what may be touched."""

    words: Words
    size: tuple[float, float]
    parts: tuple[Part, ...]
    touches: tuple[Touch, ...] = ()

    def __post_init__(self) -> None:
        keys = {part.key for part in self.parts}
        if len(keys) < len(self.parts):
            raise ValueError("two parts of a scene have the same key")
        if missing := [touch.key for touch in self.touches if touch.key not in keys]:
            raise ValueError(f"there is no part {missing[0]!r} that could be touched")
        if len({touch.key for touch in self.touches}) < len(self.touches):
            raise ValueError("a part of a scene can be touched in one way only")

    def figure(self) -> Figure:
        """Return the still picture with its words."""
        return drawing(self.words, self.size, *(part.markup for part in self.parts))

    def as_data(self, before: "Scene | None" = None) -> dict[str, Any]:
        """Return for the page, as what JSON can hold, what is new in it since `before`.

        `before` is the scene that the page has in front of this one; without it all is new. Of
        parts, and of what may be touched, "order" has all keys, or None where these are as before;
        "new" has pairs of a key and what is new or has changed.
        """
        title, text, spoken = self.words
        parts, touches = before._by_key() if before else ({}, {})
        own_parts, own_touches = self._by_key()
        return {
            "title": title,
            "text": text,
            "spoken": spoken,
            "size": list(self.size),
            "parts": _news(own_parts, parts, _as_group),
            "touches": _news(own_touches, touches, _touch_as_data),
        }

    def _by_key(self) -> tuple[dict[str, str], dict[str, Touch]]:
        return (
            {part.key: part.markup for part in self.parts},
            {touch.key: touch for touch in self.touches},
        )


def _news(
    now: Mapping[str, T], before: Mapping[str, T], as_data: Callable[[T], Any]
) -> dict[str, Any]:
    same_order = len(now) == len(before) and all(map(eq, now, before))
    changed = [
        [key, as_data(one)]
        for key, one in now.items()
        if (was := before.get(key)) is not one and was != one  # most are the very same
    ]
    return {"order": None if same_order else list(now), "new": changed}


def _as_group(markup: str) -> str:
    return element("g", markup or "<g/>")


def _touch_as_data(touch: Touch) -> dict[str, Any]:
    names = type(touch).__slots__  # the names of its fields, in order
    return {"kind": type(touch).__name__.lower()} | {name: getattr(touch, name) for name in names}

"""What the instructor wishes at the screen: read from what the page sent, and checked."""

__all__ = ["Wish", "WishError", "read_wish"]

import json
from dataclasses import dataclass
from typing import Literal, cast, get_args

from instructor.joined_room.room_view import RoomView

WishKind = Literal["pull", "mend", "stream", "follow"]


class WishError(ValueError):
    """A wish that cannot be granted; the message is for the person at the screen."""


@dataclass(frozen=True)
class Wish:
    """Pull or mend `link`; send a stream, or follow one packet, from `source` to `destination`.

    A stream from nowhere to nowhere ends the one that runs.
    """

    kind: WishKind
    link: int | None = None
    source: str | None = None
    destination: str | None = None


def read_wish(text: str | bytes, view: RoomView) -> Wish:
    """Return the wish that the page sent. Raises `WishError` for what this room does not have.

    >>> read_wish('{"wish": "pull", "link": 7}', RoomView("Quay", "", 0.0, (), ()))
    Traceback (most recent call last):
    instructor.joined_room.screen.screen_wishes.WishError: there is no link 7 in this room
    """
    try:
        told = json.loads(text)
    except ValueError as error:  # also of octets that are no UTF-8
        raise WishError(f"a wish must be JSON: {error}") from None
    kind = told.get("wish") if isinstance(told, dict) else None
    if kind not in get_args(WishKind):
        raise WishError(f"a wish is one of {', '.join(get_args(WishKind))}, not {kind!r:.40}")
    if kind in ("pull", "mend"):
        link = told.get("link")
        if type(link) is not int or link not in {each.number for each in view.links}:
            raise WishError(f"there is no link {link!r:.40} in this room")
        return Wish(cast(WishKind, kind), link=link)
    ends = told.get("source"), told.get("destination")
    if kind == "stream" and ends == (None, None):
        return Wish("stream")
    piers = {each.pier for each in view.members}
    for end in ends:
        if not isinstance(end, str) or end not in piers:
            raise WishError(f"there is no pier {end!r:.40} in this room")
    if ends[0] == ends[1]:
        raise WishError("choose two piers that differ")
    source, destination = cast(tuple[str, str], ends)
    return Wish(cast(WishKind, kind), source=source, destination=destination)

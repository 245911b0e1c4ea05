"""A day that runs late: the rest of it anew, with what is done taken out."""

__all__ = ["rest_of"]

import datetime
from collections.abc import Collection

from instructor.planning.request import LIKE, MUST, Request, Session, Wish


def rest_of(request: Request, now: datetime.datetime, done: Collection[str]) -> Request:
    """Return the request for the time that is left; raises `ValueError` if there is none.

    Units that are done count as known. What had to be taught need no longer be, but is worth most:
    so a timetable is found whatever the hour, and what it leaves out is what to cut.
    """
    habits = request.habits
    if now > request.sessions[0].start:
        habits = habits._replace(set_up_min=0)
    sessions = tuple(
        Session(max(one.start, now), one.end) for one in request.sessions if one.end > now
    )
    if not sessions:
        raise ValueError(f"the last session was over at {request.sessions[-1].end:%H:%M}.")
    wishes = tuple(wish for wish in request.wishes if wish.unit not in done)
    return Request(
        request.title, sessions, wishes, request.known | frozenset(done), request.people,
        request.machines, request.time_zone, habits,
    )  # fmt: skip


def still_binding(wishes: Collection[Wish]) -> tuple[Wish, ...]:
    """Return the wishes that still bind on a late day: all but those for more."""
    return tuple(wish for wish in wishes if wish.word not in (MUST, LIKE))


__all__ += ["still_binding"]

"""What somebody who plans a course asks for: the time there is, wishes, people, habits.

The habits of planning are common practice, no published source; each is a setting.
"""

__all__ = [
    "AVOID",
    "DEFAULT_HABITS",
    "LIKE",
    "MUST",
    "SHOW",
    "Habits",
    "Request",
    "Session",
    "Wish",
]

import datetime
from collections.abc import Collection
from dataclasses import dataclass
from typing import NamedTuple

MUST, LIKE, SHOW, AVOID = "must", "like", "show", "avoid"


class Session(NamedTuple):
    """A stretch of time without a break, from `start` to `end`: both with an offset from UTC."""

    start: datetime.datetime
    end: datetime.datetime

    @property
    def minutes(self) -> int:
        """How long it is."""
        return int((self.end - self.start).total_seconds() // 60)


class Wish(NamedTuple):
    """A unit, by its whole name, and what is wished of it: one of the four words above."""

    unit: str
    word: str

    def __str__(self) -> str:
        return f"{self.word} {self.unit}"


class Habits(NamedTuple):
    """How a day is planned; minutes and shares. Without a published source."""

    set_up_min: int = 20  # at the very start
    open_questions_min: int = 5  # at the end of every day
    discussion_min: int = 15  # at the very end, before
    survey_min: int = 10  # the survey, which is the last thing
    slack: float = 0.1  # of every half day
    lunch_min: int = 45  # a break of at least so long around noon is lunch
    blocks_in_part: int = 2  # who teaches a unit in part teaches so many of its blocks at least
    people_at_a_machine: int = 2


DEFAULT_HABITS = Habits()


@dataclass(frozen=True, slots=True)
class Request:
    """What is asked for.

    `known` are units that the class can do already. With `machines` None everybody brings one.
    """

    title: str
    sessions: tuple[Session, ...]
    wishes: tuple[Wish, ...]
    known: frozenset[str] = frozenset()
    people: int = 2
    machines: int | None = None
    time_zone: str = "UTC"
    habits: Habits = DEFAULT_HABITS

    @property
    def turns(self) -> int:
        """How many groups work at the machines one after the other; 1 if there are enough."""
        if self.machines is None:
            return 1
        return max(1, -(-self.people // (self.machines * self.habits.people_at_a_machine)))

    def word(self, unit: str) -> str:
        """Return what is wished of a unit; '' for nothing."""
        return next((wish.word for wish in self.wishes if wish.unit == unit), "")


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

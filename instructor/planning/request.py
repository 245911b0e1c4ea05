"""What somebody who plans a course asks for: the time there is, the wishes, the people, the habits.

The habits of planning are common practice, no published source; each is a setting.
"""

__all__ = ["AVOID", "DEFAULT_HABITS", "LIKE", "MUST", "SHOW", "Habits", "Request", "Session", "Wish"]

import datetime
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

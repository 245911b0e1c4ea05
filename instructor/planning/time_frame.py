"""The sessions of a request as a planner sees them: breaks, lunch, days, and time that is free."""

__all__ = ["Frame", "frame_of"]

import datetime
from collections import defaultdict
from typing import NamedTuple

from instructor.planning.request import Request, Session

NOON_FROM, NOON_TO = datetime.time(11, 30), datetime.time(14, 0)


class Frame(NamedTuple):
    """For each session, by its place: what it offers.

    `room_min` is what is left for units when what is fixed has been taken out; `break_min` is the
    break behind it (0 before a night); `after_lunch` says whether lunch lies before it.
    `half_days` are tuples of places, each with the minutes that may be filled in all of them.
    """

    room_min: tuple[int, ...]
    break_min: tuple[int, ...]
    after_lunch: tuple[bool, ...]
    half_days: tuple[tuple[tuple[int, ...], int], ...]
    at_start: tuple[int, ...]
    at_end: tuple[int, ...]


def frame_of(request: Request) -> Frame:
    """Return what the sessions offer."""
    sessions, habits = request.sessions, request.habits
    last = len(sessions) - 1
    breaks, lunch = [], []
    for place, one in enumerate(sessions):
        following = sessions[place + 1] if place < last else None
        same_day = following is not None and following.start.date() == one.start.date()
        breaks.append(int((following.start - one.end).total_seconds() // 60)
                      if following is not None and same_day else 0)  # fmt: skip
        lunch.append(bool(same_day and _is_lunch(one, following, habits.lunch_min)))
    starts = [habits.set_up_min if place == 0 else 0 for place in range(len(sessions))]
    ends = []
    for place, one in enumerate(sessions):
        ends_day = place == last or sessions[place + 1].start.date() != one.start.date()
        ends.append(
            (habits.open_questions_min if ends_day else 0)
            + (habits.discussion_min + habits.survey_min if place == last else 0)
        )
    room = [one.minutes - starts[place] - ends[place] for place, one in enumerate(sessions)]
    halves: defaultdict[tuple[datetime.date, int], list[int]] = defaultdict(list)
    half = 0
    for place, one in enumerate(sessions):
        half += place > 0 and lunch[place - 1]
        halves[one.start.date(), half].append(place)
    limits = tuple(
        (tuple(places), _limit(request, places, starts, ends)) for places in halves.values()
    )
    after = tuple(place > 0 and lunch[place - 1] for place in range(len(sessions)))
    return Frame(tuple(room), tuple(breaks), after, limits, tuple(starts), tuple(ends))


def _limit(request: Request, places: list[int], starts: list[int], ends: list[int]) -> int:
    """Return the minutes of a half day that units may fill: its slack stays free."""
    whole = sum(request.sessions[place].minutes for place in places)
    fixed = sum(starts[place] + ends[place] for place in places)
    return int(whole * (1 - request.habits.slack) + 1e-9) - fixed


def _is_lunch(one: Session, following: Session | None, least_min: int) -> bool:
    assert following is not None
    long = (following.start - one.end).total_seconds() / 60 >= least_min
    return long and one.end.time() < NOON_TO and following.start.time() > NOON_FROM

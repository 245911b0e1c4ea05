"""A timetable as it is found, and laid out by the clock: what begins when, what was left out."""

__all__ = ["FIXED", "FREE", "Entry", "LeftOut", "Timetable", "lay_out", "left_out"]

import datetime
from collections.abc import Collection, Mapping, Sequence
from typing import NamedTuple

from instructor.planning.request import AVOID, Request
from instructor.planning.teaching_units import HANDS_ON, Block, TeachingUnit
from instructor.planning.time_frame import frame_of
from instructor.planning.timetable_model import SHOWN_PLACE, Place

FIXED, FREE = "fixed", "free"


class Entry(NamedTuple):
    """What goes on from `start` to `end`; `unit` is '' for what belongs to no unit.

    `kind`: listening, hands-on, unattended, fixed (set-up, questions, survey) or free.
    `block` counts the unit's blocks from 0; it is -1 for a unit that is only shown, or none.
    """

    start: datetime.datetime
    end: datetime.datetime
    session: int
    unit: str
    what: str
    kind: str
    block: int = SHOWN_PLACE

    @property
    def minutes(self) -> int:
        """How long it takes."""
        return int((self.end - self.start).total_seconds() // 60)


class LeftOut(NamedTuple):
    """A unit that is not taught whole: what of it is there, and why there is no more."""

    unit: str
    what: str
    why: str


class Timetable(NamedTuple):
    """A timetable: `blocks` are in sessions, by their places.

    `worth` is what it is worth and `bound` what none can be worth more than; it is proved to be
    a best one if both are the same.
    """

    entries: tuple[Entry, ...]
    left_out: tuple[LeftOut, ...]
    blocks: Mapping[Place, int]
    worth: int
    bound: int

    @property
    def is_best(self) -> bool:
        """Whether it is proved that there is no better one."""
        return self.bound <= self.worth


def lay_out(
    request: Request, units: Sequence[TeachingUnit], blocks: Mapping[Place, int]
) -> tuple[Entry, ...]:
    """Return what goes on when: in each session set-up, units one after the other, the end."""
    frame = frame_of(request)
    by_name = {unit.name: unit for unit in units}
    entries: list[Entry] = []
    for session, times in enumerate(request.sessions):
        here = [place for place, where in blocks.items() if where == session]
        clock = times.start
        if frame.at_start[session]:
            clock = _add(entries, clock, frame.at_start[session], session, "", "set-up", FIXED)
        for name in _in_order(request, by_name, blocks, here, session):
            for place in sorted(at for unit, at in here if unit == name):
                unit = by_name[name]
                block = unit.shown if place == SHOWN_PLACE else unit.blocks[place]
                clock = _add_block(entries, clock, session, block, place, request.turns)
        ends = times.end - datetime.timedelta(minutes=frame.at_end[session])
        if any(entry.kind == "unattended" and entry.session == session for entry in entries):
            entries = _to_the_end(entries, session, ends - clock)
            clock = ends
        if clock < ends:
            room = int((ends - clock).total_seconds() // 60)
            clock = _add(entries, clock, room, session, "", "room to catch up", FREE)
        _add_end(entries, clock, request, session, frame.at_end[session])
    return tuple(sorted(entries, key=lambda entry: entry.start))


def _in_order(
    request: Request, units: Mapping[str, TeachingUnit], blocks: Mapping[Place, int],
    here: Sequence[Place], session: int,
) -> list[str]:  # fmt: skip
    """Return the units of a session: who goes on, the others after their needs, who stays."""
    in_course = {name: place for place, name in enumerate(units)}
    names = sorted({name for name, _ in here}, key=in_course.__getitem__)
    where = {name: [at for (unit, _), at in blocks.items() if unit == name] for name in names}

    def depth(name: str) -> int:
        return 1 + max((depth(need) for need in units[name].needs if need in names), default=0)

    def runs_at_end(name: str) -> bool:
        mine = [at for unit, at in here if unit == name and at != SHOWN_PLACE]
        return any(units[name].blocks[at].unattended_min for at in mine)

    def rank(name: str) -> tuple[bool, bool, bool, int, int]:
        goes_on, stays = min(where[name]) < session, max(where[name]) > session
        return stays, not goes_on, runs_at_end(name), depth(name), in_course[name]

    return sorted(names, key=rank)


def _add_block(
    entries: list[Entry],
    clock: datetime.datetime,
    session: int,
    block: Block,
    place: int,
    turns: int,
) -> datetime.datetime:
    for piece in block.pieces:
        if piece.kind == "unattended":
            _add(entries, clock, piece.minutes, session, block.unit, piece.name, piece.kind, place)
            continue
        repeated = turns if piece.kind == HANDS_ON else 1
        for turn in range(repeated):
            what = piece.name if repeated == 1 else f"{piece.name}, group {turn + 1} of {repeated}"
            clock = _add(
                entries, clock, piece.minutes, session, block.unit, what, piece.kind, place
            )
    return clock


def _to_the_end(entries: list[Entry], session: int, by: datetime.timedelta) -> list[Entry]:
    """Move the last block of a session, whose run needs the break, to the session's end."""
    run = next(one for one in entries if one.session == session and one.kind == "unattended")
    last = (run.unit, run.block)
    return [
        one._replace(start=one.start + by, end=one.end + by)
        if one.session == session and (one.unit, one.block) == last else one
        for one in entries
    ]  # fmt: skip


def _add_end(
    entries: list[Entry], clock: datetime.datetime, request: Request, session: int, minutes: int
) -> None:
    habits = request.habits
    if session == len(request.sessions) - 1:
        clock = _add(entries, clock, habits.discussion_min, session, "", "discussion", FIXED)
        minutes -= habits.discussion_min + habits.survey_min
    if minutes:
        clock = _add(entries, clock, minutes, session, "", "open questions", FIXED)
    if session == len(request.sessions) - 1:
        _add(entries, clock, habits.survey_min, session, "", "survey", FIXED)


def _add(
    entries: list[Entry], clock: datetime.datetime, minutes: int, session: int, unit: str,
    what: str, kind: str, block: int = SHOWN_PLACE,
) -> datetime.datetime:  # fmt: skip
    end = clock + datetime.timedelta(minutes=minutes)
    if minutes:
        entries.append(Entry(clock, end, session, unit, what, kind, block))
    return end


def left_out(
    request: Request, units: Sequence[TeachingUnit], blocks: Mapping[Place, int]
) -> tuple[LeftOut, ...]:
    """Return what is not taught whole, and why."""
    found = []
    taught = {name for name, at in blocks if at != SHOWN_PLACE} | request.known
    for unit in units:
        mine = sorted(at for name, at in blocks if name == unit.name)
        if len(mine) == len(unit.blocks) and SHOWN_PLACE not in mine:
            continue
        if unit.name in request.known:
            found.append(LeftOut(unit.name, "not taught", "the class knows it"))
        elif request.word(unit.name) == AVOID:
            found.append(LeftOut(unit.name, "not taught", "it is not wanted"))
        else:
            found.append(
                LeftOut(unit.name, _how_much(unit, mine), _why(request, unit, mine, taught))
            )
    return tuple(found)


def _how_much(unit: TeachingUnit, mine: Sequence[int]) -> str:
    if not mine:
        return "not taught"
    if mine == [SHOWN_PLACE]:
        return "shown"
    last = next(piece.name for piece in reversed(unit.blocks[mine[-1]].pieces)
                if piece.kind == HANDS_ON)  # fmt: skip
    return f"taught as far as {last}"


def _why(request: Request, unit: TeachingUnit, mine: Sequence[int], taught: Collection[str]) -> str:
    """Say what would have to be other; `taught` are units that are, or are known."""
    there = [at for at in mine if at != SHOWN_PLACE]
    missing = sum(block.minutes(request.turns) for block in unit.blocks if block.place not in there)
    room = f"{missing} minutes more would have to be free"
    lacking = [need.partition("-")[0] for need in unit.needs if need not in taught]
    if there or not lacking:
        return room
    return f"{room}, and time for what it needs: {', '.join(lacking)}"

"""The rules of a timetable as constraints for a solver: which block lies in which session.

A solution says nothing of the order within a session, and need not: between any two units one has
ended before the other begins, or in the same session; so whoever came in from an earlier session
goes first, and whoever goes on into a later one goes last.
"""

__all__ = ["TimetableModel"]

from collections.abc import Iterable, Mapping, Sequence

from ortools.sat.python import cp_model

from instructor.planning.request import AVOID, LIKE, MUST, SHOW, Request, Wish
from instructor.planning.teaching_units import Block, TeachingUnit
from instructor.planning.time_frame import frame_of

# What a unit that is taught whole is worth, by what is wished; one that is only shown: a quarter.
WORTH = {MUST: 20, LIKE: 10, SHOW: 10, "": 1, AVOID: 1}
WHOLE, TAUGHT, SHOWN = 120, 40, 25
Place = tuple[str, int]  # a unit, and a block of it by its place; SHOWN_PLACE for the demonstration
SHOWN_PLACE = -1


class TimetableModel:
    """A solver's model for a request: what it may choose, and what it may not."""

    def __init__(self, request: Request, units: Sequence[TeachingUnit]) -> None:
        self.request, self.frame = request, frame_of(request)
        self.units = {unit.name: unit for unit in units if unit.name not in request.known}
        self.model = cp_model.CpModel()
        self.lies_in: dict[tuple[Place, int], cp_model.IntVar] = {}  # by block and session
        self.is_taught = {name: self._bool(f"{name} is taught") for name in self.units}
        self.is_shown = {name: self._bool(f"{name} is shown") for name in self.units}
        self.first, self.last = self._ends("first"), self._ends("last")
        self._before: dict[tuple[str, str], cp_model.IntVar] = {}
        self._sessions = range(len(request.sessions))
        for name in self.units:
            self._place_blocks(self.units[name])
        self._put_in_order()
        self._keep_room()
        self._mind_lunch()
        self._end_with_runs()

    def keep(self, wishes: Iterable[Wish]) -> None:
        """Make wishes rules: `must` is at least in part, `show` at least shown, `avoid` never."""
        for wish in wishes:
            if wish.unit not in self.units:  # the class knows it
                continue
            is_there = self.is_taught[wish.unit] + self.is_shown[wish.unit]
            if wish.word == MUST:
                self.model.add(self.is_taught[wish.unit] == 1)
            elif wish.word == SHOW:
                self.model.add(is_there == 1)
            elif wish.word == AVOID:
                self.model.add(is_there == 0)

    def worth(self) -> cp_model.LinearExpr:
        """Return what a timetable is worth: by wishes, then by how much of each unit is taught."""
        terms: list[cp_model.LinearExprT] = []
        for name, unit in self.units.items():
            weight = WORTH[self.request.word(name)]
            terms.append(
                weight * SHOWN * self.is_shown[name] + weight * TAUGHT * self.is_taught[name]
            )
            long = sum(block.minutes() for block in unit.blocks)
            for block in unit.blocks:
                share = (WHOLE - TAUGHT) * block.minutes() // long
                terms.append(weight * share * self.has((name, block.place)))
        return cp_model.LinearExpr.sum(terms)

    def spread(self) -> cp_model.LinearExpr:
        """Return over how many breaks units are spread, in all."""
        return cp_model.LinearExpr.sum([self.last[name] - self.first[name] for name in self.units])

    def moved(self, earlier: Mapping[Place, int]) -> cp_model.LinearExpr:
        """Return how many blocks lie elsewhere than in an earlier timetable, or are gone or new."""
        kept = [self.lies_in[place, session] for place, session in earlier.items()
                if (place, session) in self.lies_in]  # fmt: skip
        new = [var for (place, _), var in self.lies_in.items() if place not in earlier]
        return len(earlier) - cp_model.LinearExpr.sum(kept) + cp_model.LinearExpr.sum(new)

    def has(self, place: Place) -> cp_model.LinearExpr:
        """Return whether a block is there at all."""
        return cp_model.LinearExpr.sum([self.lies_in[place, one] for one in self._sessions])

    # ---- rules

    def _place_blocks(self, unit: TeachingUnit) -> None:
        """Let blocks lie in sessions in their order; what is left out is left out from the end."""
        name = unit.name
        for block in (*unit.blocks, unit.shown._replace(place=SHOWN_PLACE)):
            place = name, block.place
            for one in self._sessions:
                var = self._bool(f"{name}, block {block.place} in session {one}")
                self.lies_in[place, one] = var
                if block.unattended_min > self.frame.break_min[one]:
                    self.model.add(var == 0)
        self.model.add_at_most_one(self.is_taught[name], self.is_shown[name])
        self.model.add(self.has((name, SHOWN_PLACE)) == self.is_shown[name])
        least = min(self.request.habits.blocks_in_part, len(unit.blocks))
        for block in unit.blocks:
            is_there = self.has((name, block.place))
            if block.place < least:
                self.model.add(is_there == self.is_taught[name])
            if block.place:
                self._follow(name, block.place)
            self._bound(name, block.place, self.is_taught[name])
        self._bound(name, SHOWN_PLACE, self.is_shown[name])

    def _follow(self, name: str, place: int) -> None:
        """By the end of any session a block was there only if the one before it was."""
        done = before = cp_model.LinearExpr.sum([])
        for one in self._sessions:
            done = done + self.lies_in[(name, place), one]
            before = before + self.lies_in[(name, place - 1), one]
            self.model.add(done <= before)

    def _bound(self, name: str, place: int, is_used: cp_model.IntVar) -> None:
        """Hold `first` and `last` of a unit around a block."""
        for one in self._sessions:
            var = self.lies_in[(name, place), one]
            self.model.add(self.last[name] >= one).only_enforce_if(var)
            self.model.add(self.first[name] <= one).only_enforce_if(var)
        if place in (0, SHOWN_PLACE):
            session = cp_model.LinearExpr.sum(
                [one * self.lies_in[(name, place), one] for one in self._sessions]
            )
            self.model.add(self.first[name] == session).only_enforce_if(is_used)

    def _put_in_order(self) -> None:
        """Let no unit begin in the middle of another one, or before what it needs."""
        names = list(self.units)
        for place, one in enumerate(names):
            for other in names[place + 1 :]:
                var = self._bool(f"{one} before {other}")
                self._before[one, other] = var
                for here, there, when in ((one, other, var), (other, one, ~var)):
                    for mine in self._present(here):
                        for theirs in self._present(there):
                            self.model.add(self.last[here] <= self.first[there]).only_enforce_if(
                                when, mine, theirs
                            )
        for name, unit in self.units.items():
            for need in unit.needs:
                if need not in self.units:  # the class knows it
                    continue
                taught, shown = self.is_taught[name], self.is_shown[name]
                self.model.add_implication(taught, self.is_taught[need])
                self.model.add(self.is_taught[need] + self.is_shown[need] >= 1).only_enforce_if(
                    shown
                )
                for mine in (taught, shown):
                    self.model.add_implication(mine, self.before(need, name))

    def before(self, one: str, other: str) -> cp_model.LiteralT:
        """Return whether one unit is over when the other one begins."""
        if (one, other) in self._before:
            return self._before[one, other]
        return ~self._before[other, one]

    def _keep_room(self) -> None:
        """Fill no session further than it is long, and no half day further than its slack."""
        filled = []
        for one in self._sessions:
            terms = [
                self._block(place).minutes(self.request.turns) * var
                for (place, session), var in self.lies_in.items()
                if session == one
            ]
            filled.append(cp_model.LinearExpr.sum(terms))
            self.model.add(filled[one] <= max(0, self.frame.room_min[one]))
        for places, most in self.frame.half_days:
            self.model.add(cp_model.LinearExpr.sum([filled[one] for one in places]) <= max(0, most))

    def _mind_lunch(self) -> None:
        """Begin no session after lunch with listening: work on what began before goes first."""
        for one in self._sessions:
            if not self.frame.after_lunch[one]:
                continue
            goes_on = {name: self._goes_on(name, one) for name in self.units}
            for (name, place), session in list(self.lies_in):
                block = self._block((name, place))
                if session != one or not block.begins_listening:
                    continue
                var = self.lies_in[(name, place), one]
                if place > 0:
                    self.model.add_implication(var, self.lies_in[(name, place - 1), one])
                else:
                    others = [goes_on[other] for other in self.units if other != name]
                    self.model.add_bool_or(others).only_enforce_if(var)

    def _goes_on(self, name: str, session: int) -> cp_model.IntVar:
        """Return a variable that is true only if a unit comes from an earlier session."""
        var = self._bool(f"{name} goes on in session {session}")
        blocks = self.units[name].blocks
        here = [self.lies_in[(name, block.place), session] for block in blocks[1:]]
        earlier = [self.lies_in[(name, 0), one] for one in self._sessions if one < session]
        self.model.add_bool_or(here).only_enforce_if(var)
        self.model.add_bool_or(earlier).only_enforce_if(var)
        return var

    def _end_with_runs(self) -> None:
        """Let a session end with the block whose run goes on in the break."""
        for (name, place), session in list(self.lies_in):
            if not self._block((name, place)).unattended_min:
                continue
            var = self.lies_in[(name, place), session]
            for (other, at), there in list(self.lies_in):
                if there == session and other != name:
                    both = (var, self.lies_in[(other, at), session])
                    self.model.add_bool_or(self.before(other, name)).only_enforce_if(both)

    # ---- small things

    def _block(self, place: Place) -> Block:
        unit = self.units[place[0]]
        return unit.shown if place[1] == SHOWN_PLACE else unit.blocks[place[1]]

    def _present(self, name: str) -> tuple[cp_model.IntVar, cp_model.IntVar]:
        return self.is_taught[name], self.is_shown[name]

    def _ends(self, what: str) -> dict[str, cp_model.IntVar]:
        most = len(self.request.sessions) - 1
        return {name: self.model.new_int_var(0, most, f"{what} of {name}") for name in self.units}

    def _bool(self, name: str) -> cp_model.IntVar:
        return self.model.new_bool_var(name)

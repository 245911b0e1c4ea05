"""Zoom into the line of all addresses, change who has which part, and see what is announced.

Drag the knob on the scale, or press a box, to see more or less; drag the address along its line.
Press an assignment to choose it, then split it, join it with its other half, or drag it elsewhere.
By keyboard: Tab leads from one kind of thing to the next, arrows from one to another of its kind.

With `ask` the figure first asks how many prefixes the router announces. The state is what is seen,
the plan, what was announced before, and the guess.
"""

__all__ = ["PrefixExplorer", "explore_prefixes"]

from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import count

from course_lib.figures.headers.header_words import counted
from course_lib.figures.prefixes.address_line import address_line
from course_lib.figures.prefixes.address_view import View
from course_lib.figures.prefixes.announcements import Announced
from course_lib.figures.prefixes.assignment_bands import Plan, places_in
from course_lib.figures.prefixes.assignments import (
    Assigned,
    ChangeError,
    checked,
    joined,
    moved,
    split_up,
)
from course_lib.prefixes.prefix import Prefix, aggregate, parse_prefix, prefix_around
from course_lib.prefixes.text import PrefixError, parse_address
from course_lib.widgets.touch.as_written import RefusedError, whole_number
from course_lib.widgets.touch.own_guess import OwnGuess
from course_lib.widgets.touch.touch_figure import (
    Action,
    Button,
    Control,
    Picture,
    TouchFigure,
    Written,
)

_HOW = "Drag the knob on the scale, or press a box, to see more or less of all addresses."
_QUESTION = "How many prefixes does the router announce for all that is assigned?"
_MOST = 24  # assignments: more can't be told apart
_STEPS = 6  # of the way to another view


def explore_prefixes(
    assigned: Mapping[str, str], *, address: str, length: int = 0, ask: bool = False
) -> "PrefixExplorer":
    """Show the line of all IPv4 addresses, with prefixes that are assigned.

    `assigned` maps prefixes to names. `address` is the one that is followed, and the first `length`
    bits of it are what all that is seen has in common. With `ask` the figure first asks how many
    prefixes are announced. Raises `ValueError` for what is no prefix or address, and where
    prefixes overlap.
    """
    plan = checked({parse_prefix(prefix): holder for prefix, holder in assigned.items()})
    if not 1 <= len(plan) <= _MOST:
        raise ValueError(f"there must be 1 to {_MOST} assignments, not {len(plan)}")
    number = parse_address(address, 32)
    prefix_around(number, length)  # refuses a length that there is not
    view = View(number, length)
    return PrefixExplorer(plan, view, ask=ask)


class PrefixExplorer(TouchFigure):
    """The live figure of the line of addresses."""

    def __init__(self, assigned: Assigned, view: View, *, ask: bool) -> None:
        self._start, self._start_view, self._asks = assigned, view, ask
        self._begin()
        actions: dict[str, Action] = {
            "zoom": self._zoomed,
            "into": self._gone_into,
            "written": self._written,
            "address": self._followed,
            "choose": self._chosen,
            "move": self._moved,
            "split": self._split,
            "join": self._joined,
            "again": self._restarted,
            "guess": self._guessed,
            "answer": self._answered,
        }
        super().__init__(self._draw(_HOW), actions)

    @property
    def announced(self) -> tuple[Prefix, ...]:
        """Return the fewest prefixes that hold all that is assigned, and nothing else."""
        return tuple(aggregate(self.plan.assigned))

    def _begin(self) -> None:
        self._numbers = count()
        self.view_now = self._start_view
        keys = {prefix: self._fresh_key() for prefix in self._start}
        self.plan = Plan(self._start, next(iter(self._start)), keys)
        self._before = self.announced
        self.guess: OwnGuess | None = OwnGuess(_QUESTION) if self._asks else None

    def _fresh_key(self) -> str:
        return f"assigned {next(self._numbers)}"

    def _zoomed(self, length: int) -> Picture:
        self.view_now = replace(self.view_now, length=length)
        return self._draw("")

    def _gone_into(self, text: str) -> Picture:
        """Go to a prefix; the address goes with it if it is not there."""
        prefix = parse_prefix(text)
        here = self.view_now.address
        self.view_now = View(here if prefix.contains(here) else prefix.first, prefix.length)
        return self._draw("")

    def _written(self, text: str) -> Picture:
        """Go to what was typed, in a few steps: a prefix, or an address as far in as now."""
        to = _view_of(text, self.view_now.length)
        steps = _way(self.view_now, to)
        self.view_now = to
        return self._draw("", steps)

    def _followed(self, number: int) -> Picture:
        self.view_now = replace(self.view_now, address=number)
        return self._draw("", moves=False)

    def _chosen(self, text: str) -> Picture:
        prefix = parse_prefix(text)
        if prefix not in self.plan.assigned:  # pressed before the change that took it away was seen
            raise RefusedError(f"{text} is no longer assigned.")
        self.plan = replace(self.plan, chosen=prefix)
        return self._draw(f"Chosen: {self._name(self.plan.chosen)}.")

    def _moved(self, place: int) -> Picture:
        old = self.plan.chosen
        places = places_in(self.view_now, old)
        try:
            assigned, new = moved(self.plan.assigned, old, place, places)
        except ChangeError as problem:
            raise RefusedError(f"{self.plan.assigned[old]} stays: {problem}.") from None
        self._change(assigned, new, {new: self.plan.keys[old]})
        return self._draw(f"{self._name(new)}: moved from {old}.", moves=False)

    def _split(self, _: None) -> Picture:
        old = self.plan.chosen
        if len(self.plan.assigned) >= _MOST:
            raise RefusedError(f"There are {_MOST} assignments: more can't be told apart.")
        try:
            assigned = split_up(self.plan.assigned, old)
        except ChangeError as problem:
            raise RefusedError(f"{problem}.") from None
        lower = Prefix(old.network, old.length + 1)
        self._change(assigned, lower, {lower: self.plan.keys[old]})
        return self._draw(f"{self._name(old, lower)} is now two halves.")

    def _joined(self, _: None) -> Picture:
        old = self.plan.chosen
        try:
            assigned, whole = joined(self.plan.assigned, old)
        except ChangeError as problem:
            raise RefusedError(f"{problem}.") from None
        self._change(assigned, whole, {whole: self.plan.keys[old]})
        return self._draw(f"{self._name(whole)} is one again.")

    def _change(self, assigned: Assigned, chosen: Prefix, keys: Mapping[Prefix, str]) -> None:
        """Take another plan; what was there keeps its key, and what was guessed is over."""
        self._before = self.announced
        known = {**self.plan.keys, **keys}
        self.plan = Plan(
            assigned, chosen, {one: known.get(one) or self._fresh_key() for one in assigned}
        )
        self.guess = None

    def _restarted(self, _: None) -> Picture:
        self._begin()
        return self._draw(_HOW)

    def _guessed(self, text: str) -> Picture:
        number = whole_number(text, 0, len(self.plan.assigned))
        self.guess = (self.guess or OwnGuess(_QUESTION)).given_as(str(number))
        return self._draw("")

    def _answered(self, _: None) -> Picture:
        self.guess = (self.guess or OwnGuess(_QUESTION)).answered()
        return self._draw("")

    def _name(self, prefix: Prefix, known_as: Prefix | None = None) -> str:
        return f"{self.plan.assigned[known_as or prefix]}, {prefix}"

    def _draw(self, change: str, steps: Sequence[View] = (), *, moves: bool = True) -> Picture:
        """Return the steps of a way, and what is seen at its end."""
        asks = self.guess is not None and self.guess.is_open
        given = None if self.guess is None else self.guess.given
        told = Announced(
            self.announced, self._before, len(self.plan.assigned),
            None if given is None else int(given), asks,
        )  # fmt: skip
        views = [*steps, self.view_now]
        scenes = tuple(address_line(view, self.plan, told) for view in views)
        words = [change] if change else []
        if self.guess is not None:
            words.append(self.guess.words(str(len(told.now))))
        if not asks:
            words.append(
                f"{counted(len(self.plan.assigned), 'assignment')}, "
                f"{_prefixes(len(told.now))} announced."
            )
        words.append(f"{scenes[-1].words.title}.")
        return Picture(scenes, tuple(words), tuple(self._controls(asks)), moves, bool(steps))

    def _controls(self, asks: bool) -> list[Control]:
        written = Written("written", "Go to", str(self.view_now.prefix), 19)
        if asks and self.guess is not None:
            return [written, *self.guess.controls(letters=4)]
        return [
            written,
            Button("split", "Split"),
            Button("join", "Join"),
            Button("again", "Start again"),
        ]


def _prefixes(number: int) -> str:
    return f"{number} prefix" if number == 1 else f"{number} prefixes"


def _view_of(text: str, length: int) -> View:
    """Return the view that a text asks for: a prefix, or an address, seen as far in as now."""
    written = text.strip()
    address, slash, _ = written.partition("/")
    try:
        number = whole_number(address, 0, (1 << 32) - 1)
        if slash:
            length = parse_prefix(f"0.0.0.0{written[len(address) :]}").length
    except PrefixError:
        raise RefusedError(f"{written} is not a prefix: its length is from 0 to 32.") from None
    return View(number, length)


def _way(here: View, there: View) -> list[View]:
    """Return views on the way from one to another: out until both are seen, then in."""
    apart = (here.address ^ there.address).bit_length()
    top = min(here.length, there.length, 32 - apart)
    out = [View(here.address, length) for length in range(here.length, top, -1)]
    inward = [View(there.address, length) for length in range(top, there.length)]
    way = out + inward
    return way[:: max(1, -(-len(way) // _STEPS))]

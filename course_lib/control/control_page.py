"""The control page: a running router in the notebook, shown ten times a second, and steered.

    show_control_page()                                   # in a simulated network of the ferry
    show_control_page(live_or_simulated_router(ability), stages=["my_filter"])

A line, a route or a stage is chosen by pressing it; the controls above the picture are then about
it. What takes time is done by other threads, so the notebook stays free: states are read by a
`RouterWatch`, changes are made by a pool of one. A router that is lost is said to be lost, with
what is known of it, and can be started again.

By keyboard: Tab leads from the controls to the button, the stages, the lines, their switches and
the routes; arrows go on among those of a kind, Space presses.
"""

__all__ = ["ControlPage", "show_control_page"]

import sys
from collections.abc import Callable, Generator, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from typing import Any

from course_lib.control.page_controls import Drafts, controls_of, line_action
from course_lib.control.rate_record import RateRecord
from course_lib.control.router_watch import RouterWatch
from course_lib.control.simulated_router import SimulatedRouter
from course_lib.control.stage_sources import source_in_cells
from course_lib.control.steered_router import LostRouterError, SteeredRouter
from course_lib.control.wishes import LINE_FIELDS, added_route, changed_line, withdrawn
from course_lib.figures.steering.router_scene import router_scene
from course_lib.figures.steering.router_view import Chosen, Kind, RouterView
from course_lib.prefixes.text import format_address
from course_lib.steering.changes import (
    Change,
    PutBackStage,
    SetLink,
    StagePlace,
    SteeringError,
    SwapStage,
)
from course_lib.steering.states import InterfaceState, RouterState
from course_lib.widgets.touch.as_written import RefusedError
from course_lib.widgets.touch.touch_figure import Action, Picture, TouchFigure, Work

MOST_UNSEEN = 300  # pictures that no page has shown: half a minute, as while a cell runs
_HINT = "Press a line, a route or a stage to change it, and a switch to cut or mend a line."

Steps = Iterator[Picture | Work]
SourceOf = Callable[[str], str]


def show_control_page(
    router: SteeredRouter | None = None, *, stages: Sequence[str] = ()
) -> "ControlPage":
    """Show a running router; without one, the library's in a simulated network of the ferry.

    stages: names of functions (or classes) that cells have defined, to be swapped in as stages.
    """
    names = sys._getframe(1).f_globals
    return ControlPage(router or SimulatedRouter(), stages, lambda one: source_in_cells(one, names))


class ControlPage(TouchFigure):
    """The page of one router; it starts the router, and ends it when the page is closed."""

    def __init__(
        self, router: SteeredRouter, stages: Sequence[str] = (), source_of: SourceOf = str
    ) -> None:
        self._router, self._source_of = router, source_of
        self._pool = ThreadPoolExecutor(1, "control page")
        self._record = RateRecord()
        self._said, self._trouble = _HINT, ""
        self._is_held = self._is_left = self._is_closed = False
        self.drafts = Drafts(stage=next(iter(stages), ""), stages=tuple(stages))
        self.state, self._trouble = _started(router)
        self._record.take(self.state)
        first = self.state.interfaces[0].name if self.state.interfaces else ""
        self.chosen = Chosen(Kind.LINE, _most_used(self.state) or first)
        super().__init__(self._draw(), self._actions_of_page())
        self._watch = RouterWatch(
            router, tell=self._take, tell_trouble=self._lose, is_wanted=self._is_wanted
        )
        self._watch.begin()

    def close(self) -> None:
        """End the watch and the router, if the page started it; ipywidgets calls this too.

        Once more does no harm: what is closed is closed again when nobody holds it any more.
        """
        if self._is_closed:
            return
        self._is_closed = True
        self._watch.end()
        self._pool.submit(self._router.close)
        self._pool.shutdown(wait=False)
        super().close()

    def left(self) -> None:
        """Let the router go when the page is gone; should it come back, it can be started again."""
        self._is_left = True
        self._pool.submit(self._router.close)

    # --- what comes from the router, in the thread of the watch

    def _is_wanted(self) -> bool:
        return self.unseen < MOST_UNSEEN and not self._is_left

    def _take(self, state: RouterState) -> None:
        with self.lock:
            if not self._trouble and state.now_s < self.state.now_s:
                return  # it was asked for before a change, and that has been read already
            self._record.take(state)
            if self._trouble:
                self._trouble, self._said = "", f"{state.name} is running again."
            if not self._is_held:
                self.state = state
                self._keep_choice()
                self.refresh(self._draw())

    def _lose(self, words: str) -> None:
        with self.lock:
            if words != self._trouble:
                self._trouble = words
                self.refresh(self._draw())

    def _keep_choice(self) -> None:
        """Choose a line where what was chosen is gone, as a route that was withdrawn by others."""
        kind, name = self.chosen
        if kind is Kind.STAGE and name not in self.state.stages:
            self.chosen = Chosen(Kind.LINE, _most_used(self.state))

    # --- what comes from the page

    def _actions_of_page(self) -> dict[str, Action]:
        lines: dict[str, Action] = {
            line_action(field): partial(self._set_line, number)
            for number, field in enumerate(LINE_FIELDS)
        }
        return lines | {
            "hold": self._hold,
            "start again": self._start_again,
            "line": partial(self._choose, Kind.LINE),
            "stage": partial(self._choose, Kind.STAGE),
            "route": self._choose_route,
            "cut": self._cut,
            "prefix": partial(self._draft, "prefix"),
            "next hop": partial(self._draft, "next_hop"),
            "add route": self._add_route,
            "withdraw route": self._withdraw_route,
            "own stage": partial(self._draft, "stage"),
            "place": partial(self._draft, "place"),
            "put in": self._put_in,
            "take out": self._take_out,
        }

    def _hold(self, _: object) -> Picture:
        self._is_held = not self._is_held
        self._said = "The picture is held; the router goes on." if self._is_held else _HINT
        return self._draw()

    def _choose(self, kind: Kind, name: str) -> Picture:
        self.chosen, self.drafts = Chosen(kind, name), self.drafts._replace(refused="")
        return self._draw()

    def _choose_route(self, prefix: str) -> Picture:
        route = next((each for each in self.state.routes if str(each.prefix) == prefix), None)
        hop = None if route is None else route.next_hop
        text = "" if hop is None else format_address(hop)
        self.drafts = self.drafts._replace(prefix=prefix, next_hop=text)
        return self._choose(Kind.ROUTE, prefix)

    def _draft(self, field: str, text: str) -> Picture:
        changed: dict[str, Any] = {field: text, "refused": ""}
        self.drafts = self.drafts._replace(**changed)
        return self._draw()

    def _cut(self, name: str) -> Steps:
        is_up = not self._line(name).is_up
        now = "whole again" if is_up else "cut"
        yield from self._change(SetLink(name, is_up), f"The line {name} is {now}.")

    def _set_line(self, number: int, text: str) -> Steps:
        field, line = LINE_FIELDS[number], self._line(self.chosen.name)
        try:
            change = changed_line(line, field, text)
        except RefusedError as problem:
            yield from self._refuse(line_action(field), text, problem)
            return
        words = "none" if getattr(change, field.setting) is None else text.strip()
        yield from self._change(change, f"Line {line.name}. {field.name}: {words}.")

    def _add_route(self, _: object) -> Steps:
        prefix, next_hop = self.drafts.prefix, self.drafts.next_hop
        try:
            change = added_route(self.state, prefix, next_hop)
        except RefusedError as problem:
            at_hop = str(problem).startswith("Next hop")
            yield from self._refuse(
                *(("next hop", next_hop) if at_hop else ("prefix", prefix)), problem
            )
            return
        yield from self._change(
            change, f"There is a route to {change.prefix} now, {change.interface}."
        )

    def _withdraw_route(self, _: object) -> Steps:
        try:
            change = withdrawn(self.state, self.drafts.prefix)
        except RefusedError as problem:
            yield from self._refuse("prefix", self.drafts.prefix, problem)
            return
        yield from self._change(change, f"The route to {change.prefix} is withdrawn.")

    def _put_in(self, _: object) -> Steps:
        own, where, name = self.drafts.stage, StagePlace(self.drafts.place), self.chosen.name
        change = SwapStage(name, self._source_of(own), own, where)
        yield from self._change(change, f"Your stage {own} is in, {where} {name}.")

    def _take_out(self, _: object) -> Steps:
        name = self.chosen.name
        yield from self._change(PutBackStage(name), f"Your stage {name} is out again.")

    def _start_again(self, _: object) -> Steps:
        work = self._pool.submit(self._router.start)
        yield work
        try:
            work.result()
        except LostRouterError as problem:
            raise RefusedError(str(problem)) from None
        self._is_left, self._trouble = False, ""
        self.state = yield from self._read()
        self._said = f"{self.state.name} was started again, from the beginning."
        yield self._draw()

    def _change(self, change: Change, words: str) -> Steps:
        """Make a change in another thread, and say what came of it."""
        work = self._pool.submit(self._router.change, change)
        yield work
        try:
            work.result()
        except (SteeringError, LostRouterError) as problem:
            raise RefusedError(str(problem)) from None
        self.state = yield from self._read()
        self.drafts, self._said = self.drafts._replace(refused=""), words
        self._keep_choice()
        yield self._draw()

    def _read(self) -> Generator[Work, None, RouterState]:
        """Return the state as it is after a change, whether the picture is held or not."""
        work = self._pool.submit(self._router.state)
        yield work
        try:
            state: RouterState = work.result()
        except LostRouterError as problem:
            raise RefusedError(str(problem)) from None
        return state

    def _refuse(self, field: str, text: str, problem: RefusedError) -> Steps:
        """Leave in the field what was typed, mark it, and say what is wrong with it."""
        self.drafts = self.drafts._replace(refused=field, text=text)
        yield self._draw()
        raise problem

    def _line(self, name: str) -> InterfaceState:
        found = [line for line in self.state.interfaces if line.name == name]
        if not found:
            raise RefusedError(f"there is no line {name or 'yet'}.")
        return found[0]

    # --- what is shown

    def _draw(self) -> Picture:
        view = RouterView(
            self.state,
            self._record.rates(),
            self.chosen,
            self._trouble,
            self._is_held,
            self._router.where,
        )
        controls = controls_of(self.state, self.chosen, self.drafts)
        words = f"{self._trouble} Press “Start again”." if self._trouble else self._said
        return Picture((router_scene(view),), (words,), controls, moves=False)


def _started(router: SteeredRouter) -> tuple[RouterState, str]:
    """Start a router; return its first state, or an empty one and what went wrong."""
    try:
        router.start()
        return router.state(), ""
    except (LostRouterError, SteeringError) as problem:
        return RouterState("The router", 0.0), str(problem)


def _most_used(state: RouterState) -> str:
    """Return the line on which most is waiting or sent: the one to look at first."""
    return (
        max(state.interfaces, key=lambda line: (line.waiting_packets, line.sent_frames)).name
        if state.interfaces
        else ""
    )

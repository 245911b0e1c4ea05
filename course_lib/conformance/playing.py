"""Play a scenario to a router object: frames go in at their times, and what comes out is noted.

Time is a number here, so a scenario of a minute is over at once. Whatever the router does, playing
goes on to the end: a call that fails, comes back with something else than frames, or never comes
back, is noted as the trouble of this scenario.

A router that is reached otherwise, over wires say, needs a function of its own from a scenario to
an `Exchange`; `board_of` takes any.
"""

__all__ = ["MakeRouter", "play_on_object"]

import heapq
import itertools
import math
from collections.abc import Callable, Sequence
from functools import partial
from typing import Any

from course_lib.conformance.bench import INTERFACES, RouteGiven
from course_lib.conformance.given import Given
from course_lib.conformance.scenario import Exchange, Scenario, introductions
from course_lib.conformance.seen import Sent, frame_in_words
from course_lib.conformance.stations import answer_to
from course_lib.ip.packets import Interface, OutgoingFrame
from course_lib.network.careful_calls import Guard, read_frames, read_time
from course_lib.network.records import Record
from course_lib.runner.time_limit import CallLimit

MakeRouter = Callable[[Sequence[Interface], Sequence[RouteGiven]], Any]

_START_S = 1.0  # of the scenario; before it neighbours introduce themselves
_ANSWER_S = 0.001  # until the answer of a neighbour is here
_MOST_CALLS = 5_000  # in one scenario; a router whose neighbours never rest ends here
_BY_NAME = {each.name: each for each in INTERFACES}


def play_on_object(make_router: MakeRouter, scenario: Scenario, limit: CallLimit) -> Exchange:
    """Make a router, give it the frames of a scenario, and return what it sent.

    The router is made anew, so that it has forgotten what came before. Raises whatever
    `make_router` raises: without a router there is nothing to try.
    """
    router = make_router(INTERFACES, scenario.routes)
    played = _Playing(router, scenario, limit)
    played.play()
    complaints = [str(each) for each in getattr(router, "complaints", ())]
    trouble = played.troubles[0].text if played.troubles else ""
    sent = [each._replace(at_s=each.at_s - _START_S) for each in played.sent]
    return Exchange(
        tuple(each for each in sent if each.at_s >= 0),
        trouble,
        complaints[-1] if complaints else "",
    )


class _Playing:
    """One scenario with one router."""

    def __init__(self, router: object, scenario: Scenario, limit: CallLimit) -> None:
        self.sent: list[Sent] = []
        self.troubles: list[Record] = []
        self._scenario = scenario
        self._guard = Guard("under test", "router", router, limit, self.troubles.append)
        self._now_s = 0.0
        self._order = itertools.count()
        self._coming: list[tuple[float, int, Given]] = []
        for early in introductions() if scenario.is_introduced else ():
            self._expect(early)
        for each in scenario.given:
            self._expect(each._replace(at_s=each.at_s + _START_S))
        self._until_s = scenario.until_s + _START_S

    def play(self) -> None:
        """Go from one event to the next until the scenario is over."""
        for _ in range(_MOST_CALLS):
            arrives_s = self._coming[0][0] if self._coming else math.inf
            due_s = self._due_s()
            if min(arrives_s, due_s) > self._until_s or self._guard.is_stopped:
                return
            self._now_s = min(arrives_s, due_s)
            if arrives_s <= due_s:
                self._arrive(heapq.heappop(self._coming)[2])
            else:
                frames = self._guard.ask(due_s, "tick", due_s, read=_frames)
                self._note(due_s, frames or [])
        why = f"its next_tick_s() asked for more than {_MOST_CALLS} calls"
        self._guard.stop(self._now_s, why)

    def _due_s(self) -> float:
        """Return when the router wants to be called; what is past is now."""
        due_s = self._guard.ask(self._now_s, "next_tick_s", read=read_time)
        return math.inf if due_s is None else max(due_s, self._now_s)

    def _arrive(self, given: Given) -> None:
        at_s, interface, frame = given
        about = partial(frame_in_words, frame)
        call = partial(self._guard.ask, at_s, "receive", at_s, interface, frame, about=about)
        self._note(at_s, call(read=_frames) or [])

    def _note(self, now_s: float, frames: Sequence[OutgoingFrame]) -> None:
        for interface, frame in frames:
            self.sent.append(Sent(now_s, interface, frame))
            answer = answer_to(interface, frame, self._scenario.silent)
            if answer is not None:
                self._expect(Given(now_s + _ANSWER_S, interface, answer))

    def _expect(self, given: Given) -> None:
        heapq.heappush(self._coming, (given.at_s, next(self._order), given))


def _frames(answer: object) -> tuple[list[OutgoingFrame], list[str]]:
    return read_frames(_BY_NAME, answer)

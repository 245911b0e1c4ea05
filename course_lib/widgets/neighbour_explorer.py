"""Guess, and then watch who asks whom for a hardware address, and what waits for the answer.

By keyboard: Tab goes to the places, arrows lead from one to the next, Space plants the flag. When
the answer is out, Tab goes to the answers of the next hop: arrow right takes one off its way.

The picture is `course_lib.figures.network.ladder`. The state is the errand, the guess, and which of
the next hop's answers are lost; every change runs the network anew.
"""

__all__ = ["NeighbourExplorer", "explore_neighbours"]

from functools import partial
from typing import cast

from course_lib.ferry.one_crossing import ERRANDS, NEXT_HOP, PLACES, crossing
from course_lib.figures.network.ladder import Guess, ladder_scene
from course_lib.forwarding.router import Router
from course_lib.network.simulation import Network
from course_lib.tracing.exchange import Moment, follow_exchange
from course_lib.widgets.touch.own_guess import OwnGuess
from course_lib.widgets.touch.touch_figure import (
    Action,
    Button,
    Choice,
    Control,
    Picture,
    TouchFigure,
)

_RUN_S = 15.0  # until then every errand is over
_MOST_ANSWERS = 3  # a router asks no more often
_HINT = "Drag an answer of {} back to half-way, and it is lost."


def explore_neighbours() -> "NeighbourExplorer":
    """Show four places that do not know each other yet, and after a guess what happens."""
    return NeighbourExplorer()


class NeighbourExplorer(TouchFigure):
    """The live figure of address resolution; `moments` are those that are shown."""

    def __init__(self) -> None:
        self._errand, self._lost = next(iter(ERRANDS)), frozenset[int]()
        self._flag: str | None = None
        self.guess = OwnGuess(ERRANDS[self._errand].question)
        self._follow_anew()
        actions: dict[str, Action] = {
            "errand": self._chosen,
            "guess": self._guessed,
            "answer": self._answered,
            "nothing lost": self._all_arrive,
        }
        for number in range(1, _MOST_ANSWERS + 1):
            actions[f"lose {number}"] = partial(self._dragged, number)
        super().__init__(self._draw(), actions)

    def _follow_anew(self) -> None:
        network = crossing(ERRANDS[self._errand])
        self._own = {place: _addresses(network, place) for place in PLACES}
        lost = [(NEXT_HOP, number) for number in self._lost]
        self.moments: tuple[Moment, ...] = follow_exchange(network, _RUN_S, lost)

    def _chosen(self, errand: str) -> Picture:
        self._errand, self._lost, self._flag = errand, frozenset(), None
        self.guess = self.guess.asked_again(ERRANDS[errand].question)
        self._follow_anew()
        return self._draw()

    def _guessed(self, place: str) -> Picture:
        self.guess, self._flag = self.guess.given_as(place), place
        return self._draw()

    def _answered(self, _: None) -> Picture:
        self.guess = self.guess.answered()
        return self._draw(plays=True)

    def _dragged(self, number: int, to: int) -> Picture:
        """Lose an answer (1), or let it arrive (0): then there will be no later ones."""
        earlier = {one for one in self._lost if one < number}
        return self._with_lost(frozenset(earlier | {number} if to else earlier))

    def _all_arrive(self, _: None) -> Picture:
        return self._with_lost(frozenset())

    def _with_lost(self, lost: frozenset[int]) -> Picture:
        self._lost = lost
        self._follow_anew()
        return self._draw()

    def _draw(self, *, plays: bool = False) -> Picture:
        """Return the places before anything is sent; when the answer is out, all moments too."""
        asks, answer = self.guess.is_open, ERRANDS[self._errand].answer
        guess = Guess(self._flag, None if asks else answer) if self._flag else None
        last = 0 if asks else len(self.moments)
        scenes = tuple(
            ladder_scene(self.moments, until, self._own, guess=guess, asks=asks, draggable=NEXT_HOP)
            for until in range(last + 1)
        )
        words = self.guess.words() if asks else self.guess.words(answer)
        hint = () if asks else (_HINT.format(NEXT_HOP),)
        controls: list[Control] = [Choice("errand", "Sent", tuple(ERRANDS), self._errand)]
        controls += self.guess.controls(letters=0)
        if not asks:
            controls.append(Button("nothing lost", "Let all arrive"))
        return Picture(scenes, (" ".join([words, *hint]),), tuple(controls), plays=plays)


def _addresses(network: Network, place: str) -> tuple[tuple[int, bytes], ...]:
    """Return the addresses of a place, those towards the host that sends first."""
    if place in network.hosts:
        own = [network.hosts[place].interface]
    else:
        own = list(cast(Router, network.routers[place]).interfaces.values())
        own.sort(key=lambda each: PLACES.index(each.name.removeprefix("to ")))
    return tuple((each.address, each.hardware_address) for each in own)

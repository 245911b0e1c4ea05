"""Guess where a packet's way ends, then watch it ride through the router, step by step.

By keyboard: Tab goes to the stations, arrows lead from one to the next, Space plants the flag; Tab
goes on to the lists, to the button and to what plays the steps.

The picture is `course_lib.figures.packet_journey`. The state is the packet, the place of the
reader's own stage and the guess; for each packet and each list of stages the journey is recorded
anew in a fresh router.
"""

__all__ = ["JourneyExplorer", "explore_journey", "explore_recorded"]

from collections.abc import Callable, Mapping

from course_lib.ferry.north_pier_alone import ARRIVALS, Arrival, north_pier
from course_lib.figures.tracing.packet_journey import journey_scene
from course_lib.forwarding.router import Router
from course_lib.forwarding.verdicts import Refuse, Stage, Verdict, name_of
from course_lib.headers.errors import Reason
from course_lib.ip.packets import Packet
from course_lib.prefixes.prefix import parse_prefix
from course_lib.tracing.journey import follow
from course_lib.tracing.steps import Journey
from course_lib.widgets.touch.own_guess import OwnGuess
from course_lib.widgets.touch.touch_figure import Action, Choice, Picture, TouchFigure

_BOATS = parse_prefix("203.0.113.0/24")
_NOWHERE = "none"
_QUESTION = "Where does its way on the fast path end? Press a station, or “out”."
_ANSWERED = "Your guess: {}. Play it, or go step by step; choose another packet to guess anew."


def no_boats(packet: Packet) -> Packet | Verdict:
    """Refuse what is for a boat; the stage that is offered if the reader has none."""
    is_for_boat = packet.header is not None and _BOATS.contains(packet.header.destination)
    return Refuse(Reason.FILTERED) if is_for_boat else packet


def explore_journey(
    stage: Stage | None = None,
    *,
    make_router: Callable[[], Router] = north_pier,
    arrivals: Mapping[str, Arrival] = ARRIVALS,
) -> "JourneyExplorer":
    """Show a packet at the door of a router, and after a guess its journey through it.

    stage: one of the reader's own; without it, a filter that refuses what is for boats. A list
    offers to put it behind each stage of the router.
    make_router: called anew for every journey, so a packet never meets what an earlier one left.
    arrivals: the packets to choose from, by name.

    Raises `ValueError` if there is no packet to choose.
    """
    return JourneyExplorer(no_boats if stage is None else stage, make_router, dict(arrivals))


def explore_recorded(journeys: Mapping[str, Journey]) -> "JourneyExplorer":
    """Show journeys that were written down elsewhere, such as those of real packets, by name.

    Raises `ValueError` if there is none to choose.
    """
    arrivals = {name: Arrival(each.arrived_on, b"") for name, each in journeys.items()}
    return JourneyExplorer(no_boats, north_pier, arrivals, journeys)


class JourneyExplorer(TouchFigure):
    """The live figure of a journey; `journey` is the one that is shown."""

    def __init__(
        self,
        stage: Stage,
        make_router: Callable[[], Router],
        arrivals: Mapping[str, Arrival],
        written_down: Mapping[str, Journey] | None = None,
    ) -> None:
        if not arrivals:
            raise ValueError("there must be at least one packet to follow, arrivals is empty")
        self._stage, self._make_router, self._arrivals = stage, make_router, arrivals
        self._written_down = written_down
        # What is over cannot be had with another stage.
        names = [] if written_down else [name_of(each) for each in make_router().stages]
        behind = [f"{name_of(stage)} behind {name}" for name in names[:-1]]
        self._places = {_NOWHERE: 0} | {words: n for n, words in enumerate(behind, start=1)}
        self._packet, self._place = next(iter(arrivals)), _NOWHERE
        self._flag: int | None = None  # the place that was guessed, as `journey_scene` counts them
        self.guess = OwnGuess(_QUESTION)
        self.journey = self._recorded()
        actions: dict[str, Action] = {
            "packet": self._chosen,
            "place": self._inserted,
            "guess": self._guessed,
            "answer": self._answered,
        }
        super().__init__(self._draw(), actions)

    def _recorded(self) -> Journey:
        if self._written_down:
            return self._written_down[self._packet]
        router = self._make_router()
        if place := self._places[self._place]:
            router.stages.insert(place, self._stage)
        return follow(router, 0.0, *self._arrivals[self._packet])

    def _chosen(self, packet: str) -> Picture:
        self._packet = packet
        return self._anew()

    def _inserted(self, place: str) -> Picture:
        self._place = place
        return self._anew()

    def _anew(self) -> Picture:
        """Record another journey, and show the packet as it arrives."""
        self.journey, self._flag = self._recorded(), None
        self.guess = self.guess.asked_again(_QUESTION)
        return self._draw()

    def _guessed(self, place: int) -> Picture:
        self.guess = self.guess.given_as([*self.journey.stages, "out"][place])
        self._flag = place
        return self._draw()

    def _answered(self, _: None) -> Picture:
        self.guess = self.guess.answered()
        return self._draw()

    def _draw(self) -> Picture:
        """Return the arrival; when the answer is out, that and all steps."""
        asks = self.guess.is_open
        last = 0 if asks else len(self.journey.steps)
        scenes = tuple(
            journey_scene(self.journey, until, guess=self._flag, asks=asks)
            for until in range(last + 1)
        )
        words = self.guess.words() if asks else _ANSWERED.format(self.guess.given)
        choices = [Choice("packet", "Packet", tuple(self._arrivals), self._packet)]
        if len(self._places) > 1:  # what is over has no place for a stage of one's own
            choices.append(Choice("place", "Own stage", tuple(self._places), self._place))
        controls = (*choices, *self.guess.controls(letters=0))
        return Picture(scenes, (words,), controls, plays=not asks)

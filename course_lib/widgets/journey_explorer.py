"""Choose a packet, put a stage of your own into the router, and follow the packet step by step.

By keyboard: Tab goes from control to control, Space opens a list and presses a button, arrows
change the step.

The figure is `course_lib.figures.packet_journey`. The state is one value, the
journey, which is recorded anew in a fresh router for every packet and every list of stages.
"""

__all__ = ["JourneyExplorer", "explore_journey"]

from collections.abc import Callable, Mapping

import ipywidgets as widgets

from course_lib.ferry.north_pier_alone import ARRIVALS, Arrival, north_pier
from course_lib.figures.tracing.journey_words import step_in_words
from course_lib.figures.tracing.packet_journey import packet_journey
from course_lib.forwarding.router import Router
from course_lib.forwarding.verdicts import Refuse, Stage, Verdict, name_of
from course_lib.headers.errors import Reason
from course_lib.ip.packets import Packet
from course_lib.prefixes.prefix import parse_prefix
from course_lib.tracing.journey import follow
from course_lib.tracing.steps import SLOW_PATH, Journey
from course_lib.widgets.live_figure import LiveFigure, looks, slider_beside

_BOATS = parse_prefix("203.0.113.0/24")
_NOWHERE = -1  # in the list of places: the stage is left out
_LOOKS = looks("84px", "330px")


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
    """Show the journey of a packet with controls to choose it and to go on step by step.

    stage: one of the reader's own; without it, a filter that refuses what is for boats. A list
    offers to put it behind each stage of the router.
    make_router: called anew for every journey, so a packet never meets what an earlier one left.
    arrivals: the packets to choose from, by name.

    Raises `ValueError` if there is no packet to choose.
    """
    return JourneyExplorer(no_boats if stage is None else stage, make_router, dict(arrivals))


class JourneyExplorer(LiveFigure):
    """The live figure of a journey; `journey` is the one that is shown."""

    def __init__(
        self, stage: Stage, make_router: Callable[[], Router], arrivals: Mapping[str, Arrival]
    ) -> None:
        if not arrivals:
            raise ValueError("there must be at least one packet to follow, arrivals is empty")
        self._stage, self._make_router, self._arrivals = stage, make_router, arrivals
        self.journey = self._follow(next(iter(arrivals)), _NOWHERE)
        self._make_controls()
        super().__init__(
            (self.packet, self.place), (self.step, self.slider, self.next_step, self.restart)
        )
        self.when_changed(self._start, self.packet, self.place)
        self.when_changed(self._draw, self.step)
        self._draw()

    def _make_controls(self) -> None:
        last = len(self.journey.steps)
        names = [name_of(each) for each in self._make_router().stages]
        behind = [(f"{name_of(self._stage)} behind {name}", n) for n, name in enumerate(names, 1)]
        self.packet = widgets.Dropdown(options=list(self._arrivals), description="Packet", **_LOOKS)
        self.place = widgets.Dropdown(
            options=[("none", _NOWHERE), *behind[:-1]], description="Own stage", **_LOOKS
        )
        self.step = widgets.BoundedIntText(max=last, description="Step", **looks("84px", "170px"))
        self.slider = slider_beside(self.step)
        self.next_step = self.button("Next step", self._go_on)
        self.restart = self.button("From the start", self._to_the_start)

    def _follow(self, name: str, place: int) -> Journey:
        router = self._make_router()
        if place != _NOWHERE:
            router.stages.insert(place, self._stage)
        return follow(router, 0.0, *self._arrivals[name])

    def _start(self) -> None:
        """Record another journey, and show the packet as it arrives."""
        self.journey = self._follow(self.packet.value, self.place.value)
        self.step.max = len(self.journey.steps)
        self._to_the_start()

    def _to_the_start(self) -> None:
        if self.step.value:
            self.step.value = 0  # this draws
        else:
            self._draw()

    def _go_on(self) -> None:
        self.step.value = min(self.step.value + 1, self.step.max)

    def _draw(self) -> None:
        step, steps = self.step.value, self.journey.steps
        self.next_step.disabled = step >= len(steps)
        self.draw(_in_words(self.journey, step), packet_journey(self.journey, step))


def _in_words(journey: Journey, step: int) -> list[str]:
    """Say what happened in the step, and what comes next."""
    last = len(journey.steps)
    size = sum(map(len, journey.arrived))
    now = f'A frame of {size:,} octets arrives on the interface "{journey.arrived_on}".'
    if step:
        now = f"Step {step}. {step_in_words(journey.steps[step - 1])}"
    if step == last:
        return [now, "That was the last step."]
    stage = journey.steps[step].stage
    return [now, "Next: the slow path." if stage == SLOW_PATH else f"Next: {stage}."]

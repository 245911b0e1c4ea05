"""What of a running router is in sight, and how its numbers are written."""

__all__ = [
    "MOST_LINES",
    "STRIP_S",
    "Chosen",
    "Kind",
    "RouterView",
    "line_words",
    "rate_words",
    "route_words",
    "whole_or_cut",
]

from collections.abc import Mapping
from enum import StrEnum
from typing import NamedTuple

from course_lib.prefixes.text import format_address
from course_lib.steering.states import InterfaceState, RouterState, RouteState

STRIP_S = 30  # how far back the rates go
MOST_LINES = 6  # that are drawn; the text has all


class Kind(StrEnum):
    """What can be chosen, to be changed."""

    LINE = "line"
    ROUTE = "route"
    STAGE = "stage"


class Chosen(NamedTuple):
    """The one thing that the controls are about; a route is named by its prefix."""

    kind: Kind
    name: str


class RouterView(NamedTuple):
    """A state, and what the page adds to it.

    rates: bits per second that were sent, in spans of equal length, the newest last, by interface.
    trouble: what is wrong with whoever runs the router; then the state is the last one known.
    where: in a few words, where it runs.
    """

    state: RouterState
    rates: Mapping[str, tuple[float, ...]]
    chosen: Chosen
    trouble: str = ""
    is_held: bool = False
    where: str = ""

    @property
    def time(self) -> str:
        """Say where it runs, and for how long."""
        return ", ".join(filter(None, (self.where, f"for {self.state.now_s:.0f} s")))

    @property
    def lines(self) -> tuple[InterfaceState, ...]:
        """The lines that are drawn."""
        return self.state.interfaces[:MOST_LINES]

    def rate(self, interface: str) -> float:
        """Return the newest rate at an interface."""
        return (self.rates.get(interface) or (0.0,))[-1]


def rate_words(bits_per_s: float) -> str:
    """Write a rate in a unit that leaves few digits.

    >>> rate_words(1e6), rate_words(612_400), rate_words(0)
    ('1 Mbit/s', '612 kbit/s', '0 kbit/s')
    """
    if bits_per_s >= 999_500:
        return f"{bits_per_s / 1e6:.3g} Mbit/s"
    return f"{bits_per_s / 1e3:.3g} kbit/s"


def line_words(line: InterfaceState) -> str:
    """Say how a line is set."""
    rate = "no rate" if line.rate_bits_per_s is None else rate_words(line.rate_bits_per_s)
    lost = f", 1 in {line.loss_period} lost" if line.loss_period else ""
    return f"{rate}, {line.delay_s * 1e3:.3g} ms{lost}"


def whole_or_cut(line: InterfaceState) -> str:
    """Say whether a line is whole."""
    return "whole" if line.is_up else "cut"


def route_words(route: RouteState) -> str:
    """Say where a route leads."""
    if route.next_hop is None:
        return f"{route.interface}, directly"
    return f"{route.interface}, {format_address(route.next_hop)}"

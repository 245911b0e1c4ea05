"""A router between kernel hosts, as the control page asks it.

`LiveRouterOnPage` is a thin layer over a network that somebody else has opened and closes.
`LiveRouterWithTraffic` opens one of its own, lets its hosts send, and closes it.
"""

__all__ = ["LiveRouterOnPage", "LiveRouterWithTraffic", "live_or_simulated_router"]

import threading
import time
import weakref
from typing import Protocol

from course_lib.control.ferry_traffic import FLOWS, PLACE
from course_lib.control.simulated_router import SimulatedRouter
from course_lib.control.steered_router import LostRouterError
from course_lib.live.ability import Ability
from course_lib.live.carrying.recipes import LibraryRecipe, Recipe, Route
from course_lib.live.ferry_plans import three_router_plan
from course_lib.live.measuring.traffic import Flow
from course_lib.live.private_network.plan import LivePlan
from course_lib.live.private_network.private_network import Measurement, PrivateNetwork
from course_lib.steering.changes import Change, SteeringError
from course_lib.steering.states import RouterState

_SAID_EVERY_S = 1.0  # that traffic is wanted; it rests after three


class LiveNetwork(Protocol):
    """What is needed of a private network; it belongs to who opened it."""

    def state(self, router: str) -> RouterState:
        """Return the state of a router."""

    def change(self, router: str, change: Change) -> None:
        """Make a change; raises `SteeringError`."""

    def is_alive(self, router: str) -> bool:
        """Whether the router's process runs."""

    def start_router(self, router: str) -> None:
        """Start the router's process."""

    def stop_router(self, router: str) -> None:
        """End the router's process."""


class LiveRouterOnPage:
    """One router of a private network; it is a `SteeredRouter`."""

    where = "between real kernels"

    def __init__(self, network: LiveNetwork, name: str) -> None:
        self._network, self._name = network, name
        self._is_lost = False

    def start(self) -> None:
        """Start the router unless it runs and answers; raises `LostRouterError`."""
        if self.is_alive() and not self._is_lost:
            return
        try:
            if self.is_alive():
                self._network.stop_router(self._name)
            self._network.start_router(self._name)
        except (OSError, RuntimeError, ValueError) as problem:
            raise LostRouterError(f"The router could not be started: {problem}.") from problem
        self._is_lost = False

    def state(self) -> RouterState:
        """Return its state; raises `LostRouterError`."""
        try:
            return self._network.state(self._name)
        except (OSError, RuntimeError) as problem:
            raise self._lost(problem) from problem

    def change(self, change: Change) -> None:
        """Make a change; raises `SteeringError`, `LostRouterError`."""
        try:
            self._network.change(self._name, change)
        except SteeringError:
            raise
        except (OSError, RuntimeError) as problem:
            raise self._lost(problem) from problem

    def is_alive(self) -> bool:
        """Whether its process runs."""
        return self._network.is_alive(self._name)

    def close(self) -> None:
        """Leave it as it is: whoever opened the network closes it."""

    def _lost(self, problem: Exception) -> LostRouterError:
        self._is_lost = True
        words = str(problem)
        return LostRouterError(f"{words[:1].upper()}{words[1:]}.")


class LiveRouterWithTraffic:
    """North Pier in a private network of its own, with traffic; it is a `SteeredRouter`.

    recipe: how the router is made; the library's router, if none is given. Its neighbours are the
    library's. The network ends with `close`, with this object, or with the notebook's kernel.
    """

    where = LiveRouterOnPage.where

    def __init__(self, recipe: Recipe | None = None) -> None:
        self.network = PrivateNetwork(_plan(recipe or LibraryRecipe()))
        self._router = LiveRouterOnPage(self.network, PLACE)
        self._traffic = list[Measurement]()
        self._said_s = 0.0
        self._one_at_a_time = threading.Lock()  # that opens or closes

    def start(self) -> None:
        """Open the network, or start what is not there of it; raises `LostRouterError`."""
        with self._one_at_a_time:
            if not self.network.is_there:
                self._open()
        self._router.start()

    def state(self) -> RouterState:
        """Return the router's state; raises `LostRouterError`. While somebody asks, hosts send."""
        now_s = time.monotonic()
        if now_s - self._said_s >= _SAID_EVERY_S:
            self._said_s = now_s
            for flows in self._traffic:
                flows.want()
        return self._router.state()

    def change(self, change: Change) -> None:
        """Make a change; raises `SteeringError`, `LostRouterError`."""
        self._router.change(change)

    def is_alive(self) -> bool:
        """Whether the router's process runs."""
        return self._router.is_alive()

    def close(self) -> None:
        """Close the network, and end all that is in it."""
        with self._one_at_a_time:
            self._close()

    def _open(self) -> None:
        self._close()
        try:
            self.network.__enter__()
        except (OSError, RuntimeError, ValueError) as problem:
            raise LostRouterError(f"The network could not be made: {problem}.") from problem
        self._ends_with_us = weakref.finalize(self, self.network.close)
        self._traffic += [
            self.network.measure(host, "traffic", flows=flows)
            for host, flows in _flows(self.network.plan).items()
        ]

    def _close(self) -> None:
        self._traffic.clear()
        self.network.close()


def live_or_simulated_router(
    ability: Ability, recipe: Recipe | None = None
) -> LiveRouterWithTraffic | SimulatedRouter:
    """Return North Pier with traffic, to be steered: between real kernels, if can be.

    ability: what `live_ability` has found out. recipe: how the router is made.
    """
    return LiveRouterWithTraffic(recipe) if ability.is_there else SimulatedRouter(recipe)


def _plan(recipe: Recipe) -> LivePlan:
    def make(name: str, routes: tuple[Route, ...]) -> Recipe:
        if name == PLACE:
            return recipe._replace(routes=(*recipe.routes, *routes))
        return LibraryRecipe(routes)

    return three_router_plan(make)


def _flows(plan: LivePlan) -> dict[str, list[Flow]]:
    """Return what each host sends, of those whose both ends are in the plan."""
    hosts = {host.name: host.interface.address for host in plan.hosts}
    flows: dict[str, list[Flow]] = {host: [] for host in hosts}
    for each in FLOWS:
        if each.source in hosts and each.destination in hosts:
            flows[each.source].append(
                Flow(hosts[each.destination], each.streams, each.interval_s, each.payload_octets)
            )
    return flows

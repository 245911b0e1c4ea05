"""A router between kernel hosts, as the control page asks it: a thin layer over its network."""

__all__ = ["LiveNetwork", "LiveRouterOnPage"]

from typing import Protocol

from course_lib.control.steered_router import LostRouterError
from course_lib.steering.changes import Change, SteeringError
from course_lib.steering.states import RouterState


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


class LiveRouterOnPage:
    """One router of a private network; it is a `SteeredRouter`."""

    def __init__(self, network: LiveNetwork, name: str) -> None:
        self._network, self._name = network, name

    def start(self) -> None:
        """Start the router unless it runs; raises `LostRouterError`."""
        if self.is_alive():
            return
        try:
            self._network.start_router(self._name)
        except (OSError, RuntimeError, ValueError) as problem:
            raise LostRouterError(f"The router could not be started: {problem}") from problem

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
        what = "does not answer" if self.is_alive() else "has ended"
        return LostRouterError(f"The router's process {what}: {problem}")

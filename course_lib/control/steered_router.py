"""What the control page asks of a router, wherever that runs.

All calls are made from threads of the page and may take their time; the notebook's own thread makes
none. One thread watches, another one steers: what cannot answer two at once has to make one wait.
"""

__all__ = ["LostRouterError", "SteeredRouter"]

from typing import Protocol

from course_lib.steering.changes import Change
from course_lib.steering.states import RouterState


class LostRouterError(RuntimeError):
    """Nobody answers for the router any more, or not now; the message says what is known of it."""


class SteeredRouter(Protocol):
    """A running router: simulated, live, or a stand-in of a test."""

    @property
    def where(self) -> str:
        """Say in a few words where it runs."""

    def state(self) -> RouterState:
        """Return its state; raises `LostRouterError` if it does not tell."""

    def change(self, change: Change) -> None:
        """Make a change; raises `SteeringError` for one that can't be made, `LostRouterError`."""

    def is_alive(self) -> bool:
        """Whether whoever runs it is there."""

    def start(self) -> None:
        """Start it, or start it again from the beginning; raises `LostRouterError`."""

    def close(self) -> None:
        """End what was started."""

"""Somebody at the door of a stage, who sees each packet go in and what comes out.

`Router` knows nothing of being watched: its stages are a plain list, so each can be put behind a
door and taken out again. Several may watch one stage; their doors then stand one behind the other.
"""

__all__ = ["Watch", "WatchedStage", "end_watch", "put_watch"]

from collections.abc import Callable
from typing import Any, TypeAlias

from course_lib.forwarding.router import Router
from course_lib.forwarding.verdicts import Stage, Verdict, name_of
from course_lib.ip.packets import Packet

Watch: TypeAlias = Callable[[Stage, Packet], Packet | Verdict]
"""Calls the stage with the packet, returns what it returned, and notes what it likes."""


class WatchedStage:
    """A stage with somebody at the door. It prints, and in all else behaves, like the stage."""

    def __init__(self, stage: Stage, watch: Watch) -> None:
        self.stage, self.watch = stage, watch

    def __call__(self, packet: Packet) -> Packet | Verdict:
        """Leave it to the watch."""
        return self.watch(self.stage, packet)

    def __getattr__(self, name: str) -> Any:
        return getattr(self.stage, name)

    def __repr__(self) -> str:
        return name_of(self.stage)


def put_watch(router: Router, watch: Watch) -> None:
    """Put a watch at the door of every stage of a router at which it does not stand yet."""
    for stages in (router.stages, router.own_stages):
        # In place: the slow path holds the second list, and students may hold the first.
        stages[:] = [
            each if _is_watched(each, watch) else WatchedStage(each, watch) for each in stages
        ]


def end_watch(router: Router, watch: Watch) -> None:
    """Leave the lists as they were, but for what a stage itself has changed in them."""
    for stages in (router.stages, router.own_stages):
        stages[:] = [
            each.stage if isinstance(each, WatchedStage) and each.watch == watch else each
            for each in stages
        ]


def _is_watched(stage: Stage, watch: Watch) -> bool:
    while isinstance(stage, WatchedStage):
        if stage.watch == watch:
            return True
        stage = stage.stage
    return False

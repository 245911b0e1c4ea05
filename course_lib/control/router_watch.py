"""Ask a router for its state again and again, in a thread of its own.

It tells what came, or what is wrong, by calling back in that thread. Where nobody answers it asks
more rarely, as long as there is somebody who may answer.
"""

__all__ = ["EVERY_S", "RouterWatch"]

import threading
import time
from collections.abc import Callable

from course_lib.control.steered_router import LostRouterError, SteeredRouter
from course_lib.steering.changes import SteeringError
from course_lib.steering.states import RouterState

EVERY_S = 0.1
AFTER_TROUBLE_S = 1.0


class RouterWatch:
    """Watches a router from `begin` to `end`, whenever `is_wanted` says so."""

    def __init__(
        self,
        router: SteeredRouter,
        *,
        tell: Callable[[RouterState], None],
        tell_trouble: Callable[[str], None],
        is_wanted: Callable[[], bool],
    ) -> None:
        self._router, self._tell, self._tell_trouble = router, tell, tell_trouble
        self._is_wanted = is_wanted
        self._end = threading.Event()
        self._thread = threading.Thread(target=self._go, name="router watch", daemon=True)

    def begin(self) -> None:
        """Begin to ask."""
        self._thread.start()

    def end(self) -> None:
        """Ask no more; returns at once."""
        self._end.set()

    def _go(self) -> None:
        due_s = time.monotonic()
        while not self._end.wait(max(0.0, due_s - time.monotonic())):
            every_s = EVERY_S
            if self._is_wanted() and not self._ask():
                every_s = AFTER_TROUBLE_S
            # On a busy machine some are left out, and none are made up for.
            due_s = max(due_s + every_s, time.monotonic())

    def _ask(self) -> bool:
        """Ask once; return whether there was an answer."""
        try:
            state = self._router.state()
        except (LostRouterError, SteeringError) as problem:  # a state that is none is no answer
            if not self._end.is_set():
                self._tell_trouble(str(problem))
            return False
        if not self._end.is_set():
            self._tell(state)
        return True

"""A router that is steered, in the process of the test: its time goes on when it is asked."""

import threading

from course_lib.control.ferry_traffic import PLACE, ferry_with_traffic
from course_lib.control.paced_network import PacedNetwork
from course_lib.control.steered_router import LostRouterError
from course_lib.live.carrying.recipes import LibraryRecipe


class SteeredStandIn:
    """It may be lost, and started again; `starts` counts how often it was."""

    def __init__(self, step_s=0.1):
        self.step_s, self.starts, self.is_lost, self.paced = step_s, 0, False, None
        self._one_at_a_time = threading.Lock()

    def start(self):
        self.starts += 1
        self.is_lost = False
        self.paced = PacedNetwork(ferry_with_traffic(LibraryRecipe()), PLACE)
        self.paced.go_on(1.0)

    def state(self):
        self._answer()
        with self._one_at_a_time:
            self.paced.go_on(self.step_s)
            return self.paced.state()

    def change(self, change):
        self._answer()
        with self._one_at_a_time:
            self.paced.change(change)

    def is_alive(self):
        return not self.is_lost

    def close(self):
        self.is_lost = True

    def _answer(self):
        if self.is_lost:
            raise LostRouterError("The stand-in has gone.")


class NetworkStandIn:
    """Speaks as a private network does: of routers by their names."""

    def __init__(self):
        self.router = SteeredStandIn()

    def start_router(self, name):
        assert name == PLACE
        self.router.start()

    def is_alive(self, name):
        return name == PLACE and self.router.starts > 0 and self.router.is_alive()

    def state(self, name):
        try:
            return self.router.state()
        except LostRouterError as problem:
            raise RuntimeError(str(problem)) from None

    def change(self, name, change):
        self.router.change(change)

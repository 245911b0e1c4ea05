"""A router that is steered, in the process of the test: its time goes on when it is asked."""

import threading

from course_lib.control.ferry_traffic import PLACE, ferry_with_traffic
from course_lib.control.steered_router import LostRouterError
from course_lib.live.carrying.recipes import LibraryRecipe
from course_lib.steering.paced_network import PacedNetwork


class SteeredStandIn:
    """It may be lost, and started again; `starts` counts how often it was."""

    where = "in a test"

    def __init__(self, step_s=0.1):
        self.step_s, self.starts, self.is_lost, self.paced = step_s, 0, False, None
        self._one_at_a_time = threading.Lock()

    def start(self):
        self.starts += 1
        paced = PacedNetwork(ferry_with_traffic(LibraryRecipe()), PLACE)
        paced.go_on(1.0)
        self.paced, self.is_lost = paced, False

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

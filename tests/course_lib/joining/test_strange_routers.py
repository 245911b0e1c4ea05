"""Routers of somebody's own that never come back: they are stopped, and the panel says so."""

import pytest

from course_lib.joining.member import Standing
from course_lib.joining.panel_page import panel_page
from course_lib.joining.piers.simulated_pier import SimulatedPier
from course_lib.live.carrying.recipes import SourceRecipe
from course_lib.network.wires import NetworkError
from instructor.joined_room.neighbours import room_plan
from instructor.joined_room.placing import placed
from machines.processes import until
from networks.linked_ends import SECRET

ENDLESS = """
class Endless:
    def receive(self, now_s, interface, frame): return []
    def next_tick_s(self): return 0.5
    def tick(self, now_s):
        while True:
            pass
def make_endless(interfaces, routes):
    return Endless()
def make_without_end(interfaces, routes):
    while True:
        pass
"""
PLACED = placed(room_plan("ring", 3), 0, "link state", 2e6, 60.0)


def test_a_router_that_never_returns_is_stopped_and_its_panel_says_so():
    pier = SimulatedPier(SECRET, SourceRecipe(ENDLESS, "make_endless"))
    pier.open(PLACED, lambda message: None)
    try:
        until(lambda: any("not called any more" in one for one in pier.report().complaints))
        report = pier.report()
        assert report.is_alive
        assert len(report.lines) == 2  # they are told of on and on
        page = panel_page(Standing("you are at North Pier", PLACED, report))
        assert "tick(): no end after 1 s of computing; it is not called any more" in page
    finally:
        pier.close()


def test_a_router_that_is_never_made_is_told_in_words():
    pier = SimulatedPier(SECRET, SourceRecipe(ENDLESS, "make_without_end"))
    with pytest.raises(NetworkError, match="'North Pier' could not be made: no end after 1 s"):
        pier.open(PLACED, lambda message: None)
    pier.close()

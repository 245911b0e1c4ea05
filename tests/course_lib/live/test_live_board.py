"""The board with a router's process between real kernels: it says what it says of the object.

All clauses are played by `python tests/benchmarks/bench_live_board.py`; here a few of each kind.
"""

import pytest

from course_lib.conformance import SCENARIOS, Outcome, board_of
from course_lib.live import LiveBoard, SourceRecipe

pytestmark = pytest.mark.usefixtures("live")

A_KIND = 2  # clauses of each kind that are played, beside those on which they rest
FORGETS = """
from course_lib.forwarding.router import Router
class Forgets(Router):
    def receive(self, now_s, interface, frame):
        sent = super().receive(now_s, interface, frame)
        return [(name, octets[:22] + bytes([64]) + octets[23:]) for name, octets in sent]
def make_router(interfaces, routes):
    router = Forgets("North Pier", interfaces)
    for route in routes:
        router.add_route(*route)
    return router
"""
BROKEN = ("time to live lowered", "checksum after the hop")


def some():
    """Return clauses of every kind that are over at once, with all that they rest on."""
    wanted = set()
    for group in {each.group for each in SCENARIOS}:
        quick = [each for each in SCENARIOS if each.group == group and each.until_s <= 1]
        for each in quick[:A_KIND]:
            wanted |= {each.name, *each.needs}
    return [each for each in SCENARIOS if each.name in wanted]


def test_the_librarys_router_keeps_clauses_of_every_kind():
    with LiveBoard() as live:
        board = board_of(live.play, some())
    assert {each.scenario.name: str(each) for each in board.results
            if each.outcome is not Outcome.PASSED} == {}  # fmt: skip


def test_what_is_broken_is_found():
    plain, *few = (each for each in SCENARIOS if each.name in ("a plain packet", *BROKEN))
    with LiveBoard(SourceRecipe(FORGETS)) as live:
        board = board_of(
            live.play, [plain._replace(needs=()), *(x._replace(needs=()) for x in few)]
        )
    assert set(BROKEN) <= set(board.names(Outcome.FAILED)), str(board)

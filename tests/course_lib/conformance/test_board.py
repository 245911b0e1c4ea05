"""The board: what it says of a router, and that no router can stop it."""

from pathlib import Path

import pytest

import course_lib.conformance
from course_lib.conformance import SCENARIOS, Board, Outcome, board_of, conformance_board
from course_lib.conformance.scenario import PLAIN, Exchange
from networks.broken_routers import BROKEN
from networks.spoiled_frames import library_router

FIRST = SCENARIOS[:12]


def test_a_failure_says_what_was_sent_what_had_to_come_what_came_and_what_differs():
    text = str(conformance_board(BROKEN["time to live not lowered"].make)["time to live lowered"])
    assert text.splitlines() == [
        "time to live lowered: failed",
        "RFC 1812, section 5.3.1: a router lowers the time to live by one.",
        "sent: 0 s, quay: UDP 192.0.2.7 to 203.0.113.9, time to live 64, 54 octets, to the "
        "router's quay",
        "had to come: a forwarded packet in which IPv4 time to live (octet 8 of the header) is 63",
        "came: 0 s, radio: UDP 192.0.2.7 to 203.0.113.9, time to live 64, 54 octets, to Plover",
        "what is wrong: IPv4 time to live (octet 8 of the header) is 64, must be 63",
    ]


def test_what_rests_on_something_that_fails_is_not_reached():
    board = conformance_board(BROKEN["asks for the destination"].make)
    result = board["time to live lowered"]
    assert result.outcome == Outcome.NOT_REACHED
    assert result.why == f"it rests on “{PLAIN}”, which failed"
    assert "came" not in str(result)


def test_counts_add_up_and_the_core_is_a_part():
    board = conformance_board(BROKEN["never puts together"].make)
    assert sum(board.counts().values()) == len(SCENARIOS)
    assert len(board.core.results) + len(board.extras.results) == len(SCENARIOS)
    assert board.core.count(Outcome.FAILED) == 0
    assert board.extras.count(Outcome.FAILED) == 1
    assert str(board).splitlines()[0] == (
        f"{len(SCENARIOS)} clauses: {len(SCENARIOS) - 4} passed, 1 failed, 3 not reached, "
        "0 not tried"
    )


def test_an_unknown_name_is_refused():
    with pytest.raises(KeyError, match="no clause 'nothing'"):
        Board(())["nothing"]


class Strange:
    """A router whose methods do what they are told."""

    def __init__(self, receive=lambda: [], due=lambda: float("inf")):
        self._receive, self._due = receive, due

    def receive(self, now_s, interface, frame):
        return self._receive()

    def tick(self, now_s):
        return []

    def next_tick_s(self):
        return self._due()


def raises():
    raise RuntimeError("no idea")


STRANGE = {
    "raises": (Strange(raises), "raised RuntimeError: no idea"),
    "gives no list": (Strange(lambda: 7), "must be a list of OutgoingFrame"),
    "gives no frames": (Strange(lambda: [("quay", "text")]), "must be bytes"),
    "unknown interface": (Strange(lambda: [("moon", bytes(60))]), "no interface 'moon'"),
    "never rests": (Strange(due=lambda: 0.0), "asked for more than"),
    "no time": (Strange(due=lambda: "soon"), "must be a number of seconds"),
    "no router": (7, "has no attribute"),
}


@pytest.mark.parametrize("name", STRANGE)
def test_a_router_that_does_not_keep_the_agreement_is_told_so(name):
    router, words = STRANGE[name]
    (result,) = conformance_board(lambda interfaces, routes: router, FIRST[:1]).results
    assert result.outcome == Outcome.FAILED
    assert words in result.why


def test_a_call_that_never_comes_back_is_ended():
    router = Strange(lambda: [None for _ in iter(int, 1)])
    (result,) = conformance_board(lambda interfaces, routes: router, FIRST[:1]).results
    assert result.outcome == Outcome.FAILED
    assert "it is not called any more" in result.why


def test_a_stage_that_fails_is_told_beside_what_did_not_come():
    def make(interfaces, routes):
        router = library_router(interfaces, routes)
        router.stages[2] = lambda packet: 1 / 0
        return router

    (result,) = conformance_board(make, FIRST[:1]).results
    assert "the router complains: stage <lambda>: ZeroDivisionError" in result.why


def test_a_router_may_be_reached_in_any_way():
    played = []

    def play(scenario):
        played.append(scenario.name)
        return Exchange(()) if scenario.name == PLAIN else "the line is down"

    board = board_of(play, [SCENARIOS[0], next(s for s in SCENARIOS if s.name == "an echo")])
    assert played == [PLAIN, "an echo"]
    assert board["an echo"].outcome == Outcome.NOT_TRIED
    assert board["an echo"].why == "the line is down"


def test_nothing_here_reads_a_clock_or_opens_anything():
    folder = Path(course_lib.conformance.__file__).parent
    text = "".join(path.read_text() for path in folder.rglob("*.py"))
    assert all(f"import {name}" not in text for name in ("time", "socket", "os", "subprocess"))

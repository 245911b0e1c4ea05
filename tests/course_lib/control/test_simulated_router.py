"""A router in a process of its own is read, changed, lost and started again."""

import os
import signal

import pytest

from course_lib.control import LostRouterError, SimulatedRouter
from course_lib.control.ferry_traffic import PLACE, ferry_with_traffic
from course_lib.live.carrying.recipes import LibraryRecipe, SourceRecipe
from course_lib.prefixes.prefix import parse_prefix
from course_lib.steering import (
    SetLine,
    SetLink,
    StagePlace,
    SteeringError,
    SwapStage,
    WithdrawRoute,
)
from course_lib.steering.paced_network import PacedNetwork
from machines.processes import until

PLOVER = "to Plover"
OWN = """
import math
class Silent:
    def receive(self, now_s, interface, frame):
        print("a print disturbs nobody")
        return []
    def tick(self, now_s):
        return []
    def next_tick_s(self):
        return math.inf
def make_router(interfaces):
    return Silent()
"""
FAILS_LATER = OWN.replace("return []", "raise KeyError('lost key')", 1)


def line(state, name=PLOVER):
    return next(each for each in state.interfaces if each.name == name)


@pytest.fixture
def paced():
    return PacedNetwork(ferry_with_traffic(LibraryRecipe()), PLACE)


@pytest.fixture
def router():
    one = SimulatedRouter()
    one.start()
    yield one
    one.close()


# --- the network itself, in this process


def test_packets_flow_and_nothing_is_left_behind(paced):
    paced.go_on(2.0)
    state = paced.state()
    assert line(state).sent_frames > 200
    assert line(state).sent_octets > 200 * 500
    assert line(state, "to Ticket Office").received_frames > 200
    assert state.complaints == ()
    before = len(paced._network.records)
    paced.go_on(2.0)
    assert len(paced._network.records) == before == 0


def test_a_queue_fills_and_empties(paced):
    depths = set()
    for _ in range(40):
        paced.go_on(0.01)
        depths.add(line(paced.state()).waiting_packets)
    assert min(depths) <= 1
    assert max(depths) >= 4


def test_a_slow_line_drops_and_a_cut_line_sends_nothing(paced):
    paced.change(SetLine(PLOVER, 2e5, 0.001, 5))
    paced.go_on(2.0)
    slow = line(paced.state())
    assert slow.dropped_packets > 50
    assert (slow.rate_bits_per_s, slow.queue_packets) == (2e5, 5)
    paced.change(SetLink(PLOVER, is_up=False))
    sent = line(paced.state()).sent_frames
    paced.go_on(1.0)
    cut = line(paced.state())
    assert (cut.is_up, cut.sent_frames, cut.waiting_packets) == (False, sent, 0)
    paced.change(SetLink(PLOVER, is_up=True))
    paced.go_on(1.0)
    assert line(paced.state()).sent_frames > sent


def test_each_so_many_frames_one_is_lost(paced):
    paced.change(SetLine(PLOVER, None, 0.001, None, 10))
    paced.go_on(2.0)
    state = line(paced.state())
    share = state.lost_packets / (state.lost_packets + state.sent_frames)
    assert share == pytest.approx(0.1, abs=0.01)
    assert (state.rate_bits_per_s, state.queue_packets) == (None, None)


def test_without_a_route_packets_are_dropped(paced):
    paced.change(WithdrawRoute(parse_prefix("203.0.113.0/28")))
    paced.go_on(1.0)
    assert paced.state().counters["dropped: no route"] > 50


def test_rounds_of_traffic_follow_each_other(paced, monkeypatch):
    monkeypatch.setattr("course_lib.control.ferry_traffic.ROUND", 5)
    short = PacedNetwork(ferry_with_traffic(LibraryRecipe()), PLACE)
    short.go_on(3.0)
    before = line(short.state()).sent_frames
    short.go_on(1.0)
    assert line(short.state()).sent_frames > before + 50


# --- and in a process of its own


def test_a_state_and_a_change_go_through_the_process(router):
    assert router.state().stages[0] == "receive"
    router.change(SetLink(PLOVER, is_up=False))
    assert not line(router.state()).is_up
    own = "def meter(packet):\n    return packet"
    router.change(SwapStage("rewrite", own, "meter", StagePlace.BEFORE))
    assert router.state().stages[3] == "meter"
    with pytest.raises(SteeringError, match="no line at an interface moon"):
        router.change(SetLink("moon", is_up=True))


def test_time_goes_on_while_somebody_asks(router):
    first = router.state().now_s
    until(lambda: router.state().now_s > first + 0.3)


@pytest.mark.skipif(os.name == "nt", reason="there are no such signals")
def test_a_lost_process_is_told_and_can_be_started_again(router):
    lost = router.process_id
    os.kill(lost, signal.SIGKILL)
    until(lambda: not router.is_alive())
    with pytest.raises(LostRouterError, match="ended by the signal SIGKILL"):
        router.state()
    with pytest.raises(LostRouterError):
        router.change(SetLink(PLOVER, is_up=False))
    router.start()
    assert router.process_id != lost
    assert line(router.state()).is_up


def test_nothing_is_left_of_a_process_that_was_closed(router):
    router.close()
    assert not router.is_alive()
    with pytest.raises(LostRouterError, match="has not been started"):
        router.state()


def test_a_router_from_source_text_runs_in_the_process():
    own = SimulatedRouter(SourceRecipe(OWN))
    own.start()
    state = own.state()
    own.close()
    assert state.stages == state.routes == ()
    assert line(state, "to Ticket Office").received_frames > 0
    assert line(state).sent_frames == 0


def test_a_router_that_fails_is_told_and_the_network_goes_on():
    own = SimulatedRouter(SourceRecipe(FAILS_LATER))
    own.start()
    state = own.state()
    own.close()
    assert "lost key" in state.complaints[-1]


@pytest.mark.parametrize(
    ("source", "words"), [("1 / 0", "ZeroDivisionError"), ("x = 1", "make_router")]
)
def test_a_router_that_cannot_be_made_says_why(source, words):
    own = SimulatedRouter(SourceRecipe(source))
    with pytest.raises(LostRouterError, match=words):
        own.start()
    assert not own.is_alive()

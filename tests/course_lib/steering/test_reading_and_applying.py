"""A running router is read and told: the library's, and one that somebody wrote."""

import pytest

from course_lib.ferry.north_pier_alone import ARRIVALS, north_pier
from course_lib.prefixes.prefix import parse_prefix
from course_lib.prefixes.text import parse_address
from course_lib.steering import (
    AddRoute,
    LineBooks,
    PutBackStage,
    SetLine,
    SetLink,
    StagePlace,
    SteeringError,
    SwapStage,
    WithdrawRoute,
    apply_change,
    read_state,
)

LATE = parse_prefix("203.0.113.240/28")


class Line:
    """A line that remembers what it was told."""

    def __init__(self):
        self.is_up, self.rate_bits_per_s, self.delay_s = True, 1e6, 0.001
        self.queue_packets, self.loss_period = 20, None

    def books(self):
        return LineBooks(1, 60, 2, 120, 3, 4, 5)

    def set_link(self, *, is_up):
        self.is_up = is_up

    def set_line(self, change):
        _, self.rate_bits_per_s, self.delay_s, self.queue_packets, self.loss_period = change


class OwnRouter:
    """As a student may write one: three calls, and nothing that tells of itself."""

    def receive(self, now_s, interface, frame):
        return []

    def tick(self, now_s):
        return []

    def next_tick_s(self):
        return float("inf")


@pytest.fixture
def router():
    return north_pier()


@pytest.fixture
def lines(router):
    return {name: Line() for name in router.interfaces}


def names(router):
    return read_state(router, {}, 0.0).stages


def test_a_state_tells_what_the_router_holds(router, lines):
    for interface, frame in ARRIVALS.values():
        router.receive(0.0, interface, frame)
    state = read_state(router, lines, 7.5)
    assert (state.name, state.now_s) == (router.name, 7.5)
    assert {each.prefix: (each.interface, each.next_hop) for each in state.routes} == {
        prefix: (entry.interface, entry.next_hop) for prefix, entry in router.routes().items()
    }
    assert [each.name for each in state.interfaces] == list(router.interfaces)
    first = state.interfaces[0]
    assert (first.received_octets, first.sent_frames, first.lost_packets) == (60, 2, 4)
    assert (first.rate_bits_per_s, first.queue_packets, first.waiting_packets) == (1e6, 20, 5)
    assert state.counters["received"] == len(ARRIVALS)
    assert state.stages == ("receive", "validate", "decide", "rewrite", "queue", "send")
    assert all(each.hardware_address != b"\xff" * 6 for each in state.neighbours)


def test_neighbours_are_those_that_were_learnt(router):
    interface, frame = ARRIVALS["plain"]
    router.receive(0.0, interface, frame)
    learnt = {
        (name, address)
        for name, link in router.neighbours.items()
        for address, hardware in link.known(0.0).items()
        if hardware != b"\xff" * 6
    }
    state = read_state(router, {}, 0.0)
    assert {(each.interface, each.address) for each in state.neighbours} == learnt


def test_a_route_comes_and_goes(router, lines):
    name, interface = next(iter(router.interfaces.items()))
    hop = next(a for a in (interface.prefix.first, interface.prefix.last) if a != interface.address)
    apply_change(router, lines, AddRoute(LATE, hop, name))
    assert router.routes()[LATE].next_hop == hop
    apply_change(router, lines, WithdrawRoute(LATE))
    assert LATE not in router.routes()


def test_a_line_is_cut_and_set(router, lines):
    name = next(iter(lines))
    apply_change(router, lines, SetLink(name, is_up=False))
    apply_change(router, lines, SetLine(name, 2e6, 0.25, None, 100))
    state = read_state(router, lines, 0.0).interfaces[0]
    assert not state.is_up
    assert (state.rate_bits_per_s, state.delay_s) == (2e6, 0.25)
    assert (state.queue_packets, state.loss_period) == (None, 100)


DROP_ALL = """
from course_lib.forwarding import Drop
from course_lib.headers.errors import Reason
def nobody(packet):
    return Drop(Reason.FILTERED)
"""
COUNT = """
class Meter:
    def __init__(self):
        self.packets = 0
    def __call__(self, packet):
        self.packets += 1
        return packet
"""


@pytest.mark.parametrize(
    ("place", "expected"),
    [
        (StagePlace.INSTEAD, ("receive", "validate", "decide", "nobody", "queue", "send")),
        (
            StagePlace.BEFORE,
            ("receive", "validate", "decide", "nobody", "rewrite", "queue", "send"),
        ),
        (StagePlace.AFTER, ("receive", "validate", "decide", "rewrite", "nobody", "queue", "send")),
    ],
)
def test_a_stage_is_put_in_works_and_is_taken_out(router, place, expected):
    before = list(router.stages)
    apply_change(router, {}, SwapStage("rewrite", DROP_ALL, "nobody", place))
    assert names(router) == expected
    assert router.receive(0.0, *ARRIVALS["plain"]) == []
    assert router.counters.dropped["filtered"] == 1
    apply_change(router, {}, PutBackStage("nobody"))
    assert router.stages == before
    assert len(router.receive(0.0, *ARRIVALS["plain"])) == 1


def test_a_class_of_stages_is_made_once(router):
    apply_change(router, {}, SwapStage("rewrite", COUNT, "Meter", StagePlace.BEFORE))
    for _ in range(3):
        router.receive(0.0, *ARRIVALS["plain"])
    assert router.stages[3].packets == 3


def test_a_stage_put_in_twice_has_two_names(router):
    for _ in range(2):
        apply_change(router, {}, SwapStage("rewrite", COUNT, "Meter", StagePlace.BEFORE))
    assert names(router)[3:5] == ("Meter", "Meter 2")
    apply_change(router, {}, PutBackStage("Meter"))
    assert names(router)[3] == "Meter 2"


def test_the_routers_own_packets_see_the_last_stages_as_they_are(router):
    apply_change(router, {}, SwapStage("queue", COUNT, "Meter"))
    assert router.own_stages[0] is router.stages[4]
    apply_change(router, {}, PutBackStage("Meter"))
    assert [str(each) for each in router.own_stages] == ["queue", "send"]


HOLDS = """
import math
from course_lib.forwarding import HELD
class Holds:
    def __init__(self):
        self.packets = []
    def __call__(self, packet):
        self.packets.append(packet)
        return HELD
    def tick(self, now_s):
        return []
    def next_tick_s(self):
        return math.inf
    def depths(self):
        return {"all": len(self.packets)}
"""


def test_what_a_stage_held_when_it_was_taken_out_is_counted(router):
    apply_change(router, {}, SwapStage("rewrite", HOLDS, "Holds", StagePlace.BEFORE))
    router.receive(0.0, *ARRIVALS["plain"])
    assert router.waiting() == 1
    apply_change(router, {}, PutBackStage("Holds"))
    count = router.counters
    assert router.waiting() == 0
    assert count.received + count.made == count.sent + count.taken + sum(count.dropped.values())


NO_STAGES = "this router has no list called stages"
REFUSED = {
    "an unknown interface": (SetLink("moon", is_up=False), "no line at an interface moon"),
    "a route out of no interface": (AddRoute(LATE, None, "moon"), "no line at an interface moon"),
    "a next hop that is far away": (
        AddRoute(LATE, parse_address("198.51.100.200"), "to Reed Pier"), "is not on the link"),
    "a route that is not there": (WithdrawRoute(LATE), "there is no route to 203.0.113.240/28"),
    "no rate": (SetLine("to Reed Pier", 0.0), "rate must be more than 0"),
    "a rate that is no number": (SetLine("to Reed Pier", float("nan")), "rate must be more than 0"),
    "a delay below zero": (SetLine("to Reed Pier", 1e6, -1.0), "delay must be 0 s or more"),
    "no room": (SetLine("to Reed Pier", 1e6, 0.0, 0), "queue must be for 1 packet or more"),
    "a period of nothing": (SetLine("to Reed Pier", 1e6, 0.0, 1, 0), "loss period must be 1 or"),
    "a stage that is not there": (SwapStage("moon", COUNT, "Meter"), "no stage called moon"),
    "a stage that is no Python": (SwapStage("queue", "def (", "Meter"), "not Python: line 1"),
    "a stage that fails": (SwapStage("queue", "1 / 0", "Meter"), "ZeroDivisionError"),
    "a name that nothing has": (SwapStage("queue", COUNT, "Metre"), "nothing is called Metre"),
    "what can't be called": (SwapStage("queue", "Meter = 3", "Meter"), "cannot be called"),
    "the router's own stage": (PutBackStage("queue"), "was there from the beginning"),
}  # fmt: skip


@pytest.mark.parametrize(("change", "words"), REFUSED.values(), ids=REFUSED)
def test_what_cannot_be_is_said_and_changes_nothing(router, lines, change, words):
    before = read_state(router, lines, 0.0)
    with pytest.raises(SteeringError, match=words):
        apply_change(router, lines, change)
    assert read_state(router, lines, 0.0) == before


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (SwapStage("queue", COUNT, "Meter"), NO_STAGES),
        (PutBackStage("queue"), NO_STAGES),
        (AddRoute(LATE, None, "quay"), "no method add_route"),
        (WithdrawRoute(LATE), "no method withdraw_route"),
    ],
)
def test_a_router_without_these_says_so(change, words):
    with pytest.raises(SteeringError, match=words):
        apply_change(OwnRouter(), {"quay": Line()}, change)


def test_a_router_that_tells_nothing_of_itself_is_read_all_the_same(router):
    known = tuple(router.interfaces.values())
    state = read_state(OwnRouter(), {known[0].name: Line()}, 1.0, name="mine", interfaces=known)
    assert state.name == "mine"
    assert [each.name for each in state.interfaces] == list(router.interfaces)
    assert state.interfaces[0].sent_frames == 2
    assert (state.routes, state.neighbours, state.counters, state.stages) == ((), (), {}, ())


def test_what_cannot_be_read_becomes_a_complaint():
    class Strange(OwnRouter):
        counters = 3

        def routes(self):
            return {"203.0.113.0/24": "sea"}

    state = read_state(Strange(), {}, 0.0, complaints=["the first"])
    assert state.complaints[0] == "the first"
    assert [each.split(" cannot")[0] for each in state.complaints[1:]] == [
        "its routes", "its counters"
    ]  # fmt: skip


def test_a_routers_own_fault_is_told_as_its_own():
    class Strange(OwnRouter):
        def add_route(self, prefix, next_hop, interface):
            raise IndexError("no room")

    with pytest.raises(SteeringError, match="add_route failed: IndexError: no room"):
        apply_change(Strange(), {"quay": Line()}, AddRoute(LATE, None, "quay"))

"""What a student may do with the list of stages, and what happens when a stage goes wrong."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.forwarding.verdicts import HELD, Divert, Drop, Refuse, SlowPathTask
from course_lib.headers.errors import Reason
from course_lib.headers.transport import UDPHeader
from course_lib.ip.packets import OutgoingFrame, Packet
from networks.forwarding_scene import (
    NORTH_PIER,
    address,
    datagram,
    give,
    north_pier,
    only_error,
    seen,
)

STRANGER = address("198.51.100.77")


@pytest.fixture
def router():
    return north_pier()


def test_the_stages_are_a_plain_list_that_can_be_printed(router):
    assert str(router.stages) == "[receive, validate, decide, rewrite, queue, send]"
    assert str(router.own_stages) == "[queue, send]"
    assert "receive, validate, decide" in repr(router)


def no_odd_packets(packet):
    """Let every second packet pass."""
    return Drop(Reason.FILTERED) if packet.header.identification % 2 else packet


def test_a_function_in_the_middle_can_filter(router):
    router.stages.insert(2, no_odd_packets)
    sent = [give(router, datagram(identification=n)) for n in range(4)]
    assert [len(frames) for frames in sent] == [1, 0, 1, 0]
    assert router.counters.dropped == {Reason.FILTERED: 2}
    assert "no_odd_packets" in repr(router)


def test_an_object_in_the_middle_can_count(router):
    lengths = []
    router.stages.insert(2, lambda packet: lengths.append(len(packet.payload)) or packet)
    give(router, datagram(b"cargo"))
    assert lengths == [5]


def test_a_stage_can_change_what_it_hands_on(router):
    router.stages.insert(
        3, lambda packet: packet._replace(header=packet.header._replace(type_of_service=0x20))
    )
    (outgoing,) = give(router, datagram())
    assert outgoing.frame[15] == 0x20


def test_a_filter_can_tell_the_sender(router):
    """RFC 1812, section 5.3.9 and 5.2.7.1: code 13, communication administratively prohibited."""
    router.stages.insert(2, lambda packet: Refuse(Reason.FILTERED))
    _, icmp, _ = only_error(give(router, datagram()))
    assert (icmp.type, icmp.code) == (3, 13)


def test_a_reason_for_which_there_is_no_error_is_only_counted(router):
    router.stages.insert(2, lambda packet: Refuse(Reason.QUEUE_FULL))
    assert give(router, datagram()) == []
    assert router.counters.errors_withheld.total() == 1


def test_a_stage_can_send_by_itself(router):
    router.stages.insert(0, lambda packet: OutgoingFrame("sea", packet.frame))
    assert give(router, datagram())[0].interface == "sea"


def test_stages_can_change_places_where_that_makes_sense(router):
    counted = []
    router.stages.insert(2, lambda packet: counted.append(packet) or packet)
    router.stages[2], router.stages[3] = router.stages[3], router.stages[2]
    assert len(give(router, datagram())) == 1
    assert counted[0].leaves_on == "sea"


@pytest.mark.parametrize(("first", "second"), [(1, 2), (2, 3), (2, 5)])
def test_stages_in_an_impossible_order_say_so(router, first, second):
    stages = router.stages
    names = [str(stages[second]), str(stages[first])]
    stages[first], stages[second] = stages[second], stages[first]
    assert give(router, datagram()) == []
    assert "must stand behind" in router.complaints[-1]
    assert names[0] in router.complaints[-1]


def forgets_to_return(packet):
    """A beginner's mistake."""


def not_written_yet(packet):
    raise NotImplementedError


WRONG = [
    pytest.param(not_written_yet, "not_written_yet: NotImplementedError$", id="raises-no-words"),
    pytest.param(forgets_to_return, "forgets_to_return.*forget to return", id="nothing"),
    pytest.param(lambda packet: True, "returned True", id="truth"),
    pytest.param(lambda packet: "drop", "returned 'drop'", id="text"),
    pytest.param(lambda packet: packet.frame, "must return a packet", id="octets"),
    pytest.param(lambda packet: tuple(packet), "must return a packet", id="plain-tuple"),
    pytest.param(lambda packet: Drop, "must return a packet", id="the-type"),
    pytest.param(lambda packet: Drop("because"), "must return", id="drop-without-reason"),
    pytest.param(lambda packet: Refuse(3), "must return", id="refuse-without-reason"),
    pytest.param(lambda packet: Divert("x", packet), "must return", id="divert-without-task"),
    pytest.param(
        lambda packet: Divert(SlowPathTask.DELIVER, None), "must return", id="divert-nothing"
    ),
    pytest.param(lambda packet: 1 / 0, "ZeroDivisionError", id="raises"),
    pytest.param(lambda: None, "TypeError", id="takes-no-packet"),
    pytest.param(lambda packet: packet._replace(header=None), "must stand behind", id="no-header"),
    pytest.param(lambda packet: packet._replace(header=5), "Error", id="garbage-inside"),
    pytest.param(
        lambda packet: Divert(SlowPathTask.FRAGMENT, packet), "decide", id="diverted-too-early"
    ),
    pytest.param(
        lambda packet: Divert(SlowPathTask.OPTIONS, packet._replace(leaves_on="attic")),
        "attic",
        id="attic",
    ),
]


@pytest.mark.parametrize(("stage", "complaint"), WRONG)
def test_a_stage_that_goes_wrong_costs_one_packet_and_is_named(router, stage, complaint):
    router.stages.insert(2, stage)
    assert give(router, datagram()) == []
    assert router.counters.dropped == {Reason.STAGE_FAILED: 1}
    assert len(router.complaints) == router.counters.stage_failures.total() == 1
    with pytest.raises(AssertionError, match=complaint):
        raise AssertionError(router.complaints[0])
    router.stages.pop(2)
    assert len(give(router, datagram())) == 1


def test_a_list_that_does_not_end_in_send_says_so(router):
    router.stages.pop()
    assert give(router, datagram()) == []
    assert "must end in send" in router.complaints[0]
    router.stages.clear()
    assert give(router, datagram()) == []


def test_a_refusal_by_the_headers_counts_under_its_reason(router):
    """A stage may parse, and let `PacketError` pass: it says why."""
    router.stages.insert(2, lambda packet: UDPHeader.parse(packet.payload) and packet)
    assert give(router, datagram(b"short")) == []
    assert router.counters.dropped == {Reason.CUT_SHORT: 1}


def test_complaints_do_not_fill_the_memory(router):
    router.stages.insert(0, forgets_to_return)
    for _ in range(500):
        give(router, datagram())
    assert len(router.complaints) == 100
    assert router.counters.stage_failures == {"forgets_to_return": 500}


class Ferry:
    """Holds packets until the ferry leaves, every ten seconds."""

    def __init__(self):
        self.aboard = []

    def __call__(self, packet):
        self.aboard.append(packet)
        return HELD

    def tick(self, now_s):
        leaving, self.aboard = (self.aboard, []) if now_s % 10 == 0 else ([], self.aboard)
        return leaving

    def next_tick_s(self):
        return 10.0 if self.aboard else float("inf")

    def depths(self):
        return {"ferry": len(self.aboard)}


def test_a_stage_of_ones_own_can_hold_packets_back(router):
    router.stages.insert(2, Ferry())
    assert give(router, datagram(b"one")) == give(router, datagram(b"two")) == []
    assert (router.waiting(), router.next_tick_s()) == (2, 10.0)
    assert router.tick(9.0) == []
    assert [seen(each).payload for each in router.tick(10.0)] == [b"one", b"two"]
    assert router.waiting() == 0


@pytest.mark.parametrize("tick", [lambda now_s: 1 / 0, lambda now_s: [None], lambda now_s: 5])
def test_a_held_packet_may_be_lost_but_the_router_goes_on(router, tick):
    ferry = Ferry()
    ferry.tick = tick
    ferry.next_tick_s = tick
    router.stages.insert(2, ferry)
    give(router, datagram())
    assert router.tick(10.0) == []
    assert router.next_tick_s() in (5.0, float("inf"))
    assert "Ferry" in router.complaints[-1]


GARBAGE = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(max_size=3) | st.binary(max_size=3),
    lambda inner: st.lists(inner, max_size=3) | st.tuples(inner, inner),
    max_leaves=5,
)


@given(GARBAGE, st.integers(0, 5))
def test_no_garbage_whatever_makes_a_router_fail(garbage, place):
    router = north_pier()
    router.stages.insert(place, lambda packet: garbage)
    assert give(router, datagram()) == []
    assert router.counters.dropped == {Reason.STAGE_FAILED: 1}


GARBAGE_INSIDE = st.tuples(st.sampled_from(Packet._fields), GARBAGE, st.integers(1, 6))


@given(GARBAGE_INSIDE, st.sampled_from([{}, {"time_to_live": 1}, {"flags": 1}]), st.booleans())
def test_no_garbage_inside_a_packet_makes_a_router_fail(change, fields, to_a_stranger):
    """Not at once, nor when what it caused falls due; and each packet is still counted once."""
    field, garbage, place = change
    router = north_pier()
    router.stages.insert(place, lambda packet: packet._replace(**{field: garbage}))
    destination = STRANGER if to_a_stranger else NORTH_PIER
    give(router, datagram(bytes(8), destination=destination, **fields))
    for now_s in (1.0, 2.0, 3.0, 60.0, 61.0, 62.0, 63.0, 64.0):
        router.tick(now_s)
    counters = router.counters
    left = counters.sent + counters.taken + counters.dropped.total() + router.waiting()
    assert counters.received + counters.made == left

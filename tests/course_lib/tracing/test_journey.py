"""A recorded journey is what the router does, step by step, whatever its stages are."""

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.ferry.north_pier_alone import ARRIVALS, north_pier
from course_lib.forwarding.queue import Queue
from course_lib.forwarding.stages import Rewrite
from course_lib.forwarding.verdicts import HELD, Divert, Drop, Refuse, SlowPathTask
from course_lib.headers.errors import PacketError, Reason
from course_lib.headers.ethernet import ARPPacket, EthernetHeader
from course_lib.headers.ipv4 import IPv4Header
from course_lib.ip.packets import OutgoingFrame
from course_lib.prefixes.prefix import parse_prefix
from course_lib.prefixes.text import parse_address
from course_lib.tracing.journey import follow
from course_lib.tracing.timeline import Timeline
from course_lib.tracing.watched_router import WatchedRouter

STAGES = ("receive", "validate", "decide", "rewrite", "queue", "send")
PLAIN = ARRIVALS["plain"]


def journey(name="plain", *stages, place=3):
    router = north_pier()
    router.stages[place:place] = stages
    return follow(router, 0.0, *ARRIVALS[name])


def step(told, stage, leg=0):
    return next(each for each in told.steps if (each.stage, each.leg) == (stage, leg))


@pytest.mark.parametrize("name", ARRIVALS)
def test_a_followed_router_does_what_a_router_does(name):
    plain, followed = north_pier(), north_pier()
    frames = plain.receive(0.0, *ARRIVALS[name])
    told = follow(followed, 0.0, *ARRIVALS[name])
    assert list(told.sent) == frames
    assert followed.counters == plain.counters
    assert told.counted == plain.counters.by_name()
    assert followed.tick(1.0) == plain.tick(1.0)


@pytest.mark.parametrize("name", ARRIVALS)
def test_every_counter_that_moved_is_put_to_one_step(name):
    told = journey(name)
    sums = {}
    for counter, number in (pair for each in told.steps for pair in each.counted):
        sums[counter] = sums.get(counter, 0) + number
    assert sums == dict(told.counted)


@pytest.mark.parametrize("name", ARRIVALS)
def test_each_step_begins_with_what_the_one_before_handed_on(name):
    steps = journey(name).steps
    pairs = [(one, two) for one, two in itertools.pairwise(steps) if one.leg == two.leg]
    assert all(one.after == two.before for one, two in pairs)


def test_the_lists_of_stages_are_afterwards_what_they_were():
    router = north_pier()
    stages, own = list(router.stages), list(router.own_stages)
    follow(router, 0.0, *PLAIN)
    assert (router.stages, router.own_stages) == (stages, own)
    assert all(one is other for one, other in zip(router.stages, stages, strict=True))


def test_a_plain_packet_sees_all_stages_and_is_sent():
    told = journey()
    assert told.stages == tuple(each.stage for each in told.steps) == STAGES
    assert told.end == ("sent", "send", 'by the interface "to Reed Pier"')
    assert step(told, "send").verdict == told.sent[0]
    assert b"".join(step(told, "send").after) == told.sent[0].frame


def test_a_router_changes_the_time_to_live_the_checksum_and_the_ethernet_header():
    """RFC 1812, sections 5.3.1 and 4.2.2.5; the addresses of an Ethernet frame are octets 0-11.

    Time to live and checksum are octets 8, 10 and 11 of the header (RFC 791, section 3.1).
    """
    told = journey()
    changed = {each.stage: set(each.changed) for each in told.steps}
    assert 14 + 8 in changed["rewrite"] <= {14 + 8, 14 + 10, 14 + 11}
    assert changed["send"] <= set(range(12))
    assert [name for name in STAGES if changed[name]] == ["rewrite", "send"]


def test_facts_are_told_where_they_are_found_out():
    facts = {each.stage: dict(each.facts) for each in journey().steps}
    assert facts["validate"] == {"read": "the header"}
    assert facts["decide"] == {"leaves on": "to Reed Pier", "next hop": "192.0.2.1"}
    assert all(not facts[name] for name in ("receive", "rewrite", "queue", "send"))


ENDS = {
    "time to live 1": ("left the fast path", "rewrite", "refused: time to live exceeded"),
    "too large": ("left the fast path", "rewrite", SlowPathTask.FRAGMENT),
    "too large, may not be cut": ("left the fast path", "rewrite", SlowPathTask.FRAGMENT),
    "no route": ("left the fast path", "decide", "refused: no route"),
    "for the router": ("left the fast path", "decide", SlowPathTask.DELIVER),
    "wrong checksum": ("dropped", "validate", Reason.WRONG_CHECKSUM),
    "with options": ("left the fast path", "rewrite", SlowPathTask.OPTIONS),
    "unknown neighbour": ("left the fast path", "send", SlowPathTask.RESOLVE),
}


@pytest.mark.parametrize(("name", "end"), ENDS.items())
def test_the_end_says_how_where_and_why(name, end):
    assert journey(name).end == end


def test_the_legs_of_the_slow_path_are_told_apart():
    told = journey("too large")
    begins = [each for each in told.steps if each.stage == "slow path"]
    assert [(each.leg, each.whose) for each in begins] == [
        (1, "a part of the packet"),
        (2, "a part of the packet"),
    ]
    assert begins[0].before == begins[1].before == step(told, "rewrite").after
    assert [step(told, "send", leg).verdict for leg in (1, 2)] == list(told.sent)


def test_an_error_to_the_sender_is_a_new_packet_of_the_router():
    told = journey("time to live 1")
    begin = step(told, "slow path", 1)
    assert begin.is_new
    assert begin.whose == "a packet of the router's own"
    assert dict(begin.counted)["error sent: type 11, code 0"] == 1
    assert dict(begin.counted)["dropped: time to live exceeded"] == 1
    assert dict(step(told, "send", 1).counted) == {"sent": 1}


def test_a_redirect_is_a_leg_beside_the_packet_that_goes_on():
    router = north_pier()
    better = parse_address("198.51.100.9")
    router.neighbours["to Ticket Office"].keep(better, bytes.fromhex("00005e005340"))
    router.add_route(parse_prefix("203.0.113.192/26"), better, "to Ticket Office")
    told = follow(router, 0.0, *ARRIVALS["no route"])
    assert told.end == ("left the fast path", "decide", SlowPathTask.REDIRECT)
    legs = [(each.leg, each.whose) for each in told.steps if each.stage == "slow path"]
    assert legs == [(1, "a packet of the router's own"), (2, "the packet")]
    assert [each.stage for each in told.steps if each.leg == 2][1:] == ["rewrite", "queue", "send"]


def counted_at(told):
    """Return the names of the counters of each step that has any."""
    return [(each.stage, {name for name, _ in each.counted}) for each in told.steps if each.counted]


def test_what_is_counted_on_arrival_stands_in_front_of_what_the_slow_path_counts():
    told = follow(north_pier(), 0.0, "to Ticket Office", resolution_frame())
    assert counted_at(told)[0] == ("receive", {"received"})
    assert counted_at(told)[1][1] >= {"taken", "left fast path"}


def resolution_frame():
    """Return what the ticket office asks for the address of North Pier."""
    link = north_pier().interfaces["to Ticket Office"]
    station, asker = bytes.fromhex("00005e005313"), parse_address("198.51.100.2")
    question = ARPPacket(1, station, asker, bytes(6), link.address)
    return EthernetHeader(link.hardware_address, station, 0x0806).build() + question.build()


TOO_OLD, DROPPED = ARRIVALS["time to live 1"], "dropped: time to live exceeded"


def from_somebody_unknown():
    """Return the same from a station whose hardware address the router would have to ask for."""
    header = IPv4Header.parse(TOO_OLD.frame[14:])
    other = header._replace(source=parse_address("198.51.100.3")).with_checksum()
    return TOO_OLD._replace(frame=TOO_OLD.frame[:14] + other.build() + TOO_OLD.frame[34:])


@pytest.mark.parametrize("rates", [{}, {"to Ticket Office": 8000.0}])
@pytest.mark.parametrize("arrival", [TOO_OLD, from_somebody_unknown()])
def test_a_packet_is_dropped_in_the_slow_path_also_if_the_word_to_its_sender_waits(arrival, rates):
    router = north_pier()
    router.own_stages[0] = Queue(rates)
    for _ in range(2):  # the second word finds the line busy
        told = follow(router, 0.0, *arrival)
        assert DROPPED in dict(step(told, "slow path", 1).counted)
        assert sum(DROPPED in names for _, names in counted_at(told)) == 1


def test_a_part_that_is_refused_is_not_taken_for_the_next_part():
    """No error is sent about a later fragment (RFC 1812, section 4.3.2.7)."""
    router = north_pier()
    answers = iter([None, Refuse(Reason.FILTERED)])
    router.interfaces["to Plover"] = router.interfaces["to Plover"]._replace(mtu=400)
    router.slow_path.interfaces = router.interfaces
    router.stages[3] = Rewrite(router.interfaces.values())
    router.stages.insert(4, lambda packet: next(answers, None) or packet)
    told = follow(router, 0.0, *ARRIVALS["too large"])
    legs = [each for each in told.steps if each.stage == "slow path"]
    assert [each.whose for each in legs] == ["a part of the packet"] * 4
    assert "dropped: filtered" in dict(legs[2].counted)
    assert [len(each.frame) for each in told.sent] == [14 + 396, 14 + 276]


def test_how_many_packets_wait_is_noted_before_and_after_every_step():
    router = north_pier()
    follow(router, 0.0, *ARRIVALS["unknown neighbour"])
    told = follow(router, 0.1, *ARRIVALS["unknown neighbour"])
    assert told.waited == 1
    assert [each.waiting for each in told.steps] == [1] * 6 + [2]


class Uncountable:
    """A stage that keeps packets and forgets that it must say how many."""

    def __call__(self, packet):
        return HELD

    def tick(self, now_s):
        return []

    def next_tick_s(self):
        return math.inf


def test_a_stage_that_cannot_say_how_many_wait_is_told_and_not_raised():
    told = journey("plain", Uncountable())
    assert told.end.kind == "kept back"
    assert "nobody can count who waits: AttributeError" in told.steps[-1].problem


def test_a_packet_that_waits_leaves_no_trace_of_being_followed():
    router = north_pier()
    follow(router, 0.0, *ARRIVALS["unknown neighbour"])
    gull, link = parse_address("192.0.2.6"), router.interfaces["to Gull Rock"]
    station = bytes.fromhex("00005e005306")
    answer = ARPPacket(2, station, gull, link.hardware_address, link.address)
    frame = EthernetHeader(link.hardware_address, station, 0x0806).build() + answer.build()
    told = follow(router, 0.5, "to Gull Rock", frame)
    assert [each.frame[:6] for each in told.sent] == [station]
    assert [each.stage for each in told.steps] == ["receive", "slow path"]
    assert router.counters.sent == 1


def test_a_packet_that_a_stage_keeps_back_is_not_lost():
    router = north_pier()
    router.stages[4] = Queue({"to Reed Pier": 8000.0})
    follow(router, 0.0, *PLAIN)
    told = follow(router, 0.0, *PLAIN)
    assert told.end == ("kept back", "queue", "waits in queue")
    assert len(router.tick(router.next_tick_s())) == 1
    assert router.next_tick_s() == math.inf


def drops(packet):
    return Drop(Reason.FILTERED)


def refuses(packet):
    return Refuse(Reason.FILTERED)


def changes(packet):
    return packet._replace(header=packet.header._replace(type_of_service=0x20).with_checksum())


def lengthens(packet):
    return packet._replace(payload=packet.payload + b"more")


def cuts(packet):
    return packet._replace(payload=packet.payload[:-5])


def test_a_stage_of_one_s_own_is_a_step_like_any_other():
    assert journey("plain", drops).end == ("dropped", "drops", Reason.FILTERED)
    assert journey("plain", refuses).end == ("left the fast path", "refuses", "refused: filtered")
    assert set(step(journey("plain", changes), "changes").changed) >= {15}
    assert step(journey("plain", lengthens), "lengthens").changed == (68, 69, 70, 71)
    cut = step(journey("plain", cuts), "cuts")
    assert len(cut.before.network) - len(cut.after.network) == 5


def raises(packet):
    raise KeyError("table")


def refuses_octets(packet):
    raise PacketError("seen enough", Reason.WRONG_OPTION, "options", 20)


def forgets(packet):
    """A beginner's mistake."""


class Silent:
    """A stage with a name of its own that answers in a way that nobody expects."""

    def __init__(self, answer):
        self.answer = answer

    def __call__(self, packet):
        return self.answer

    def __repr__(self):
        return "silent"


NONSENSE = (None, 7, "go on", Drop("because"), Refuse(None), Divert("dance", None), (), HELD.value)


@pytest.mark.parametrize("answer", NONSENSE, ids=repr)
def test_an_answer_that_is_none_costs_the_packet_and_is_told(answer):
    told = journey("plain", Silent(answer))
    assert (told.end.kind, told.end.stage) == ("lost", "silent")
    assert told.end.words.startswith(f"returned {answer!r}")
    assert step(told, "silent").problem == told.end.words
    assert told.counted["stage failed: silent"] == 1


def test_a_stage_that_raises_is_told_without_a_traceback():
    told = journey("plain", raises)
    assert told.end == ("lost", "raises", "KeyError: 'table'")
    assert told.complaints == ("stage raises: KeyError: 'table'",)
    assert "did it forget to return the packet?" in journey("plain", forgets).end.words


def test_a_packet_error_is_a_drop():
    assert journey("plain", refuses_octets).end == ("dropped", "refuses_octets", "wrong option")


def strange_header(packet):
    return packet._replace(header="Curlew", frame=7)


def test_a_packet_that_cannot_be_written_is_told_and_ends_in_the_next_stage():
    told = journey("plain", strange_header)
    assert "its octets cannot be written" in step(told, "strange_header").problem
    assert (told.end.kind, told.end.stage) == ("lost", "rewrite")


def test_stages_in_the_wrong_order_or_none_at_all_are_told():
    router = north_pier()
    router.stages[1:3] = reversed(router.stages[1:3])
    assert follow(router, 0.0, *PLAIN).end.words.startswith("decide must stand behind validate")
    router.stages.clear()
    told = follow(router, 0.0, *PLAIN)
    assert (told.steps, told.end.kind, told.end.stage) == ((), "lost", "(no stage)")
    router.stages.append(lambda packet: packet)
    assert "must end in send" in follow(router, 0.0, *PLAIN).end.words


def test_a_stage_may_change_the_list_of_stages():
    router = north_pier()
    router.stages.insert(3, lambda packet: router.stages.append(drops) or packet)
    follow(router, 0.0, *PLAIN)
    assert [str(each) for each in router.stages[:3]] == list(STAGES[:3])
    assert router.stages[-1] is drops
    assert len(router.stages) == 8


def test_what_the_router_refuses_leaves_its_stages_alone():
    router = north_pier()
    with pytest.raises(ValueError, match="has no interface 'to Nowhere'"):
        follow(router, 0.0, "to Nowhere", PLAIN.frame)
    assert str(router.stages) == f"[{', '.join(STAGES)}]"


ANSWERS = st.sampled_from([*NONSENSE, HELD, Drop(Reason.FILTERED), Refuse(Reason.NO_ROUTE),
                           OutgoingFrame("to Plover", b""), OutgoingFrame(None, None)])  # fmt: skip
FRAMES = st.one_of(
    st.binary(max_size=80),
    st.sampled_from(list(ARRIVALS.values())).map(lambda arrival: arrival.frame),
)


@given(FRAMES, ANSWERS, st.integers(0, 6))
def test_any_frame_and_any_answer_leave_a_journey_with_an_end(frame, answer, place):
    router = north_pier()
    router.stages.insert(place, Silent(answer))
    told = follow(router, 0.0, "to Ticket Office", frame)
    assert told.end.kind in {"sent", "dropped", "kept back", "left the fast path", "lost"}
    assert told.counted["received"] == 1
    assert len(told.steps) <= 20


def test_two_may_watch_a_router_and_each_takes_only_its_own_watch_away():
    watched = WatchedRouter(north_pier(), Timeline())
    watched.receive(0.0, *ARRIVALS["plain"])
    stages, own = list(watched.stages), list(watched.own_stages)
    for frame in ("plain", "time to live 1"):
        assert follow(watched, 1.0, *ARRIVALS[frame]).steps
        assert (watched.stages, watched.own_stages) == (stages, own)

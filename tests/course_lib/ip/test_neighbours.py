"""What address resolution on one link promises. Items that wait are plain words here."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.headers.errors import PacketError
from course_lib.headers.ethernet import ARPPacket, EthernetHeader
from course_lib.ip import neighbours
from course_lib.ip.neighbours import BROADCAST, Neighbours, ResolutionResult
from course_lib.prefixes.text import parse_address

OURS, PLOVER, CURLEW = (bytes.fromhex(f"00005e0053{n:02x}") for n in (1, 2, 3))
NORTH, REED, LANTERN = (parse_address(f"192.0.2.{n}") for n in (1, 2, 3))


@pytest.fixture
def link():
    return Neighbours[str](OURS, NORTH)


def packet(opcode, mac, sender, target, target_mac=bytes(6)):
    return ARPPacket(opcode, mac, sender, target_mac, target).build()


def answer_from(mac, sender):
    return packet(2, mac, sender, NORTH, OURS)


def read(frame):
    ethernet = EthernetHeader.parse(frame)
    return ethernet, ARPPacket.parse(ethernet.payload(frame))


def test_the_first_packet_causes_one_question_to_all(link):
    (frame,) = link.wait(0.0, REED, "a").frames
    ethernet, question = read(frame)
    assert ethernet == (BROADCAST, OURS, 0x0806)
    assert question == (1, OURS, NORTH, bytes(6), REED)


def test_an_answer_frees_the_packets_that_waited_in_their_order(link):
    for word in "abc":
        link.wait(0.0, REED, word)
    assert link.receive(0.1, answer_from(PLOVER, REED)) == ResolutionResult(ready=("a", "b", "c"))
    assert link.find(0.1, REED) == PLOVER
    assert link.next_tick_s() == math.inf


def test_an_answer_frees_nobody_else(link):
    link.wait(0.0, REED, "a")
    link.wait(0.0, LANTERN, "b")
    assert link.receive(0.1, answer_from(PLOVER, REED)).ready == ("a",)
    assert list(link.waiting()) == ["b"]


def test_the_latest_packets_are_kept():
    """RFC 1122, section 2.3.2.2: at least the latest packet of each address."""
    link = Neighbours[str](OURS, NORTH, waiting_packets=1)
    link.wait(0.0, REED, "old")
    assert link.wait(0.0, REED, "new") == ResolutionResult(displaced=("old",))
    assert link.receive(0.1, answer_from(PLOVER, REED)).ready == ("new",)


def test_questions_are_one_second_apart_however_many_packets_come(link):
    """RFC 1122, section 2.3.2.1: at most one per second and address."""
    asked = []
    for step in range(200):
        now_s = step / 10
        asked += [now_s for _ in link.tick(now_s).frames]
        asked += [now_s for _ in link.wait(now_s, REED, "a").frames]
    assert min(later - earlier for earlier, later in pairwise(asked)) >= 1
    assert len(asked) == 20


def test_after_three_questions_the_waiting_packets_are_given_back(link):
    link.wait(0.0, REED, "a")
    link.wait(0.5, REED, "b")
    ticks = [link.tick(float(second)) for second in range(1, 4)]
    assert [len(each.frames) for each in ticks] == [1, 1, 0]
    assert ticks[2].unreachable == ("a", "b")
    assert list(link.waiting()) == []


def test_the_router_is_told_when_to_tick(link):
    assert link.next_tick_s() == math.inf
    link.wait(5.0, REED, "a")
    link.wait(5.5, LANTERN, "b")
    assert link.next_tick_s() == 6.0
    assert link.tick(5.99) == ResolutionResult()


def test_what_is_known_ages_even_in_use(link):
    """RFC 1122, section 2.3.2.1: time out entries, even if they are in use."""
    link.wait(0.0, REED, "a")
    link.receive(0.0, answer_from(PLOVER, REED))
    assert link.find(59.9, REED) == PLOVER
    assert link.find(60.0, REED) is None
    assert len(link.wait(60.0, REED, "b").frames) == 1


def test_hearing_from_a_neighbour_renews_what_is_known(link):
    link.receive(0.0, packet(1, PLOVER, REED, NORTH))
    link.receive(50.0, packet(1, PLOVER, REED, LANTERN))
    assert link.find(109.9, REED) == PLOVER


# The merge rule of RFC 826, "Packet Reception": what was known before, whether the packet is for
# us, the opcode -> whether the sender is known afterwards, and whether we answer.
MERGE = [
    pytest.param(False, True, 1, True, True, id="question-for-us-adds-and-is-answered"),
    pytest.param(False, True, 2, True, False, id="answer-for-us-adds"),
    pytest.param(False, False, 1, False, False, id="question-for-others-adds-nothing"),
    pytest.param(False, False, 2, False, False, id="answer-for-others-adds-nothing"),
    pytest.param(True, False, 1, True, False, id="question-for-others-updates"),
    pytest.param(True, False, 2, True, False, id="answer-for-others-updates"),
    pytest.param(True, True, 1, True, True, id="question-for-us-updates-and-is-answered"),
    pytest.param(False, True, 9, True, False, id="the-opcode-is-looked-at-last"),
]


@pytest.mark.parametrize(("before", "for_us", "opcode", "known", "answered"), MERGE)
def test_packets_teach_what_rfc_826_says(link, before, for_us, opcode, known, answered):
    old = [packet(1, CURLEW, REED, NORTH)] * before
    for each in old:
        link.receive(0.0, each)
    outcome = link.receive(1.0, packet(opcode, PLOVER, REED, NORTH if for_us else LANTERN))
    assert link.find(1.0, REED) == (PLOVER if known else None)
    assert len(outcome.frames) == answered


def test_a_question_from_the_one_we_ask_for_is_answer_enough(link):
    link.wait(0.0, REED, "a")
    assert link.receive(0.1, packet(1, PLOVER, REED, LANTERN)).ready == ("a",)


def test_the_answer_goes_to_the_asker_alone(link):
    (frame,) = link.receive(0.0, packet(1, PLOVER, REED, NORTH)).frames
    ethernet, answer = read(frame)
    assert ethernet == (PLOVER, OURS, 0x0806)
    assert answer == (2, OURS, NORTH, PLOVER, REED)


@pytest.mark.parametrize("mac", [BROADCAST, bytes.fromhex("01005e000001"), bytes(6)])
def test_no_group_address_is_believed(link, mac):
    """RFC 1812, section 3.3.2: not a broadcast or multicast address."""
    link.wait(0.0, REED, "a")
    assert link.receive(0.1, answer_from(mac, REED)) == ResolutionResult()
    assert link.find(0.1, REED) is None


def test_whoever_claims_our_address_is_counted_and_not_believed(link):
    assert link.receive(0.0, packet(1, PLOVER, NORTH, NORTH)) == ResolutionResult()
    assert (link.conflicts, link.known(0.0)) == (1, {})


def test_a_sender_without_address_gets_an_answer_and_teaches_nothing(link):
    """RFC 5227, section 2.1.1: a probe whether our address is free."""
    assert len(link.receive(0.0, packet(1, PLOVER, 0, NORTH)).frames) == 1
    assert link.known(0.0) == {}


def test_kept_addresses_never_age_and_cannot_be_overwritten(link):
    link.keep(REED, CURLEW)
    link.receive(0.0, packet(1, PLOVER, REED, NORTH))
    assert link.find(1e9, REED) == CURLEW


def test_padding_is_allowed_and_other_networks_are_not(link):
    link.receive(0.0, packet(1, PLOVER, REED, NORTH) + bytes(18))
    assert link.find(0.0, REED) == PLOVER
    with pytest.raises(PacketError, match="hardware_address_space"):
        link.receive(0.0, b"\x00\x06" + packet(1, PLOVER, REED, NORTH)[2:])


def test_a_scan_of_the_link_does_not_fill_the_memory(link):
    for host in range(3000):
        link.wait(0.0, parse_address("198.51.0.0") + host, "a")
    assert len(list(link.waiting())) == neighbours.MOST_ADDRESSES
    assert link.wait(0.0, REED, "b") == ResolutionResult(displaced=("b",))


def test_a_full_memory_forgets_the_oldest_first(link):
    for host in range(neighbours.MOST_ADDRESSES):
        link.receive(float(host) / 1e4, packet(1, PLOVER, REED + host, NORTH))
    link.receive(1.0, packet(1, PLOVER, LANTERN + 5000, NORTH))
    assert (link.find(1.0, REED), link.find(1.0, LANTERN + 5000)) == (None, PLOVER)
    assert len(link.known(1.0)) == neighbours.MOST_ADDRESSES


@pytest.mark.parametrize("wrong", [{"requests": 0}, {"waiting_packets": 0}, {"lifetime_s": 0}])
def test_limits_that_make_no_sense_are_refused(wrong):
    with pytest.raises(ValueError, match=next(iter(wrong))):
        Neighbours[str](OURS, NORTH, **wrong)


STEPS = st.tuples(st.sampled_from(["wait", "hear", "tick"]), st.integers(0, 3), st.floats(0, 2))


@given(st.lists(STEPS, max_size=40))
def test_no_waiting_packet_is_ever_lost(steps):
    link, now_s, came, left = Neighbours[int](OURS, NORTH), 0.0, 0, 0
    for what, host, pause_s in steps:
        now_s += pause_s
        came += what == "wait"
        calls = {
            "wait": lambda now=now_s, at=host, item=came: link.wait(now, REED + at, item),
            "hear": lambda now=now_s, at=host: link.receive(now, answer_from(PLOVER, REED + at)),
            "tick": lambda now=now_s: link.tick(now),
        }
        _, ready, unreachable, displaced = calls[what]()
        left += len(ready) + len(unreachable) + len(displaced)
    assert came == left + len(list(link.waiting()))

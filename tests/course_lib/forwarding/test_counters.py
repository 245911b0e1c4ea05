"""Nothing gets lost without a count, and most packets never leave the fast path."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.forwarding.queue import Queue
from course_lib.forwarding.verdicts import SlowPathTask
from course_lib.ip.icmp_errors import ErrorLimit
from networks.forwarding_scene import (
    BROADCAST,
    ISLANDS,
    NORTH_PIER,
    OFFICE,
    PLOVER,
    address,
    datagram,
    frame,
    give,
    learn,
    north_pier,
    station,
)

ECHO = bytes.fromhex("0800666800010001") + b"abcdefgh"
STRANGER = address("198.51.100.77")

FIELDS = st.fixed_dictionaries(
    {
        "time_to_live": st.sampled_from([0, 1, 2, 64]),
        "flags": st.sampled_from([0, 0, 1, 2]),
        "fragment_offset": st.sampled_from([0, 0, 0, 1]),
        "identification": st.integers(0, 2),
        "protocol": st.sampled_from([1, 17, 253]),
        "source": st.sampled_from([OFFICE, OFFICE, PLOVER, NORTH_PIER, address("10.1.1.1")]),
        "destination": st.sampled_from(
            [ISLANDS.first + 1, ISLANDS.first + 2, OFFICE, NORTH_PIER, STRANGER]
            + [address(a) for a in ("10.9.9.9", "224.0.0.5", "255.255.255.255", "198.51.100.255")]
        ),
        "options": st.sampled_from([b"", b"", bytes.fromhex("07070400000000 00"), b"\x07\x00\0\0"]),
    }
)
PAYLOADS = st.sampled_from([b"", b"cargo", ECHO, bytes(64), bytes(1200)])
EVENTS = st.tuples(
    FIELDS, PAYLOADS, st.sampled_from(["harbour", "sea"]), st.sampled_from([None, BROADCAST]),
    st.floats(0, 2), st.booleans(),
)  # fmt: skip


def balance(router):
    counters = router.counters
    left = counters.sent + counters.taken + counters.dropped.total() + router.waiting()
    return counters.received + counters.made - left


@given(st.lists(EVENTS, max_size=12), st.sampled_from([math.inf, 20_000.0]))
def test_every_packet_is_accounted_for_at_every_moment(events, rate):
    router = north_pier(
        600, queue=Queue({"sea": rate}, limit=2), error_limit=ErrorLimit(per_s=1, burst=2)
    )
    now_s, sent = 0.0, 0
    for fields, payload, interface, to, pause_s, answers in events:
        now_s += pause_s
        sent += len(router.tick(now_s))
        sent += len(give(router, datagram(payload, **fields), interface, now_s, to))
        for number in range(answers):
            sent += len(learn(router, "sea", station(0x77), STRANGER + number, now_s))
        assert balance(router) == 0
    assert not router.complaints
    assert sent == router.counters.sent + router.counters.resolution_frames_sent


def test_packets_that_only_need_tables_never_leave_the_fast_path():
    router = north_pier()
    for number in range(90):
        give(router, datagram(identification=number))
    give(router, b"not a datagram")
    router.receive(0.0, "harbour", frame(datagram(), station(0x55)))
    assert (router.counters.left_fast_path, router.counters.fast_path_share) == (0, 1.0)


SLOW = [
    pytest.param({"time_to_live": 1}, None, id="error"),
    pytest.param({"destination": NORTH_PIER}, SlowPathTask.DELIVER, id="for-the-router"),
    pytest.param({"destination": STRANGER}, SlowPathTask.RESOLVE, id="unknown-neighbour"),
    pytest.param({"options": b"\x01\x01\x01\x00"}, SlowPathTask.OPTIONS, id="options"),
    pytest.param({"options": b"\x07\x00\x04\x00"}, SlowPathTask.REPORT_OPTION, id="wrong-options"),
    pytest.param({"destination": address("192.0.2.99")}, SlowPathTask.REDIRECT, id="same-link"),
]


@pytest.mark.parametrize(("fields", "task"), SLOW)
def test_what_takes_more_than_tables_leaves_it(fields, task):
    router = north_pier()
    for _ in range(3):
        give(router, datagram())
    give(router, datagram(**fields))
    assert (router.counters.left_fast_path, router.counters.fast_path_share) == (1, 0.75)
    assert task is None or router.counters.tasks[task] == 1


def test_a_router_that_has_seen_nothing_has_lost_nothing():
    assert north_pier().counters.fast_path_share == 1.0

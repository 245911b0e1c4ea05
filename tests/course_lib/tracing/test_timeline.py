"""A timeline of a run, and its file as a general-purpose reader of value change dumps sees it."""

import io
from collections import defaultdict

import pytest
from hypothesis import given
from hypothesis import strategies as st
from vcd.reader import TokenKind, tokenize

from course_lib.forwarding.queue import Queue
from course_lib.headers.errors import Reason
from course_lib.tracing.timeline import Timeline, ValueChange
from course_lib.tracing.watched_router import WatchedRouter
from networks.forwarding_scene import (
    ISLANDS,
    OFFICE,
    OFFICE_MAC,
    PLOVER,
    PLOVER_MAC,
    Router,
    address,
    datagram,
    give,
    interfaces,
    learn,
    north_pier,
)


def read(text):
    """Return the timescale, and the changes of each signal, as another program reads them."""
    names, changes, now, scale = {}, defaultdict(list), None, None
    for token in tokenize(io.BytesIO(text.encode())):
        match token.kind:
            case TokenKind.TIMESCALE:
                scale = f"{token.data.magnitude} {token.data.unit.value}"
            case TokenKind.VAR:
                names[token.data.id_code] = token.data.reference
            case TokenKind.CHANGE_TIME:
                now = token.data
            case TokenKind.CHANGE_VECTOR:
                changes[names[token.data.id_code]].append((now, token.data.value))
    return scale, {name: each[1:] for name, each in changes.items()}


def watched(**options):
    return WatchedRouter(north_pier(**options), Timeline())


def test_a_packet_is_seen_in_one_stage_after_the_other():
    router = watched()
    give(router, datagram(), now_s=0.001)
    _, signals = read(router.timeline.to_vcd())
    stages = ["receive", "validate", "decide", "rewrite", "queue", "send"]
    seen = {name: [(1000 + n, 1), (1001 + n, "z")] for n, name in enumerate(stages)}
    assert {name: signals[name] for name in stages} == seen
    assert signals["sent"][-1] == (1006, 1)


def test_a_dropped_packet_gets_only_so_far():
    router = watched()
    router.stages.insert(2, lambda packet: 1 / 0)
    give(router, datagram())
    _, signals = read(router.timeline.to_vcd())
    assert signals["<lambda>"] == [(2, 1), (3, "z")]
    assert "decide" not in signals
    assert signals["dropped"][-1] == (3, 1)


def test_packets_are_numbered_as_they_come():
    router = watched()
    for now_s in (0.001, 0.002, 0.003):
        give(router, datagram(), now_s=now_s)
    _, signals = read(router.timeline.to_vcd())
    assert [value for _, value in signals["send"]] == [1, "z", 2, "z", 3, "z"]


def test_a_packet_that_waited_keeps_its_number():
    router = WatchedRouter(Router("North Pier", interfaces()), Timeline())
    router.add_route(ISLANDS, PLOVER, "sea")
    give(router, datagram(), now_s=0.001)
    give(router, datagram(), now_s=0.002)
    learn(router, "sea", PLOVER_MAC, PLOVER, now_s=0.003)
    _, signals = read(router.timeline.to_vcd())
    assert [value for _, value in signals["send"]] == [1, "z", 2, "z", 1, "z", 2, "z"]
    assert [value for _, value in signals["waiting_sea"]] == [0, 1, 2, 0]


def test_an_answer_of_the_router_has_the_number_of_its_cause():
    router = watched()
    give(router, datagram(), now_s=0.001)
    give(router, datagram(time_to_live=1), now_s=0.002)
    _, signals = read(router.timeline.to_vcd())
    assert [value for _, value in signals["queue"]] == [1, "z", 2, "z"]


def test_the_depth_of_a_queue_is_drawn():
    router = watched(queue=Queue({"sea": 8000.0}))
    for _ in range(3):
        give(router, datagram(bytes(966)))
    router.tick(1.0)
    router.tick(2.0)
    _, signals = read(router.timeline.to_vcd())
    assert [value for _, value in signals["queue_sea"]] == [0, 1, 2, 1, 0]
    assert signals["queue_sea"][-2][0] > 1_000_000


def test_changes_of_the_table_are_drawn():
    router = watched()
    router.add_route(ISLANDS, address("198.51.100.9"), "sea", now_s=0.5)
    router.withdraw_route(ISLANDS, now_s=0.7)
    _, signals = read(router.timeline.to_vcd())
    assert signals["routes"] == [(0, 3), (700_000, 2)]
    assert signals["table_changes"] == [(0, 0), (500_000, 1), (700_000, 2)]


def test_a_watched_router_does_what_a_router_does():
    plain, seen = north_pier(600), watched(sea_mtu=600)
    for data in (datagram(), datagram(bytes(1000)), datagram(time_to_live=1), b"", datagram(b"x")):
        assert give(plain, data) == give(seen, data)
    assert plain.counters == seen.counters
    assert str(plain.stages) == str(seen.stages)
    assert seen.next_tick_s() == plain.next_tick_s()


def forgets_to_return(packet):
    """A beginner's mistake."""


def test_complaints_name_the_stage_and_not_its_watcher():
    router = watched()
    router.stages.insert(2, forgets_to_return)
    give(router, datagram())
    assert router.counters.dropped == {Reason.STAGE_FAILED: 1}
    assert router.counters.stage_failures == {"forgets_to_return": 1}


@pytest.mark.parametrize(
    ("step_s", "scale"),
    [
        (1.0, "1 s"),
        (0.1, "100 ms"),
        (1e-3, "1 ms"),
        (1e-5, "10 us"),
        (1e-9, "1 ns"),
        (1e-15, "1 fs"),
    ],
)
def test_the_step_is_understood(step_s, scale):
    timeline = Timeline(step_s)
    timeline.record(0.0, "routes", 1)
    assert read(timeline.to_vcd())[0] == scale


@pytest.mark.parametrize("step_s", [0, -1, 2e-6, 10.0, 1e-16])
def test_other_steps_are_refused(step_s):
    with pytest.raises(ValueError, match="power of ten"):
        Timeline(step_s)


def test_time_never_runs_backwards_and_equal_values_are_no_change():
    timeline = Timeline(1.0)
    for now_s, value in [(5.0, 1), (3.0, 2), (4.0, 2), (9.0, None)]:
        timeline.record(now_s, "depth", value)
    assert timeline.changes == [
        ValueChange(5, "depth", 1),
        ValueChange(5, "depth", 2),
        ValueChange(9, "depth", None),
    ]


@pytest.mark.parametrize("value", [-1, 1 << 32])
def test_values_that_do_not_fit_are_refused(value):
    with pytest.raises(ValueError, match="routes"):
        Timeline().record(0.0, "routes", value)


SIGNALS = st.integers(0, 200).map("signal {}".format)
VALUES = st.none() | st.integers(0, 0xFFFFFFFF)


@given(st.lists(st.tuples(st.integers(0, 1000), SIGNALS, VALUES), max_size=100))
def test_another_program_reads_the_same_values(records):
    timeline = Timeline(1.0)
    for now_s, signal, value in records:
        timeline.record(float(now_s), signal, value)
    expected = defaultdict(list)
    for step, signal, value in timeline.changes:
        expected[signal.replace(" ", "_")].append((step, "z" if value is None else value))
    assert read(timeline.to_vcd())[1] == expected


def test_unknown_calls_reach_the_router():
    router = watched()
    assert router.name == "North Pier"
    assert router.neighbours["harbour"].find(0.0, OFFICE) == OFFICE_MAC

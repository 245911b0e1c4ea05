"""The line of workbook 10 shows what its text says: one flow, many flows, in step and not."""

import pytest

from course_lib.ferry.shared_line import (
    PACKET_S,
    PIPE_PACKETS,
    POLICIES,
    Sharing,
    expected_use,
    measure_sharing,
    root_packets,
    run_sharing,
)
from course_lib.tcp.results import utilisation

SEEDS = range(3)


def use(sharing, room, seed=0):
    return utilisation(run_sharing(sharing, room, to_s=60, from_s=20, seed=seed))


def test_the_pipe_holds_250_packets_of_a_quarter_of_a_millisecond():
    """50 Mbit/s x 60 ms = 3,000,000 bits."""
    assert PIPE_PACKETS == 250
    assert pytest.approx(0.24e-3) == PACKET_S


@pytest.mark.parametrize("room", [1, 60, 125, 250])
def test_one_flow_follows_the_saw_tooth(room):
    """C. Villamizar, C. Song, CCR 24 (1994), as a fluid; whole teeth in 200 s and more."""
    run = run_sharing(Sharing(1, 0), room, to_s=400, from_s=100)
    assert utilisation(run) == pytest.approx(expected_use(room), abs=0.01)


def test_without_room_for_one_packet_a_flow_collapses():
    assert use(Sharing(1, 0), 0) < 0.01
    assert use(Sharing(1, 0), 1) > 0.74


def test_flows_apart_keep_the_promise_of_the_root_and_flows_in_step_do_not():
    """G. Appenzeller et al., SIGCOMM 2004: rate x delay / root n, for flows not in step."""
    room = root_packets(25)
    assert min(use(Sharing(25, 30), room, seed) for seed in SEEDS) > 0.96
    assert use(Sharing(25, 0), room) < 0.92


def test_flows_in_step_need_the_whole_pipe():
    assert use(Sharing(25, 0), PIPE_PACKETS) > 0.995


def test_waits_grow_with_the_buffer_and_an_active_queue_holds_them_down():
    sharing = Sharing(25, 30)
    small, large, active = (
        measure_sharing(room, [run_sharing(one, room, to_s=40, from_s=20)])
        for one, room in ((sharing, 50), (sharing, 250), (Sharing(25, 30, POLICIES[2]), 250))
    )
    assert small.wait_99_ms.mean < 13 < 50 < large.wait_99_ms.mean
    assert active.wait_99_ms.mean < large.wait_99_ms.mean / 2
    assert active.utilisation.mean > 0.99


@pytest.mark.parametrize(("flows", "packets"), [(1, 250), (2, 177), (25, 50), (36, 42), (64, 32)])
def test_the_root_is_rounded_up(flows, packets):
    assert root_packets(flows) == packets


def test_bands_need_several_runs_and_one_run_has_none():
    runs = [run_sharing(Sharing(4, 30), 50, to_s=20, seed=seed) for seed in SEEDS]
    several, single = measure_sharing(50, runs), measure_sharing(50, runs[:1])
    assert several.utilisation.low < several.utilisation.mean < several.utilisation.high
    assert single.utilisation.low == single.utilisation.high == single.utilisation.mean
    assert (several.loss.runs, single.loss.runs) == (3, 1)


def test_an_unknown_policy_is_named():
    with pytest.raises(ValueError, match="no policy 'coin'; there are when it is full"):
        run_sharing(Sharing(1, 0, "coin"), 5, to_s=1)

"""The pipeline of workbook 09: in order, one packet a unit, as fast as the slowest stage."""

import random
from collections import defaultdict
from itertools import pairwise

import pytest

from course_lib.ferry.one_pipeline import pipeline_timeline
from instructor.units.unit_09.answers import pipeline_limits
from instructor.units.unit_09.pipeline.questions import pipeline_questions

FOUR = [("parse", 2, 1), ("look up", 5, 1), ("edit", 1, 1), ("queue", 3, 1)]
TWO_LOOK_UPS = [("parse", 2, 1), ("look up", 5, 2), ("edit", 1, 1), ("queue", 3, 1)]


def stays(timeline):
    """Return for each lane the packets in it, each with its first cycle and the one behind."""
    lanes = defaultdict(list)
    for step, lane, packet in timeline.changes:
        if lanes[lane] and lanes[lane][-1][2] is None:
            lanes[lane][-1][2] = step
        if packet is not None:
            lanes[lane].append([packet, step, None])
    return lanes


def test_a_packet_that_never_waits_takes_the_sum_of_all_stages():
    found = stays(pipeline_timeline(FOUR, packets=1))
    assert dict(found) == {
        "parse": [[1, 0, 2]], "look up": [[1, 2, 7]], "edit": [[1, 7, 8]], "queue": [[1, 8, 11]],
    }  # fmt: skip


DRAWN = [
    one.arguments[0]
    for one in pipeline_questions(random.Random("pipelines"))
    if one.arguments[2] is None
]


@pytest.mark.parametrize("stages", [FOUR, TWO_LOOK_UPS, *DRAWN], ids=str)
def test_packets_leave_as_often_as_the_slowest_stage_lets_them(stages):
    packets = 240
    found = stays(pipeline_timeline(stages, packets))
    left = [end for _, _, end in found[stages[-1][0]]]
    _, rate, latency, _ = pipeline_limits(stages, 10**9, None)
    assert left[0] == latency
    assert (left[-1] - left[39]) / 200 == pytest.approx(10**9 / rate)


def test_several_units_have_a_lane_each_and_hold_one_packet_at_a_time():
    found = stays(pipeline_timeline(TWO_LOOK_UPS, packets=6))
    assert [packet for packet, _, _ in found["look up 1"]] == [1, 3, 5]
    assert [packet for packet, _, _ in found["look up 2"]] == [2, 4, 6]
    for lane in found.values():
        assert all(before[2] <= after[1] for before, after in pairwise(lane))


def test_every_so_manieth_packet_goes_to_the_host_behind_the_last_stage():
    found = stays(pipeline_timeline(FOUR, packets=7, host=(30, 3)))
    assert [packet for packet, _, _ in found["host"]] == [3, 6]
    assert found["host"][0][1] == found["queue"][2][2]


def test_a_host_that_falls_behind_gives_the_rate_of_all():
    found = stays(pipeline_timeline(FOUR, packets=300, host=(30, 3)))
    name, rate, _, _ = pipeline_limits(FOUR, 10**9, (30, 333_333))
    assert name == "host"
    ends = [end for _, _, end in found["host"]]
    assert (ends[-1] - ends[0]) / (3 * (len(ends) - 1)) == pytest.approx(10**9 / rate, rel=1e-5)


def test_it_can_be_saved_as_a_value_change_dump():
    text = pipeline_timeline(FOUR).to_vcd("pipeline")
    assert text.startswith("$timescale 10 ns $end\n$scope module pipeline $end\n")
    assert "look_up" in text


@pytest.mark.parametrize("wrong", [{"packets": 0}, {"host": (5, 0)}, {"host": (0, 2)}])
def test_what_takes_no_time_or_nobody_is_refused(wrong):
    with pytest.raises(ValueError, match="must be"):
        pipeline_timeline(FOUR, **wrong)

"""Lanes between kernels: each has its own line, and all send at the same time."""

import pytest

from course_lib.live.carrying.line_settings import LineSettings
from course_lib.live.private_network.refusals import NoAbilityError
from course_lib.live.three_ways import lanes as lanes_module
from course_lib.live.three_ways.buffer_ways import TRIP, USE, three_ways_buffer
from course_lib.live.three_ways.lanes import MOST_LANES, Lane, lane_plan, run_lanes
from course_lib.live.three_ways.loss_ways import RATE, three_ways_loss

LINE = LineSettings(rate_bits_per_s=5e6, queue_packets=20)


def test_the_line_is_on_the_way_of_the_data_and_both_ways_take_half_the_round_trip():
    plan = lane_plan([Lane(LINE, 0.03, "reno"), Lane(LineSettings(), 0.01, "cubic")])
    there = [link.there for link in plan.links]
    assert there == [
        LineSettings(delay_s=0.015),
        LINE._replace(delay_s=0.015),
        LineSettings(delay_s=0.005),
        LineSettings(delay_s=0.005),
    ]
    assert [link.ends[1].place for link in plan.links] == [
        "Ticket Office 1", "Timetable Board 1", "Ticket Office 2", "Timetable Board 2",
    ]  # fmt: skip


def test_as_many_lanes_as_there_are_addresses_make_a_plan_and_no_more():
    assert len(lane_plan([Lane(LINE, 0.03, "reno")] * MOST_LANES).hosts) == 2 * MOST_LANES
    for count in (0, MOST_LANES + 1):
        with pytest.raises(ValueError, match="lanes find room side by side"):
            lane_plan([Lane(LINE, 0.03, "reno")] * count)


def test_lanes_keep_to_their_own_rates(live):
    rates = (2e6, 2e5)
    lanes = [Lane(LINE._replace(rate_bits_per_s=rate), 0.01, "reno") for rate in rates]
    runs = run_lanes(lanes, length_s=1.0, from_s=0.0)
    fast, slow = (one.rate_bits_per_s * 1514 / one.segment_octets for one in runs.reports)
    assert slow <= rates[1] < fast <= rates[0]
    assert bool(runs.note) == bool(runs.kernel_drops)


def test_without_a_private_network_theory_and_simulator_answer_and_the_reason_is_said(monkeypatch):
    def refuse(plan):
        raise NoAbilityError("user namespace", "not allowed", "Ask.")

    monkeypatch.setattr(lanes_module, "PrivateNetwork", refuse)
    buffers, losses = three_ways_buffer([10, 50], ["reno"]), three_ways_loss([100, 400], ["reno"])
    for told in (buffers, losses):
        assert not told.is_valid
        assert "user namespace: not allowed" in told.note
        assert all(one.real is None for curve in told.curves for one in curve.answers)
    small, large = buffers.curve("reno", USE).answers
    assert small.theory < large.theory == 100
    assert small.simulated.mean < large.simulated.mean
    assert abs(small.simulated_off) < 0.06
    assert all(abs(one.simulated_off) < 0.03 for one in buffers.curve("reno", TRIP).answers)
    assert all(-0.25 < one.simulated_off < 0.05 for one in losses.curve("reno", RATE).answers)


@pytest.mark.parametrize("ask", [three_ways_buffer, three_ways_loss])
def test_a_control_that_theory_does_not_know_is_refused(ask):
    with pytest.raises(ValueError, match="nothing of \\{'bbr'\\}"):
        ask(controls=["bbr"])

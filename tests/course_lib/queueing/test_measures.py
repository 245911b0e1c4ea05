"""What `measure` reads from a run; the numbers are added up by hand."""

import math

import pytest

from course_lib.queueing.drop_policies import DropPolicy, keep
from course_lib.queueing.measures import measure
from course_lib.queueing.one_queue import Buffer, simulate
from course_lib.queueing.packets import trace


def four(**options):
    """Four packets of one second each: at 0 s, 0 s, 0.5 s of flow 1, and 4 s."""
    packets = trace([0, 0, 0.5, 4], 1.0, flow=[0, 0, 1, 0])
    return simulate(packets, 8.0, compiled=False, **options)


def test_a_whole_run():
    """Sent from 0 to 1 to 2 to 3 s; waits of 0, 1, 1.5 and 0 s; the window ends at 4 s."""
    means = measure(four())
    assert (means.came, means.sent, means.loss) == (4, 4, 0)
    assert means.utilisation == pytest.approx(3 / 4)
    assert means.waiting == pytest.approx(2.5 / 4)
    assert means.in_system == pytest.approx(5.5 / 4)
    assert means.wait_s == pytest.approx(2.5 / 4)
    assert means.delay_s == pytest.approx(6.5 / 4)
    assert means.sent_bits_per_s == pytest.approx(6)


def test_a_window_counts_packets_that_came_in_it_and_time_that_lies_in_it():
    means = measure(four(), from_s=0.25, to_s=2.25)
    assert (means.came, means.sent) == (1, 1)
    assert means.wait_s == 1.5
    assert means.utilisation == 1
    assert means.waiting == pytest.approx((0.75 + 1.5) / 2)


def test_one_flow():
    means = measure(four(), flow=1)
    assert (means.came, means.wait_s, means.delay_s) == (1, 1.5, 2.5)
    assert means.utilisation == pytest.approx(1 / 4)


def test_dropped_on_arrival_waits_for_nothing():
    means = measure(four(buffer=Buffer(1)))
    assert (means.sent, means.loss, means.waiting, means.wait_s) == (2, 0.5, 0, 0)


def test_dropped_at_the_head_has_waited_until_then():
    late = DropPolicy(keep, lambda view, settings, memory: view.waited_s > 0)
    means = measure(four(drop=late))
    assert (means.sent, means.loss) == (2, 0.5)
    assert means.waiting == pytest.approx((1 + 0.5) / 4)
    assert means.wait_s == 0


def test_no_packet_sent_is_not_a_number_and_not_an_error():
    means = measure(four(buffer=Buffer(octets=0.5)))
    assert means.loss == 1
    assert math.isnan(means.wait_s)
    assert math.isnan(means.delay_s)


@pytest.mark.parametrize("window", [(-1, 2), (2, 2), (3, 2), (0, 4.5), (math.nan, 2)])
def test_a_window_outside_the_run_is_refused(window):
    with pytest.raises(ValueError, match="is not inside 0 s to 4 s"):
        measure(four(), *window)


def test_a_window_without_packets_is_refused():
    with pytest.raises(ValueError, match="no packet of flow 1 came between 1 s and 4 s"):
        measure(four(), from_s=1, flow=1)

"""What a live network is asked: echoes, paths, streams, transfers between kernels."""

import itertools
from pathlib import Path

import pytest

from course_lib.live.measuring.play_out_buffer import Fate, play_out
from course_lib.live.measuring.probes import bulk_transfer, echo_requests, stream, trace_path
from course_lib.live.measuring.reports import round_trips
from course_lib.live.private_network.supervised import LiveNetworkError
from course_lib.network.records import What
from course_lib.network.wires import NetworkError
from course_lib.prefixes.text import format_address, parse_address
from course_lib.steering.changes import SetLine

OFFICE, NORTH, REED, BOARD = "Ticket Office", "North Pier", "Reed Pier", "Timetable Board"
DELAY_S = 0.005
CONTROLS = Path("/proc/sys/net/ipv4/tcp_available_congestion_control")
LINE = SetLine(f"to {REED}", 10e6, DELAY_S, 30)


@pytest.fixture
def loses_every(network):
    """Let the line lose every so many frames, until the test is over."""
    yield lambda period: network.change(NORTH, LINE._replace(loss_period=period))
    network.change(NORTH, LINE)


def test_every_echo_takes_the_delay_of_the_line_there_and_back(network):
    delays_s = echo_requests(network, OFFICE, BOARD, count=5, interval_s=0.02)
    seen = round_trips(delays_s)
    assert (seen.asked, seen.answered) == (5, 5)
    assert seen.least_s >= 2 * DELAY_S
    assert seen.least_s <= seen.median_s <= seen.most_s


def test_echoes_that_the_line_loses_have_no_time(network, loses_every):
    echo_requests(network, OFFICE, BOARD, count=1)  # neighbours are known now
    loses_every(4)
    delays_s = echo_requests(network, OFFICE, BOARD, count=12, interval_s=0.02, wait_s=1)
    assert [number for number, one in enumerate(delays_s, 1) if one is None] == [4, 8, 12]


def test_the_path_names_every_router_and_ends_at_the_host(network):
    hops = trace_path(network, OFFICE, "198.51.100.2")
    assert [(one.time_to_live, one.place, one.what) for one in hops] == [
        (1, NORTH, What.TIME_EXCEEDED),
        (2, REED, What.TIME_EXCEEDED),
        (3, BOARD, What.UNREACHABLE),
    ]
    assert hops[2].delay_s >= 2 * DELAY_S


def test_who_cannot_be_reached_is_told_and_by_whom(network):
    nowhere = parse_address("198.51.100.99")
    (answer,) = network.measure(OFFICE, "echo", destination=parse_address("10.9.9.9"), count=1)
    assert answer["what"] == What.UNREACHABLE
    assert format_address(answer["other"]) == "192.0.2.1"
    assert trace_path(network, OFFICE, nowhere, most_hops=2)[-1].place == REED


def test_a_stream_arrives_in_order_and_its_losses_are_lost_frames(network, loses_every):
    echo_requests(network, OFFICE, BOARD, count=1)
    loses_every(10)
    report = stream(network, OFFICE, BOARD, count=40, interval_s=0.005, wait_s=1.0)
    assert report.sent == 40
    assert [n for n in range(1, 41) if n not in report.delays_s] == [10, 20, 30, 40]
    assert list(report.delays_s) == sorted(report.delays_s)
    assert min(report.delays_s.values()) >= DELAY_S
    assert play_out(report, buffer_s=60.0).count(Fate.LOST) == 4


@pytest.mark.parametrize("control", ["reno", "cubic", "bbr"])
def test_a_transfer_tells_what_both_kernels_know_and_the_line_keeps_its_rate(network, control):
    if control not in CONTROLS.read_text().split():
        pytest.skip(f"this kernel has no congestion control {control!r}")
    # Counted from the beginning, so that nothing can be in it that had waited before.
    report = bulk_transfer(network, OFFICE, BOARD, length_s=0.8, control=control, from_s=0)
    assert report.segment_octets == 1448
    assert 0 < report.rate_bits_per_s * 1514 / report.segment_octets <= 10e6
    assert report.round_trip_s >= report.least_round_trip_s >= 2 * DELAY_S
    assert all(one.octets <= other.octets for one, other in itertools.pairwise(report.arrivals))
    assert report.samples[-1].info.acknowledged_octets <= report.arrivals[-1].octets + 1  # the SYN
    assert report.window_packets > 0


def test_what_the_line_loses_is_sent_again_with_a_smaller_window(network, loses_every):
    loses_every(50)
    report = bulk_transfer(network, OFFICE, BOARD, length_s=0.8, control="reno", from_s=0.2)
    assert report.sent_again > 0
    assert report.samples[-1].info.threshold_packets is not None
    assert report.arrivals[-1].octets > 50 * report.segment_octets


def test_a_congestion_control_that_the_kernel_lacks_is_named_in_the_error(network):
    with pytest.raises(LiveNetworkError, match="no congestion control 'tidal'"):
        bulk_transfer(network, OFFICE, BOARD, length_s=0.1, control="tidal")


def test_only_a_host_can_receive(network):
    with pytest.raises(NetworkError, match="no host has the address 192\\.0\\.2\\.1"):
        stream(network, OFFICE, "192.0.2.1", count=1, interval_s=0.01)

"""Rows become values: rates by the clock of the receiver, and what the kernel knows."""

import struct

import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.live.measuring.reports import (
    Arrival,
    BulkReport,
    BulkSample,
    arrivals_of,
    round_trips,
    samples_of,
)
from course_lib.live.measuring.tcp_info import TCPInfo, read_tcp_info

INFO = TCPInfo(1448, 10, 0, 0.04, 30, 20, 5, 1_000_000, 0.03)


def transfer(octets_per_s, from_s=2.0, to_s=10):
    steps = range(0, 50 * to_s + 1)
    samples = tuple(
        BulkSample(step / 50, INFO._replace(round_trip_s=0.03 + step / 5e3, sent_again=step))
        for step in steps
    )
    arrivals = tuple(Arrival(step / 50, step * octets_per_s // 50) for step in steps)
    return BulkReport("reno", samples, arrivals, from_s)


def test_a_steady_transfer_has_its_rate_and_a_band_of_no_width():
    report = transfer(250_000)
    assert report.rate_bits_per_s == pytest.approx(2e6)
    assert report.rate_band.low == pytest.approx(report.rate_band.high) == pytest.approx(2e6)


def test_only_the_steady_part_counts():
    report = transfer(250_000)
    assert report.round_trip_s == pytest.approx(0.03 + 300 / 5e3)
    assert report.sent_again == 400
    assert report.least_round_trip_s == 0.03
    assert report.round_trip_band.low < report.round_trip_s < report.round_trip_band.high


def test_a_few_very_long_round_trips_hardly_change_the_pace():
    report = transfer(250_000)
    stalled = INFO._replace(round_trip_s=5.0)
    alike = tuple(one._replace(info=INFO) for one in report.samples)
    late = (*alike[:-20], *(one._replace(info=stalled) for one in alike[-20:]))
    assert report._replace(samples=alike).pace_s == pytest.approx(INFO.round_trip_s)
    assert report._replace(samples=late).pace_s == pytest.approx(INFO.round_trip_s, rel=0.06)
    assert report._replace(samples=late).round_trip_s > 5 * INFO.round_trip_s


@given(st.lists(st.none() | st.floats(0, 10), min_size=1))
def test_round_trips_are_in_order_and_lost_ones_are_counted(delays_s):
    seen = round_trips(delays_s)
    assert seen.lost_share == pytest.approx(delays_s.count(None) / len(delays_s))
    if seen.answered:
        assert seen.least_s <= seen.median_s <= seen.most_s
    else:
        assert (seen.least_s, seen.median_s, seen.most_s) == (None, None, None)
    assert f"{seen.answered} of {seen.asked} answered" in str(seen)


def test_no_question_has_no_numbers():
    with pytest.raises(ValueError, match="no echo was asked for"):
        round_trips([])


def test_both_ends_are_told_in_the_time_of_the_sender():
    begun_s, samples = samples_of([{"clock_s": 70.0, **INFO._asdict()},
                                   {"clock_s": 70.5, **INFO._asdict()}])  # fmt: skip
    assert [one.at_s for one in samples] == [0.0, 0.5]
    assert samples[0].info == INFO
    assert arrivals_of([{"clock_s": 70.25, "octets": 9}], begun_s) == (Arrival(0.25, 9),)


def test_the_fields_of_the_kernel_are_where_its_header_file_has_them():
    # linux/tcp.h, struct tcp_info: places in octets, from the beginning
    octets = bytearray(232)
    for place, value in {16: 1448, 24: 7, 32: 2, 68: 30_500, 76: 33, 80: 40, 100: 6,
                         148: 30_000}.items():  # fmt: skip
        struct.pack_into("=I", octets, place, value)
    struct.pack_into("=Q", octets, 120, 5_000_000_000)
    assert read_tcp_info(bytes(octets[:216])) == TCPInfo(
        1448, 7, 2, 0.0305, 33, 40, 6, 5_000_000_000, 0.03
    )


def test_an_older_kernel_tells_less_and_a_threshold_may_not_be_set_yet():
    octets = bytearray(104)
    struct.pack_into("=II", octets, 76, 0x7FFFFFFF, 10)
    told = read_tcp_info(bytes(octets))
    assert (told.threshold_packets, told.window_packets, told.least_round_trip_s) == (None, 10, 0)

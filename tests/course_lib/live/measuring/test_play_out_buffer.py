"""The play-out buffer: what is late is told from what is lost, for any stream."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.live.measuring.play_out_buffer import Fate, play_out
from course_lib.network.probes import StreamReport

DELAYS = st.dictionaries(st.integers(1, 30), st.floats(0, 1), max_size=30)


@given(DELAYS, st.floats(0, 2))
def test_every_frame_has_one_fate_and_lost_are_those_that_never_came(delays_s, buffer_s):
    report = StreamReport(30, delays_s)
    fates = play_out(report, buffer_s)
    assert len(fates) == 30
    assert fates.count(Fate.LOST) == 30 - report.received


@given(DELAYS, st.floats(0, 1), st.floats(0, 1))
def test_a_longer_buffer_never_makes_more_frames_late(delays_s, one_s, other_s):
    report = StreamReport(30, delays_s)
    short, long = (play_out(report, s).count(Fate.LATE) for s in sorted((one_s, other_s)))
    assert long <= short


def test_a_frame_may_be_as_much_slower_than_the_first_as_the_buffer_holds():
    report = StreamReport(4, {2: 0.5, 1: 0.5625, 4: 0.5626, 3: 0.1})
    assert play_out(report, 0.0625) == (Fate.IN_TIME, Fate.IN_TIME, Fate.IN_TIME, Fate.LATE)


def test_a_buffer_below_nothing_is_refused():
    with pytest.raises(ValueError, match="buffer_s must be 0 or more"):
        play_out(StreamReport(1, {}), -0.001)

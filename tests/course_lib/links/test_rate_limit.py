"""The rate limit of a link refuses what the policer of the chapter on queues would drop."""

from itertools import accumulate

from hypothesis import given, settings
from hypothesis import strategies as st

from course_lib.links.rate_limit import RateLimit
from course_lib.queueing.drop_policies import PacketView
from course_lib.queueing.token_buckets import police_on_arrival, policing

BEGUN_S = 100.0


@settings(deadline=None, max_examples=60)
@given(
    st.sampled_from([1e3, 1e5, 2e6]),
    st.lists(st.tuples(st.floats(0, 0.4), st.integers(28, 9100)), max_size=60),
)
def test_it_agrees_with_the_policer_packet_by_packet(rate_bits_per_s, packets):
    limit = RateLimit(rate_bits_per_s, BEGUN_S)
    policer = policing(rate_bits_per_s / 8, max(rate_bits_per_s / 8 / 4, 15_000))
    memory = [policer.memory[0], BEGUN_S]
    times_s = list(accumulate((gap_s for gap_s, _ in packets), initial=BEGUN_S))[1:]
    for now_s, (_, octets) in zip(times_s, packets, strict=True):
        view = PacketView(now_s, octets, 0.0, 0, 0.0, 0.0, 0.0)
        is_dropped = police_on_arrival(view, policer.settings, memory)
        assert limit.allows(now_s, octets) == (not is_dropped)

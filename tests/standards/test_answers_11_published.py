"""The right answers of unit 11 keep what is published of numbers, timers and windows.

All of them are tried, those written in other ways as well. Laws are put to random runs.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from instructor.units.items import item

RIGHT = {
    number: [
        pytest.param(one, id=one.__name__) for one in (item(number).answer, *item(number).others)
    ]
    for number in ("11.2", "11.3", "11.4")
}
NUMBERS = st.integers(0, 2**32 - 1)
PIECES = st.lists(st.tuples(st.integers(0, 40), st.integers(1, 12)), max_size=15)


@pytest.mark.parametrize("new_receiver", RIGHT["11.2"])
@given(one=NUMBERS, other=NUMBERS)
def test_of_two_numbers_one_stands_before_unless_they_are_opposite(new_receiver, one, other):
    """RFC 1982, section 3.2, for 32 bits: opposite numbers have no order; the same are the same."""
    is_before = new_receiver(0).is_before
    has_order = one != other and (one - other) % 2**32 != 2**31
    assert is_before(one, other) + is_before(other, one) == has_order


@pytest.mark.parametrize("new_receiver", RIGHT["11.2"])
@given(wanted=NUMBERS, pieces=PIECES)
def test_what_is_acknowledged_and_held_is_what_came(new_receiver, wanted, pieces):
    """RFC 9293, section 3.4, and RFC 2018, section 3: cumulative, and the rest in blocks."""
    receiver, came = new_receiver(wanted), set()
    for at, octets in pieces:
        came |= set(range(at, at + octets))
        missing = next(place for place in range(len(came) + 1) if place not in came)
        assert receiver.receive((wanted + at) % 2**32, octets) == (wanted + missing) % 2**32
        held = [
            range((first - wanted) % 2**32, (end - wanted) % 2**32)
            for first, end in receiver.held()
        ]
        assert [one for block in held for one in block] == sorted(
            one for one in came if one > missing
        )


@pytest.mark.parametrize("new_timer", RIGHT["11.3"])
@pytest.mark.parametrize(
    ("least", "trips", "timeouts"),
    [
        (1000, (1000, 2000, 1000, 1500), (3000, 3625, 3109.375, 3048.828125)),
        (1, (100, 100, 200, 100), (300, 250, 325, 282.8125)),
        (1000, (100, 100, 200, 100), (1000, 1000, 1000, 1000)),
    ],
)
def test_time_outs_by_the_rules_of_rfc_6298(new_timer, least, trips, timeouts):
    """RFC 6298, rules 2.2 to 2.4, worked out by hand, with a clock that ticks every ms."""
    timer, now, seen = new_timer(least, 1), 0, []
    for number, trip in enumerate(trips):
        timer.sent(now, number)
        now += trip
        seen.append(timer.acknowledged(now, number))
    assert seen == pytest.approx(timeouts, rel=1e-12)


@pytest.mark.parametrize("new_timer", RIGHT["11.3"])
def test_a_time_out_in_vain_is_doubled_up_to_a_minute(new_timer):
    """RFC 6298, rules 2.1, 2.5 and 5.5."""
    timer = new_timer(1000, 1)
    timer.sent(0, 1)
    seen = [timer.due()]
    for _ in range(7):
        timer.expired(timer.due())
        seen.append(timer.due())
    assert [later - one for one, later in zip([0, *seen], seen, strict=False)] == [
        1000, 2000, 4000, 8000, 16_000, 32_000, 60_000, 60_000
    ]  # fmt: skip


@pytest.mark.parametrize("sent_each_round", RIGHT["11.4"])
def test_slow_start_and_avoidance_by_rfc_5681(sent_each_round):
    """RFC 5681, section 3.1: a segment for each acknowledgement, then one in a round trip."""
    assert sent_each_round([], 9, 16, 1000, 1) == [1, 2, 4, 8, 16, 17, 18, 19, 20]


@pytest.mark.parametrize("sent_each_round", RIGHT["11.4"])
@given(largest=st.integers(4, 30), late=st.integers(0, 5))
def test_a_loss_halves_what_was_under_way(sent_each_round, largest, late):
    """RFC 5681, equation (4): half of what is in flight, whatever the window was."""
    sent = sent_each_round([], 12 + late, 64, largest, 1)
    lost = sum(sent[:-1]) + 1
    assert sent_each_round([lost], len(sent) + 1, 64, largest, 1)[-1] == sent[-1] // 2

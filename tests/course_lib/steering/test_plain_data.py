"""What travels between processes comes out as it went in, and nothing else comes in."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.ferry.north_pier_alone import ARRIVALS, north_pier
from course_lib.prefixes.prefix import prefix_around
from course_lib.steering import (
    AddRoute,
    PutBackStage,
    SetLine,
    SetLink,
    StagePlace,
    SteeringError,
    SwapStage,
    WithdrawRoute,
    as_plain,
    change_of,
    read_state,
    state_of,
)

ADDRESSES = st.integers(0, 2**32 - 1)
PREFIXES = st.builds(prefix_around, ADDRESSES, st.integers(0, 32))
RATES = st.none() | st.floats(1, 1e13)
NUMBERS = st.none() | st.integers(1, 10**6)
CHANGES = (
    st.builds(AddRoute, PREFIXES, st.none() | ADDRESSES, st.text())
    | st.builds(WithdrawRoute, PREFIXES)
    | st.builds(SetLink, st.text(), st.booleans())
    | st.builds(SetLine, st.text(), RATES, st.floats(0, 100), NUMBERS, NUMBERS)
    | st.builds(SwapStage, st.text(), st.text(), st.text(), st.sampled_from(StagePlace))
    | st.builds(PutBackStage, st.text())
)


@given(CHANGES)
def test_a_change_comes_out_as_it_went_in(change):
    back = change_of(json.loads(json.dumps(as_plain(change))))
    assert back == change
    assert type(back) is type(change)


def test_a_state_comes_out_as_it_went_in():
    router = north_pier()
    for interface, frame in ARRIVALS.values():
        router.receive(1.0, interface, frame)
    state = read_state(router, {}, 1.0, complaints=["a sentence"])
    assert state.neighbours
    assert state_of(json.loads(json.dumps(as_plain(state)))) == state


NO_CHANGES = (
    None,
    [],
    {"kind": "open the sluice"},
    {"kind": 3},
    {"kind": "withdraw route"},
    {"kind": "withdraw route", "prefix": "203.0.113.1/24"},
    {"kind": "withdraw route", "prefix": 7},
    {"kind": "withdraw route", "prefix": "203.0.113.0/24", "colour": "red"},
    {"kind": "set link", "interface": "sea", "is_up": 1},
    {"kind": "set line", "interface": "sea", "rate_bits_per_s": "fast"},
    {"kind": "set line", "interface": "sea", "queue_packets": 2.5},
    {"kind": "set line", "interface": "sea", "queue_packets": True},
    {"kind": "swap stage", "name": "queue", "source": "", "function": "f", "place": "under"},
)


@pytest.mark.parametrize("data", NO_CHANGES, ids=str)
def test_what_is_no_change_is_refused(data):
    with pytest.raises(SteeringError):
        change_of(data)


@pytest.mark.parametrize(
    "spoilt",
    [
        {"interfaces": [{"name": "sea"}]},
        {"interfaces": "sea"},
        {"stages": [3]},
        {"counters": {"sent": "many"}},
        {"name": 3},
        {"now_s": None},
        {"weather": "fair"},
    ],
    ids=str,
)
def test_what_is_no_state_is_refused(spoilt):
    with pytest.raises(SteeringError):
        state_of(as_plain(read_state(north_pier(), {}, 0.0)) | spoilt)


@given(
    st.recursive(
        st.none() | st.integers() | st.text(), lambda c: st.lists(c) | st.dictionaries(st.text(), c)
    )
)
def test_nothing_but_a_refusal_comes_of_other_data(data):
    for read in (change_of, state_of):
        with pytest.raises(SteeringError):
            read(data)

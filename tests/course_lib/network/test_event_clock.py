"""Events happen in order, and the order is the same every time."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.network.event_clock import EventClock, TooManyEventsError, Turn


def diary_of(*due, until_s=10.0):
    """Run a clock with the given (time, turn, order) and return names and times as they came."""
    clock, diary = EventClock(), []
    for name, (time_s, turn, order) in enumerate(due):
        clock.at(time_s, lambda name=name: diary.append((name, clock.now_s)), turn, order)
    clock.run_until(until_s)
    return diary


def test_the_earliest_event_comes_first_whatever_its_turn():
    due = [(3, Turn.SCENE, 0), (1, Turn.TIMER, 9), (2, Turn.ARRIVAL, 5)]
    assert diary_of(*due) == [(1, 1), (2, 2), (0, 3)]


def test_of_equal_times_the_turn_decides_then_the_order_then_who_asked_first():
    due = [
        (1, Turn.TIMER, 2), (1, Turn.TIMER, 1), (1, Turn.ARRIVAL, 0), (1, Turn.ARRIVAL, 0),
        (1, Turn.SCENE, 7), (1, Turn.TIMER, 1),
    ]  # fmt: skip
    assert [name for name, _ in diary_of(*due)] == [4, 2, 3, 1, 5, 0]


def test_events_up_to_and_including_the_end_happen_and_no_others():
    due = [(2.0, Turn.SCENE, 0), (2.0000001, Turn.SCENE, 0), (math.inf, Turn.SCENE, 0)]
    assert diary_of(*due, until_s=2.0) == [(0, 2.0)]


def test_the_clock_stands_at_the_end_of_a_run_even_if_nothing_happened():
    clock = EventClock()
    clock.run_until(5)
    assert (clock.now_s, clock.events, clock.next_s()) == (5, 0, math.inf)


def test_an_event_that_is_due_in_the_past_happens_now():
    clock, diary = EventClock(), []
    clock.run_until(5)
    clock.at(1.0, lambda: diary.append(clock.now_s))
    clock.run_until(6)
    assert diary == [5]


@given(st.lists(st.tuples(st.floats(-5, 50), st.sampled_from(Turn), st.floats(-3, 9)), max_size=40))
def test_time_never_goes_back_even_if_events_ask_for_the_past(asked):
    """Every event asks for another one, `later` seconds later or, if negative, earlier."""
    clock, seen = EventClock(), []

    def happen(later_s: float) -> None:
        seen.append(clock.now_s)
        if later_s >= 0.001 and len(seen) < 500:
            clock.at(clock.now_s - later_s, lambda: seen.append(clock.now_s))
            clock.at(clock.now_s + later_s, lambda: happen(later_s / 2))

    for time_s, turn, later_s in asked:
        clock.at(time_s, lambda later_s=later_s: happen(later_s), turn)
    clock.run_until(100)
    assert seen == sorted(seen)
    assert len(seen) >= len(asked)


def test_a_run_can_be_stopped_after_an_event_and_goes_on_from_there():
    clock, diary = EventClock(), []
    for time_s in (1.0, 2.0, 3.0):
        clock.at(time_s, lambda: diary.append(clock.now_s))
    clock.run_until(10, stop=lambda: len(diary) == 2)
    assert (clock.now_s, diary) == (2.0, [1.0, 2.0])
    clock.run_until(10)
    assert diary == [1.0, 2.0, 3.0]


@pytest.mark.parametrize("time_s", [4.9, math.inf, math.nan])
def test_a_clock_does_not_run_to_a_time_that_is_over_or_no_time(time_s):
    clock = EventClock()
    clock.run_until(5)
    with pytest.raises(ValueError, match=r"it is 5(\.0)? s; the clock cannot run until"):
        clock.run_until(time_s)
    assert clock.now_s == 5


def test_an_event_needs_a_time():
    with pytest.raises(ValueError, match="needs a time, not nan"):
        EventClock().at(math.nan, print)


def test_an_event_that_calls_for_itself_at_the_same_time_is_found_out():
    clock = EventClock()

    def again() -> None:
        clock.at(clock.now_s, again)

    clock.at(3.0, again)
    with pytest.raises(TooManyEventsError, match=r"no end of events at 3.0 s"):
        clock.run_until(4)


def test_a_run_has_no_more_events_than_it_is_allowed_and_can_be_run_on():
    clock, diary = EventClock(), []
    for time_s in range(10):
        clock.at(time_s, lambda: diary.append(clock.now_s))
    with pytest.raises(TooManyEventsError, match="4 events, and it is only 3"):
        clock.run_until(20, most_events=4)
    clock.run_until(20, most_events=6)
    assert diary == list(range(10))

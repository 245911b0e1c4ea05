"""What the timing wheel promises: alarms come in the order of time, ties as they were set."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from course_lib.engine.records import LINE_OCTETS, machine_row, rows
from course_lib.queueing.drop_policies import keep
from course_lib.tcp.memory import likely_size, make_state
from course_lib.tcp.simulation import Scenario
from course_lib.tcp.state import NOBODY, Net, Receiver, Segment, Sender
from course_lib.tcp.timing_wheel import next_alarm, set_alarm
from course_lib.tcp.traffic import flows


def net_of(count):
    plan = Scenario(flows(count, 0.1), 10e6, 10, compiled=False).plan()
    return Net(*make_state(plan, likely_size(plan)), keep, keep)


def all_due(net, before_ns):
    places = []
    while (place := next_alarm(net, before_ns)) != NOBODY:
        places.append(place)
    return places


@settings(deadline=None)
@given(st.lists(st.integers(0, 900_000_000) | st.integers(0, 2_000_000), min_size=1, max_size=40))
def test_alarms_come_in_the_order_of_time_and_ties_as_they_were_set(times_ns):
    net = net_of(len(times_ns))
    for place, at_ns in enumerate(times_ns):
        set_alarm(net, place, at_ns)
    expected = sorted(range(len(times_ns)), key=times_ns.__getitem__)  # a stable order
    assert all_due(net, 950_000_000) == expected


def test_alarms_that_are_not_due_stay():
    net = net_of(3)
    for place, at_ns in enumerate((5000, 3000, 4000)):
        set_alarm(net, place, at_ns)
    assert (all_due(net, 3000), all_due(net, 4001), all_due(net, 9000)) == ([], [1, 2], [0])


class Untouchable(list):
    """Packets of which each may be looked at a few times only."""

    looks = 0

    def __getitem__(self, place):
        self.looks += 1
        return super().__getitem__(place)


def test_ten_thousand_alarms_for_one_instant_are_set_without_a_search():
    net = net_of(10_000)
    counted = net._replace(packets=Untouchable(net.packets))
    for place in range(10_000):
        set_alarm(counted, place, 5000)
    assert counted.packets.looks < 80_000


@pytest.mark.parametrize(("kind", "octets"), [(Segment, 32), (Receiver, 64), (Sender, 384)])
def test_records_begin_where_lines_of_memory_do(kind, octets):
    made = np.asarray(rows(kind, 3, compiled=True))
    assert made.strides == (octets,)
    assert made.ctypes.data % (2 * LINE_OCTETS) == 0


def test_what_each_acknowledgement_needs_is_in_the_first_two_lines_of_a_sender():
    places = machine_row(Sender).fields
    assert places["partials"][1] < 2 * LINE_OCTETS <= places["reacted"][1]

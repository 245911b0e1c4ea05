"""Each packet to try does what its name says, and its octets are right."""

import pytest

from course_lib.ferry.network import ferry_network
from course_lib.ferry.north_pier_alone import ARRIVALS, north_pier
from course_lib.forwarding.verdicts import SlowPathTask
from course_lib.headers.errors import Reason
from course_lib.headers.ethernet import EthernetHeader
from course_lib.headers.ipv4 import IPv4Header
from course_lib.prefixes.plan import host_count

DROPS = {
    "time to live 1": Reason.TIME_EXCEEDED,
    "too large, may not be cut": Reason.FRAGMENTATION_NEEDED,
    "no route": Reason.NO_ROUTE,
    "wrong checksum": Reason.WRONG_CHECKSUM,
}
TASKS = {
    "too large": SlowPathTask.FRAGMENT,
    "for the router": SlowPathTask.DELIVER,
    "with options": SlowPathTask.OPTIONS,
    "unknown neighbour": SlowPathTask.RESOLVE,
}


def counters(name):
    router = north_pier()
    router.receive(0.0, *ARRIVALS[name])
    assert not router.complaints
    return router.counters


@pytest.mark.parametrize(("name", "reason"), DROPS.items())
def test_what_must_be_dropped_is_dropped_for_that_reason(name, reason):
    assert counters(name).dropped == {reason: 1}


@pytest.mark.parametrize(("name", "task"), TASKS.items())
def test_what_takes_the_slow_path_takes_it_for_that_task(name, task):
    assert (counters(name).tasks, counters(name).dropped) == ({task: 1}, {})


def test_the_plain_packet_never_leaves_the_fast_path():
    assert counters("plain").by_name() == {"received": 1, "sent": 1}


@pytest.mark.parametrize("name", [name for name in ARRIVALS if name != "wrong checksum"])
def test_all_frames_but_one_are_well_formed(name):
    interface, frame = ARRIVALS[name]
    ethernet = EthernetHeader.parse(frame)
    data = ethernet.payload(frame)
    header = IPv4Header.parse(data, verify_checksum=True)
    assert ethernet.destination == north_pier().interfaces[interface].hardware_address
    assert header.total_length == len(data)


def test_the_router_stands_where_it_does_in_the_ferry_network():
    """The same names and addresses; only the radio link carries less."""
    ours, theirs = north_pier().interfaces, ferry_network().routers["North Pier"].interfaces
    assert ours.keys() == theirs.keys()
    assert all(ours[name]._replace(mtu=1500) == theirs[name] for name in ours)
    assert all(host_count(each.prefix) >= 2 for each in ours.values())

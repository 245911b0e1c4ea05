"""The kernel lets in whom `other_machine` would let in, and nobody else."""

import contextlib
import socket
import sys
from unittest import mock

import pytest

from course_lib.links import other_machine
from course_lib.links.other_machine import OtherMachine
from course_lib.links.over_udp import address_filter
from course_lib.links.over_udp.address_filter import drop_strangers
from course_lib.links.over_udp.udp_socket import open_udp_socket
from course_lib.links.terms import LinkTerms

NEAR, FAR = "127.0.0.1", "127.0.0.2"  # RFC 1122, section 3.2.1.3: all of 127/8 is this machine


@pytest.fixture
def opened():
    """Our socket, then senders: two ports of one address, and one of another."""
    with contextlib.ExitStack() as stack:
        yield [stack.enter_context(open_udp_socket(0, each)) for each in (NEAR, NEAR, NEAR, FAR)]


def came(opened):
    """Let all senders send; return who got through."""
    ours, *senders = opened
    for sender in senders:
        sender.sendto(bytes(2000), ours.getsockname())  # loopback has it there when this returns
    found = set()
    with contextlib.suppress(BlockingIOError):
        while True:
            datagram, origin = ours.recvfrom(4000)
            assert len(datagram) == 2000
            found.add(origin)
    return found


@pytest.mark.skipif(sys.platform != "linux", reason="the filter is that of Linux")
def test_the_kernel_agrees_with_the_terms_and_follows_their_changes(opened):
    one, two, far = (sender.getsockname() for sender in opened[1:])
    assert came(opened) == {one, two, far}
    v6 = ("2001:db8::1", one[1])
    between = max(one[1], two[1])  # as if services listened below the higher of the two
    with (
        mock.patch.object(address_filter, "FIRST_PORT_OF_USERS", between),
        mock.patch.object(other_machine, "FIRST_PORT_OF_USERS", between),
    ):
        for addresses in ((), (one,), (far, two), (v6,), (v6, far), ((NEAR, 9),), (one, two, far)):
            for ports_may_change in (False, True):
                terms = LinkTerms(7, 0, 5000, addresses, ports_may_change=ports_may_change)
                assert drop_strangers(opened[0], terms)
                machine = OtherMachine(terms)
                allowed = {each for each in (one, two, far) if machine.may_be_at(each)}
                assert came(opened) == allowed, terms


def test_where_the_kernel_can_not_nobody_is_dropped_and_it_is_said(opened):
    terms = LinkTerms(7, 0, 5000, (opened[1].getsockname(),))
    with mock.patch.object(sys, "platform", "darwin"):
        assert not drop_strangers(opened[0], terms)
    refuses = mock.Mock(spec=socket.socket, family=socket.AF_INET)
    refuses.setsockopt.side_effect = PermissionError
    assert not drop_strangers(refuses, terms)
    assert len(came(opened)) == 3

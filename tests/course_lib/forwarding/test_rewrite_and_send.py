"""What changes in a packet on its way through a router, and what does not.

RFC 1812, sections 5.3.1 (time to live) and 4.2.2.5 (checksum).
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.headers.errors import Reason
from course_lib.headers.ipv4 import IPv4Header
from networks.forwarding_scene import (
    ISLAND,
    NORTH_PIER,
    OFFICE,
    PLOVER_MAC,
    SEA,
    datagram,
    give,
    north_pier,
    only_drop,
    only_error,
    seen,
)


@pytest.fixture
def router():
    return north_pier()


def test_only_the_link_layer_the_time_to_live_and_the_checksum_change(router):
    """The addresses of the IPv4 header are those of the ends, and never a router's."""
    sent = datagram(b"cargo", type_of_service=0xB8, identification=99, flags=2)
    (outgoing,) = give(router, sent)
    interface, ethernet, header, payload = seen(outgoing)
    before = IPv4Header.parse(sent)
    assert (interface, ethernet) == ("sea", (PLOVER_MAC, SEA, 0x0800))
    assert header == before._replace(time_to_live=63).with_checksum()
    assert (header.source, header.destination, payload) == (OFFICE, ISLAND, b"cargo")


@pytest.mark.parametrize(("before", "after"), [(255, 254), (64, 63), (3, 2), (2, 1)])
def test_the_time_to_live_counts_routers(router, before, after):
    """RFC 1812, section 5.3.1: a packet that still can live on must not be discarded."""
    (outgoing,) = give(router, datagram(time_to_live=before))
    assert seen(outgoing).header.time_to_live == after


@pytest.mark.parametrize("before", [1, 0])
def test_a_packet_that_has_lived_too_long_is_reported(router, before):
    """RFC 1812, section 5.3.1: time exceeded, code 0, to the source and nobody else."""
    data = datagram(b"cargo", time_to_live=before)
    header, icmp, quoted = only_error(give(router, data))
    assert (icmp.type, icmp.code, icmp.rest_of_header) == (11, 0, 0)
    assert (header.source, header.destination, quoted) == (NORTH_PIER, OFFICE, data)
    assert only_drop(router) is Reason.TIME_EXCEEDED


def test_without_a_route_the_time_to_live_is_not_looked_at(router):
    """RFC 1812, section 5.2.1.2: the next hop is found (step 5) before it is lowered (step 7)."""
    router.withdraw_route(next(p for p in router.routes() if p.contains(ISLAND)))
    assert only_error(give(router, datagram(time_to_live=1))).icmp.type == 3


@given(st.integers(2, 255), st.integers(0, 255), st.integers(0, 0xFFFF), st.integers(0, 0xFFFFFF))
def test_the_updated_checksum_is_that_of_the_new_header(hops, protocol, ident, host):
    """RFC 1624, equation 3, against the whole sum."""
    fields = {"time_to_live": hops, "protocol": protocol, "identification": ident}
    (outgoing,) = give(north_pier(), datagram(source=(10 << 24) + host, **fields))
    header = seen(outgoing).header
    assert header.checksum == header.with_checksum().checksum


@pytest.mark.parametrize("flags", [4, 6])
def test_the_reserved_flag_passes_unchanged(router, flags):
    """RFC 1812, section 4.2.2.3: unused bits are not looked at and not cleared."""
    (outgoing,) = give(router, datagram(flags=flags))
    assert seen(outgoing).header.flags == flags

"""A link over real sockets of this machine, and what the kernel has to say about them."""

import select
import socket
import sys

import pytest

from course_lib.links.over_udp.udp_link import LinkReport, UdpLink
from course_lib.links.over_udp.udp_socket import open_udp_socket
from course_lib.links.terms import LinkTerms
from networks.linked_ends import SECRET

FRAME = bytes(range(60))
HERE = "127.0.0.1"


@pytest.fixture
def links():
    sockets = [open_udp_socket(0, HERE) for _ in range(2)]
    ports = [each.getsockname()[1] for each in sockets]
    made = [
        UdpLink(
            sockets[end],
            LinkTerms(3, end, ports[end], ((HERE, ports[1 - end]),), inner_mtu=9000,
                      keep_alive_s=60),
            SECRET,
        )
        for end in (0, 1)
    ]  # fmt: skip
    yield made
    for link in made:
        link.close()


def turn(links, until):
    """Let both links work until something holds; return the frames that came at each."""
    came = [[], []]
    while not until(came):
        select.select(links, [], [], min(link.wait_s() for link in links))
        for end, link in enumerate(links):
            came[end] += link.arrivals()
            link.tick()
    return came


def test_frames_cross_between_two_sockets_while_a_stranger_floods_both(links):
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as stranger:
        for link in links:
            for datagram in (b"", FRAME, bytes(60_000)):
                stranger.sendto(datagram, (HERE, link.end.terms.port))
        turn(links, lambda came: all(link.end.is_up for link in links))
        links[0].send(FRAME)
        links[1].send(FRAME[::-1])
        came = turn(links, lambda came: all(came))
    assert came == [[FRAME[::-1]], [FRAME]]
    report = links[0].report()
    assert report.counters.strangers + links[0].dropped() == 3  # by us, or before us by the kernel
    assert LinkReport.from_plain(report.to_plain()) == report
    assert report.address == (HERE, links[1].end.terms.port)


@pytest.mark.skipif(sys.platform != "linux", reason="the option is that of ip(7)")
def test_the_kernel_is_told_to_cut_nothing_and_what_it_does_not_take_is_counted(links):
    opened = links[0]._socket
    assert opened.getsockopt(socket.IPPROTO_IP, 10) == 2  # IP_MTU_DISCOVER, IP_PMTUDISC_DO
    links[0]._send((HERE, 9), bytes(65_508))  # one octet more than UDP can carry over IPv4
    assert links[0].refused == {"Message too long": 1}
    assert links[0].dropped() == 0

"""Address resolution compared with this machine's kernel: questions, answers, and giving up."""

import pytest

from course_lib.headers.ethernet import ARPPacket
from networks.forwarding_scene import (
    BROADCAST,
    NORTH_PIER_AT_SEA,
    SEA,
    address,
    arp_frame,
    datagram,
    frame,
    station,
)
from networks.kernel_comparison import Given, ask_kernel, ask_ours, by_tag, our_router

STRANGER, STRANGER_MAC = address("198.51.100.77"), station(0x77)


def to_stranger(count):
    """Packets for a neighbour that nobody knows yet, with the tags from 1 on."""
    return [
        Given(tag, "harbour", frame(datagram(destination=STRANGER, identification=tag)))
        for tag in range(1, count + 1)
    ]


def ask_ours_over_time(given, ticks):
    router = our_router()
    sent = [
        (0.0, *each) for one in given for each in router.receive(0.0, one.interface, one.octets)
    ]
    return sent + [(float(now_s), *each) for now_s in ticks for each in router.tick(now_s)]


def questions(sent):
    return [
        (interface, octets[:14], ARPPacket.parse(octets[14:]))
        for _, interface, octets in sent
        if octets[12:14] == b"\x08\x06"
    ]


def others(sent):
    return [each for each in sent if each[2][12:14] == b"\x08\x00"]


def test_who_asks_for_the_router_gets_the_same_answer():
    question = ARPPacket(1, STRANGER_MAC, STRANGER, bytes(6), NORTH_PIER_AT_SEA)
    given = [Given(1, "sea", arp_frame(BROADCAST, STRANGER_MAC, question))]
    ours, kernels = questions(ask_ours(given)), questions(ask_kernel(given))
    assert ours == kernels
    assert len(ours) == 1


def test_a_packet_waits_for_its_neighbour_alike():
    """RFC 826; RFC 1122, section 2.3.2.2."""
    answer = ARPPacket(2, STRANGER_MAC, STRANGER, SEA, NORTH_PIER_AT_SEA)
    given = [
        *to_stranger(3),
        Given(9, "sea", arp_frame(SEA, STRANGER_MAC, answer)),
    ]
    ours, kernels = ask_ours(given), ask_kernel(given)
    assert questions(ours) == questions(kernels)
    assert [octets for _, _, octets in others(ours)] == [octets for _, _, octets in others(kernels)]


def test_both_ask_once_a_second_and_then_say_host_unreachable():
    """RFC 1122, section 2.3.2.1; RFC 1812, section 5.2.7.1. The kernel's own defaults are used."""
    given = to_stranger(2)
    ours = ask_ours_over_time(given, range(1, 5))
    kernels = ask_kernel(given, patience_s=4.5)
    assert questions(ours) == questions(kernels)
    times = [when for when, _, octets in kernels if octets[12:14] == b"\x08\x06"]
    assert times == pytest.approx([0.0, 1.0, 2.0], abs=0.4)
    assert by_tag(given, others(ours)) == by_tag(given, others(kernels))
    assert {
        each.icmp[:2] for several in by_tag(given, others(ours)).values() for each in several
    } == {(3, 1)}

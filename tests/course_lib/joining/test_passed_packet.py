"""What a router's verdict on a packet is, as the room is told it: the library's, and one's own."""

import pytest

from course_lib.ferry.north_pier_alone import ARRIVALS, north_pier
from course_lib.forwarding.router import Router
from course_lib.joining.messages import READER
from course_lib.joining.piers.own_router import room_router
from course_lib.joining.piers.passed_packet import passed
from course_lib.live.carrying.followed_packet import Follower
from course_lib.tracing.journey import follow

NEIGHBOURS = {"to Reed Pier": "Reed Pier", "to Gull Rock": "Gull Rock", "to Plover": "Plover"}


@pytest.mark.parametrize(
    ("what", "outcome", "towards", "why", "lives"),
    [
        ("plain", "forwarded", "Reed Pier", "", (64, 63)),
        # RFC 1812, sections 5.3.1 and 4.3.3.1: what is discarded, and that its sender is told.
        ("time to live 1", "discarded", "", "time to live exceeded; its sender is told", (1, None)),
        ("no route", "discarded", "", "no route; its sender is told", (64, None)),
        # RFC 1812, section 5.2.2: and of this one nobody is told.
        ("wrong checksum", "discarded", "", "wrong checksum", (64, None)),
        # RFC 1122, section 2.3.2.2: kept until the hardware address is known.
        ("unknown neighbour", "held", "", "it asks who has 192.0.2.6", (64, None)),
    ],
)
def test_the_librarys_router_says_what_it_does(what, outcome, towards, why, lives):
    told = passed(7, follow(north_pier(), 0.0, *ARRIVALS[what]), NEIGHBOURS)
    assert (told.story, told.outcome, told.towards, told.why) == (7, outcome, towards, why)
    assert (told.came_with, told.left_with) == lives
    life = bytes.fromhex(told.octets)[22]  # RFC 791: octet 8 of the header
    assert life == (lives[0] if lives[1] is None else lives[1])
    assert READER.message_from(READER.octets_of(told)) == told


class Back(Router):
    """Sends everything back where it came from, as it came."""

    def receive(self, now_s, interface, frame):
        return [(interface, frame)]


class Mute:
    """No router of the library's, that lets nothing go and counts nothing."""

    def __init__(self, interfaces, routes):
        pass

    def receive(self, now_s, interface, frame):
        return []

    def tick(self, now_s):
        return []

    def next_tick_s(self):
        return 1e9


def back(interfaces, routes):
    return Back("back", interfaces)


def plain(interfaces, routes):
    router = Router("plain", interfaces)
    for route in routes:
        router.add_route(*route)
    return router


@pytest.mark.parametrize(
    ("make", "outcome", "why"),
    [
        (back, "forwarded", "back by the line that it came by"),
        (Mute, "held", ""),
        (plain, "discarded", "no route"),
        (None, "discarded", "no route"),
    ],
)
def test_a_router_of_ones_own_is_seen_through_what_stands_around_it(make, outcome, why):
    interfaces = list(north_pier().interfaces.values())
    router = room_router("North Pier", interfaces, {}, "link state", make)
    follower = Follower("North Pier", router)
    follower.receive(0.0, *ARRIVALS["plain"])
    told = passed(7, follower.journey, NEIGHBOURS)
    assert (told.outcome, told.why.removesuffix("; its sender is told")) == (outcome, why)

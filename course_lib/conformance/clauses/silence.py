"""When nobody may be told: RFC 1812, section 4.3.2.7, which overrides all that asks for an error.

A router that never tells anybody anything keeps these clauses too, and has shown nothing by it. So
each rests on a report of the same kind, which has to come where it is allowed.
"""

__all__ = ["SCENARIOS"]

from functools import partial

from course_lib.conformance.bench import NOWHERE, QUAY, RADIO
from course_lib.conformance.clauses.errors import ERROR, OVER
from course_lib.conformance.expectations import Never
from course_lib.conformance.given import ECHOED, at_quay, datagram, icmp
from course_lib.conformance.scenario import PLAIN, Scenario
from course_lib.headers.assigned_numbers import (
    ICMP_DESTINATION_UNREACHABLE,
    ICMP_REDIRECT,
    ICMP_TIME_EXCEEDED,
)
from course_lib.ip.neighbours import BROADCAST
from course_lib.prefixes.special import LIMITED_BROADCAST
from course_lib.prefixes.text import parse_address

_silent = partial(
    Scenario,
    group="errors",
    standard="RFC 1812",
    section="section 4.3.2.7",
    expected=Never(ERROR),
    needs=(PLAIN, OVER),
)
_QUOTED = datagram(source=parse_address("203.0.113.9"), destination=parse_address("192.0.2.7"))
_GROUP, _GROUP_CARD = parse_address("224.0.0.5"), bytes.fromhex("01005e000005")


def _about_an_error(name: str, kind: int, words: str) -> Scenario:
    message = icmp(kind, 0, 0, _QUOTED[:28])
    given = (at_quay(datagram(message, protocol=1, time_to_live=1)),)
    return _silent(name, rule=f"nobody is told of the end of {words}", given=given)


SCENARIOS = (
    _about_an_error("about time exceeded", ICMP_TIME_EXCEEDED, "an error, here time exceeded"),
    _about_an_error("about unreachable", ICMP_DESTINATION_UNREACHABLE, "another error"),
    _about_an_error("about a redirect", ICMP_REDIRECT, "a redirect, which counts as an error"),
    _silent(
        "about a later fragment",
        rule="nobody is told of the end of a fragment other than the first",
        given=(at_quay(datagram(ECHOED, protocol=253, fragment_offset=3, time_to_live=1)),),
    ),
    _silent(
        "about a frame to all",
        rule="nobody is told of a packet that came as a link-layer broadcast",
        given=(at_quay(datagram(time_to_live=1), to=BROADCAST),
               at_quay(datagram(destination=NOWHERE), to=BROADCAST)),
    ),
    _silent(
        "about a packet to all",
        rule="nobody is told of a packet to a broadcast address",
        given=(at_quay(datagram(destination=LIMITED_BROADCAST, time_to_live=1), to=BROADCAST),
               at_quay(datagram(destination=QUAY.prefix.last), to=BROADCAST),
               at_quay(datagram(destination=LIMITED_BROADCAST))),
    ),
    _silent(
        "about a packet to all of a far link",
        rule="nor of one to the broadcast address of another link",
        given=(at_quay(datagram(destination=RADIO.prefix.last, time_to_live=1)),),
    ),
    _silent(
        "about a packet to a group",
        rule="nobody is told of a packet to a group",
        given=(at_quay(datagram(destination=_GROUP, time_to_live=1), to=_GROUP_CARD),
               at_quay(datagram(destination=_GROUP))),
    ),
    _silent(
        "told to loopback",
        rule="nothing is told to a source that is no single host, here of the loopback net",
        given=(at_quay(datagram(source=parse_address("127.0.0.1"), time_to_live=1)),),
    ),
    _silent(
        "told to a broadcast address",
        rule="nothing is told to a source that is the broadcast address of a link",
        given=(at_quay(datagram(source=QUAY.prefix.last, time_to_live=1)),),
    ),
    _silent(
        "about a wrong checksum",
        rule="nobody is told of a header that failed its checks: its source may be wrong too",
        given=(at_quay(datagram(time_to_live=1, checksum=0x0BAD)),),
    ),
    _silent(
        "about a later fragment without a route",
        rule="that holds for every kind of report: here for a later fragment without a route",
        given=(at_quay(datagram(destination=NOWHERE, fragment_offset=3)),),
        needs=(PLAIN, "no route is reported"),
    ),
)  # fmt: skip

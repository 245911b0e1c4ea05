"""Addresses that mean nobody or everybody: what comes from there or goes there is not forwarded."""

__all__ = ["SCENARIOS"]

from functools import partial

from course_lib.conformance.bench import DEFAULT_ROUTE, QUAY, RADIO, ROUTES
from course_lib.conformance.expectations import Never
from course_lib.conformance.given import at_quay, datagram
from course_lib.conformance.scenario import Scenario
from course_lib.ip.neighbours import BROADCAST
from course_lib.prefixes.special import LIMITED_BROADCAST
from course_lib.prefixes.text import parse_address

_not_forwarded = partial(
    Scenario,
    group="ways",
    standard="RFC 1812",
    expected=Never("a forwarded packet"),
    routes=(*ROUTES, DEFAULT_ROUTE),  # so that only the rule itself keeps a packet back
)
_GROUP_OF_ALL = bytes.fromhex("01005e000001")  # RFC 1112, section 6.4: 224.0.0.1 on Ethernet


def _from(name: str, source: int, words: str) -> Scenario:
    rule = f"a packet from {words} is not forwarded"
    given = (at_quay(datagram(source=source)),)
    return _not_forwarded(name, section="section 5.3.7", rule=rule, given=given)


def _to(
    name: str, destination: int, words: str, section: str, link_layer: bytes | None = None
) -> Scenario:
    rule = f"a packet to {words} is not forwarded"
    given = (at_quay(datagram(destination=destination), to=link_layer),)
    return _not_forwarded(name, section=section, rule=rule, given=given)


SCENARIOS = (
    _not_forwarded(
        "frame to all",
        section="section 5.3.4",
        rule="a packet for one host that came as a link-layer broadcast is not forwarded",
        given=(at_quay(datagram(), to=BROADCAST),),
    ),
    _not_forwarded(
        "frame to a group",
        section="section 5.3.4",
        rule="nor is one that came as a link-layer multicast",
        given=(at_quay(datagram(), to=_GROUP_OF_ALL),),
    ),
    _to("to all", LIMITED_BROADCAST, "255.255.255.255", "section 5.3.5.1", BROADCAST),
    _to("to all of a far link", RADIO.prefix.last, "all hosts of another link",
        "section 5.3.5.2"),
    _to("to the first address of a link", RADIO.prefix.first,
        "the first address of a link, an old form of its broadcast,", "section 4.2.3.1"),
    _to("to all of the own link", QUAY.prefix.last, "all hosts of the link on which it came",
        "section 5.3.5.2", BROADCAST),
    _to("to a group", parse_address("224.0.0.5"), "a group that nobody joined",
        "section 5.2.1.3", bytes.fromhex("01005e000005")),
    _to("to loopback", parse_address("127.0.0.1"), "the loopback net", "section 5.3.7"),
    _to("to net 0", parse_address("0.1.2.3"), "net 0", "section 5.3.7"),
    _to("to class E", parse_address("240.0.0.1"), "class E", "section 5.3.7"),
    _from("from loopback", parse_address("127.0.0.1"), "the loopback net"),
    _from("from net 0", parse_address("0.1.2.3"), "net 0"),
    _from("from a group", parse_address("224.0.0.9"), "a group"),
    _from("from all", LIMITED_BROADCAST, "255.255.255.255"),
    _from("from class E", parse_address("240.0.0.1"), "class E"),
    _from("from a broadcast address", QUAY.prefix.last, "the broadcast address of a link"),
)  # fmt: skip

"""What a sender is told whose packet ends here (RFC 792; RFC 1812, sections 4.3 and 5.2.7)."""

__all__ = ["SCENARIOS"]

from collections.abc import Sequence
from functools import partial

from course_lib.conformance.bench import GULL_ROCK, NOWHERE, OFFICE, QUAY, REED
from course_lib.conformance.expectations import Comes, Holds, Never, Rule
from course_lib.conformance.given import TEXT, asks, at_quay, datagram, echo
from course_lib.conformance.scenario import PLAIN, Scenario
from course_lib.conformance.seen import Seen
from course_lib.headers.assigned_numbers import (
    ICMP_DESTINATION_UNREACHABLE,
    ICMP_PARAMETER_PROBLEM,
    ICMP_REDIRECT,
    ICMP_TIME_EXCEEDED,
    PROTOCOL_UDP,
)
from course_lib.prefixes.text import parse_address

ERROR = "an ICMP error"
OVER = "time exceeded is reported"
_ENDED = datagram(time_to_live=1, type_of_service=0x08)
_GIVEN = (at_quay(_ENDED),)
_TO_SILENT = parse_address("198.51.100.200")
_BEHIND_REED = parse_address("203.0.113.200")
_LARGEST_QUOTE = 576 - 28  # RFC 1812, section 4.3.2.3: 576 octets, both headers included
_MANY = 300
_FIRST = Rule("0xc8 or 0xe8", lambda value: value in (0xC8, 0xE8))
_error = partial(Scenario, group="errors")
_1812 = partial(_error, standard="RFC 1812", needs=(PLAIN, OVER), given=_GIVEN)
_792 = partial(_error, standard="RFC 792", needs=(PLAIN, OVER), given=_GIVEN)
_REDIRECT_SENT = "redirect"


def _quotes_enough(value: object) -> bool:
    """Return True for a quote of the header and 8 octets; two fields may be as they are now."""
    if not isinstance(value, bytes) or len(value) < 28:
        return False
    unchanged = [*range(8), 9, *range(12, 28)]  # without time to live and checksum
    return all(value[at] == _ENDED[at] for at in unchanged)


def _few_errors(frames: Sequence[Seen]) -> str | None:
    sent = sum(each.kind == ERROR for each in frames)
    if sent == _MANY:
        return f"{_MANY} packets ended at the same time, and each of them caused an error"
    return None


def _number(words: str, least: int, most: int = 255) -> Rule:
    return Rule(words, lambda value: isinstance(value, int) and least <= value <= most)


SCENARIOS = (
    _error(
        OVER,
        standard="RFC 1812",
        section="section 5.3.1",
        rule="who sent a packet that has lived too long is told: time exceeded, code 0",
        given=_GIVEN,
        expected=Comes(ERROR, {"icmp.type": ICMP_TIME_EXCEEDED, "icmp.code": 0}),
    ),
    _1812(
        "time exceeded at 0",
        section="section 5.3.1",
        rule="and it is told too if the packet came with a time to live of 0",
        given=(at_quay(datagram(time_to_live=0)),),
        expected=Comes(ERROR, {"icmp.type": ICMP_TIME_EXCEEDED, "icmp.code": 0}),
    ),
    _792(
        "error to the sender",
        section="page 6",
        rule="an error goes to the source of the packet, and comes by the way that leads there",
        expected=Comes(
            ERROR,
            {"interface": QUAY.name, "ipv4.destination": OFFICE.address,
             "ethernet.destination": OFFICE.hardware_address},
        ),
    ),
    _1812(
        "error from the right address",
        section="section 4.3.2.4",
        rule="its source is the address of the interface by which it leaves",
        expected=Comes(ERROR, {"ipv4.source": QUAY.address}),
    ),
    _792(
        "error's checksum",
        section="page 6",
        rule="its ICMP checksum covers the whole message, from the type on",
        expected=Comes(ERROR, {"message sum": True}),
    ),
    Scenario(
        "error's header checksum",
        "errors",
        "RFC 791",
        "section 3.1",
        "its IPv4 header has a right checksum, and says that ICMP follows",
        _GIVEN,
        Comes(ERROR, {"header sum": True, "ipv4.protocol": 1}),
        needs=(PLAIN, OVER),
    ),
    _1812(
        "error's time to live",
        section="section 4.3.2.2",
        rule="an error has a time to live of its own, not what was left of the packet's",
        expected=Comes(ERROR, {"ipv4.time_to_live": _number("more than 1", 2)}),
    ),
    _792(
        "quote",
        section="page 6",
        rule="an error quotes the header of the packet and at least 8 octets behind it",
        expected=Comes(
            ERROR, {"quote": Rule("the 20 octets of the header and 8 more", _quotes_enough)}
        ),
    ),
    _792(
        "unused octets are zero",
        section="page 6",
        rule="octets 4 to 7 of a time exceeded message are zero",
        expected=Comes(ERROR, {"icmp.rest_of_header": 0}),
    ),
    _1812(
        "quote not too long",
        section="section 4.3.2.3",
        rule="an error has no more than 576 octets in all, however long the packet was",
        given=(at_quay(datagram(TEXT * 40, protocol=253, time_to_live=1)),),
        expected=Comes(ERROR, {"ipv4.total_length": _number("576 or fewer", 56, 576)}),
    ),
    _1812(
        "quote as long as may be",
        section="section 4.3.2.3",
        rule="as much of the packet is quoted as fits into 576 octets",
        given=(at_quay(datagram(TEXT * 40, protocol=253, time_to_live=1)),),
        expected=Comes(
            ERROR,
            {"quote": Rule(f"{_LARGEST_QUOTE} octets",
                           lambda value: isinstance(value, bytes)
                           and _LARGEST_QUOTE - 40 <= len(value) <= _LARGEST_QUOTE)},
        ),
        is_core=False,
    ),
    _1812(
        "error goes first",
        section="section 4.3.2.5",
        rule="an error has precedence 6 or 7, and else the type of service of the packet",
        expected=Comes(
            ERROR, {"ipv4.type_of_service": _FIRST}
        ),
        is_core=False,
    ),
    _1812(
        "echo is told too",
        section="section 4.3.2.7",
        rule="an echo message is no error: who sent it is told when it has lived too long",
        given=(at_quay(echo(parse_address("203.0.113.9"), time_to_live=1)),),
        expected=Comes(ERROR, {"icmp.type": ICMP_TIME_EXCEEDED}),
    ),
    _1812(
        "first fragment is told",
        section="section 4.3.2.7",
        rule="the first fragment of a datagram is reported as a whole one is",
        given=(at_quay(datagram(TEXT[:24], protocol=PROTOCOL_UDP, flags=1, time_to_live=1)),),
        expected=Comes(ERROR, {"icmp.type": ICMP_TIME_EXCEEDED}),
    ),
    _error(
        "no route is reported",
        standard="RFC 1812",
        section="section 5.2.7.1",
        rule="without a route the sender is told: destination unreachable, code 0",
        given=(at_quay(datagram(destination=NOWHERE)),),
        expected=Comes(ERROR, {"icmp.type": ICMP_DESTINATION_UNREACHABLE, "icmp.code": 0}),
    ),
    _error(
        "way first, lifetime later",
        standard="RFC 1812",
        section="section 5.2.1.2",
        rule="the way is looked for before the time to live: without a route, that is told",
        given=(at_quay(datagram(destination=NOWHERE, time_to_live=1)),),
        expected=Comes(ERROR, {"icmp.type": ICMP_DESTINATION_UNREACHABLE, "icmp.code": 0}),
        needs=(PLAIN, OVER, "no route is reported"),
    ),
    _error(
        "silent next hop is reported",
        standard="RFC 1812",
        section="section 5.2.7.1",
        rule="if the next hop answers no question, the sender is told: unreachable, code 1",
        given=(at_quay(datagram(destination=_TO_SILENT)), asks(OFFICE, QUAY.address)),
        expected=Comes(ERROR, {"icmp.type": ICMP_DESTINATION_UNREACHABLE, "icmp.code": 1}),
        until_s=30.0,
    ),
    _error(
        "cut datagram is reported",
        standard="RFC 1812",
        section="section 5.2.2",
        rule="who sent a datagram that was cut on its way is told of its total length, octet 2",
        given=(at_quay(datagram()[:-8]),),
        expected=Comes(
            ERROR, {"icmp.type": ICMP_PARAMETER_PROBLEM, "icmp.code": 0,
                    "icmp.rest_of_header": 2 << 24}
        ),
        is_core=False,
    ),
    _error(
        "errors are limited",
        standard="RFC 1812",
        section="section 4.3.2.8",
        rule="a router can limit how many errors it sends",
        given=tuple(at_quay(datagram(time_to_live=1)) for _ in range(_MANY)),
        expected=Holds(f"fewer errors than {_MANY}, the number of packets", _few_errors),
        needs=(PLAIN, OVER),
        is_core=False,
    ),
    _error(
        _REDIRECT_SENT,
        standard="RFC 1812",
        section="section 5.2.7.2",
        rule="who stands on the link of the next hop is told of it: redirect, code 1, its address",
        given=(at_quay(datagram(destination=_BEHIND_REED)),),
        expected=Comes(
            ERROR, {"icmp.type": ICMP_REDIRECT, "icmp.code": 1,
                    "icmp.rest_of_header": REED.address}
        ),
        needs=(PLAIN, "same interface"),
        is_core=False,
    ),
    _error(
        "redirect for neighbours only",
        standard="RFC 1812",
        section="section 5.2.7.2",
        rule="who does not stand on that link gets no redirect",
        given=(at_quay(datagram(source=GULL_ROCK.address, destination=_BEHIND_REED)),),
        expected=Never(ERROR),
        needs=(PLAIN, "same interface", _REDIRECT_SENT),
        is_core=False,
    ),
)  # fmt: skip

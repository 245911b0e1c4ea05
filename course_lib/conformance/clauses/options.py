"""Options on the way: most pass, and two ask the router to write something down.

A router of this course may leave all of this out.
"""

__all__ = ["SCENARIOS"]

from functools import partial

from course_lib.conformance.bench import QUAY, RADIO
from course_lib.conformance.expectations import Comes, Never, Rule
from course_lib.conformance.given import at_quay, datagram, echo
from course_lib.conformance.scenario import PLAIN, Scenario
from course_lib.headers.assigned_numbers import ICMP_PARAMETER_PROBLEM

FORWARDED, ERROR = "a forwarded packet", "an ICMP error"
_PASS = "unknown option"
_WRONG_LENGTH = bytes.fromhex("07000400")
_option = partial(Scenario, group="options", is_core=False)
_OURS = RADIO.address.to_bytes(4, "big")
_UNKNOWN = bytes.fromhex("5e04abcd")  # a type for experiments: RFC 4727


def _with(options: str | bytes) -> bytes:
    octets = bytes.fromhex(options) if isinstance(options, str) else options
    return datagram(options=octets)


def _stamped(value: object) -> bool:
    """Return True for one time, in its place, with the pointer behind it."""
    return (
        isinstance(value, bytes)
        and value[:4] == bytes.fromhex("440c0900")
        and value[4:8] != bytes(4)
        and value[8:] == bytes(4)
    )


def _stamped_with_address(value: object) -> bool:
    """Return True for an address and a time; which of our addresses is the next clause's matter."""
    return (
        isinstance(value, bytes)
        and value[:4] == bytes.fromhex("440c0d01")
        and value[4:8] == _OURS
        and value[8:] != bytes(4)
    )


SCENARIOS = (
    _option(
        _PASS,
        standard="RFC 1812",
        section="section 5.3.13.1",
        rule="an option that is not known passes unchanged",
        given=(at_quay(_with(_UNKNOWN)),),
        expected=Comes(FORWARDED, {"ipv4.options": _UNKNOWN}),
    ),
    _option(
        "sum over the options",
        standard="RFC 791",
        section="section 3.1",
        rule="the checksum covers the options too: with one octet wrong, the header is discarded",
        given=(at_quay(_with(_UNKNOWN).replace(_UNKNOWN, b"\x5e\x04\xab\xcc")),),
        expected=Never(FORWARDED),
        needs=(PLAIN, _PASS),
    ),
    _option(
        "checksum with options",
        standard="RFC 791",
        section="section 3.1",
        rule="a header with options leaves with a right checksum",
        given=(at_quay(_with("070704 00000000 00")),),
        expected=Comes(FORWARDED, {"header sum": True}),
        needs=(PLAIN, _PASS),
    ),
    _option(
        "route recorded",
        standard="RFC 1812",
        section="section 5.3.13.5",
        rule="record route: the address of the interface by which the packet leaves is entered",
        given=(at_quay(_with("070b04 0000000000000000 00")),),
        expected=Comes(
            FORWARDED,
            {"ipv4.options": bytes.fromhex("070b08") + _OURS + bytes.fromhex("00000000 00")},
        ),
        needs=(PLAIN, _PASS),
    ),
    _option(
        "record is full",
        standard="RFC 791",
        section="section 3.1",
        rule="where no room is left in the record, the packet goes on as it is",
        given=(at_quay(_with("070708 01020304 00")),),
        expected=Comes(FORWARDED, {"ipv4.options": bytes.fromhex("070708 01020304 00")}),
        needs=(PLAIN, _PASS),
    ),
    _option(
        "time recorded",
        standard="RFC 1812",
        section="section 5.3.13.6",
        rule="timestamp: the time is entered, and the pointer moved behind it",
        given=(at_quay(_with("440c0500 00000000 00000000"), at_s=0.1),),
        expected=Comes(
            FORWARDED, {"ipv4.options": Rule("with one time, and the pointer at 9", _stamped)}
        ),
        needs=(PLAIN, _PASS),
    ),
    _option(
        "address beside the time",
        standard="RFC 1812",
        section="section 4.2.2.2",
        rule="the address beside a time is that of the interface by which the packet leaves",
        given=(at_quay(_with("440c0501 00000000 00000000"), at_s=0.1),),
        expected=Comes(
            FORWARDED,
            {"ipv4.options": Rule("with 198.51.100.1 and a time", _stamped_with_address)},
        ),
        needs=(PLAIN, _PASS, "time recorded"),
    ),
    _option(
        "times are full",
        standard="RFC 791",
        section="section 3.1",
        rule="where no room is left for a time, routers count in the overflow field, octet 3",
        given=(at_quay(_with("44080900 11223344")),),
        expected=Comes(FORWARDED, {"ipv4.options": bytes.fromhex("44080910 11223344")}),
        needs=(PLAIN, _PASS),
    ),
    _option(
        "wrong option is reported",
        standard="RFC 1812",
        section="section 4.3.3.5",
        rule="who sent an option that cannot be read is told: parameter problem",
        given=(at_quay(_with(_WRONG_LENGTH)),),
        expected=Comes(ERROR, {"icmp.type": ICMP_PARAMETER_PROBLEM, "icmp.code": 0}),
        needs=(PLAIN, _PASS),
    ),
    _option(
        "pointer into the option",
        standard="RFC 792",
        section="page 8",
        rule="a parameter problem points at the octet where the error was noticed: here 20 or 21",
        given=(at_quay(_with(_WRONG_LENGTH)),),
        expected=Comes(
            ERROR,
            {"icmp.rest_of_header": Rule("0x14000000 or 0x15000000",
                                         lambda value: value in (20 << 24, 21 << 24))},
        ),
        needs=(PLAIN, _PASS, "wrong option is reported"),
    ),
    _option(
        "wrong option goes nowhere",
        standard="RFC 1812",
        section="section 5.2.1.1",
        rule="a packet with an option that cannot be read is not forwarded",
        given=(at_quay(_with(_WRONG_LENGTH)),),
        expected=Never(FORWARDED),
        needs=(PLAIN, _PASS),
    ),
    _option(
        "options before the way",
        standard="RFC 1812",
        section="section 5.2.1.1",
        rule="options are looked at before the time to live: a wrong one is told, not the lifetime",
        given=(at_quay(datagram(options=_WRONG_LENGTH, time_to_live=1)),),
        expected=Comes(ERROR, {"icmp.type": ICMP_PARAMETER_PROBLEM}),
        needs=(PLAIN, _PASS, "wrong option is reported"),
    ),
    _option(
        "echo with a record",
        standard="RFC 1812",
        section="section 4.3.3.6",
        rule="a recorded route comes back with the echo reply",
        given=(at_quay(echo(QUAY.address, options=bytes.fromhex("070708 01020304 00"))),),
        expected=Comes("an echo reply", {"ipv4.options": bytes.fromhex("070708 01020304 00")}),
        needs=("an echo",),
    ),
)  # fmt: skip

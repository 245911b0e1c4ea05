"""Packets for the router itself: an echo comes back, and not much else."""

__all__ = ["SCENARIOS"]

from functools import partial

from course_lib.conformance.bench import CABLE, OFFICE, QUAY, RADIO
from course_lib.conformance.expectations import Comes, Never, Rule
from course_lib.conformance.given import ECHOED, at_quay, datagram, echo, icmp, udp_octets
from course_lib.conformance.scenario import Scenario
from course_lib.headers.assigned_numbers import (
    ICMP_DESTINATION_UNREACHABLE,
    ICMP_ECHO,
    ICMP_ECHO_REPLY,
)

REPLY, ERROR = "an echo reply", "an ICMP error"
_ECHO_COMES = "an echo"
_own = partial(Scenario, group="own packets")
_echo = partial(_own, standard="RFC 792", section="page 14")
_IDENTIFIER = 0x0007_0001
_LONG = bytes(range(256)) * 5
_UNKNOWN_TYPE = 200  # nobody has defined it (from memory)
_UNKNOWN_PROTOCOL = 253  # for experiments: RFC 3692, section 2.1


def _damaged_echo() -> bytes:
    message = icmp(ICMP_ECHO, 0, _IDENTIFIER, ECHOED)
    wrong = message[:2] + bytes([message[2] ^ 0x10]) + message[3:]
    return datagram(wrong, protocol=1, destination=QUAY.address)


SCENARIOS = (
    _echo(
        _ECHO_COMES,
        rule="who sends an echo message to the router gets an echo reply",
        given=(at_quay(echo(QUAY.address)),),
        expected=Comes(
            REPLY, {"interface": QUAY.name, "ethernet.destination": OFFICE.hardware_address}
        ),
        needs=(),
    ),
    _echo(
        "echo's data",
        rule="the data come back as they were sent",
        given=(at_quay(echo(QUAY.address)),),
        expected=Comes(REPLY, {"message data": ECHOED}),
        needs=(_ECHO_COMES,),
    ),
    _echo(
        "echo's numbers",
        rule="so do identifier and sequence number",
        given=(at_quay(echo(QUAY.address)),),
        expected=Comes(REPLY, {"icmp.code": 0, "icmp.rest_of_header": _IDENTIFIER}),
        needs=(_ECHO_COMES,),
    ),
    _echo(
        "echo turned round",
        rule="source and destination change places",
        given=(at_quay(echo(QUAY.address)),),
        expected=Comes(
            REPLY, {"ipv4.source": QUAY.address, "ipv4.destination": OFFICE.address}
        ),
        needs=(_ECHO_COMES,),
    ),
    _echo(
        "reply's checksum",
        rule="the ICMP checksum is computed anew for the reply",
        given=(at_quay(echo(QUAY.address)),),
        expected=Comes(REPLY, {"message sum": True}),
        needs=(_ECHO_COMES,),
    ),
    _own(
        "reply's header",
        standard="RFC 1812",
        section="section 4.2.2.9",
        rule="a packet of the router's own has a right header checksum, and a time to live above 0",
        given=(at_quay(echo(QUAY.address)),),
        expected=Comes(
            REPLY,
            {"header sum": True,
             "ipv4.time_to_live": Rule("1 or more", lambda value: isinstance(value, int)
                                       and value >= 1)},
        ),
        needs=(_ECHO_COMES,),
    ),
    _own(
        "odd number of octets",
        standard="RFC 1071",
        section="section 4.1",
        rule="a sum over an odd number of octets goes on as if a zero followed",
        given=(at_quay(echo(QUAY.address, b"Reed!")),),
        expected=Comes(REPLY, {"message sum": True, "message data": b"Reed!"}),
        needs=(_ECHO_COMES, "reply's checksum"),
    ),
    _echo(
        "long echo",
        rule="as much comes back as was sent, also if it is more than a thousand octets",
        given=(at_quay(echo(QUAY.address, _LONG)),),
        expected=Comes(REPLY, {"message data": _LONG, "message sum": True}),
        needs=(_ECHO_COMES,),
    ),
    _own(
        "echo to a far interface",
        standard="RFC 1812",
        section="section 5.2.3",
        rule="a packet for any address of the router is for the router, on whatever link it came",
        given=(at_quay(echo(RADIO.address)),),
        expected=Comes(REPLY, {"ipv4.source": RADIO.address}),
        needs=(_ECHO_COMES,),
    ),
    _own(
        "first address of two",
        standard="RFC 3021",
        section="section 2.2",
        rule="on a link of two, the address with only zeros in its host part answers too",
        given=(at_quay(echo(CABLE.address)),),
        expected=Comes(REPLY, {"ipv4.source": CABLE.address}),
        needs=(_ECHO_COMES, "echo to a far interface"),
    ),
    _own(
        "lifetime is over, but arrived",
        standard="RFC 1812",
        section="section 4.2.2.9",
        rule="who gets a packet for himself does not look at its time to live",
        given=(at_quay(echo(QUAY.address, time_to_live=1)),),
        expected=Comes(REPLY, {}),
        needs=(_ECHO_COMES,),
    ),
    _own(
        "not sent on",
        standard="RFC 1812",
        section="section 5.2.3",
        rule="a packet for the router itself is not forwarded",
        given=(at_quay(datagram(destination=RADIO.address)),),
        expected=Never("a forwarded packet"),
    ),
    _own(
        "damaged echo",
        standard="RFC 792",
        section="page 14",
        rule="an echo with a wrong ICMP checksum is not answered",
        given=(at_quay(_damaged_echo()),),
        expected=Never(REPLY),
        needs=(_ECHO_COMES,),
    ),
    _own(
        "no reply to a reply",
        standard="RFC 792",
        section="page 14",
        rule="an echo reply is not answered, so that no two stations go on for ever",
        given=(at_quay(datagram(icmp(ICMP_ECHO_REPLY, 0, _IDENTIFIER, ECHOED), protocol=1,
                                destination=QUAY.address)),),
        expected=Never(REPLY),
        needs=(_ECHO_COMES,),
    ),
    *(
        _own(
            f"message of unknown type: no {word}",
            standard="RFC 1812",
            section="section 4.3.2.1",
            rule="a message of a type that nobody knows is discarded silently",
            given=(at_quay(datagram(icmp(_UNKNOWN_TYPE, 0, _IDENTIFIER, ECHOED), protocol=1,
                                    destination=QUAY.address)),),
            expected=Never(kind),
            needs=(_ECHO_COMES,),
        )
        for word, kind in (("reply", REPLY), ("error", ERROR))
    ),
    _own(
        "unknown protocol",
        standard="RFC 1812",
        section="section 5.2.7.1",
        rule="a protocol that is not spoken here is refused: destination unreachable, code 2",
        given=(at_quay(datagram(b"????????", protocol=_UNKNOWN_PROTOCOL,
                                destination=QUAY.address)),),
        expected=Comes(ERROR, {"icmp.type": ICMP_DESTINATION_UNREACHABLE, "icmp.code": 2}),
        needs=(),
        is_core=False,
    ),
    _own(
        "port without a listener",
        standard="RFC 792",
        section="page 4",
        rule="a port on which nobody listens is refused: destination unreachable, code 3",
        given=(at_quay(datagram(udp_octets(OFFICE.address, QUAY.address),
                                destination=QUAY.address)),),
        expected=Comes(ERROR, {"icmp.type": ICMP_DESTINATION_UNREACHABLE, "icmp.code": 3}),
        needs=(),
        is_core=False,
    ),
)  # fmt: skip

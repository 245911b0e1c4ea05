"""Which way a packet goes, and what of it changes on the way."""

__all__ = ["SCENARIOS"]

from collections.abc import Sequence
from functools import partial

from course_lib.conformance.bench import (
    CABLE,
    CURLEW,
    GULL_ROCK,
    NOWHERE,
    OFFICE,
    PLOVER,
    QUAY,
    RADIO,
    REED,
)
from course_lib.conformance.expectations import Comes, Holds, Never
from course_lib.conformance.given import TEXT, asks, at_quay, datagram, udp_octets
from course_lib.conformance.scenario import PLAIN, Scenario
from course_lib.conformance.seen import Seen
from course_lib.prefixes.text import parse_address

FORWARDED = "a forwarded packet"
_1812 = partial(Scenario, group="ways", standard="RFC 1812")
_ISLAND_BEHIND_GULL_ROCK = parse_address("203.0.113.65")
_ISLAND_BEHIND_CURLEW = parse_address("203.0.113.70")
_BEHIND_REED = parse_address("203.0.113.200")


def _leaves_by_radio(frames: Sequence[Seen]) -> str | None:
    ways = {each.sent.interface for each in frames if each.kind == FORWARDED}
    if not ways:
        return f"{FORWARDED} had to come by 'radio', and none came"
    return None if RADIO.name in ways else f"it left by {min(ways)!r}, and not by 'radio'"


SCENARIOS = (
    _1812(
        PLAIN,
        section="section 5.2.1.2",
        rule="a packet for somebody else leaves by the interface to which its route leads",
        given=(at_quay(datagram()),),
        expected=Holds("a forwarded packet by 'radio'", _leaves_by_radio),
        needs=(),
    ),
    _1812(
        "only once",
        section="section 5.2.1.2",
        rule="a packet leaves once, not by every interface and not twice",
        given=(at_quay(datagram()),),
        expected=Comes(FORWARDED, {}, once=True),
    ),
    _1812(
        "frame to the next hop",
        section="section 5.2.1.2",
        rule="the frame goes to the hardware address of the next hop",
        given=(at_quay(datagram()),),
        expected=Comes(FORWARDED, {"ethernet.destination": PLOVER.hardware_address}),
    ),
    Scenario(
        "frame from the right card",
        "ways",
        "RFC 894",
        "frame format",
        "the frame comes from the hardware address of the interface by which it leaves",
        (at_quay(datagram()),),
        Comes(FORWARDED, {"ethernet.source": RADIO.hardware_address}),
    ),
    _1812(
        "destination on a link",
        section="section 5.2.4.2",
        rule="on a link of the router, the destination itself is the next hop",
        given=(at_quay(datagram(destination=CURLEW.address)),),
        expected=Comes(
            FORWARDED,
            {"interface": RADIO.name, "ethernet.destination": CURLEW.hardware_address},
        ),
    ),
    _1812(
        "longest prefix",
        section="section 5.2.4.3",
        rule="of several prefixes that hold the destination, the longest decides",
        given=(at_quay(datagram(destination=_ISLAND_BEHIND_GULL_ROCK)),),
        expected=Comes(FORWARDED, {"interface": CABLE.name}),
    ),
    _1812(
        "host route",
        section="section 5.2.4.3",
        rule="a prefix of 32 bits counts as any other, and is the longest of all",
        given=(at_quay(datagram(destination=_ISLAND_BEHIND_CURLEW)),),
        expected=Comes(
            FORWARDED,
            {"interface": RADIO.name, "ethernet.destination": CURLEW.hardware_address},
        ),
    ),
    _1812(
        "same interface",
        section="section 5.2.7.2",
        rule="a packet whose way leads back over its own link is forwarded all the same",
        given=(at_quay(datagram(destination=_BEHIND_REED)),),
        expected=Comes(
            FORWARDED, {"interface": QUAY.name, "ethernet.destination": REED.hardware_address}
        ),
    ),
    _1812(
        "no route, no way",
        section="section 5.2.7.1",
        rule="a packet without a route leaves nowhere",
        given=(at_quay(datagram(destination=NOWHERE)),),
        expected=Never(FORWARDED),
    ),
    _1812(
        "time to live lowered",
        section="section 5.3.1",
        rule="a router lowers the time to live by one",
        given=(at_quay(datagram(time_to_live=64)),),
        expected=Comes(FORWARDED, {"ipv4.time_to_live": 63}),
    ),
    _1812(
        "time to live 2",
        section="section 5.3.1",
        rule="a packet that can live on after this hop goes on, however little it has left",
        given=(at_quay(datagram(time_to_live=2)),),
        expected=Comes(FORWARDED, {}),
    ),
    _1812(
        "time to live 1",
        section="section 5.3.1",
        rule="a packet that arrives with a time to live of 1 goes no further",
        given=(at_quay(datagram(time_to_live=1)),),
        expected=Never(FORWARDED),
    ),
    _1812(
        "time to live 0",
        section="section 5.3.1",
        rule="nor does one that arrives with 0",
        given=(at_quay(datagram(time_to_live=0)),),
        expected=Never(FORWARDED),
    ),
    _1812(
        "checksum after the hop",
        section="section 4.2.2.5",
        rule="the header that leaves has a right checksum",
        given=(at_quay(datagram()),),
        expected=Comes(FORWARDED, {"header sum": True}),
    ),
    Scenario(
        "checksum with a carry",
        "ways",
        "RFC 1071",
        "section 1",
        "where a sum gets too long for 16 bits, what is carried out is added in again",
        # Its checksum is 0xff80: with 0x0100 more, there is a carry.
        (at_quay(datagram(identification=0x7D25)),),
        Comes(FORWARDED, {"header sum": True}),
        needs=(PLAIN, "checksum after the hop"),
    ),
    Scenario(
        "addresses unchanged",
        "ways",
        "RFC 791",
        "section 3.1",
        "both IP addresses stay as they are, on every link",
        (at_quay(datagram()),),
        Comes(
            FORWARDED,
            {"ipv4.source": OFFICE.address, "ipv4.destination": parse_address("203.0.113.9")},
        ),
    ),
    Scenario(
        "identification unchanged",
        "ways",
        "RFC 791",
        "section 3.2",
        "identification, flags and protocol stay as they are: whoever puts fragments together "
        "goes by them",
        (at_quay(datagram(identification=0xBEEF, flags=1)),),
        Comes(FORWARDED, {"ipv4.identification": 0xBEEF, "ipv4.flags": 1, "ipv4.protocol": 17}),
    ),
    Scenario(
        "offset unchanged",
        "ways",
        "RFC 791",
        "section 3.2",
        "a fragment that fits goes on as it came, with its offset",
        (at_quay(datagram(TEXT, flags=1, fragment_offset=185)),),
        Comes(FORWARDED, {"ipv4.fragment_offset": 185, "payload": TEXT}),
    ),
    _1812(
        "reserved flag unchanged",
        section="section 4.2.2.3",
        rule="header bits that nobody uses yet pass as they came",
        given=(at_quay(datagram(flags=0b100)),),
        expected=Comes(FORWARDED, {"ipv4.flags": 0b100}),
    ),
    _1812(
        "type of service unchanged",
        section="section 4.2.2.4",
        rule="the type of service passes as it came",
        given=(at_quay(datagram(type_of_service=0xB8)),),
        expected=Comes(FORWARDED, {"ipv4.type_of_service": 0xB8}),
    ),
    Scenario(
        "payload unchanged",
        "ways",
        "RFC 791",
        "section 2.3",
        "what a datagram carries stays as it is, octet by octet",
        (at_quay(datagram(udp_octets(OFFICE.address, parse_address("203.0.113.9"), TEXT * 9))),),
        Comes(
            FORWARDED,
            {"payload": udp_octets(OFFICE.address, parse_address("203.0.113.9"), TEXT * 9)},
        ),
    ),
    Scenario(
        "empty payload",
        "ways",
        "RFC 791",
        "section 3.1",
        "a datagram may be a header and nothing else",
        (at_quay(datagram(b"", protocol=253)),),
        Comes(FORWARDED, {"ipv4.total_length": 20, "payload": b""}),
    ),
    Scenario(
        "padding is no data",
        "ways",
        "RFC 894",
        "frame format",
        "octets behind the total length are padding, and no part of the datagram",
        (at_quay(datagram(TEXT[:6], protocol=253) + bytes(20)),),
        Comes(FORWARDED, {"ipv4.total_length": 26, "payload": TEXT[:6]}),
    ),
    Scenario(
        "last address of two",
        "ways",
        "RFC 3021",
        "section 2.2",
        "on a link of two, the address with only ones in its host part is a host",
        (at_quay(datagram(destination=GULL_ROCK.address)),),
        Comes(
            FORWARDED,
            {"interface": CABLE.name, "ethernet.destination": GULL_ROCK.hardware_address},
        ),
    ),
    Scenario(
        "source on a link of two",
        "ways",
        "RFC 3021",
        "section 2.2",
        "and a packet may come from there",
        (at_quay(datagram(source=GULL_ROCK.address), interface=CABLE.name),),
        Comes(FORWARDED, {"interface": RADIO.name}),
    ),
    Scenario(
        "other direction",
        "ways",
        "RFC 1812",
        "section 5.2.1",
        "a packet that comes by radio goes to the quay by the same rules",
        (
            at_quay(
                datagram(source=PLOVER.address, destination=OFFICE.address), interface=RADIO.name
            ),
            asks(OFFICE, QUAY.address, at_s=0.1),
        ),
        Comes(
            FORWARDED,
            {"interface": QUAY.name, "ethernet.destination": OFFICE.hardware_address,
             "ipv4.time_to_live": 63},
        ),
    ),
)  # fmt: skip

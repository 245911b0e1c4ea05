"""What is looked at before anything is made of a packet (RFC 1812, section 5.2.2)."""

__all__ = ["SCENARIOS"]

from functools import partial

from course_lib.conformance.bench import GULL_ROCK, OFFICE
from course_lib.conformance.expectations import Comes, Never
from course_lib.conformance.given import TEXT, at_quay, datagram, resummed
from course_lib.conformance.scenario import PLAIN, Scenario

FORWARDED = "a forwarded packet"
_GOOD = datagram()
_check = partial(
    Scenario,
    group="headers",
    standard="RFC 1812",
    section="section 5.2.2",
    expected=Never(FORWARDED),
)
_LOCAL_EXPERIMENT = 0x88B5  # an ether type for local experiments (from memory: IEEE 802)

SCENARIOS = (
    _check(
        "wrong checksum",
        rule="a header with a wrong checksum is discarded",
        given=(at_quay(_GOOD[:10] + bytes([_GOOD[10] ^ 0x40]) + _GOOD[11:]),),
    ),
    _check(
        "wrong version",
        rule="a header of another version than 4 is discarded, though its sum is right",
        given=(at_quay(resummed(b"\x65" + _GOOD[1:])),),
    ),
    _check(
        "header length below 5",
        rule="a header length of fewer than 5 words is discarded",
        given=(at_quay(resummed(b"\x44" + _GOOD[1:])),),
    ),
    _check(
        "total length below header",
        rule="a total length that is less than the header is discarded",
        given=(at_quay(resummed(_GOOD[:2] + b"\x00\x13" + _GOOD[4:])),),
    ),
    _check(
        "header cut short",
        rule="what has not even the 20 octets of a header is discarded",
        given=(at_quay(_GOOD[:19]),),
    ),
    _check(
        "datagram cut short",
        rule="a datagram of which a part did not arrive goes no further",
        given=(at_quay(_GOOD[:-8]),),
    ),
    Scenario(
        "right checksum of zero",
        "headers",
        "RFC 1071",
        "section 1",
        "a checksum is whatever makes the sum come out: zero is as good as any other",
        # A header whose checksum is 0x0000: its other words add up to 0xffff.
        (at_quay(datagram(identification=0x7CA6)),),
        Comes(FORWARDED, {}),
    ),
    Scenario(
        "frame for somebody else",
        "headers",
        "RFC 894",
        "frame format",
        "a frame to another station's hardware address is none of the router's business",
        (at_quay(_GOOD, to=GULL_ROCK.hardware_address),),
        Never(FORWARDED),
    ),
    Scenario(
        "frame of another type",
        "headers",
        "RFC 894",
        "frame format",
        "a frame whose type is not 0x0800 holds no IP datagram, whatever its octets look like",
        (at_quay(_GOOD, ether_type=_LOCAL_EXPERIMENT),),
        Never(FORWARDED),
    ),
    Scenario(
        "one bad, one good",
        "headers",
        "RFC 1812",
        "section 5.2.2",
        "a bad header costs the one packet: the next one goes on",
        (
            at_quay(_GOOD[:7]),
            at_quay(b""),
            at_quay(datagram(TEXT, protocol=253, source=OFFICE.address), at_s=0.1),
        ),
        Comes(FORWARDED, {"payload": TEXT}),
        needs=(PLAIN,),
    ),
)

"""Hardware addresses: asked for, learnt, answered, and packets that wait for one (RFC 826)."""

__all__ = ["SCENARIOS"]

import itertools
from collections.abc import Sequence
from functools import partial

from course_lib.conformance.bench import OFFICE, PLOVER, QUAY, RADIO, REED, SILENT
from course_lib.conformance.expectations import Both, Comes, Holds, Never
from course_lib.conformance.given import (
    TEXT,
    Given,
    answers,
    asks,
    at_quay,
    datagram,
)
from course_lib.conformance.scenario import PLAIN, Scenario
from course_lib.conformance.seen import Seen
from course_lib.headers.assigned_numbers import ARP_REPLY
from course_lib.ip.neighbours import BROADCAST
from course_lib.prefixes.text import parse_address

FORWARDED, QUESTION, ANSWER = "a forwarded packet", "a question", "an answer"
ANSWERED, ASKED = "a question answered", "a neighbour asked for"
_OTHER_CARD = bytes.fromhex("00005e005366")
_GROUP_CARD = bytes.fromhex("01005e000001")
_RECEPTION = '"Packet Reception"'
_TO_SILENT = parse_address("198.51.100.200")  # its next hop never answers
_OTHER_KINDS = {1: "0f", 5: "10"}  # octets of an ARP packet, and values of other networks
_neighbours = partial(Scenario, group="neighbours", is_introduced=False)
_OF_RFC_826 = partial(_neighbours, standard="RFC 826", section=_RECEPTION)
_PLOVER_IS_SILENT = frozenset([PLOVER.address])


def _learns(name: str, rule: str, *given: Given, asks_still: bool, card: bytes | None) -> Scenario:
    """Return a scenario in which Plover is heard, and a packet for it follows.

    The neighbours keep silent, so whatever the router knows it has learnt from what it heard.
    """
    packet = at_quay(datagram(), at_s=0.2)
    known = Comes(FORWARDED, {"ethernet.destination": card}) if card else Never(FORWARDED)
    expected = Both((Comes(QUESTION, {}), known)) if asks_still else known
    needs = (PLAIN, ASKED)
    return _OF_RFC_826(
        name, rule=rule, given=(*given, packet), expected=expected, needs=needs,
        silent=_PLOVER_IS_SILENT,
    )  # fmt: skip


def _at_most_one_a_second(frames: Sequence[Seen]) -> str | None:
    times = [each.sent.at_s for each in frames if each.arp and each.arp[4] == SILENT]
    for earlier, later in itertools.pairwise(times):
        if later - earlier < 0.99:  # a clock may be a little off
            return f"questions for one address came at {earlier:g} s and at {later:g} s"
    return None if times else "a question for 198.51.100.40 had to come, and none came"


def _of_other_kind(octet: int, value: str) -> Given:
    """Return Plover's question with one octet of its ARP packet changed."""
    at_s, interface, frame = asks(PLOVER, RADIO.address)
    place = 14 + octet
    return Given(at_s, interface, frame[:place] + bytes.fromhex(value) + frame[place + 1 :])


SCENARIOS = (
    _OF_RFC_826(
        ASKED,
        section='"Packet Generation"',
        rule="whoever has a packet and no hardware address for it asks all stations of the link",
        given=(at_quay(datagram()),),
        expected=Comes(QUESTION, {"interface": RADIO.name, "ethernet.destination": BROADCAST}),
        needs=(),
    ),
    _OF_RFC_826(
        "asked for the next hop",
        section='"Packet Generation"',
        rule="what is asked for is the address of the next hop, not that of the destination",
        given=(at_quay(datagram()),),
        expected=Comes(QUESTION, {"arp.target_protocol_address": PLOVER.address}),
        needs=(ASKED,),
    ),
    _OF_RFC_826(
        "asker's own addresses",
        section='"Packet Generation"',
        rule="a question tells both addresses of the interface by which it leaves",
        given=(at_quay(datagram()),),
        expected=Comes(
            QUESTION,
            {
                "ethernet.source": RADIO.hardware_address,
                "arp.sender_hardware_address": RADIO.hardware_address,
                "arp.sender_protocol_address": RADIO.address,
            },
        ),
        needs=(ASKED,),
    ),
    _neighbours(
        "packet waits for the answer",
        standard="RFC 1122",
        section="section 2.3.2.2",
        rule="the latest packet for an address that is being asked for is kept, and sent on",
        given=(
            at_quay(datagram(b"first", protocol=253)),
            at_quay(datagram(TEXT, protocol=253), at_s=0.1),
            answers(PLOVER, at_s=0.3),
        ),
        expected=Holds(
            f"a forwarded packet that carries {TEXT.decode()!r}, the later of the two",
            lambda frames: (
                None
                if any(each.payload == TEXT for each in frames)
                else "the later of two packets did not leave when the answer was there"
            ),
        ),
        needs=(ASKED,),
        silent=_PLOVER_IS_SILENT,
    ),
    _neighbours(
        "nothing before the answer",
        standard="RFC 826",
        section='"Packet Generation"',
        rule="without a hardware address nothing can be sent to a neighbour",
        given=(at_quay(datagram()),),
        expected=Never(FORWARDED),
        needs=(ASKED,),
        silent=_PLOVER_IS_SILENT,
    ),
    _neighbours(
        "asked once a second",
        standard="RFC 1122",
        section="section 2.3.2.1",
        rule="one address is asked for at most once a second, however many packets wait",
        given=tuple(
            at_quay(datagram(destination=_TO_SILENT), at_s=at_s) for at_s in (0.0, 0.2, 0.4, 0.6)
        ),
        expected=Holds("questions for 198.51.100.40, a second apart", _at_most_one_a_second),
        until_s=2.5,
        needs=(ASKED,),
    ),
    _OF_RFC_826(
        "answer remembered",
        section='"Packet Generation"',
        rule="who has just answered need not be asked for the next packet",
        given=(at_quay(datagram()), at_quay(datagram(), at_s=0.1), at_quay(datagram(), at_s=0.2)),
        expected=Comes(QUESTION, {}, once=True),
        needs=(ASKED,),
    ),
    _OF_RFC_826(
        ANSWERED,
        rule="a question for the router's own address is answered",
        given=(asks(OFFICE, QUAY.address),),
        expected=Comes(ANSWER, {"interface": QUAY.name, "arp.opcode": ARP_REPLY}),
        needs=(),
    ),
    _OF_RFC_826(
        "answer to the asker",
        rule="the answer goes to the asker alone",
        given=(asks(OFFICE, QUAY.address),),
        expected=Comes(ANSWER, {"ethernet.destination": OFFICE.hardware_address}),
        needs=(ANSWERED,),
    ),
    _OF_RFC_826(
        "answer's sender",
        rule="in the answer the router is the sender, with both of its addresses",
        given=(asks(OFFICE, QUAY.address),),
        expected=Comes(
            ANSWER,
            {
                "arp.sender_hardware_address": QUAY.hardware_address,
                "arp.sender_protocol_address": QUAY.address,
            },
        ),
        needs=(ANSWERED,),
    ),
    _OF_RFC_826(
        "answer's target",
        rule="and who asked is the target",
        given=(asks(OFFICE, QUAY.address),),
        expected=Comes(
            ANSWER,
            {
                "arp.target_hardware_address": OFFICE.hardware_address,
                "arp.target_protocol_address": OFFICE.address,
            },
        ),
        needs=(ANSWERED,),
    ),
    _OF_RFC_826(
        "padded question",
        rule="a question is answered with its padding behind it, as Ethernet needs it",
        given=(asks(OFFICE, QUAY.address, tail=bytes(18)),),
        expected=Comes(ANSWER, {}),
        needs=(ANSWERED,),
    ),
    _OF_RFC_826(
        "question for somebody else",
        rule="a question for somebody else's address is not answered",
        given=(asks(OFFICE, REED.address),),
        expected=Never(ANSWER),
        needs=(ANSWERED,),
    ),
    _OF_RFC_826(
        "no answer to an answer",
        rule="an answer is not answered",
        given=(answers(OFFICE),),
        expected=Never(ANSWER),
        needs=(ANSWERED,),
    ),
    *(
        _OF_RFC_826(
            f"question of another kind, octet {octet}",
            rule="a packet for other kinds of addresses than Ethernet and IPv4 is not answered",
            given=(_of_other_kind(octet, value),),
            expected=Never(ANSWER),
            needs=(ANSWERED,),
        )
        for octet, value in _OTHER_KINDS.items()
    ),
    _learns(
        "learnt from a question",
        "a question to the router tells it who asks; so it need not ask back",
        asks(PLOVER, RADIO.address),
        asks_still=False,
        card=PLOVER.hardware_address,
    ),
    _learns(
        "nothing learnt from others",
        "a question to somebody else adds nobody to the table",
        asks(PLOVER, parse_address("198.51.100.9")),
        asks_still=True,
        card=None,
    ),
    _learns(
        "moved neighbour",
        "who is in the table and tells another hardware address, be it to somebody else, has moved",
        asks(PLOVER, RADIO.address),
        asks(PLOVER, parse_address("198.51.100.9"), at_s=0.1, card=_OTHER_CARD),
        asks_still=False,
        card=_OTHER_CARD,
    ),
    _neighbours(
        "group address not believed",
        standard="RFC 1812",
        section="section 3.3.2",
        rule="nobody has a group address as hardware address, whatever he says",
        given=(
            at_quay(datagram()),
            answers(PLOVER, at_s=0.1, card=_GROUP_CARD),
            at_quay(datagram(), at_s=0.2),
        ),
        expected=Never(FORWARDED),
        needs=(PLAIN, ASKED),
        silent=_PLOVER_IS_SILENT,
    ),
)  # fmt: skip

"""A host asks and answers as RFC 1122 wants it; frames go in, frames come out."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.checksum import checksum
from course_lib.headers.assigned_numbers import ETHER_TYPE_IPV4, PROTOCOL_ICMP, PROTOCOL_UDP
from course_lib.headers.ethernet import ARPPacket, EthernetHeader
from course_lib.headers.ipv4 import IPv4Header
from course_lib.headers.transport import ICMPHeader, UDPHeader
from course_lib.ip.datagrams import Datagram, echo_request, udp
from course_lib.ip.packets import Interface
from course_lib.network import EchoRequests, Host, PathTrace, Stream
from course_lib.network.records import What
from course_lib.prefixes.prefix import parse_prefix
from course_lib.prefixes.text import parse_address

OFFICE, PIER, SCREEN = map(parse_address, ("192.0.2.10", "192.0.2.1", "203.0.113.5"))
OFFICE_MAC, PIER_MAC = bytes.fromhex("00005e00530a"), bytes.fromhex("00005e005301")
BROADCAST = b"\xff" * 6
QUESTION = (  # the gateway asks for the hardware address of the host
    EthernetHeader(BROADCAST, PIER_MAC, 0x0806).build()
    + ARPPacket(1, PIER_MAC, PIER, bytes(6), OFFICE).build()
)


def host(**settings):
    link = Interface("wired", OFFICE_MAC, OFFICE, parse_prefix("192.0.2.0/24"))
    return Host("Ticket Office", link._replace(mtu=settings.pop("mtu", 1500)), PIER, **settings)


def acquainted(**settings):
    """Return a host that knows the hardware address of its gateway."""
    office = host(**settings)
    office.receive(0.0, "wired", QUESTION)
    return office


def frame_with(content, protocol=PROTOCOL_ICMP, source=SCREEN, target=OFFICE, **fields):
    """Return a frame from the gateway to the host with a right header checksum."""
    header = Datagram(target, protocol, content).header(source, 1, 60)._replace(**fields)
    ethernet = EthernetHeader(OFFICE_MAC, PIER_MAC, ETHER_TYPE_IPV4)
    return ethernet.build() + header.with_checksum().build() + content


def datagram_in(outgoing):
    """Return header and content of a frame that the host sent to its gateway."""
    assert outgoing.interface == "wired"
    ethernet = EthernetHeader.parse(outgoing.frame)
    assert (ethernet.destination, ethernet.source) == (PIER_MAC, OFFICE_MAC)
    data = ethernet.payload(outgoing.frame)
    header = IPv4Header.parse(data, verify_checksum=True)
    return header, header.payload(data)


def found(office):
    """Return what the host found out: what, number, who, and after which time."""
    return [(r.what, r.number, r.other, r.delay_s) for r in office.records]


# --- octets that can be checked by hand or elsewhere


def test_a_udp_checksum_that_comes_out_as_zero_is_sent_as_all_ones():
    """RFC 768: zero would mean "no checksum". The packet was made with Scapy."""
    made = udp(parse_address("192.0.2.1"), parse_address("198.51.100.2"), (1000, 2000), b"\x07\xeb")
    header = made.header(parse_address("192.0.2.1"), 1, 64)
    expected = "4500001e0001000040118e97c0000201c633640203e807d0000affff07eb"
    assert (header.build() + made.content).hex() == expected


def test_a_udp_checksum_covers_an_odd_number_of_octets():
    """RFC 768: padded with zero, for the sum only. The checksum was worked out with Scapy."""
    made = udp(parse_address("192.0.2.1"), parse_address("198.51.100.2"), (1000, 2000), b"abc")
    assert UDPHeader.parse(made.content).checksum == 0x4386
    assert len(made.content) == 11


def test_an_echo_request_has_the_layout_of_rfc_792():
    """Type 8, code 0, checksum, identifier 1, sequence number 1, data; checksum from Scapy."""
    made = echo_request(SCREEN, 1, 1, b"abcdefgh")
    assert made.content.hex() == "0800666800010001" + b"abcdefgh".hex()


# --- addresses on the wire


def test_the_gateway_is_asked_for_its_hardware_address_before_anything_is_sent():
    office = host()
    office.begin(1.0, EchoRequests(SCREEN))
    (question,) = office.tick(1.0)
    ethernet = EthernetHeader.parse(question.frame)
    assert (ethernet.destination, ethernet.ether_type) == (BROADCAST, 0x0806)
    asked = ARPPacket.parse(ethernet.payload(question.frame))
    assert asked == ARPPacket(1, OFFICE_MAC, OFFICE, bytes(6), PIER)
    answer = ARPPacket(2, PIER_MAC, PIER, OFFICE_MAC, OFFICE)
    frame = EthernetHeader(OFFICE_MAC, PIER_MAC, 0x0806).build() + answer.build()
    (request,) = office.receive(1.1, "wired", frame)
    assert datagram_in(request)[0].destination == SCREEN


def test_a_neighbour_on_the_same_wire_is_asked_itself():
    office = host()
    office.begin(0.0, EchoRequests(parse_address("192.0.2.77")))
    (question,) = office.tick(0.0)
    assert ARPPacket.parse(question.frame[14:]).target_protocol_address == parse_address(
        "192.0.2.77"
    )


def test_who_asks_for_our_hardware_address_is_told():
    office = host()
    (answer,) = office.receive(0.0, "wired", QUESTION)
    assert answer.frame[:6] == PIER_MAC
    assert ARPPacket.parse(answer.frame[14:]) == ARPPacket(2, OFFICE_MAC, OFFICE, PIER_MAC, PIER)


def test_a_gateway_that_keeps_silent_makes_the_destination_unreachable():
    office = host()
    office.begin(0.0, EchoRequests(SCREEN, wait_s=30))
    for second in range(6):
        office.tick(float(second))
    (record,) = office.records
    assert record.what is What.UNREACHABLE
    assert record.text == "192.0.2.1 does not tell its hardware address"


def test_without_a_gateway_only_the_own_wire_can_be_reached():
    link = Interface("wired", OFFICE_MAC, OFFICE, parse_prefix("192.0.2.0/24"))
    office = Host("Ticket Office", link)
    office.begin(0.0, EchoRequests(SCREEN))
    assert office.tick(0.0) == []
    assert office.records[0].text == "no gateway on the way to 203.0.113.5"


# --- answering


def test_an_echo_request_is_answered_with_the_same_data():
    """RFC 792: only type and checksum differ. Type 8 to 0 adds 0x0800: 0x6668 becomes 0x6e68."""
    request = bytes.fromhex("0800666800010001") + b"abcdefgh"
    (reply,) = acquainted().receive(1.0, "wired", frame_with(request))
    header, content = datagram_in(reply)
    assert content.hex() == "00006e6800010001" + b"abcdefgh".hex()
    assert (header.source, header.destination, header.time_to_live) == (OFFICE, SCREEN, 64)


@pytest.mark.parametrize(
    ("protocol", "content", "code"),
    [
        (PROTOCOL_UDP, udp(SCREEN, OFFICE, (7, 9), b"ship").content, 3),
        (132, b"a protocol that nobody speaks here", 2),
    ],
)
def test_what_nobody_serves_is_reported_as_unreachable(protocol, content, code):
    """RFC 792: code 2 is protocol, 3 is port; the datagram is quoted (RFC 1122, 3.2.2.1)."""
    frame = frame_with(content, protocol)
    (error,) = acquainted().receive(1.0, "wired", frame)
    header, message = datagram_in(error)
    icmp = ICMPHeader.parse(message, verify_checksum=True)
    assert (header.destination, icmp.type, icmp.code) == (SCREEN, 3, code)
    assert message[8:] == frame[14:]


def test_no_error_is_sent_about_an_error():
    """RFC 1122, section 3.2.2: two hosts would report each other's reports for ever."""
    quoted = frame_with(udp(SCREEN, OFFICE, (7, 9), b"ship").content, PROTOCOL_UDP)[14:]
    error = ICMPHeader(3, 3, 0, 0).with_checksum(quoted).build() + quoted
    assert acquainted().receive(1.0, "wired", frame_with(error)) == []


def test_no_error_is_sent_about_what_came_to_all():
    """RFC 1122, section 3.2.2: or every host of the wire would send one at the same time."""
    frame = BROADCAST + frame_with(udp(SCREEN, OFFICE, (7, 9), b"ship").content, PROTOCOL_UDP)[6:]
    assert acquainted().receive(1.0, "wired", frame) == []


def test_an_error_about_an_answer_is_no_answer_to_a_question():
    """It quotes an echo reply whose numbers are those of an open question."""
    office = acquainted()
    task = office.begin(0.0, EchoRequests(SCREEN))
    office.tick(0.0)
    reply = ICMPHeader(0, 0, 0, task << 16 | 1).with_checksum(b"").build()
    quoted = frame_with(reply, source=OFFICE, target=SCREEN)[14:]
    error = ICMPHeader(11, 0, 0, 0).with_checksum(quoted).build() + quoted
    office.receive(0.1, "wired", frame_with(error))
    assert office.is_busy_with(task)
    assert [(r.what, r.task) for r in office.records] == [(What.TIME_EXCEEDED, 0)]


@pytest.mark.parametrize("source", ["0.0.0.0", "127.0.0.1", "224.0.0.5", "255.255.255.255"])
def test_nobody_is_answered_who_cannot_be_one_host(source):
    office = acquainted()
    frame = frame_with(echo_request(OFFICE, 1, 1, b"").content, source=parse_address(source))
    assert office.receive(1.0, "wired", frame) == []
    assert office.records[-1].text.endswith("its source is not the address of one host")


@pytest.mark.parametrize(
    ("frame", "says"),
    [
        (b"", "Ethernet header is cut short"),
        (bytes(13), "Ethernet header is cut short"),
        (frame_with(b"ship")[:30], "IPv4 header is cut short"),
        (frame_with(b"ship")[:25] + b"\0" + frame_with(b"ship")[26:], "checksum"),
        (PIER_MAC + frame_with(b"ship")[6:], "it is for 00:00:5e:00:53:01"),
        (frame_with(b"ship", target=SCREEN), "it is for 203.0.113.5"),
        (frame_with(b"ship")[:12] + b"\x86\xdd" + bytes(40), "its ether type is 0x86dd"),
        (frame_with(b"short"), "ICMP header is cut short"),
        (frame_with(bytes.fromhex("0d00f2ff00000000")), "its ICMP type is 13"),
        (frame_with(bytes.fromhex("0800000000010001")), "ICMP checksum"),
        (frame_with(bytes.fromhex("0000fffd00010001")), "it answers no open question"),
        (
            frame_with(udp(SCREEN, PIER, (7, 9), b"ship").content, PROTOCOL_UDP),
            "its UDP checksum is wrong",
        ),
    ],
)
def test_what_is_damaged_or_for_somebody_else_is_ignored_and_told_why(frame, says):
    office = acquainted()
    assert office.receive(1.0, "wired", frame) == []
    (record,) = office.records
    assert record.what is What.IGNORED
    assert says in record.text


@given(st.binary(max_size=120))
def test_no_octets_can_upset_a_host(octets):
    acquainted().receive(1.0, "wired", octets)


WHOLE = udp(SCREEN, OFFICE, (7, 5004), bytes(20)).content
QUOTED = frame_with(WHOLE, PROTOCOL_UDP)[14:]
ERROR = ICMPHeader(11, 0, 0, 0).with_checksum(QUOTED).build() + QUOTED


@given(
    frame=st.sampled_from(
        [frame_with(WHOLE, PROTOCOL_UDP), frame_with(ERROR), frame_with(b"x" * 9)]
    ),
    damage=st.lists(st.tuples(st.integers(14, 60), st.integers(0, 255)), max_size=5),
)
def test_no_damage_to_a_good_frame_can_upset_a_host(frame, damage):
    """The header checksum is made right again, or hardly anything would get past it."""
    octets = bytearray(frame)
    for place, value in damage:
        octets[place % len(octets)] = value
    octets[24:26] = bytes(2)
    octets[24:26] = checksum(bytes(octets[14:34])).to_bytes(2, "big")
    acquainted().receive(1.0, "wired", bytes(octets))


# --- fragments


def test_a_large_datagram_is_sent_in_fragments():
    """4000 octets over an MTU of 1500: a well-known exercise; offsets in units of 8 octets."""
    office = acquainted()
    office.begin(0.0, EchoRequests(SCREEN, payload_octets=4000 - 28))
    sent = [datagram_in(outgoing)[0] for outgoing in office.tick(0.0)]
    assert [(h.total_length, h.fragment_offset, h.flags) for h in sent] == [
        (1500, 0, 1),
        (1500, 185, 1),
        (1040, 370, 0),
    ]


@pytest.mark.parametrize("order", [(0, 1, 2), (2, 1, 0), (1, 2, 0), (0, 0, 2, 1)])
def test_fragments_are_put_together_in_any_order_and_answered_once(order):
    request = echo_request(OFFICE, 1, 1, bytes(range(250)) * 4).content
    pieces = [request[:400], request[400:800], request[800:]]
    frames = [
        frame_with(piece, flags=int(n < 2), fragment_offset=50 * n)
        for n, piece in enumerate(pieces)
    ]
    office, out = acquainted(), []
    for n in order:
        out += office.receive(1.0, "wired", frames[n])
    ((header, content),) = map(datagram_in, out)
    assert content[8:] == request[8:]
    assert header.fragment_offset == 0


def test_a_datagram_with_a_missing_fragment_is_reported_after_a_minute():
    """RFC 1122, section 3.3.2: time exceeded, code 1, if the first fragment is there."""
    office = acquainted()
    request = echo_request(OFFICE, 1, 1, bytes(792)).content
    office.receive(1.0, "wired", frame_with(request[:400], flags=1))
    office.receive(30.0, "wired", QUESTION)  # so that the gateway's address stays known
    assert office.next_tick_s() == 61.0
    ((header, message),) = map(datagram_in, office.tick(61.0))
    error = ICMPHeader.parse(message, verify_checksum=True)
    assert (header.destination, error.type, error.code) == (SCREEN, 11, 1)


def test_a_datagram_that_must_not_be_cut_has_to_fit():
    with pytest.raises(ValueError, match=r"must not be cut may have 1500 octets .* have 1501"):
        host().begin(0.0, EchoRequests(SCREEN, payload_octets=1473, dont_fragment=True))
    host().begin(0.0, EchoRequests(SCREEN, payload_octets=1472, dont_fragment=True))


def test_the_flag_is_set_on_what_must_not_be_cut():
    for dont_fragment, flags in ((True, 2), (False, 0)):
        office = acquainted()
        office.begin(0.0, EchoRequests(SCREEN, dont_fragment=dont_fragment))
        assert datagram_in(office.tick(0.0)[0])[0].flags == flags


def test_no_datagram_is_longer_than_its_length_field_can_say():
    with pytest.raises(ValueError, match="may have 65535 octets here, these have 65536"):
        host().begin(0.0, EchoRequests(SCREEN, payload_octets=65_536 - 28))


# --- echo requests


def answer_to(outgoing, type_=0, code=0, quoted_octets=548, sender=SCREEN):
    """Return a frame that answers an echo request, with a reply (0) or by quoting it."""
    header, content = datagram_in(outgoing)
    if type_ == 0:
        message = ICMPHeader.parse(content)._replace(type=0)
        return frame_with(message.with_checksum(content[8:]).build() + content[8:])
    quoted = (header.build() + content)[:quoted_octets]
    message = ICMPHeader(type_, code, 0, 0).with_checksum(quoted).build() + quoted
    return frame_with(message, source=sender)


def test_a_ping_counts_its_questions_and_measures_the_time():
    office = acquainted()
    task = office.begin(10.0, EchoRequests(SCREEN, count=2, interval_s=0.5))
    for start_s, time_s in ((10.0, 10.2), (10.5, 10.6)):
        assert office.next_tick_s() == start_s
        (request,) = office.tick(start_s)
        office.receive(time_s, "wired", answer_to(request))
    assert found(office) == [
        (What.ECHO_REPLY, 1, SCREEN, pytest.approx(0.2)),
        (What.ECHO_REPLY, 2, SCREEN, pytest.approx(0.1)),
    ]
    assert not office.is_busy_with(task)


def test_a_question_without_an_answer_is_given_up_and_a_late_answer_is_ignored():
    office = acquainted()
    task = office.begin(0.0, EchoRequests(SCREEN, wait_s=1.5))
    (request,) = office.tick(0.0)
    assert office.next_tick_s() == 1.5
    assert office.is_busy_with(task)
    office.tick(1.5)
    assert not office.is_busy_with(task)
    office.receive(1.6, "wired", answer_to(request))
    assert found(office)[0] == (What.NO_ANSWER, 1, None, 1.5)
    assert office.records[1].what is What.IGNORED


def test_an_answer_counts_once():
    office = acquainted()
    office.begin(0.0, EchoRequests(SCREEN, count=2))
    (request,) = office.tick(0.0)
    for time_s in (0.1, 0.2):
        office.receive(time_s, "wired", answer_to(request))
    assert [record.what for record in office.records] == [What.ECHO_REPLY, What.IGNORED]


@pytest.mark.parametrize("quoted_octets", [28, 548])
@pytest.mark.parametrize(("type_", "what"), [(11, What.TIME_EXCEEDED), (3, What.UNREACHABLE)])
def test_an_error_is_matched_to_its_question_by_what_it_quotes(type_, what, quoted_octets):
    """RFC 792 quotes header and 8 octets, 28 in all; RFC 1812, section 4.3.2.3, wants more."""
    office = acquainted()
    office.begin(0.0, EchoRequests(SCREEN, count=1))
    (request,) = office.tick(0.0)
    office.receive(0.3, "wired", answer_to(request, type_, 0, quoted_octets, PIER))
    assert found(office) == [(what, 1, PIER, pytest.approx(0.3))]


def test_pings_without_a_pause_go_out_together():
    office = acquainted()
    office.begin(0.0, EchoRequests(SCREEN, count=50, interval_s=0))
    assert len(office.tick(0.0)) == 50


def test_two_tasks_do_not_mix_up_their_answers():
    office = acquainted()
    numbers = [office.begin(0.0, EchoRequests(SCREEN)), office.begin(0.0, EchoRequests(SCREEN))]
    first, second = office.tick(0.0)
    office.receive(0.3, "wired", answer_to(second))
    office.receive(0.4, "wired", answer_to(first))
    assert [(record.task, record.delay_s) for record in office.records] == [
        (numbers[1], pytest.approx(0.3)),
        (numbers[0], pytest.approx(0.4)),
    ]


# --- paths and streams


def test_a_path_is_traced_hop_by_hop_and_silent_routers_are_passed_over():
    office = acquainted()
    task = office.begin(0.0, PathTrace(SCREEN, wait_s=1))
    (one,) = office.tick(0.0)
    assert datagram_in(one)[0].time_to_live == 1
    office.receive(0.1, "wired", answer_to(one, 11, sender=PIER))
    (two,) = office.tick(0.1)
    assert datagram_in(two)[0].time_to_live == 2
    assert office.tick(1.0) == []
    (three,) = office.tick(1.1)
    assert datagram_in(three)[0].time_to_live == 3
    office.receive(1.2, "wired", answer_to(three))
    assert [entry[:3] for entry in found(office)] == [
        (What.TIME_EXCEEDED, 1, PIER),
        (What.NO_ANSWER, 2, None),
        (What.ECHO_REPLY, 3, SCREEN),
    ]
    assert not office.is_busy_with(task)


def test_a_path_that_ends_nowhere_is_given_up():
    office = acquainted()
    task = office.begin(0.0, PathTrace(SCREEN))
    (one,) = office.tick(0.0)
    office.receive(0.1, "wired", answer_to(one, 3, sender=PIER))
    assert found(office)[-1][:3] == (What.UNREACHABLE, 1, PIER)
    assert not office.is_busy_with(task)
    task = office.begin(1.0, PathTrace(SCREEN, most_hops=2, wait_s=1))
    for second in (1.0, 2.0, 3.0):
        office.tick(second)
    assert not office.is_busy_with(task)


def test_a_stream_tells_number_and_delay_of_every_datagram():
    screen = acquainted()
    sender = Stream(OFFICE, count=3, interval_s=0.02, payload_octets=100)
    sender.start(5.0, SCREEN, identifier=8)
    for number in (1, 2, 3):
        assert sender.due_s == pytest.approx(5.0 + 0.02 * (number - 1))
        ((made,), _) = sender.act(sender.due_s)
        assert len(made.content) == 108
        screen.receive(6.0, "wired", frame_with(made.content, PROTOCOL_UDP))
    assert sender.is_done
    assert found(screen) == [
        (What.DATAGRAM, number, SCREEN, pytest.approx(1.0 - 0.02 * (number - 1)))
        for number in (1, 2, 3)
    ]


def test_a_datagram_without_a_udp_checksum_is_taken():
    """RFC 768: zero says that there is none."""
    office = acquainted()
    content = UDPHeader(7, 5004, 8, 0).build()
    office.receive(1.0, "wired", frame_with(content, PROTOCOL_UDP))
    assert found(office) == [(What.DATAGRAM, 0, SCREEN, 0.0)]


# --- tasks that cannot be


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: EchoRequests(SCREEN, count=0), "count must be 1 to 65535"),
        (lambda: EchoRequests(SCREEN, count=65_536), "count must be 1 to 65535"),
        (lambda: EchoRequests(SCREEN, interval_s=-1), "interval_s must be 0 or more"),
        (lambda: EchoRequests(SCREEN, wait_s=0), "wait_s must be more than 0"),
        (lambda: EchoRequests(SCREEN, payload_octets=-1), "payload_octets must be 0 or more"),
        (
            lambda: EchoRequests(0xFFFFFFFF),
            "destination must be the address of one host, not 0xffffffff",
        ),
        (
            lambda: EchoRequests(parse_address("224.0.0.1")),
            "destination must be the address of one host",
        ),
        (lambda: PathTrace(SCREEN, most_hops=256), "most_hops must be 1 to 255"),
        (lambda: Stream(SCREEN, count=1, interval_s=1, payload_octets=13), "must be 14 or more"),
        (lambda: Stream(SCREEN, count=1, interval_s=1, port=0), "port must be 1 to 65535"),
        (
            lambda: host().begin(0.0, EchoRequests(OFFICE)),
            "Ticket Office need not ask its own address",
        ),
    ],
)
def test_a_task_that_cannot_be_is_refused(make, says):
    with pytest.raises(ValueError, match=says):
        make()

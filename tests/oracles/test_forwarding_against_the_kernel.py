"""The same packets given to our router and to this machine's kernel: the same packets come out.

How they are given and compared, and what the standards leave open, is in `kernel_comparison`. Cases
in which kernel and router decide differently are listed in `DECIDED_DIFFERENTLY`, and both sides
are held to what is written there.
"""

import random
import struct
from collections.abc import Callable
from typing import NamedTuple

import pytest

from course_lib.checksum import checksum
from course_lib.headers.ipv4 import IPv4Header
from course_lib.headers.transport import ICMPHeader, UDPHeader
from course_lib.ip.icmp_errors import is_error
from networks.forwarding_scene import (
    BROADCAST,
    HARBOUR,
    ISLAND,
    NORTH_PIER,
    NORTH_PIER_AT_SEA,
    OFFICE,
    OFFICE_MAC,
    PLOVER,
    PLOVER_MAC,
    SEA,
    address,
    datagram,
    frame,
    seen,
)
from networks.kernel_comparison import (
    LANTERN,
    OWN,
    REED,
    SEA_MTU,
    Given,
    Sent,
    ask_kernel,
    ask_ours,
    by_tag,
    tag_of,
)

RANDOM_PACKETS = 600

# ---- packets in which both have to agree ------------------------------------------------------


def echo(tag, data=b"abcdefgh", kind=8):
    return ICMPHeader(kind, 0, 0, tag << 16 | 1).with_checksum(data).build() + data


def udp(source, destination, data=b"probe"):
    bare = UDPHeader(4000, 33434, 8 + len(data), 0).build() + data
    pseudo = struct.pack("!IIBBH", source, destination, 0, 17, 8 + len(data))
    return bare[:6] + checksum(pseudo + bare).to_bytes(2, "big") + bare[8:]


def damaged(data, rng):
    """Return a datagram that RFC 1812, section 5.2.2, wants to be discarded silently."""
    kinds = [
        lambda: data[: rng.randrange(20)],
        lambda: data[:10] + bytes([data[10] ^ 0x40]) + data[11:],
        lambda: resummed(b"\x65" + data[1:]),
        lambda: resummed(b"\x44" + data[1:]),
        lambda: resummed(data[:2] + b"\x00\x13" + data[4:]),
    ]
    return rng.choice(kinds)()


def resummed(data):
    return data[:10] + checksum(data[:10] + bytes(2) + data[12:20]).to_bytes(2, "big") + data[12:]


def random_packet(tag, rng):
    """Draw one packet from one of the two links, of a kind on which the standards are clear.

    Destinations without a route are left out: a kernel reports only the first few of one sender.
    """
    interface, source = rng.choice([("harbour", OFFICE), ("sea", PLOVER), ("sea", ISLAND)])
    beyond = [ISLAND + 1, PLOVER] if interface == "harbour" else [OFFICE, REED]
    near = NORTH_PIER if interface == "harbour" else NORTH_PIER_AT_SEA
    fields = {
        "source": source,
        "identification": tag,
        "type_of_service": rng.randrange(256),
        "time_to_live": rng.choice([0, 1, 2, 3, 64, 255]),
        "destination": rng.choice([*beyond, *beyond, near]),
        "protocol": rng.choice([1, 17, 253]),
    }
    to_us = fields["destination"] == near
    size = rng.choice([0, 1, 8, 100, 500, 530 if interface == "sea" else 1400])
    data = rng.randbytes(size)
    if fields["protocol"] == 1:
        data = echo(tag, data, rng.choice([8, 3, 11, 12, 0]))
    if fields["protocol"] == 17 and to_us:
        data = udp(source, near, data)
    if not to_us:
        fields["flags"] = rng.choice([0, 0, 1, 2, 4 if len(data) < 500 else 0])
        fields["fragment_offset"] = rng.choice([0, 0, 0, 7])
    return interface, datagram(data, **fields)


def random_given(count, seed):
    rng = random.Random(seed)
    given = []
    for tag in range(1, count + 1):
        interface, data = random_packet(tag, rng)
        broken = rng.random() < 0.1
        octets = damaged(data, rng) if broken else data
        given.append(Given(tag, interface, addressed(interface, octets)))
    return given


def addressed(interface, data, destination=None):
    ours, theirs = {"harbour": (HARBOUR, OFFICE_MAC), "sea": (SEA, PLOVER_MAC)}[interface]
    return frame(data, destination or ours, theirs)


def tagged(*packets):
    """Give each (interface, fields, payload or how to make it) a tag from 1 on."""
    return [
        Given(tag, interface, addressed(interface, identified(tag, fields, payload)))
        for tag, (interface, fields, payload) in enumerate(packets, start=1)
    ]


def identified(tag, fields, payload):
    octets = payload(tag) if callable(payload) else payload
    return datagram(octets, identification=tag, **fields)


def test_hundreds_of_random_packets_come_out_alike():
    given = random_given(RANDOM_PACKETS, seed=1812)
    ours, kernels = by_tag(given, ask_ours(given)), by_tag(given, ask_kernel(given))
    differing = [tag for tag in ours if ours[tag] != kernels[tag]]
    assert differing == []
    came = [each for several in kernels.values() for each in several]
    kinds = {each.icmp[:2] for each in came}
    assert {(), (3, 2), (3, 3), (3, 4), (11, 0)} <= kinds
    assert len(came) > RANDOM_PACKETS // 2
    assert sum(each.header.fragment_offset > 7 for each in came) > 20


HOP = {"destination": ISLAND}
ECHO = {"destination": NORTH_PIER, "protocol": 1}


def options(text):
    return {"options": bytes.fromhex(text)}


RECORD_ROUTE = bytes.fromhex("070b04 0000000000000000 00")
WRONG = options("07000400")  # a length of zero
CHOSEN = {
    "record route": ("harbour", HOP | {"options": RECORD_ROUTE}, b""),
    "record route, full": ("harbour", HOP | options("070708 01020304 00"), b""),
    "timestamps": ("harbour", HOP | options("440c0500 0000000000000000"), b""),
    "timestamps, full": ("harbour", HOP | options("44080900 11223344"), b""),
    "an unknown option": ("harbour", HOP | options("5e04abcd"), b""),
    "router alert": ("harbour", HOP | options("94040000"), b""),
    "loose source route": ("harbour", HOP | options("830704 c6336402 00"), b""),
    "strict source route": ("harbour", HOP | options("890704 c6336402 00"), b""),
    "an option that is too long": ("harbour", HOP | options("07ff0400"), b""),
    "a pointer too small": ("harbour", HOP | options("07070300000000 00"), b""),
    "a type without a length": ("harbour", HOP | options("0101019e"), b""),
    "no room beside an address": ("harbour", HOP | options("44080503cb007109"), b""),
    "a wrong option and no route": (
        "harbour", {"source": REED, "destination": address("10.9.9.9"), **WRONG}, b"",
    ),
    "a wrong option and no time to live": ("harbour", HOP | WRONG | {"time_to_live": 1}, b""),
    "a wrong option to class E": (
        "harbour", {"destination": address("240.0.0.1"), **WRONG}, b"",
    ),
    "a wrong option on the same link": ("harbour", {"destination": REED, **WRONG}, b""),
    "a source route and no route": (
        "harbour", {"destination": address("10.9.9.9"), **options("830704c633640200")},
        b"",
    ),
    "an echo with router alert": ("harbour", ECHO | options("94040000"), echo),
    "an echo with an unknown option": ("harbour", ECHO | options("5e04abcd"), echo),
    "an echo with a stream": ("harbour", ECHO | options("88040001"), echo),
    "an echo with a full record": (
        "harbour", ECHO | options("94040000 070708 01020304 00"), echo,
    ),
    "from 127/8": ("harbour", HOP | {"source": address("127.0.0.1")}, b""),
    "from multicast": ("harbour", HOP | {"source": address("224.0.0.9")}, b""),
    "from all": ("harbour", HOP | {"source": 0xFFFFFFFF}, b""),
    "from our own address": ("harbour", HOP | {"source": NORTH_PIER}, b""),
    "to 127/8": ("harbour", {"destination": address("127.0.0.1")}, b""),
    "to multicast": ("harbour", {"destination": address("224.0.0.5")}, b""),
    "to all": ("harbour", {"destination": 0xFFFFFFFF}, b""),
    "to all of this link": ("harbour", {"destination": address("192.0.2.255")}, b""),
    "directed broadcast": ("harbour", {"destination": address("198.51.100.255")}, b""),
    "on the same link": ("harbour", {"destination": REED}, b""),
    "a longer prefix on the same link": (
        "harbour", {"source": LANTERN, "destination": address("192.0.2.200")}, b"",
    ),
    "no route": ("harbour", {"source": REED, "destination": address("10.9.9.9")}, b""),
    "no route, and no time to live": (
        "sea", {"source": PLOVER, "destination": address("10.9.9.9"), "time_to_live": 1}, bytes(9),
    ),
    "to the far interface": (
        "harbour", {"destination": NORTH_PIER_AT_SEA, "protocol": 1}, echo,
    ),
    "exactly the mtu": ("harbour", HOP | {"flags": 2}, bytes(SEA_MTU - 20)),
    "one octet more": ("harbour", HOP | {"flags": 2}, bytes(SEA_MTU - 19)),
    "a first fragment that expires": ("harbour", HOP | {"flags": 1, "time_to_live": 1}, bytes(8)),
    "a later fragment that expires": (
        "harbour", HOP | {"fragment_offset": 1, "time_to_live": 1}, bytes(8),
    ),
    "an error that expires": (
        "harbour", HOP | {"protocol": 1, "time_to_live": 1}, echo(1, b"", 11),
    ),
}  # fmt: skip


def test_chosen_cases_come_out_alike():
    given = tagged(*CHOSEN.values())
    ours, kernels = by_tag(given, ask_ours(given)), by_tag(given, ask_kernel(given))
    differing = [name for name, tag in zip(CHOSEN, ours, strict=True) if ours[tag] != kernels[tag]]
    assert differing == []
    assert sum(map(len, kernels.values())) >= 15


ECHOED = bytes(range(256)) * 8


def answers_to_pieces(*cuts, forged=()):
    """Give an echo request in these pieces to both; return the octets of the two answers."""
    whole = echo(1, ECHOED)
    given = []
    for start, end in cuts:
        part = bytes(end - start) if (start, end) in forged else whole[start:end]
        more = int(end < len(whole))
        fields = ECHO | {"identification": 1, "flags": more, "fragment_offset": start // 8}
        given.append(Given(1, "harbour", addressed("harbour", datagram(part, **fields))))
    return [
        b"".join(octets[34:] for _, _, octets in sorted(sent, key=offset_of))
        for sent in (ask_ours(given), ask_kernel(given))
    ]


REST = (1480, len(ECHOED) + 8)


@pytest.mark.parametrize(
    "cuts",
    [
        pytest.param([(0, 1480), REST], id="side-by-side"),
        pytest.param([REST, (0, 1480)], id="the-last-one-first"),
        pytest.param([(0, 1480), (0, 1480), REST], id="one-of-them-twice"),
        pytest.param([(0, 1480), (128, 256), REST], id="one-inside-another"),
        pytest.param([(0, 1480), (0, 256), REST], id="one-at-the-beginning-of-another"),
        pytest.param([(0, 800), (800, 1480), (400, 1200), REST], id="one-across-a-border"),
    ],
)
def test_an_echo_in_fragments_is_answered_alike(cuts):
    assert answers_to_pieces(*cuts) == [echo(1, ECHOED, 0)] * 2


def offset_of(sent):
    return IPv4Header.parse(sent[2][14:]).fragment_offset


# ---- cases in which they do not ---------------------------------------------------------------


class Decision(NamedTuple):
    """A packet with which the two do different things, and why ours does what it does."""

    name: str
    clause: str
    given: tuple[str, dict[str, object], bytes | Callable[[int], bytes]]
    kernel: list[str]
    ours: list[str]
    ethernet_destination: bytes | None = None
    cut: int = 0  # octets that are missing at the end


DECIDED_DIFFERENTLY = [
    Decision(
        "to class E without a route",
        "RFC 1812, section 5.3.7: should not be forwarded, silently",
        ("harbour", {"destination": address("240.0.0.1")}, b""),
        ["error 3/0 by harbour"],
        [],
    ),
    Decision(
        "to net 0",
        "RFC 1812, section 5.3.7: should not be forwarded, silently",
        ("harbour", {"destination": address("0.1.2.3"), "source": LANTERN}, b""),
        ["error 3/0 by harbour"],
        [],
    ),
    Decision(
        "from net 0",
        "RFC 1812, section 5.3.7: should not be forwarded",
        ("harbour", HOP | {"source": address("0.1.2.3")}, b""),
        ["253 by sea"],
        [],
    ),
    Decision(
        "from a broadcast address",
        "RFC 1812, sections 5.3.7 and 4.2.2.11 (d): never a source, should not be forwarded",
        ("harbour", HOP | {"source": address("192.0.2.255")}, b""),
        ["253 by sea"],
        [],
    ),
    Decision(
        "to the first address of a link",
        "RFC 1812, section 4.2.3.1: an old form of broadcast, not forwarded",
        ("harbour", {"destination": address("198.51.100.0")}, b""),
        ["253 by sea"],
        [],
    ),
    Decision(
        "a datagram that was cut on its way",
        "RFC 1812, section 5.2.2: should be answered with a parameter problem",
        ("harbour", HOP, bytes(8)),
        [],
        ["error 12/0 by harbour"],
        cut=1,
    ),
    Decision(
        "a link-layer broadcast of a packet for the router alone",
        "RFC 1122, section 3.3.6: should be discarded",
        ("harbour", {"destination": NORTH_PIER, "protocol": 1}, echo),
        ["echo reply by harbour"],
        [],
        ethernet_destination=BROADCAST,
    ),
    Decision(
        "a timestamp option with a flag that nobody has defined",
        "RFC 791, section 3.1: 0, 1 or 3; RFC 1812, section 4.3.3.5: other faults are reported",
        ("harbour", HOP | options("4408050200000000"), b""),
        ["253 by sea"],
        ["error 12/0 by harbour"],
    ),
    Decision(
        "a router alert without its value",
        "RFC 2113, section 2.2: who does not know the option ignores it, as ours does",
        ("harbour", HOP | options("94020000"), b""),
        ["error 12/0 by harbour"],
        ["253 by sea"],
    ),
    Decision(
        "a source route twice",
        "RFC 7126, sections 4.3 and 4.4: discarded for the first one already, silently",
        ("harbour", HOP | options("830704 01020304" * 2 + "0000"), b""),
        ["error 12/0 by harbour"],
        [],
    ),
    Decision(
        "a timestamp request",
        "RFC 1812, section 4.3.3.8: may be answered",
        (
            "harbour",
            {"destination": NORTH_PIER, "protocol": 1},
            lambda tag: echo(tag, bytes(12), 13),
        ),
        ["message 14 by harbour"],
        [],
    ),
    Decision(
        "a protocol that only the kernel speaks",
        "RFC 1122, section 3.2.2.1: code 2 if a protocol is not supported. Our router has no TCP",
        ("harbour", {"destination": NORTH_PIER, "protocol": 6}, bytes(12) + b"\x50\x02" + bytes(6)),
        [],  # the checksum of the segment is wrong, so that the kernel drops it
        ["error 3/2 by harbour"],
    ),
]


def summary(interface, octets):
    _, _, header, payload = seen(Sent(interface, octets))
    if header.source not in OWN:
        return f"{header.protocol} by {interface}"
    if is_error(header, payload):
        return f"error {payload[0]}/{payload[1]} by {interface}"
    return f"{'echo reply' if payload[0] == 0 else f'message {payload[0]}'} by {interface}"


def summaries(given, sent):
    found = {each.tag: [] for each in given}
    for _, interface, octets in sent:
        _, _, header, payload = seen(Sent(interface, octets))
        found[tag_of(header, payload)].append(summary(interface, octets))
    return list(found.values())


def octets_of(tag, case):
    interface, fields, payload = case.given
    data = identified(tag, fields, payload)
    return addressed(interface, data[: len(data) - case.cut], case.ethernet_destination)


def test_the_known_differences_are_as_they_are_written_down():
    given = [
        Given(tag, each.given[0], octets_of(tag, each))
        for tag, each in enumerate(DECIDED_DIFFERENTLY, start=1)
    ]
    assert summaries(given, ask_ours(given)) == [each.ours for each in DECIDED_DIFFERENTLY]
    assert summaries(given, ask_kernel(given)) == [each.kernel for each in DECIDED_DIFFERENTLY]


def one_header(given, ask):
    """Return the only packet that comes out, as header and octets."""
    ((_, interface, octets),) = ask(given)
    return seen(Sent(interface, octets))[2:]


def test_the_source_of_an_error_about_a_packet_to_the_far_interface():
    """RFC 1812, section 4.3.2.4: the address of the interface by which the error leaves. The kernel
    takes the address that was asked for, as hosts do (RFC 1122, section 3.2.2, leaves it open)."""
    given = tagged(("harbour", {"destination": NORTH_PIER_AT_SEA}, b""))
    assert one_header(given, ask_ours)[0].source == NORTH_PIER
    assert one_header(given, ask_kernel)[0].source == NORTH_PIER_AT_SEA


def test_the_route_recorded_in_an_echo_reply():
    """RFC 1812, section 4.3.3.6: brought up to date to include the router. The kernel enters itself
    twice, for the way in and for the way out."""
    options = bytes.fromhex("070b04 0000000000000000 00")
    given = tagged(
        ("harbour", {"destination": NORTH_PIER, "protocol": 1, "options": options}, echo(1))
    )
    once = bytes.fromhex("070b08 c0000201 00000000 00")
    twice = bytes.fromhex("070b0c c0000201 c0000201 00")
    assert one_header(given, ask_ours)[0].options == once
    assert one_header(given, ask_kernel)[0].options == twice


def test_the_options_of_later_fragments():
    """RFC 791, section 3.1: those without the copied flag are left out. The kernel overwrites them
    with "no operation", so that its headers are longer."""
    options = bytes.fromhex("94040000 5e04abcd")
    given = tagged(("harbour", HOP | {"options": options}, bytes(1000)))
    for ask, later in ((ask_ours, options[:4]), (ask_kernel, options[:4] + bytes(4 * [1]))):
        parts = [seen(Sent(interface, octets)) for _, interface, octets in ask(given)]
        assert [part.header.options for part in parts] == [options, later]
        assert sum(len(part.payload) for part in parts) == 1000


def test_the_address_beside_a_timestamp():
    """RFC 1812, section 4.2.2.2: that of the interface by which the packet leaves. The kernel takes
    the one by which it came in."""
    given = tagged(("harbour", HOP | options("440c0501 0000000000000000"), b""))
    assert one_header(given, ask_ours)[0].options[4:8] == NORTH_PIER_AT_SEA.to_bytes(4, "big")
    assert one_header(given, ask_kernel)[0].options[4:8] == NORTH_PIER.to_bytes(4, "big")


@pytest.mark.parametrize(
    ("text", "pointer"),
    [
        pytest.param("0101019e", 23, id="a-type-in-the-last-octet"),
        pytest.param("070704 00000000" * 2 + "0000", 27, id="record-route-twice"),
        pytest.param("070708 01020304" * 2 + "0000", 27, id="and-both-are-full"),
        pytest.param("44080500 00000000" * 2, 28, id="timestamps-twice"),
    ],
)
def test_the_octet_that_a_parameter_problem_points_at(text, pointer):
    """RFC 792: the octet of the header where the error was noticed. In these cases there is one
    only, and it lies in the header; where a length is wrong, the kernel points at the type."""
    given = tagged(("harbour", HOP | options(text), b""))
    for ask in (ask_ours, ask_kernel):
        message = one_header(given, ask)[1]
        assert (message[0], message[1], message[4]) == (12, 0, pointer)


OVERLAPS = [
    pytest.param([(0, 800), (400, 1480), REST], id="half-over-another"),
    pytest.param([(128, 256), (0, 1480), REST], id="around-another"),
]


@pytest.mark.parametrize("cuts", OVERLAPS)
def test_fragments_that_overlap_and_tell_the_same(cuts):
    """RFC 791, section 3.2: "the same data either identically or through a partial overlap" is put
    together. The kernel gives up, as RFC 5722 demands for IPv6, unless one lies inside others."""
    assert answers_to_pieces(*cuts) == [echo(1, ECHOED, 0), b""]


def test_fragments_that_contradict_each_other():
    """RFC 1858 and RFC 3128: an attack; ours gives the datagram up. The kernel does not compare a
    fragment that lies inside another, and keeps the older one (RFC 791's example: the newer)."""
    cuts = [(0, 1480), (128, 256), REST]
    assert answers_to_pieces(*cuts, forged=[(128, 256)]) == [b"", echo(1, ECHOED, 0)]


def test_a_fragment_of_which_a_part_would_lie_beyond_the_largest_datagram():
    """RFC 791, section 3.1: the offset has 13 bits, so ours discards it. The kernel lets the offset
    overflow: what it sends last claims to stand near the beginning of the datagram."""
    given = tagged(("harbour", HOP | {"flags": 1, "fragment_offset": 8191}, bytes(1000)))
    offsets = [[offset_of(sent) for sent in ask(given)] for ask in (ask_ours, ask_kernel)]
    assert offsets == [[], [8191, (8191 + 72) % 8192]]

"""The same packets given to our router and to this machine's kernel: the same packets come out.

How they are given and compared, and what the standards leave open, is in `kernel_comparison`. Cases
in which kernel and router decide differently are listed in `DECIDED_DIFFERENTLY`, and both sides
are held to what is written there.
"""

import random
import struct
from collections.abc import Callable
from typing import NamedTuple

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
RECORD_ROUTE = bytes.fromhex("070b04 0000000000000000 00")
CHOSEN = {
    "record route": ("harbour", HOP | {"options": RECORD_ROUTE}, b""),
    "record route, full": ("harbour", HOP | {"options": bytes.fromhex("070708 01020304 00")}, b""),
    "timestamps": ("harbour", HOP | {"options": bytes.fromhex("440c0500 0000000000000000")}, b""),
    "timestamps, full": ("harbour", HOP | {"options": bytes.fromhex("44080900 11223344")}, b""),
    "an unknown option": ("harbour", HOP | {"options": bytes.fromhex("5e04abcd")}, b""),
    "router alert": ("harbour", HOP | {"options": bytes.fromhex("94040000")}, b""),
    "loose source route": ("harbour", HOP | {"options": bytes.fromhex("830704 c6336402 00")}, b""),
    "strict source route": ("harbour", HOP | {"options": bytes.fromhex("890704 c6336402 00")}, b""),
    "an option that is too long": ("harbour", HOP | {"options": bytes.fromhex("07ff0400")}, b""),
    "a pointer too small": ("harbour", HOP | {"options": bytes.fromhex("07070300000000 00")}, b""),
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


def test_an_echo_in_fragments_is_answered_alike():
    data = bytes(range(256)) * 8
    whole = echo(1, data)
    fields = {"destination": NORTH_PIER, "protocol": 1, "identification": 1}
    parts = [
        datagram(whole[:1480], flags=1, **fields),
        datagram(whole[1480:], fragment_offset=185, **fields),
    ]
    given = [Given(1, "harbour", addressed("harbour", part)) for part in parts]
    answers = [
        b"".join(octets[34:] for _, _, octets in sorted(sent, key=offset_of))
        for sent in (ask_ours(given), ask_kernel(given))
    ]
    assert answers[0] == answers[1] == echo(1, data, 0)


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
    given = tagged(("harbour", HOP | {"options": bytes.fromhex("440c0501 0000000000000000")}, b""))
    assert one_header(given, ask_ours)[0].options[4:8] == NORTH_PIER_AT_SEA.to_bytes(4, "big")
    assert one_header(given, ask_kernel)[0].options[4:8] == NORTH_PIER.to_bytes(4, "big")

"""Give the same frames to our router and to this machine's kernel, and compare what comes out.

The kernel forwards in network namespaces that are made for this and end with it (see
`tests/oracles/kernel_router.py`). Where they cannot be made a test is skipped with the reason, but
on a build server (CI=true) that is a failure, so that nobody loses the check unnoticed.

Everything that comes out is compared field by field: interface, hardware addresses, all fields of
the IPv4 header, octets behind it; of ICMP errors type, code, and the rest of the header. What the
standards leave open is listed in `LEFT_OPEN`, with the clause, and nothing else may differ.

Every packet has an identification of its own, by which its consequences are recognised: packets
that were forwarded bear it, errors quote it, echo replies have it as their identifier.
"""

import json
import math
import os
import subprocess
import sys
from collections import defaultdict
from pathlib import Path
from typing import NamedTuple

import pytest

from course_lib.headers.ethernet import EthernetHeader
from course_lib.headers.ipv4 import IPv4Header
from course_lib.headers.transport import ICMPHeader
from course_lib.ip.icmp_errors import ErrorLimit, is_error, read_quote
from course_lib.prefixes.text import format_address, format_mac
from networks.forwarding_scene import (
    NORTH_PIER,
    NORTH_PIER_AT_SEA,
    OFFICE,
    OFFICE_MAC,
    PLOVER,
    PLOVER_MAC,
    Router,
    address,
    interfaces,
    prefix,
    seen,
    station,
)

PROGRAM = Path(__file__).parents[2] / "oracles" / "kernel_router.py"
SEA_MTU = 600
REED, REED_MAC = address("192.0.2.9"), station(9)  # more neighbours in the harbour
LANTERN, LANTERN_MAC = address("192.0.2.10"), station(10)
OWN = {NORTH_PIER, NORTH_PIER_AT_SEA}
NEIGHBOURS = [
    ("harbour", OFFICE, OFFICE_MAC),
    ("harbour", REED, REED_MAC),
    ("harbour", LANTERN, LANTERN_MAC),
    ("sea", PLOVER, PLOVER_MAC),
    ("sea", address("198.51.100.0"), station(0x20)),  # only the kernel takes this for a host
]
ROUTES = [("203.0.113.0/24", PLOVER, "sea"), ("192.0.2.128/25", REED, "harbour")]

# What the standards leave to whoever builds a router, in packets of the router's own.
LEFT_OPEN = {
    "identification": "RFC 6864, section 4: any value that is not repeated too soon",
    "time_to_live": "RFC 1122, section 3.2.1.7: any value that is large enough",
    "checksum": "follows from the two above; that it is right is checked on both sides",
    "quoted": "RFC 792: the header and at least 8 octets; RFC 1812, section 4.3.2.3: at most 576 "
    "octets in all; and the quoted header may be as it was when the fault was noticed",
    "pointer": "RFC 792: the octet at which the error was noticed, also within an option",
    "timestamp": "RFC 791, section 3.1: any time if the first bit says so",
    "order": "RFC 791, section 1.4: every datagram is on its own",
}


class Given(NamedTuple):
    """A frame for both routers. `tag` is also the identification of the datagram."""

    tag: int
    interface: str
    octets: bytes


class Came(NamedTuple):
    """One packet that came out, without what is left open (but that has been checked)."""

    interface: str
    ethernet: EthernetHeader
    header: IPv4Header
    icmp: tuple[int, ...]  # type, code, rest of the header; nothing if it is not an error
    octets: bytes  # all behind the IPv4 header, but for an error


def unavailable(reason):
    text = f"no network namespace with a router can be made here: {reason}"
    if os.environ.get("CI") == "true":
        pytest.fail(text)
    pytest.skip(text)


def order(given, patience_s):
    """Write down for the kernel what our router is told by calls."""
    return {
        "interfaces": [
            {
                "name": each.name,
                "mac": format_mac(each.hardware_address),
                "address": f"{format_address(each.address)}/{each.prefix.length}",
                "mtu": each.mtu,
            }
            for each in interfaces(SEA_MTU)
        ],
        "routes": [[to, "via", format_address(hop), "dev", dev] for to, hop, dev in ROUTES],
        "neighbours": [
            [format_address(ip), "lladdr", format_mac(mac), "dev", dev, "nud", "permanent"]
            for dev, ip, mac in NEIGHBOURS
        ],
        "settings": {
            "ip_forward": 1,
            "icmp_ratelimit": 0,
            "icmp_ratemask": 0,
            "conf/all/rp_filter": 0,
            "conf/default/rp_filter": 0,
        },
        "frames": [(each.interface, each.octets.hex()) for each in given],
        "patience_s": patience_s,
    }


def ask_kernel(given, patience_s=0.3):
    """Return (seconds, interface, frame) of all that the kernel sends."""
    as_root = [] if os.geteuid() == 0 else ["--user", "--map-root-user"]
    command = ["unshare", *as_root, "--net", sys.executable, str(PROGRAM)]
    text = json.dumps(order(given, patience_s))
    try:
        done = subprocess.run(command, input=text, capture_output=True, text=True, timeout=600)
    except FileNotFoundError as error:
        unavailable(error)
    if "Traceback" in done.stderr:
        pytest.fail(done.stderr)
    if done.returncode:
        unavailable(" ".join(done.stderr.strip().splitlines()[-1:]))
    return [(when, name, bytes.fromhex(octets)) for when, name, octets in json.loads(done.stdout)]


def our_router():
    router = Router("North Pier", interfaces(SEA_MTU), error_limit=ErrorLimit(math.inf))
    for to, hop, dev in ROUTES:
        router.add_route(prefix(to), hop, dev)
    for dev, ip, mac in NEIGHBOURS:
        router.neighbours[dev].keep(ip, mac)
    return router


def ask_ours(given):
    router = our_router()
    sent = [each for one in given for each in router.receive(0.0, one.interface, one.octets)]
    assert not router.complaints
    return [(0.0, *each) for each in sent]


def tag_of(header, payload):
    """Return the identification of the packet from which this one follows."""
    if header.source in OWN and is_error(header, payload):
        return read_quote(payload[8:]).header.identification
    if header.source in OWN and header.protocol == 1:
        return int.from_bytes(payload[4:6], "big")
    return header.identification


def taken_to_pieces(interface, octets, original):
    """Check what is left open in a packet that came out, and return the rest."""
    _, ethernet, header, payload = seen(Sent(interface, octets))
    if header.source not in OWN:
        return Came(interface, ethernet, _without_times(header), (), payload)
    header = header._replace(**{name: 0 for name in LEFT_OPEN if name in header._fields})
    if not is_error(header, payload):
        return Came(interface, ethernet, header, (), payload)
    icmp = ICMPHeader.parse(payload, verify_checksum=True)
    check_quote(icmp.payload(payload), original)
    rest = 0 if icmp.type == 12 else icmp.rest_of_header
    return Came(interface, ethernet, header._replace(total_length=0), (*icmp[:2], rest), b"")


class Sent(NamedTuple):
    interface: str
    frame: bytes


def _without_times(header):
    """Blank the times in a timestamp option of the form used here: times only, two entries."""
    if header.options[:1] != b"\x44":
        return header
    return header._replace(options=header.options[:4] + bytes(8), checksum=0)


def check_quote(quoted, original):
    """LEFT_OPEN["quoted"]: at least 8 octets behind the header, all as it came but what routers
    change."""
    datagram_in = original[14 : 14 + int.from_bytes(original[16:18], "big")]
    octets = (datagram_in[0] & 0x0F) * 4
    assert min(octets + 8, len(datagram_in)) <= len(quoted) <= 576 - 28
    changed = quoted[:8] + datagram_in[8:9] + quoted[9:10] + datagram_in[10:12] + quoted[12:]
    assert changed == datagram_in[: len(quoted)]
    assert datagram_in[8] - quoted[8] in (0, 1)


def by_tag(given, sent):
    """Return, for each packet given, what came of it, in an order that does not matter."""
    originals = {each.tag: each.octets for each in given}
    came = defaultdict(list)
    for _, interface, octets in sent:
        _, _, header, payload = seen(Sent(interface, octets))
        tag = tag_of(header, payload)
        came[tag].append(taken_to_pieces(interface, octets, originals[tag]))
    return {tag: sorted(came[tag], key=repr) for tag in originals}

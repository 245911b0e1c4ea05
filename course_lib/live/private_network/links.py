"""Links between networks: pairs of virtual interfaces, with all that makes frames look real.

What goes into one end of such a pair comes out of the other. A kernel knows that no wire can damage
these frames, so it saves work that a router in between would miss:

* It leaves transport checksums unwritten. A frame that a router's process carries over then has a
  wrong one, and no TCP connection comes up, while echoes go through: ICMP sums are always written.
  So `tx-checksumming` is switched off.
* It hands on segments of up to 64 KiB, to be cut where the frame leaves, and joins what arrives.
  Without transmit checksums the kernel does not do the first; the second, `gro`, is switched off.

All is asked of the kernel by netlink (pyroute2) and by the calls of ethtool (linux/ethtool.h).
"""

__all__ = ["Address", "Device", "join", "silence_kernel", "switch_on"]

import array
import fcntl
import socket
import struct
from collections.abc import Mapping
from pathlib import Path
from typing import NamedTuple

from pyroute2 import IPRoute
from pyroute2.netlink.exceptions import NetlinkError

from course_lib.live.private_network.namespaces import enter_network, step

SIOCETHTOOL = 0x8946  # linux/sockios.h
TX_CHECKSUM, GRO = 0x17, 0x2C  # ETHTOOL_STXCSUM, ETHTOOL_SGRO in linux/ethtool.h
SETTINGS = {  # what each network is told, whatever the machine itself does
    "net.ipv4.ip_forward": "0",  # a new network inherits it; only our process may forward here
    "net.ipv6.conf.all.disable_ipv6": "1",  # or each kernel would speak unasked
    "net.ipv6.conf.default.disable_ipv6": "1",
}
PAIR, UP, FRAMES, WRITING = "pair of interfaces", "addresses", "whole frames", "setting"


class Device(NamedTuple):
    """One end of a pair: the network it is in, a descriptor; its name and what it is set to."""

    network: int
    name: str
    hardware_address: str
    mtu: int


class Address(NamedTuple):
    """What a host's kernel is told about its interface; None in a router: its kernel is silent."""

    address: str
    prefix_length: int
    gateway: str | None


def silence_kernel(settings: Mapping[str, str]) -> None:
    """Let the kernel forward nothing in the network that we are in, and say nothing unasked.

    settings: more of the names in sysctl(8), and their values.
    """
    for name, value in (SETTINGS | {**settings}).items():
        file = Path("/proc/sys", *name.split("."))
        with step(f"{WRITING} {name}"):
            if file.exists() or "ipv6" not in name:  # a kernel may have been built without IPv6
                file.write_text(value)
    with IPRoute() as kernel:
        _switch_on(kernel, "lo")


def join(one: Device, other: Device) -> None:
    """Make the pair; both ends are down as yet."""
    enter_network(one.network)
    with step(f"{PAIR} {one.name!r}, {other.name!r}", NetlinkError), IPRoute() as kernel:
        kernel.link(
            "add",
            kind="veth",
            ifname=one.name,
            address=one.hardware_address,
            mtu=one.mtu,
            peer={
                "ifname": other.name,
                "address": other.hardware_address,
                "mtu": other.mtu,
                "net_ns_fd": other.network,
            },
        )


def switch_on(device: Device, address: Address | None) -> None:
    """Take one end into use: whole frames with their checksums, and an address if it has one."""
    enter_network(device.network)
    with (
        step(f"{FRAMES} on {device.name!r}"),
        socket.socket(type=socket.SOCK_DGRAM) as one,
    ):
        for feature in (TX_CHECKSUM, GRO):
            _switch_off(one, device.name, feature)
    with step(f"{UP} on {device.name!r}", NetlinkError), IPRoute() as kernel:
        number = _switch_on(kernel, device.name)
        if address is not None:
            kernel.addr(
                "add", index=number, address=address.address, prefixlen=address.prefix_length
            )
            if address.gateway is not None:
                kernel.route("add", dst="default", gateway=address.gateway)


def _switch_on(kernel: IPRoute, name: str) -> int:
    number: int = kernel.link_lookup(ifname=name)[0]
    kernel.link("set", index=number, state="up")
    return number


def _switch_off(any_socket: socket.socket, name: str, feature: int) -> None:
    """Set a feature to 0: an ifreq with a pointer to an `ethtool_value`."""
    value = array.array("I", [feature, 0])
    request = struct.pack("16sP16x", name.encode(), value.buffer_info()[0])
    fcntl.ioctl(any_socket, SIOCETHTOOL, request)

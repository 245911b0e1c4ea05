"""What has to be right about the addresses of a network before anything is sent.

A wrong plan does not stop a network. It makes packets vanish in some places and not in others,
which is much harder to find than a message at the beginning. The rules:

* an IPv4 address belongs to one interface of the whole network, and the hardware addresses at the
  two ends of a wire differ;
* an address lies inside the prefix of its interface, and is not one of the two that no host may
  have (RFC 1812, section 4.2.2.11; a /31 has none such, RFC 3021);
* both ends of a wire have the same prefix, and no other wire has one that overlaps it.
"""

__all__ = ["AddressBook"]

from collections.abc import Sequence

from course_lib.ip.packets import Interface
from course_lib.network.wires import End, NetworkError, Wire
from course_lib.prefixes.plan import host_count
from course_lib.prefixes.prefix import Prefix
from course_lib.prefixes.text import IPV4_BITS, format_address, format_mac

SMALLEST_MTU = 68  # octets; RFC 791, section 3.2: every module forwards so much in one piece


class AddressBook:
    """All interfaces of a network, and which of them are wired."""

    def __init__(self) -> None:
        self._interfaces: dict[End, Interface] = {}
        self._addresses: dict[int, End] = {}
        self._wires: dict[str, tuple[Wire, Prefix]] = {}
        self._wired: dict[End, str] = {}

    def interface(self, end: End) -> Interface:
        """Return the interface at the end of a wire; raises `NetworkError` if there is none."""
        if end not in self._interfaces:
            there = [e.interface for e in self._interfaces if e.place == end.place]
            only = f"only {', '.join(map(repr, there))}" if there else "nor any such place"
            raise NetworkError(f"there is no {end}, {only}")
        return self._interfaces[end]

    def owner(self, address: int) -> End | None:
        """Return whose address this is, None if nobody has it."""
        return self._addresses.get(address)

    def add(self, place: str, interfaces: Sequence[Interface]) -> None:
        """Take in the interfaces of a new place, or none of them and raise `NetworkError`."""
        if any(end.place == place for end in self._interfaces):
            raise NetworkError(f"there are two places called {place!r}; names must differ")
        if not interfaces:
            raise NetworkError(f"{place!r} has no interface, so no wire can lead there")
        before: dict[End, Interface] = {}
        for interface in interfaces:
            end = End(place, interface.name)
            if end in before:
                raise NetworkError(f"{place!r} has two interfaces {interface.name!r}")
            _check_interface(end, interface)
            self._check_unused(end, interface, before)
            before[end] = interface
        self._interfaces |= before
        self._addresses |= {interface.address: end for end, interface in before.items()}

    def connect(self, wire: Wire) -> None:
        """Take in a wire, or raise `NetworkError` if it does not fit the plan."""
        if wire.name in self._wires:
            raise NetworkError(f"there are two wires called {wire.name!r}; names must differ")
        ends = [self.interface(end) for end in wire.ends]
        one, other = (interface.prefix for interface in ends)
        for end in wire.ends:
            if end in self._wired:
                raise NetworkError(
                    f"wire {wire.name!r}: wire {self._wired[end]!r} ends at {end} already"
                )
        if one != other:
            raise NetworkError(
                f"wire {wire.name!r} has two prefixes: {one} at {wire.ends[0]}, "
                f"{other} at {wire.ends[1]}; give both ends the same one"
            )
        if ends[0].hardware_address == ends[1].hardware_address:
            raise _two(format_mac(ends[0].hardware_address), *wire.ends)
        for there, prefix in self._wires.values():
            if prefix.covers(one) or one.covers(prefix):
                raise NetworkError(
                    f"wire {wire.name!r}: {one} overlaps {prefix} of wire {there.name!r}; "
                    "give one of them other addresses"
                )
        self._wires[wire.name] = wire, one
        self._wired |= dict.fromkeys(wire.ends, wire.name)

    def _check_unused(self, end: End, interface: Interface, before: dict[End, Interface]) -> None:
        """Compare with all other places, and with the interfaces `before` at the same place."""
        addresses = self._addresses | {i.address: e for e, i in before.items()}
        if interface.address in addresses:
            raise _two(format_address(interface.address), end, addresses[interface.address])
        for other, there in before.items():
            if there.prefix.covers(interface.prefix) or interface.prefix.covers(there.prefix):
                raise NetworkError(
                    f"{end}: {interface.prefix} overlaps {there.prefix} of its interface "
                    f"{other.interface!r}; a router joins different networks"
                )


def _two(address: str, end: End, other: End) -> NetworkError:
    return NetworkError(f"{end} has the address {address}, and so has {other}; change one of them")


def _check_interface(end: End, interface: Interface) -> None:
    prefix, address = interface.prefix, interface.address
    if prefix.bits != IPV4_BITS:
        raise NetworkError(f"{end}: {prefix} is not an IPv4 prefix")
    if not prefix.contains(address):
        raise NetworkError(f"{end}: address {_text(address)} is not in {prefix}")
    if address in (prefix.first, prefix.last) and host_count(prefix) < prefix.size:
        which = "network's own number" if address == prefix.first else "broadcast address"
        raise NetworkError(f"{end}: {_text(address)} is the {which} of {prefix}; take another one")
    if len(interface.hardware_address) != 6 or interface.hardware_address[0] & 1:
        raise NetworkError(
            f"{end}: {interface.hardware_address.hex(':')!r} is no hardware address of one "
            "interface: six octets, the first of them even"
        )
    if interface.mtu < SMALLEST_MTU:
        raise NetworkError(
            f"{end}: mtu must be {SMALLEST_MTU} or more (RFC 791, section 3.2), not {interface.mtu}"
        )


def _text(address: int) -> str:
    return format_address(address) if 0 <= address < 1 << IPV4_BITS else str(address)

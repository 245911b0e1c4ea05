"""Mistakes in the plan are found before anything is sent, and change nothing."""

import pytest

from course_lib.ip.packets import Interface
from course_lib.network import End, Host, Network, NetworkError, Wire
from course_lib.prefixes.prefix import Prefix, parse_prefix
from course_lib.prefixes.text import parse_address
from networks.network_stand_ins import Script, interface


def own(*specs):
    """Return interfaces from pairs of a name and an address with its length."""
    found = []
    for number, (name, text) in enumerate(specs, start=1):
        address, _, length = text.partition("/")
        found.append(interface(name, parse_address(address), number, int(length)))
    return found


def harbour():
    """Two routers that could be joined, and a third one that is joined to the second."""
    network = Network()
    network.add_router(
        "North Pier", Script(), own(("sea", "192.0.2.1/24"), ("up", "203.0.113.1/24"))
    )
    network.add_router(
        "Plover", Script(), own(("x", "192.0.2.9/24"), ("radio", "192.0.2.2/24"))[1:]
    )
    return network


REEF = Wire("reef", (End("North Pier", "sea"), End("Plover", "radio")))


def test_a_sound_plan_is_taken():
    network = harbour()
    network.connect(REEF)
    assert list(network.wires) == ["reef"]
    assert network.plan.owner(parse_address("192.0.2.2")) == End("Plover", "radio")
    assert network.plan.owner(parse_address("192.0.2.3")) is None


@pytest.mark.parametrize(
    ("name", "interfaces", "says"),
    [
        ("Plover", own(("y", "198.51.100.1/24")), "there are two places called 'Plover'"),
        ("Curlew", [], "'Curlew' has no interface, so no wire can lead there"),
        (
            "Curlew", own(("y", "198.51.100.1/25"), ("y", "198.51.100.129/25")),
            "'Curlew' has two interfaces 'y'",
        ),
        (
            "Curlew", own(("y", "192.0.2.1/24")),
            "Curlew, interface 'y' has the address 192.0.2.1, and so has North Pier, "
            "interface 'sea'; change one of them",
        ),
        (
            "Curlew", own(("y", "198.51.100.1/24"), ("z", "198.51.100.1/24")),
            "interface 'z' has the address 198.51.100.1, and so has Curlew, interface 'y'",
        ),
        (
            "Curlew", own(("y", "198.51.100.1/24"), ("z", "198.51.100.200/26")),
            "198.51.100.192/26 overlaps 198.51.100.0/24 of its interface 'y'",
        ),
        ("Curlew", own(("y", "198.51.100.0/24")), "network's own number of 198.51.100.0/24"),
        ("Curlew", own(("y", "198.51.100.255/24")), "broadcast address of 198.51.100.0/24"),
        (
            "Curlew",
            [own(("y", "198.51.100.1/24"))[0]._replace(address=parse_address("203.0.113.1"))],
            "Curlew, interface 'y': address 203.0.113.1 is not in 198.51.100.0/24",
        ),
        (
            "Curlew", [own(("y", "198.51.100.1/24"))[0]._replace(hardware_address=b"\1" * 6)],
            "'01:01:01:01:01:01' is no hardware address of one interface",
        ),
        (
            "Curlew", [own(("y", "198.51.100.1/24"))[0]._replace(hardware_address=b"\0" * 5)],
            "is no hardware address of one interface: six octets",
        ),
        (
            "Curlew", [own(("y", "198.51.100.1/24"))[0]._replace(mtu=67)],
            "mtu must be 68 or more (RFC 791, section 3.2), not 67",
        ),
        (
            "Curlew", [Interface("y", b"\0" * 6, 1 << 100, Prefix(1 << 100, 64, 128))],
            "is not an IPv4 prefix",
        ),
    ],
)  # fmt: skip
def test_a_place_that_does_not_fit_is_refused_by_name(name, interfaces, says):
    network = harbour()
    with pytest.raises(NetworkError) as caught:
        network.add_router(name, Script(), interfaces)
    assert says in str(caught.value)
    assert list(network.routers) == ["North Pier", "Plover"]
    network.connect(REEF)


@pytest.mark.parametrize("address", ["198.51.100.0/31", "198.51.100.1/31", "198.51.100.1/32"])
def test_the_addresses_of_a_link_of_two_are_both_for_hosts(address):
    """RFC 3021: a /31 has neither a number of its own nor a broadcast address."""
    network = harbour()
    network.add_router("Curlew", Script(), own(("y", address)))
    assert "Curlew" in network.routers


def with_curlew(text="192.0.2.3/24", name="y"):
    network = harbour()
    network.add_router("Curlew", Script(), own(("w", "198.51.100.1/24"), (name, text)))
    return network


@pytest.mark.parametrize(
    ("wires", "says"),
    [
        (
            [REEF, REEF],
            "there are two wires called 'reef'; names must differ",
        ),
        (
            [REEF, Wire("shoal", (End("North Pier", "sea"), End("Curlew", "y")))],
            "wire 'shoal': wire 'reef' ends at North Pier, interface 'sea' already",
        ),
        (
            [Wire("shoal", (End("North Pier", "see"), End("Curlew", "y")))],
            "there is no North Pier, interface 'see', only 'sea', 'up'",
        ),
        (
            [Wire("shoal", (End("South Pier", "sea"), End("Curlew", "y")))],
            "there is no South Pier, interface 'sea', nor any such place",
        ),
        (
            [Wire("shoal", (End("North Pier", "up"), End("Curlew", "y")))],
            "wire 'shoal' has two prefixes: 203.0.113.0/24 at North Pier, interface 'up', "
            "192.0.2.0/24 at Curlew, interface 'y'",
        ),
        (
            [Wire("shoal", (End("Curlew", "y"), End("Curlew", "w")))],
            "wire 'shoal' joins 'Curlew' to itself",
        ),
        ([REEF._replace(delay_s=-1)], "delay_s must be 0 or more"),
        ([REEF._replace(rate_bits_per_s=0)], "rate_bits_per_s must be more than 0"),
    ],
)
def test_a_wire_that_does_not_fit_is_refused_by_name(wires, says):
    network = with_curlew()
    for wire in wires[:-1]:
        network.connect(wire)
    with pytest.raises(NetworkError) as caught:
        network.connect(wires[-1])
    assert says in str(caught.value)
    assert len(network.wires) == len(wires) - 1
    assert len(network.traffic()) == 2 * (len(wires) - 1)


@pytest.mark.parametrize("length", [23, 24, 26])
def test_wires_whose_prefixes_overlap_are_refused(length):
    """192.0.2.0/24 on one wire; 192.0.2.0/23 around it, itself, or 192.0.2.64/26 inside."""
    network = harbour()
    network.connect(REEF)
    for name, number, address in (("Curlew", 5, "192.0.2.70"), ("Sandpiper", 6, "192.0.2.71")):
        network.add_router(name, Script(), [interface("x", parse_address(address), number, length)])
    with pytest.raises(
        NetworkError, match=r"192.0.2.\d+/\d\d overlaps 192.0.2.0/24 of wire 'reef'"
    ):
        network.connect(Wire("shoal", (End("Curlew", "x"), End("Sandpiper", "x"))))


def test_both_ends_of_a_wire_need_different_hardware_addresses():
    network = Network()
    network.add_router("North Pier", Script(), own(("a", "192.0.2.0/31")))
    network.add_router("Plover", Script(), own(("a", "192.0.2.1/31")))
    wire = Wire("reef", (End("North Pier", "a"), End("Plover", "a")))
    with pytest.raises(NetworkError, match=r"has the address 00:00:5e:00:53:01, and so has"):
        network.connect(wire)


def test_a_host_reaches_its_gateway():
    with pytest.raises(ValueError, match=r"Office: gateway 203.0.113.1 is not in 192.0.2.0/24"):
        Host("Office", own(("w", "192.0.2.5/24"))[0], parse_address("203.0.113.1"))


def test_places_of_a_prefix_that_nobody_is_wired_to_do_no_harm():
    """Only wires make two interfaces neighbours; a plan may be built up piece by piece."""
    network = harbour()
    network.add_router("Curlew", Script(), own(("y", "192.0.2.77/24")))
    network.connect(REEF)
    assert parse_prefix("192.0.2.0/24") == network.plan.interface(End("Curlew", "y")).prefix

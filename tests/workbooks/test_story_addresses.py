"""The story keeps its addresses: who is named with one has it in the plan, in every workbook."""

import re
from ipaddress import IPv4Address, IPv4Network

import pytest

from course_lib.ferry import ferry_network
from course_lib.ferry.address_plan import ADDRESSES, NETS, NOBODY, holder_of
from course_lib.prefixes import format_address
from instructor.release.workbook_files import read_workbook, unit_names

ADDRESS = r"(?:192\.0\.2|198\.51\.100|203\.0\.113)\.\d+\b(?!/)"
NAMES = "|".join(sorted((re.escape(name) for name in ADDRESSES), key=len, reverse=True))
NAMED = re.compile(rf"\b({NAMES})\b(?: \(|, | has | is |\) ?= ?\(?)`?\"?({ADDRESS})")
CONSTANT = re.compile(rf"^([A-Z][A-Z_]+) = \"({ADDRESS})\"", re.M)


def network_addresses():
    """Return who has which address in the ferry network, links included."""
    network = ferry_network()
    found = {
        (name, format_address(port.address))
        for name, router in network.routers.items()
        for port in router.interfaces.values()
    }
    hosts = network.hosts.items()
    return found | {(name, format_address(host.interface.address)) for name, host in hosts}


def pairs_of(unit):
    text = "\n".join(cell.source for cell in read_workbook(unit).cells)
    named = set(NAMED.findall(text))
    constants = {(name.replace("_", " ").title(), address)
                 for name, address in CONSTANT.findall(text)}  # fmt: skip
    return named | {pair for pair in constants if pair[0] in ADDRESSES}


def test_the_network_of_the_scenes_keeps_to_the_plan():
    found = network_addresses()
    nothing_there = {"Reed Pier", "Reed Pier Desk"}  # a net that no scene needs
    in_plan = {(name, address) for name, address in ADDRESSES.items() if name not in nothing_there}
    assert in_plan <= found
    assert all(holder_of(address) in (name, None) for name, address in found)


def test_every_address_of_the_plan_lies_in_the_net_of_its_place():
    nets = [IPv4Network(net) for net in NETS.values()]
    for address in ADDRESSES.values():
        assert sum(IPv4Address(address) in net for net in nets) == 1
    assert holder_of(NOBODY) is None


@pytest.mark.parametrize("unit", unit_names())
def test_who_is_named_with_an_address_has_it_in_the_plan(unit):
    links = network_addresses()
    wrong = {
        (name, address) for name, address in pairs_of(unit)
        if ADDRESSES[name] != address and (name, address) not in links
    }  # fmt: skip
    assert wrong == set()


def test_pairs_are_found_where_a_story_names_them():
    assert NAMED.findall("The boat Plover (192.0.2.17) reports to Reed Pier, 198.51.100.9.") == [
        ("Plover", "192.0.2.17"),
        ("Reed Pier", "198.51.100.9"),
    ]

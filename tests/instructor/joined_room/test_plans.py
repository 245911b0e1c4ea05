"""Who is whose neighbour, and which address is whose: laws that hold for every size of a room."""

import ipaddress

import networkx as nx  # the second opinion on who is joined with whom
import pytest

from course_lib.network.plan_checks import AddressBook
from course_lib.network.wires import End, Wire
from course_lib.prefixes.text import format_address
from instructor.joined_room.addresses import ROOM_BLOCK, link_interface, pier_network
from instructor.joined_room.neighbours import PLANS, room_plan
from instructor.joined_room.pier_names import MOST_PIERS

SIZES = (2, 3, 4, 5, 6, 9, 24, 37, MOST_PIERS)
EVERY_PLAN = [*(("ring", n) for n in SIZES), *(("tree", n) for n in SIZES), ("map", None)]


def graph_of(plan, piers):
    """Return the network of the first so many piers."""
    graph = nx.Graph()
    graph.add_nodes_from(range(piers))
    graph.add_edges_from(ends for ends in plan.links if max(ends) < piers)
    return graph


@pytest.mark.parametrize(("kind", "size"), EVERY_PLAN)
def test_however_many_have_come_they_are_joined_among_themselves(kind, size):
    plan = room_plan(kind, size)
    for piers in range(1, len(plan.places) + 1):
        assert nx.is_connected(graph_of(plan, piers))
    assert len({place.pier for place in plan.places}) == len(plan.places) == (size or 10)
    assert len({(place.x, place.y) for place in plan.places}) == len(plan.places)
    assert all(0 <= place.x <= 1 and 0 <= place.y <= 1 for place in plan.places)
    assert all(len(plan.links_of(pier)) <= 4 for pier in range(len(plan.places))) or kind == "map"


@pytest.mark.parametrize("size", SIZES[3:])
def test_a_ring_with_chords_bears_that_anyone_leaves(size):
    plan = room_plan("ring", size)
    span = max(b - a for a, b in plan.links if b - a <= size // 2)
    for piers in range(span + 1, size + 1):
        assert nx.is_biconnected(graph_of(plan, piers)), piers
    assert size < 24 or nx.diameter(graph_of(plan, size)) >= 4  # a stream crosses many piers


@pytest.mark.parametrize(("kind", "size"), [("ring", 1), ("ring", 61), ("map", 9), ("star", 5)])
def test_what_there_is_no_plan_for_is_said(kind, size):
    with pytest.raises(ValueError, match=str(size) if kind in PLANS else kind):
        room_plan(kind, size)


@pytest.mark.parametrize(("kind", "size"), EVERY_PLAN)
def test_the_addresses_of_a_whole_room_fit_together(kind, size):
    plan, book = room_plan(kind, size), AddressBook()
    for pier, place in enumerate(plan.places):
        there = pier_network(pier)
        links = []
        for number in plan.links_of(pier):
            ends = plan.links[number]
            end = ends.index(pier)
            links.append(link_interface(number, end, plan.places[ends[1 - end]].pier))
        book.add(place.pier, [there.router, *links])
        book.add(f"host {pier}", [there.host])
        ends = End(place.pier, there.router.name), End(f"host {pier}", there.host.name)
        book.connect(Wire(f"pier {pier}", ends))
        for interface in (there.router, there.host, *links):
            address = ipaddress.ip_address(format_address(interface.address))
            assert address in ipaddress.ip_network(str(ROOM_BLOCK))
            assert address in ipaddress.ip_network("10.0.0.0/8")  # RFC 1918, section 3
    for number, (one, other) in enumerate(plan.links):
        names = [plan.places[pier].pier for pier in (one, other)]
        ends = (End(names[0], f"to {names[1]}"), End(names[1], f"to {names[0]}"))
        book.connect(Wire(f"link {number}", ends))

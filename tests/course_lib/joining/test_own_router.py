"""A router that finds its routes by the room's protocol, and forwards as its owner wrote."""

from course_lib.forwarding.router import Router
from course_lib.headers.assigned_numbers import ARP_REPLY
from course_lib.headers.ethernet import ARPPacket
from course_lib.joining.piers.own_router import RemadeRouter, room_recipe, room_router
from course_lib.live.carrying.recipes import SourceRecipe, make_router
from course_lib.network.hosts.host import Host
from course_lib.network.probes import echo_requests
from course_lib.network.simulation import Network
from course_lib.network.wires import End, Wire
from course_lib.prefixes.prefix import parse_prefix
from instructor.joined_room.addresses import link_interface, pier_network
from instructor.joined_room.neighbours import room_plan
from networks.forwarding_scene import OFFICE_MAC, arp_frame, datagram, frame

OWN = SourceRecipe(
    "from course_lib.forwarding import Router\n"
    "made = []\n"
    "class Plain:\n"  # a router that cannot change its routes, as a student's
    "    def __init__(self, interfaces, routes):\n"
    "        self._inside = Router('inside', interfaces)\n"
    "        for route in routes:\n"
    "            self._inside.add_route(*route)\n"
    "        self.receive = self._inside.receive\n"
    "        self.tick, self.next_tick_s = self._inside.tick, self._inside.next_tick_s\n"
    "        self.counters = {'forwarded': len(made)}\n"
    "def make_mine(interfaces, routes):\n"
    "    made.append(1)\n"
    "    return Plain(interfaces, routes)\n",
    "make_mine",
)
TURNS_BACK = """
class Turned(Plain):
    def __init__(self, interfaces, routes):
        super().__init__(interfaces, routes)
        self._macs = {each.name: each.hardware_address for each in interfaces}
        self._plain, self.receive = self.receive, self._turn
    def _turn(self, now_s, interface, frame):
        if frame[12:14] != b"\\x08\\x00" or interface == "to the host":
            return self._plain(now_s, interface, frame)
        return [(interface, frame[6:12] + self._macs[interface] + frame[12:])]
def make_turned(interfaces, routes):
    return Turned(interfaces, routes)
"""


def network_of(plan, recipes):
    """Return a simulated room: own recipes by pier, the library's router elsewhere."""
    network = Network()
    for pier, place in enumerate(plan.places):
        there, lines, neighbours = pier_network(pier), [], {}
        for number in plan.links_of(pier):
            ends = plan.links[number]
            end = ends.index(pier)
            other = plan.places[ends[1 - end]].pier
            lines.append(link_interface(number, end, other))
            far = link_interface(number, 1 - end, place.pier).address
            neighbours[lines[-1].name] = other, far
        interfaces = [there.router, *lines]
        recipe = room_recipe(place.pier, neighbours, "link state", recipes.get(pier))
        network.add_router(place.pier, make_router(recipe, place.pier, interfaces), interfaces)
        network.add_host(Host(f"host {pier}", there.host, there.router.address))
        wired = End(place.pier, there.router.name), End(f"host {pier}", there.host.name)
        network.connect(Wire(f"pier {pier}", wired))
    for number, (one, other) in enumerate(plan.links):
        names = [plan.places[pier].pier for pier in (one, other)]
        ends = End(names[0], f"to {names[1]}"), End(names[1], f"to {names[0]}")
        network.connect(Wire(f"link {number}", ends))
    return network


def test_an_own_router_learns_the_room_s_routes_and_carries_the_others_packets():
    plan = room_plan("tree", 5)  # 1 stands between 4 and all others
    network = network_of(plan, {1: OWN})
    network.run_until(8.0)
    inside = network.routers[plan.places[1].pier]
    assert len(inside.routes()) == len(plan.places) + len(plan.links)
    assert all(echo_requests(network, "host 4", "host 3", count=3))
    assert inside.counters["forwarded"] > 0
    assert inside.counters["carried for others"] == 6  # three requests, three answers
    assert inside.counters["sent astray"] == 0
    before = inside.routes()
    network.cut("link 3")  # of 4
    network.run_until(network.now_s + 8.0)
    assert set(before) - set(inside.routes()) == {pier_network(4).block}
    assert all(echo_requests(network, "host 1", "host 3", count=3))


def test_what_leaves_by_another_line_than_the_table_says_has_gone_astray():
    plan = room_plan("tree", 6)
    turned = SourceRecipe(OWN.source + TURNS_BACK, "make_turned")
    network = network_of(plan, {1: turned})
    network.run_until(8.0)
    assert not any(echo_requests(network, "host 4", "host 3", count=3))
    inside = network.routers[plan.places[1].pier]
    assert inside.counters["sent astray"] == inside.counters["carried for others"] > 0


def test_a_router_made_anew_knows_the_neighbours_that_were_heard_within_a_minute():
    there, line = pier_network(0).router, link_interface(0, 0, "Reed Pier")
    beyond, hop = pier_network(1).block, link_interface(0, 1, "North Pier")
    strange = parse_prefix("198.51.100.0/24")
    packet = frame(datagram(destination=beyond.first + 2), there.hardware_address)

    def made(own, routes):
        inside = Router("inside", own)
        for route in routes:
            inside.add_route(*route)
        return inside

    def says(target, source_mac):
        said = ARPPacket(ARP_REPLY, source_mac, hop.address, line.hardware_address, target)
        return arp_frame(line.hardware_address, source_mac, said)

    def way_out(now_s):
        """Let routes change; return what a packet then leaves behind on the line."""
        router.add_route(strange, hop.address, line.name)
        ((name, sent),) = router.receive(now_s, there.name, packet)
        assert name == line.name
        return sent[:6], sent[12:14]

    router = RemadeRouter("North Pier", [there, line], made)
    asked, sent = (b"\xff" * 6, b"\x08\x06"), (hop.hardware_address, b"\x08\x00")
    router.add_route(beyond, hop.address, line.name)
    assert way_out(1.0) == asked
    router.receive(2.0, line.name, says(line.address, hop.hardware_address))
    assert way_out(3.0) == way_out(61.9) == sent  # RFC 1122, section 2.3.2.1: about a minute
    assert way_out(62.0) == asked
    router.receive(63.0, line.name, says(line.address, hop.hardware_address))
    router.receive(64.0, line.name, says(there.address, hop.hardware_address))  # for another
    assert way_out(65.0) == sent
    router.receive(66.0, line.name, says(there.address, OFFICE_MAC))  # it has changed its card
    assert way_out(67.0) == asked


def test_without_an_own_one_the_library_s_router_is_inside():
    there = pier_network(0)
    router = room_router("North Pier", [there.router], {}, "distance vector")
    assert isinstance(router.router, Router)
    assert router.next_tick_s() == 0.0

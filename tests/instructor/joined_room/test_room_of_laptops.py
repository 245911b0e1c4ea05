"""A room full of laptops on one machine: each with a network namespace and processes of its own.

    pytest -m slow_job tests/instructor/joined_room/test_room_of_laptops.py -s

`HOP_BY_HOP_LAPTOPS` says how many there are, 24 without it. With -s it prints what was measured.
"""

import os
import sys

import pytest

from course_lib.links import new_code
from course_lib.live.ability import live_ability
from machines.processes import until
from networks.room_of_laptops import SERVER, RoomOfLaptops

pytestmark = [
    pytest.mark.slow_job,
    pytest.mark.skipif(sys.platform != "linux", reason="network namespaces are Linux's"),
]
LAPTOPS = int(os.environ.get("HOP_BY_HOP_LAPTOPS", "24"))
PORT = 8817
FEWEST_ON_THE_WAY = 5 if LAPTOPS >= 24 else 3  # both ends with it

CRASHES = """
import os
from course_lib.forwarding import Router
class Crashes(Router):
    def receive(self, now_s, interface, frame):
        if frame[12:14] == bytes([8, 0]):
            os._exit(3)
        return super().receive(now_s, interface, frame)
def make_mine(interfaces, routes):
    router = Crashes("crashes", interfaces)
    for route in routes:
        router.add_route(*route)
    return router
"""
TURNS_BACK = """
from course_lib.forwarding import Router
class TurnsBack(Router):
    def receive(self, now_s, interface, frame):
        own = self.interfaces[interface].hardware_address
        if frame[12:14] != bytes([8, 0]) or interface == "to the host":
            return super().receive(now_s, interface, frame)
        return [(interface, frame[6:12] + own + frame[12:])]
def make_mine(interfaces, routes):
    router = TurnsBack("turns back", interfaces)
    for route in routes:
        router.add_route(*route)
    return router
"""
LIES = """
import course_lib.joining.piers.own_router as own
from course_lib.forwarding import Router
from course_lib.ip.packets import Interface
from course_lib.prefixes import parse_prefix
honest = own.speaking_router
def lying(name, interfaces, *more):
    block = parse_prefix("10.100.BLOCK.0/24")
    false = Interface("false", bytes.fromhex("00005e0053fd"), block.network + 9, block)
    return honest(name, [*interfaces, false], *more)
own.speaking_router = lying
def make_mine(interfaces, routes):
    router = Router("lies", interfaces)
    for route in routes:
        router.add_route(*route)
    return router
"""


class TheRoom:
    """The building with its server and laptops, by pier."""

    def __init__(self, building, state, piers=LAPTOPS):
        self.building, self.code = building, new_code()
        self.address = building.add_place(SERVER)
        self.order = {"code": self.code, "address": self.address, "port": PORT, "piers": piers,
                      "plan": "ring", "state": str(state)}  # fmt: skip
        self.open()
        self.laptops = []

    def open(self):
        self.server = self.building.start_at(SERVER, "room_program.py", self.order)
        until(lambda: "view" in self.server.said)

    def add(self, number, code=None, **more):
        order = {"code": code or self.code, "at": f"{self.address}:{PORT}",
                 "student": f"{number:032x}", **more}  # fmt: skip
        laptop, _ = self.building.start(f"laptop {number}", "laptop.py", order)
        self.laptops.append(laptop)
        return laptop

    @property
    def view(self):
        return self.server.said["view"]

    def states(self):
        return [member["state"] for member in self.view["members"]]

    def wish(self, kind, **more):
        self.server.do("wish", kind=kind, **more)


@pytest.fixture(scope="module")
def room(tmp_path_factory):
    if not live_ability().is_there:
        pytest.skip("no private networks on this machine")
    with RoomOfLaptops() as building:
        room = TheRoom(building, tmp_path_factory.mktemp("room") / "room.json")
        for number in range(LAPTOPS):
            room.add(number)
        yield room


def all_up(room):
    return all(link["state"] == "up" for link in room.view["links"])


def test_all_join_and_whoever_has_another_code_does_not(room):
    until(lambda: room.states() == ["here"] * LAPTOPS)
    until(lambda: all_up(room))
    blocks = LAPTOPS + len(room.view["links"])
    until(lambda: all(laptop.said.get("routes") == blocks for laptop in room.laptops))
    took = sorted(laptop.said["took_s"] for laptop in room.laptops)
    print(f"\n{LAPTOPS} laptops: from join to a pier {took[len(took) // 2]:.1f} s in the middle, "
          f"{took[-1]:.1f} s at most")  # fmt: skip
    print(f"the view took {1000 * room.server.said['view_took_s']:.1f} ms of processor time")
    stranger = room.add(999, code=new_code())
    until(lambda: stranger.said.get("is_over"))
    assert "another code" in stranger.said["words"]
    assert room.states() == ["here"] * LAPTOPS
    room.laptops.remove(stranger)


def begin_stream(room):
    """Send a stream to the pier that is furthest from the first; return the piers on its way."""
    names = [member["pier"] for member in room.view["members"]]
    longest = ()
    for destination in names[1:]:
        room.wish("stream", source=names[0], destination=destination)
        until(lambda to=destination: room.view["stream"]
              and room.view["stream"]["destination"] == to)  # fmt: skip
        until(lambda: room.view["stream"]["path"])
        longest = max(longest, tuple(room.view["stream"]["path"]), key=len)
        if len(longest) >= FEWEST_ON_THE_WAY:
            break
    if room.view["stream"]["destination"] != longest[-1]:
        room.wish("stream", source=longest[0], destination=longest[-1])
    until(lambda: (room.view["stream"] or {}).get("destination") == longest[-1])
    until(lambda: room.view["stream"]["received"] > 150)
    return longest


def test_a_stream_crosses_the_students_routers_and_comes_back_after_a_pull(room):
    way = begin_stream(room)
    assert len(way) >= FEWEST_ON_THE_WAY
    middle = len(way) // 2
    number = next(link["number"] for link in room.view["links"]
                  if {*link["ends"]} == {*way[middle - 1 : middle + 1]})  # fmt: skip
    before = room.view["stream"]
    room.wish("pull", link=number)
    until(lambda: room.view["stream"]["back_after_s"])
    until(lambda: room.view["stream"]["quiet_s"] is None)
    back = room.view["stream"]
    came = f"{before['received']} of {before['sent']} had come, {before['late']} late"
    print(f"\nthe stream crosses {len(way)} routers; {came}")
    print(f"after the pull it was back in {back['back_after_s']:.2f} s")
    assert number not in [link["number"] for link in room.view["links"] if link["state"] == "up"]
    room.wish("mend", link=number)
    until(lambda: all_up(room))


def test_a_packet_is_followed_over_all_routers_of_its_way(room):
    way = begin_stream(room)
    room.wish("stream")
    until(lambda: room.view["stream"] is None)
    room.wish("follow", source=way[0], destination=way[-1])
    until(lambda: room.view["story"] and len(room.view["story"]["steps"]) == len(way))
    assert tuple(step["pier"] for step in room.view["story"]["steps"]) == way
    lives = [bytes.fromhex(step["octets_hex"])[14 + 8] for step in room.view["story"]["steps"]]
    assert lives == [*range(lives[0], lives[0] - len(way), -1)]  # RFC 1812, section 5.3.1


def test_who_sleeps_is_gone_around_and_gets_the_pier_back(room):
    sleepers = room.laptops[2], room.laptops[5 % LAPTOPS]
    piers = [laptop.said["pier"] for laptop in sleepers]
    for laptop in sleepers:
        laptop.do("sleep")
    until(lambda: room.states().count("asleep") == len(sleepers))
    for laptop in sleepers:
        laptop.do("wake")
    until(lambda: room.states() == ["here"] * LAPTOPS)
    until(lambda: all_up(room))
    assert [laptop.said["pier"] for laptop in sleepers] == piers


def test_links_go_on_without_the_room_and_it_comes_back(room):
    piers = [laptop.said["pier"] for laptop in room.laptops]
    room.server.process.kill()
    until(lambda: all("links go on" in laptop.said["words"] for laptop in room.laptops))
    one = room.laptops[0]
    one.do("echo", to=room.laptops[-1].said["address"], count=5, wait_s=5.0)
    until(lambda: "echoes" in one.said)
    assert one.said["echoes"] == 5
    room.open()
    until(lambda: room.states() == ["here"] * LAPTOPS)
    until(lambda: all_up(room))
    assert [laptop.said["pier"] for laptop in room.laptops] == piers


def test_three_broken_routers_are_named_and_harm_nobody_else(tmp_path):
    """A small room: ten laptops in a ring with chords, three of them with a broken router."""
    with RoomOfLaptops() as building:
        room = TheRoom(building, tmp_path / "room.json", piers=10)
        sources = {2: CRASHES, 5: TURNS_BACK, 8: LIES.replace("BLOCK", "1")}
        for number in range(10):
            until(lambda: len(room.laptops) == room.states().count("here"))
            room.add(number, source=sources.get(number))
        until(lambda: all(laptop.said.get("pier") for laptop in room.laptops))
        names = {number: room.laptops[number].said["pier"] for number in sources}

        def faults():
            return {member["pier"]: " ".join(member["faults"])
                    for member in room.view["members"] if member["faults"]}  # fmt: skip

        # What is for the host behind the one that turns packets back goes to and fro for long.
        room.laptops[4].do("echo", to=room.laptops[5].said["address"], count=10, wait_s=1.0)
        room.laptops[7].do("echo", to=room.laptops[2].said["address"], count=2, wait_s=1.0)
        until(lambda: "router has ended" in faults().get(names[2], ""))
        until(lambda: "draws packets for North Pier" in faults().get(names[8], ""))
        until(lambda: "another line" in faults().get(names[5], ""))
        assert {*faults()} == {*names.values()}  # and nobody else
        room.laptops[3].said.pop("echoes", None)
        room.laptops[3].do("echo", to=room.laptops[4].said["address"], count=5, wait_s=5.0)
        until(lambda: "echoes" in room.laptops[3].said)
        assert room.laptops[3].said["echoes"] == 5
        print("\n", faults())

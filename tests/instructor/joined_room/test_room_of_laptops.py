"""A room full of laptops on one machine: each with a network namespace and processes of its own.

    pytest -m slow_job tests/instructor/joined_room/test_room_of_laptops.py -s

`HOP_BY_HOP_LAPTOPS` says how many there are, up to 24; 6 without it. With -s it prints what was
measured. A browser looks at the screen at the front all the while.
"""

import itertools
import os
import socket
import sys

import networkx as nx
import pytest

from course_lib.links import new_code
from course_lib.live.ability import live_ability
from instructor.joined_room.kept_state import KeptState, RoomFile, write_room_file
from instructor.joined_room.screen.screen_server import ADDRESS
from machines.processes import until
from networks.room_of_laptops import SERVER, RoomOfLaptops
from pages.axe import find_axe
from pages.room_screen import POINT, PROJECTOR, WORDS, picture, violations

pytestmark = [
    pytest.mark.slow_job,
    pytest.mark.skipif(sys.platform != "linux", reason="network namespaces are Linux's"),
]
LAPTOPS = int(os.environ.get("HOP_BY_HOP_LAPTOPS", "6"))
SLOW_PIER = 1  # of two ways that cost the same, routers take that by a name before this one's
SLOW, SLOW_RATE = 4, "256kbit"  # the laptop behind a slow line; a stream alone is 330 kbit/s
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
    """The building with its server and laptops. given: of some, by pier; others get free ones."""

    def __init__(self, building, state, given, piers=LAPTOPS):
        self.building, self.code = building, new_code()
        self.address = building.add_place(SERVER)
        self.order = {"code": self.code, "address": self.address, "port": PORT, "piers": piers,
                      "plan": "ring", "state": str(state)}  # fmt: skip
        kept = KeptState(tuple((pier, student(number)) for pier, number in given.items()))
        write_room_file(state, RoomFile("Quay", "", "ring", piers, "link state", 2e9, kept))
        self._screen = socket.create_server(("127.0.0.1", 0))  # here, where the browser is
        self.screen = f"http://127.0.0.1:{self._screen.getsockname()[1]}{ADDRESS}"
        self.open()
        self.laptops = []

    def open(self):
        self.server = self.building.start_at(SERVER, "room_program.py", self.order,
                                             descriptors=[self._screen.fileno()])  # fmt: skip
        until(lambda: "view" in self.server.said)

    def close(self):
        self._screen.close()

    def add(self, number, code=None, rate=None, **more):
        order = {"code": code or self.code, "at": f"{self.address}:{PORT}",
                 "student": student(number), **more}  # fmt: skip
        laptop = self.building.start(f"laptop {number}", "laptop.py", order, rate)
        self.laptops.append(laptop)
        return laptop

    @property
    def view(self):
        return self.server.said["view"]

    @property
    def stream(self):
        return self.view["stream"] or {}

    @property
    def story(self):
        return (self.view["story"] or {"steps": ()})["steps"]

    def states(self):
        return [member["state"] for member in self.view["members"]]

    def names(self):
        return [member["pier"] for member in self.view["members"]]

    def pier_of(self, number):
        return self.laptops[number].said["pier"]

    def link(self, *ends):
        """Return the number of the link between two piers."""
        return next(one["number"] for one in self.view["links"] if {*one["ends"]} == {*ends})

    def wish(self, kind, **more):
        self.server.do("wish", kind=kind, **more)

    def echoes(self, source, destination):
        """Return how many of five echo requests between two laptops are answered."""
        self.laptops[source].said.pop("echoes", None)
        address = self.laptops[destination].said["address"]
        self.laptops[source].do("echo", to=address, count=5, wait_s=5.0)
        until(lambda: "echoes" in self.laptops[source].said)
        return self.laptops[source].said["echoes"]


def student(number):
    return f"{number:032x}"


@pytest.fixture(scope="module")
def room(tmp_path_factory):
    if not live_ability().is_there:
        pytest.skip("no private networks on this machine")
    with RoomOfLaptops() as building:
        room = TheRoom(building, tmp_path_factory.mktemp("room") / "room.json", {SLOW_PIER: SLOW})
        for number in range(LAPTOPS):
            room.add(number, rate=SLOW_RATE if number == SLOW else None)
        yield room
        room.close()


@pytest.fixture(scope="module")
def screen(room, browser):
    """Open the room's screen in a browser, as the projector shows it."""
    page = browser.new_page(viewport=PROJECTOR, reduced_motion="reduce")
    complaints = []
    page.on("console", lambda message: complaints.append(message.text))
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.goto(room.screen)
    page.locator("html[data-shown]").wait_for(state="attached")
    yield page
    page.close()
    assert complaints == []


def all_up(room):
    return all(link["state"] == "up" for link in room.view["links"])


def wait_until_settled(room):
    """Wait until all are here, their links are up, and each knows a route to every block."""
    until(lambda: room.states() == ["here"] * LAPTOPS)
    until(lambda: all_up(room))
    blocks = LAPTOPS + len(room.view["links"])
    until(lambda: all(laptop.said.get("routes") == blocks for laptop in room.laptops))


def test_all_join_and_whoever_has_another_code_does_not(room):
    wait_until_settled(room)
    took = sorted(laptop.said["took_s"] for laptop in room.laptops)
    print(
        f"\n{LAPTOPS} laptops: from join to a pier {took[len(took) // 2]:.1f} s in the middle, "
        f"{took[-1]:.1f} s at most; behind the slow line {room.laptops[SLOW].said['took_s']:.1f}"
    )
    print(f"the view took {1000 * room.server.said['view_took_s']:.1f} ms of processor time")
    stranger = room.add(999, code=new_code())
    until(lambda: stranger.said.get("is_over"))
    assert "another code" in stranger.said["words"]
    assert room.states() == ["here"] * LAPTOPS
    room.laptops.remove(stranger)


def send_stream(room, source, destination):
    """Send a stream; return the piers on its way when it has come for a second."""
    room.wish("stream", source=source, destination=destination)
    until(lambda: (room.stream.get("source"), room.stream.get("destination"))
          == (source, destination) and room.stream["path"])  # fmt: skip
    return tuple(room.stream["path"])


def long_stream(room):
    """Send a stream between two piers that are far apart, not by the slow line; return its way."""
    plan, slow = nx.Graph(link["ends"] for link in room.view["links"]), room.pier_of(SLOW)
    far = dict(nx.all_pairs_shortest_path_length(plan))
    pairs = [(one, other) for one, other in itertools.permutations(plan, 2)
             if slow not in (one, other) and far[one][other] >= FEWEST_ON_THE_WAY - 1]  # fmt: skip
    way = next(way for pair in pairs if slow not in (way := send_stream(room, *pair)))
    until(lambda: room.stream["received"] > 150)
    return way


def test_a_stream_crosses_the_students_routers_and_comes_back_after_a_pull(room, screen, need):
    way = long_stream(room)
    assert len(way) >= FEWEST_ON_THE_WAY
    middle = len(way) // 2
    ends = way[middle - 1 : middle + 1]
    number = room.link(*ends)

    # What the room sees at the front: all piers, the way, and packets that are played.
    words = lambda place: screen.locator(f"#{place}").inner_text()  # noqa: E731
    until(lambda: words("path") == " → ".join(way))
    seen = screen.evaluate(WORDS)
    assert {*room.names()} <= {*seen["names"]}
    assert seen["small"] == seen["overlaps"] == seen["outside"] == []
    assert screen.locator("#map .way").count() == len(way) - 1
    told = lambda: screen.locator("#strip").get_attribute("aria-label")  # noqa: E731
    until(lambda: "150 packets" in told())
    before, received = room.stream, words("received")
    until(lambda: words("received") != received)
    picture(screen, f"room-of-{LAPTOPS}-with-a-stream")

    # A click on the link itself pulls it.
    names = next(link["ends"] for link in room.view["links"] if link["number"] == number)
    line = screen.locator(f"#map [aria-label$='the link {names[0]} – {names[1]}']")
    screen.mouse.click(*line.evaluate(POINT))
    until(lambda: f"{names[0]} – {names[1]}: pulled at this screen" in words("troubles"))
    until(lambda: room.view["links"][number]["state"] == "pulled")
    until(lambda: room.stream["back_after_s"] and room.stream["quiet_s"] is None)
    back = room.stream
    until(lambda: words("flow") == "Packets flow again.")
    until(lambda: " 0 lost" not in told())
    lost = lambda: screen.locator("#strip .lost").get_attribute("d")  # noqa: E731
    gap = lost()
    picture(screen, f"room-of-{LAPTOPS}-with-a-pulled-link")
    until(lambda: lost() != gap)  # the strip moves on, and the gap with it
    assert violations(screen, find_axe(need)) == []
    seen = screen.evaluate(WORDS)
    assert seen["small"] == seen["overlaps"] == seen["outside"] == []
    print(f"\nthe stream crosses {len(way)} routers; {before['received']} of {before['sent']} had "
          f"come, {before['late']} late")  # fmt: skip
    print(f"after the pull it was back in {back['back_after_s']:.2f} s")
    screen.mouse.click(*line.evaluate(POINT))
    until(lambda: all_up(room))


def test_a_packet_is_followed_over_all_routers_of_its_way(room, screen):
    source, *_, destination = long_stream(room)
    room.wish("stream")
    until(lambda: not room.stream)
    screen.get_by_role("button", name="One packet", exact=True).click()
    screen.get_by_label("From", exact=True).select_option(source)
    screen.get_by_label("To", exact=True).select_option(destination)
    screen.get_by_role("button", name="Follow a packet").click()
    until(lambda: room.story and room.story[-1]["verdict"].startswith("delivered"))
    way = [step["pier"] for step in room.story]  # it may have changed since the stream
    assert (way[0], way[-1]) == (source, destination)
    assert len(way) >= FEWEST_ON_THE_WAY
    verdicts = [step["verdict"] for step in room.story]
    assert verdicts[:-1] == [f"forwarded to {pier}" for pier in way[1:]]
    lives = [bytes.fromhex(step["octets_hex"])[14 + 8] for step in room.story]
    assert lives == [*range(lives[0], lives[0] - len(way), -1)]  # RFC 1812, section 5.3.1
    assert [step["lives"] for step in room.story] == [[life + 1, life] for life in lives]
    until(lambda: screen.locator("#steps li").count() == len(way))
    screen.locator("#steps").press("End")
    assert screen.evaluate(WORDS)["small"] == []
    picture(screen, f"room-of-{LAPTOPS}-with-a-packet")
    screen.get_by_role("button", name="A stream", exact=True).click()


def test_a_slow_line_costs_its_own_laptop_packets_and_nobody_else(room):
    """A stream is more than the line carries; those who need it not go on as before."""
    slow = room.pier_of(SLOW)
    near = next(link["ends"] for link in room.view["links"] if slow in link["ends"])
    send_stream(room, *sorted(near, key=lambda pier: pier == slow))
    until(lambda: room.stream["sent"] > 600)
    others = [number for number in range(LAPTOPS) if number != SLOW]
    beside = next(link["ends"] for link in room.view["links"] if slow not in link["ends"])
    one, other = (next(n for n in others if room.pier_of(n) == pier) for pier in beside)
    assert room.echoes(one, other) == 5
    own = room.stream
    assert own["lost"] > 0
    away = [link["ends"] for link in room.view["links"] if link["state"] != "up"]
    assert all(slow in ends for ends in away)
    assert room.states() == ["here"] * LAPTOPS
    print(f"\nbehind {SLOW_RATE}: of {own['sent']} packets {own['lost']} lost, {own['late']} late; "
          f"{len(away)} of its links down meanwhile, none of the others")  # fmt: skip
    room.wish("stream")
    until(lambda: not room.stream and all_up(room))


def test_who_sleeps_is_gone_around_and_gets_the_pier_back(room):
    sleepers = room.laptops[2], room.laptops[5 % LAPTOPS]
    piers = [laptop.said["pier"] for laptop in sleepers]
    for laptop in sleepers:
        laptop.do("sleep")
    until(lambda: room.states().count("asleep") == len(sleepers))
    for laptop in sleepers:
        laptop.do("wake")
    wait_until_settled(room)
    assert [laptop.said["pier"] for laptop in sleepers] == piers


def test_links_go_on_without_the_room_and_it_comes_back(room):
    piers = [laptop.said["pier"] for laptop in room.laptops]
    room.server.process.kill()
    until(lambda: all("links go on" in laptop.said["words"] for laptop in room.laptops))
    assert room.echoes(0, LAPTOPS - 1) == 5
    room.open()
    wait_until_settled(room)
    assert [laptop.said["pier"] for laptop in room.laptops] == piers


def test_three_broken_routers_are_named_and_harm_nobody_else(tmp_path):
    """A small room: ten laptops in a ring with chords, three of them with a broken router."""
    with RoomOfLaptops() as building:
        room = TheRoom(building, tmp_path / "room.json", dict(enumerate(range(10))), 10)
        sources = {2: CRASHES, 5: TURNS_BACK, 8: LIES.replace("BLOCK", "1")}
        for number in range(10):
            room.add(number, source=sources.get(number))
        until(lambda: room.states() == ["here"] * 10)
        until(lambda: all(laptop.said.get("pier") for laptop in room.laptops))
        names = {number: room.pier_of(number) for number in sources}

        def faults():
            return {member["pier"]: " ".join(member["faults"])
                    for member in room.view["members"] if member["faults"]}  # fmt: skip

        # Of a packet for the host behind the one that turns packets back, its neighbour tells.
        until(lambda: all_up(room))
        room.wish("follow", source=room.pier_of(4), destination=names[5])
        verdict = f"forwarded to {room.pier_of(4)}: back by the line that it came by"
        until(lambda: any(step["verdict"].startswith(verdict) for step in room.story))
        # What is for that host goes to and fro for long; another one brings a router to its end.
        room.laptops[4].do("echo", to=room.laptops[5].said["address"], count=10, wait_s=1.0)
        room.laptops[7].do("echo", to=room.laptops[2].said["address"], count=2, wait_s=1.0)
        until(lambda: "router has ended" in faults().get(names[2], ""))
        until(lambda: "draws packets for North Pier" in faults().get(names[8], ""))
        until(lambda: "another line" in faults().get(names[5], ""))
        assert {*faults()} == {*names.values()}  # and nobody else
        assert room.echoes(3, 4) == 5
        print("\n", faults())
        room.close()

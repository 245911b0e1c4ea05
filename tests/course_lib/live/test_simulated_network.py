import pytest

from course_lib import capture
from course_lib.live import LineSettings, SimulatedNetwork, SourceRecipe, pier_plan
from course_lib.live.ferry_plans import fleet_plan
from course_lib.live.measuring.probes import echo_requests, stream, trace_path
from course_lib.network import NetworkError
from course_lib.steering import (
    PutBackStage,
    RouterState,
    SetLink,
    StagePlace,
    SteeringError,
    SwapStage,
)

OFFICE, BOARD, PIER = "Ticket Office", "Timetable Board", "North Pier"
REPEATER = """
class Repeater:
    def __init__(self, interfaces):
        self.macs = {each.name: each.hardware_address for each in interfaces}
    def receive(self, now_s, interface, frame):
        if frame[12:14] == b"\\x08\\x06":
            asker, mac = frame[22:32], self.macs[interface]
            said = frame[14:21] + b"\\2" + mac + frame[38:42] + asker
            return [(interface, asker[:6] + mac + frame[12:14] + said)]
        (other,) = set(self.macs) - {interface}
        return [(other, frame)]
    def tick(self, now_s):
        return []
    def next_tick_s(self):
        return float("inf")
def make_router(interfaces):
    return Repeater(interfaces)
"""
SLOW = LineSettings(rate_bits_per_s=1e6, delay_s=0.010, queue_packets=20)


def test_the_same_questions_as_of_a_private_network_are_answered():
    with SimulatedNetwork(pier_plan(line=SLOW, back=SLOW)) as network:
        assert [round(time_s, 2) for time_s in echo_requests(network, OFFICE, BOARD)] == [
            0.04,  # two questions for hardware addresses, and the echo
            0.02,
            0.02,
        ]
        assert [hop.place for hop in trace_path(network, OFFICE, BOARD)] == [PIER, BOARD]
        report = stream(network, OFFICE, BOARD, count=50, interval_s=0.01)
        assert (report.received, report.sent) == (50, 50)
        state = network.state(PIER)
        assert isinstance(state, RouterState)
        assert len(state.routes) == 2


def test_a_cut_is_felt_and_mended():
    with SimulatedNetwork(pier_plan()) as network:
        network.cut("North Pier - Timetable Board")
        assert echo_requests(network, OFFICE, BOARD, count=2) == [None, None]
        network.mend("North Pier - Timetable Board")
        assert echo_requests(network, OFFICE, BOARD, count=2)[-1] is not None


def test_a_router_of_ones_own_runs_in_it():
    recipe = SourceRecipe("""
class Silent:
    def receive(self, now_s, interface, frame):
        return []
    def tick(self, now_s):
        return []
    def next_tick_s(self):
        return float("inf")
def make_router(interfaces):
    return Silent()
""")
    with SimulatedNetwork(pier_plan(recipe)) as network:
        assert echo_requests(network, OFFICE, BOARD, count=2) == [None, None]


def test_the_fleet_has_ten_routers_and_every_host_reaches_every_other():
    with SimulatedNetwork(fleet_plan()) as network:
        names = [host.name for host in network.plan.hosts]
        for name in names[1:]:
            assert None not in echo_requests(network, names[0], name, count=1)


def test_what_it_cannot_do_it_says():
    with (
        SimulatedNetwork(pier_plan()) as network,
        pytest.raises(NetworkError, match=r"cannot measure 'bulk'.*course_lib\.tcp"),
    ):
        network.measure(OFFICE, "bulk", destination=1)
    with pytest.raises(NetworkError, match="same in both directions"):
        SimulatedNetwork(pier_plan(line=SLOW))


def test_a_router_is_changed_while_it_runs_but_not_its_lines():
    source = "from course_lib.forwarding import Drop\nfrom course_lib.headers import Reason\n"
    source += "def no_more(packet):\n    return Drop(Reason.FILTERED)\n"
    with SimulatedNetwork(pier_plan()) as network:
        network.change(PIER, SwapStage("validate", source, "no_more", StagePlace.AFTER))
        assert echo_requests(network, OFFICE, BOARD, count=2) == [None, None]
        network.change(PIER, PutBackStage("no_more"))
        assert None not in echo_requests(network, OFFICE, BOARD, count=2)
        with pytest.raises(SteeringError, match="no line"):
            network.change(PIER, SetLink("to Ticket Office", is_up=False))


def test_a_packet_is_followed_as_in_a_network_of_kernels(tmp_path):
    with SimulatedNetwork(pier_plan()) as network:
        first, second = (network.follow_next_packet(PIER, "to Ticket Office") for _ in range(2))
        with pytest.raises(SteeringError, match="already"):
            second.result(0)
        assert None not in echo_requests(network, OFFICE, BOARD, count=2)
    followed = first.result(0)
    assert (followed.journey.router, followed.journey.end.kind) == (PIER, "left the fast path")
    assert followed.passings[0].interface == "to Ticket Office"
    with SimulatedNetwork(pier_plan()) as network:
        echo_requests(network, OFFICE, BOARD, count=1)
        asked = network.follow_next_packet(PIER)
        echo_requests(network, OFFICE, BOARD, count=1)
    came, went = asked.result(0).passings
    assert (came.is_outgoing, went.is_outgoing) == (False, True)
    assert came.octets[22] - went.octets[22] == 1  # the time to live
    asked.result(0).save(tmp_path / "one.pcap")
    assert [one.octets for one in capture.read(tmp_path / "one.pcap")] == [
        came.octets,
        went.octets,
    ]


def test_a_router_of_ones_own_that_returns_pairs_is_followed_too():
    with SimulatedNetwork(pier_plan(SourceRecipe(REPEATER))) as network:
        asked = network.follow_next_packet(PIER)
        echo_requests(network, OFFICE, BOARD, count=1)
    assert asked.result(0).journey.stages == ("the router",)
    assert [one.interface for one in asked.result(0).passings][1:] == ["to Timetable Board"]

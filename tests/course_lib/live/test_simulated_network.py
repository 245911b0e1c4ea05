import pytest

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

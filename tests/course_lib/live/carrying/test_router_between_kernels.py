"""The process of a router between two kernels: right ones, wrong ones, and one packet's way."""

import itertools

import pytest

from course_lib import capture
from course_lib.figures.tracing.packet_journey import packet_journey
from course_lib.headers.ipv4 import IPv4Header
from course_lib.live import LineSettings, LiveNetworkError, PrivateNetwork, SourceRecipe, pier_plan
from course_lib.live.carrying.endings import why_it_ended
from course_lib.steering import SetLine, SwapStage

pytestmark = pytest.mark.usefixtures("live")

OFFICE, BOARD, PIER = "Ticket Office", "Timetable Board", "North Pier"
KERNEL_DROPS = "frames dropped by the kernel"

OWN_ROUTER = """
from course_lib.forwarding.router import Router

class Mine:
    def __init__(self, interfaces):
        self.inner = Router("mine", interfaces)
        self.frames = 0
    def receive(self, now_s, interface, frame):
        self.frames += 1
{misdeed}
        return self.inner.receive(now_s, interface, frame)
    def tick(self, now_s):
        return self.inner.tick(now_s)
    def next_tick_s(self):
        return self.inner.next_tick_s()

def make_router(interfaces):
    return Mine(interfaces)
"""
RAISES = "if self.frames % 2: raise ValueError('odd')"
NONSENSE = "if self.frames % 2: return [('nowhere', frame), 7]"
LOOPS = "while self.frames > 2: pass"
NEVER = "sum(range(10**13))"  # one operation, which looks at no signal


def own(misdeed):
    return SourceRecipe(OWN_ROUTER.format(misdeed=f"        {misdeed}"))


def echo_rows(network, count=4, wait_s=10.0):
    target = network.plan.host(BOARD).interface.address
    arguments = {"destination": target, "count": count, "interval_s": 0.01, "wait_s": wait_s}
    return list(network.measure(OFFICE, "echo", **arguments))


def answers(network, **more):
    return sum(row["what"] == "echo reply" for row in echo_rows(network, **more))


@pytest.fixture(scope="module")
def network(live):
    with PrivateNetwork(pier_plan(line=LineSettings(delay_s=0.001))) as running:
        while not answers(running, count=1, wait_s=0.5):
            pass  # the kernels have yet to find each other's addresses
        yield running


def test_a_packet_is_followed_from_one_kernel_to_the_other(network, tmp_path):
    asked = network.follow_next_packet(PIER, "to Ticket Office")
    assert answers(network, count=1) == 1
    followed = asked.result()
    journey = followed.journey
    assert [step.stage for step in journey.steps] == list(journey.stages)
    assert journey.end.kind == "sent"
    came, went = followed.passings
    assert (came.interface, went.interface) == ("to Ticket Office", "to Timetable Board")
    before, after = (IPv4Header.parse(each.octets[14:], verify_checksum=True)
                     for each in (came, went))  # fmt: skip
    assert after.time_to_live == before.time_to_live - 1
    assert went.time_ns - came.time_ns >= 1_000_000  # the line's delay
    assert journey.arrived.network == came.octets[14:]
    assert "North Pier" in packet_journey(journey).title
    followed.save(tmp_path / "one.pcap", tmp_path / "one.vcd")
    assert [each.octets for each in capture.read(tmp_path / "one.pcap")] == [
        came.octets, went.octets,
    ]  # fmt: skip
    assert "decide" in (tmp_path / "one.vcd").read_text()
    assert [change.signal for change in followed.timeline().changes].count("decide") >= 2
    assert "followed" not in repr(network.state(PIER).stages)  # nobody is left at the doors


def test_only_one_packet_is_followed_at_a_time(network):
    first, second = network.follow_next_packet(PIER), network.follow_next_packet(PIER)
    with pytest.raises(ValueError, match="already"):
        second.result()
    assert answers(network, count=1) == 1
    assert first.result().journey.router == PIER


def test_lines_and_stages_change_while_packets_flow(network):
    network.change(PIER, SetLine("to Timetable Board", loss_period=2))
    lost = network.state(PIER).interfaces[1].lost_packets
    assert answers(network, wait_s=1.0) == 2
    state = network.state(PIER)
    assert state.interfaces[1].lost_packets == lost + 2
    assert state.counters[KERNEL_DROPS] == 0
    network.change(PIER, SetLine("to Timetable Board"))
    counting = "seen = []\ndef counting(packet):\n    seen.append(packet)\n    return packet"
    network.change(PIER, SwapStage("queue", counting, "counting"))
    assert "counting" in network.state(PIER).stages
    assert answers(network) == 4


@pytest.mark.parametrize(
    ("misdeed", "words"), [(RAISES, "odd"), (NONSENSE, "nowhere"), (LOOPS, "no end")]
)
def test_what_a_router_does_wrong_is_said_and_the_network_goes_on(live, misdeed, words):
    with PrivateNetwork(pier_plan(own(misdeed))) as network:
        while not any(words in text for text in network.state(PIER).complaints):
            answers(network, count=2, wait_s=0.2)
        assert network.is_alive(PIER)
        assert any(words in text for text in network.complaints(PIER))


def test_a_router_of_ones_own_carries_packets(live):
    with PrivateNetwork(pier_plan(own("pass"))) as network:
        asked = network.follow_next_packet(PIER)
        while not answers(network, count=1, wait_s=0.5):
            pass
        assert answers(network) == 4
        assert asked.result().journey.stages == ("the router",)


def test_a_call_that_cannot_be_interrupted_ends_the_process_and_is_told(live):
    with PrivateNetwork(pier_plan(own(NEVER))) as network:
        for _ in itertools.takewhile(lambda _: network.is_alive(PIER), itertools.count()):
            answers(network, count=1, wait_s=0.2)
        assert not network.is_alive(PIER)
    assert "could not be interrupted" in why_it_ended(-27)


@pytest.mark.parametrize(
    ("source", "words"),
    [
        pytest.param("def make_router(interfaces):\n    return 1 / 0", "line 2", id="raises"),
        pytest.param("def make_router(interfaces):\n    return 7", "no receive", id="no-router"),
        pytest.param("def make_router(interfaces:\n", "SyntaxError", id="no-python"),
        pytest.param("x = 1", "no function called make_router", id="no-function"),
        pytest.param("def make_router(interfaces):\n    while True: pass", "no end", id="loops"),
    ],
)
def test_a_router_that_cannot_be_made_says_why(live, source, words):
    with (
        pytest.raises(LiveNetworkError, match=words),
        PrivateNetwork(pier_plan(SourceRecipe(source))),
    ):
        pass

"""A whole network: times hop by hop, books that balance, the same run every time."""

import hashlib
import math
import os
import subprocess
import sys
from collections import Counter

import pytest

from course_lib.capture import read, write
from course_lib.network import End, Network, NetworkError, TooManyEventsError, Wire, captured
from course_lib.network.records import What
from networks.network_stand_ins import Relay, Script, arrivals, chain, frame_of, interface

MICROSECOND = 1e-6


def books(network):
    """Add up the books of all directions: sent, delivered, lost, dropped, in flight."""
    return [sum(column) for column in zip(*network.traffic().values(), strict=True)]


def counted(records, *kinds):
    counts = Counter(record.what for record in records)
    return [counts[kind] for kind in kinds]


# --- store and forward


def test_each_hop_takes_a_whole_frame_before_it_sends_on():
    """1500 octets over three wires of 100 Mb/s: 3 * 120 us, not 120 us (1500 * 8 / 100e6 each)."""
    network = chain([(0.0, "east", frame_of(1500))], relays=2)
    network.run_until(1)
    assert [time_s for time_s, *_ in arrivals(network)] == pytest.approx([360 * MICROSECOND])
    times = [r.time_s for r in network.records if r.what is What.DELIVERED]
    assert times == pytest.approx([120 * MICROSECOND, 240 * MICROSECOND, 360 * MICROSECOND])


def test_delay_is_added_on_every_wire():
    network = chain([(0.5, "east", frame_of(1500))], relays=2, delay_s=0.005)
    network.run_until(1)
    assert arrivals(network)[0][0] == pytest.approx(0.5 + 3 * (0.005 + 120 * MICROSECOND))


def test_ten_frames_follow_each_other_like_waggons():
    """The last of n equal frames over h equal wires arrives after (h + n - 1) sending times."""
    network = chain([(0, "east", frame_of(1500, n)) for n in range(10)], relays=2)
    network.run_until(1)
    times = [time_s for time_s, *_ in arrivals(network)]
    assert times == pytest.approx([(3 + n) * 120 * MICROSECOND for n in range(10)])
    assert [frame for *_, frame in arrivals(network)] == [frame_of(1500, n) for n in range(10)]


def test_a_slow_wire_in_the_middle_makes_frames_wait_there():
    """Fast, slow, fast: 120 us, 1200 us, 120 us. The second frame waits 1080 us at the slow one."""
    network = Network()
    places = {"Plover": Script([(0, "e", frame_of(1500, n)) for n in range(2)]), "Curlew": Script()}
    network.add_router("Plover", places["Plover"], [interface("e", 0xC0000200, 1)])
    own = [interface("w", 0xC0000201, 2), interface("e", 0xC0000202, 3)]
    network.add_router("Reed Pier", Relay(own), own)
    network.add_router("Curlew", places["Curlew"], [interface("w", 0xC0000203, 4)])
    network.connect(Wire("fast", (End("Plover", "e"), End("Reed Pier", "w"))))
    network.connect(Wire("slow", (End("Reed Pier", "e"), End("Curlew", "w")), 10e6))
    network.run_until(1)
    assert [t for t, *_ in places["Curlew"].got] == pytest.approx([1320e-6, 2520e-6])
    waits = [r.delay_s for r in network.records if r.what is What.SENT and r.wire == "slow"]
    assert waits == pytest.approx([0, 1080 * MICROSECOND])


def test_the_two_directions_of_a_wire_do_not_hinder_each_other():
    network = Network()
    scripts = [Script([(0, "x", frame_of(1500))]) for _ in range(2)]
    for number, script in enumerate(scripts):
        network.add_router(f"Pier {number}", script, [interface("x", 0xC0000200 + number, number)])
    network.connect(Wire("reef", (End("Pier 0", "x"), End("Pier 1", "x"))))
    network.run_until(1)
    assert [s.got[0][0] for s in scripts] == pytest.approx([120 * MICROSECOND] * 2)


# --- books


@pytest.mark.parametrize("until_s", [0.0, 0.0004, 0.0017, 0.004, 5.0])
def test_frames_are_conserved_at_any_time_and_in_books_and_records_alike(until_s):
    """A burst meets a small buffer and a lossy wire; the run is stopped in the middle of it."""
    scenes = [(0.0001 * n, "east", frame_of(400 + n, n)) for n in range(60)]
    settings = {"rate_bits_per_s": 20e6, "delay_s": 0.0006, "loss_rate": 0.1, "buffer_frames": 3}
    network = chain(scenes, **settings)
    network.run_until(until_s)
    sent, delivered, lost, dropped, in_flight = books(network)
    assert sent == delivered + lost + dropped + in_flight
    kinds = (What.SENT, What.DELIVERED, What.LOST, What.DROPPED)
    assert counted(network.records, *kinds) == [sent, delivered, lost, dropped]
    assert len(arrivals(network)) == network.traffic()["Pier 2 - Curlew", "Pier 2"].delivered


def test_all_of_that_really_happens():
    """The run of the test above holds every fate, and in its middle frames are in flight."""
    scenes = [(0.0001 * n, "east", frame_of(400 + n, n)) for n in range(60)]
    settings = {"rate_bits_per_s": 20e6, "delay_s": 0.0006, "loss_rate": 0.1, "buffer_frames": 3}
    network = chain(scenes, **settings)
    network.run_until(0.0017)
    assert books(network)[-1] > 0
    network.run_until(5)
    assert min(books(network)[:4]) > 0
    assert books(network)[-1] == 0


def test_what_became_of_a_frame_is_found_by_wire_and_number():
    scenes = [(0.01 * n, "east", frame_of(400, n)) for n in range(40)]
    network = chain(scenes, relays=0, loss_rate=0.3)
    network.run_until(5)
    fates = {What.DELIVERED, What.LOST}
    ends = {(r.wire, r.number): r.frame for r in network.records if r.what in fates}
    sent = {(r.wire, r.number): r.frame for r in network.records if r.what is What.SENT}
    assert ends == sent
    assert len(sent) == 40


# --- order and repetition


def digest(network):
    return hashlib.sha256("\n".join(map(repr, network.records)).encode()).hexdigest()


def lossy_run(seed):
    scenes = [(0.0001 * n, "east", frame_of(400 + n % 7, n)) for n in range(100)]
    network = chain(scenes, loss_rate=0.2, buffer_frames=5, rate_bits_per_s=30e6)
    assert network.seed == 1
    again = Network(seed=seed)
    for name, router in network.routers.items():
        own = [
            network.plan.interface(end)
            for wire in network.wires.values()
            for end in wire.ends
            if end.place == name
        ]
        again.add_router(name, router, own)
    for wire in network.wires.values():
        again.connect(wire)
    again.run_until(2)
    return again


def test_the_same_seed_gives_the_same_records_and_another_seed_others():
    first, second, other = (digest(lossy_run(seed)) for seed in (5, 5, 6))
    assert first == second != other


def test_a_run_in_pieces_is_the_run_in_one():
    whole, pieces = (
        chain([(0.001 * n, "east", frame_of(99, n)) for n in range(9)], loss_rate=0.3)
        for _ in range(2)
    )
    whole.run_until(1)
    for time_s in (0.0003, 0.0031, 0.0031, 0.5, 1):
        pieces.run_until(time_s)
    assert pieces.records == whole.records


FERRY_RUN = """
import hashlib
from course_lib.ferry.network import Medium, ferry_network
from course_lib.network import echo_requests, trace_path
network = ferry_network(seed=3, radio=Medium(1e6, 0.002, 0.2))
echo_requests(network, "Ticket Office", "Curlew Bridge Screen", count=10)
trace_path(network, "Weather Mast", "Plover Bridge Screen")
print(hashlib.sha256(repr(network.records).encode()).hexdigest())
"""


def test_a_run_is_the_same_in_another_process_whatever_the_hashes_of_text_are():
    """Python hashes text differently in every process; sets must not decide what happens."""
    outputs = set()
    for hash_seed in ("1", "2"):
        environment = {**os.environ, "PYTHONHASHSEED": hash_seed}
        done = subprocess.run(
            [sys.executable, "-c", FERRY_RUN],
            capture_output=True, text=True, check=True, env=environment,
        )  # fmt: skip
        outputs.add(done.stdout)
    assert len(outputs) == 1


def test_at_one_time_frames_arrive_in_the_order_of_sending_and_before_timers():
    """Two equal frames reach Curlew at 1 s over two wires, which is also when it has a timer."""
    heard = []

    class Listener(Script):
        def receive(self, now_s, interface, frame):
            heard.append(interface)
            return []

        def tick(self, now_s):
            heard.append("timer")
            return super().tick(now_s)

    network = Network()
    senders = [interface("b", 0xC0000202, 3), interface("a", 0xC0000200, 1)]
    network.add_router(
        "Plover", Script([(0, "b", frame_of(125)), (0, "a", frame_of(125))]), senders
    )
    takers = [interface("a", 0xC0000201, 2), interface("b", 0xC0000203, 4)]
    network.add_router("Curlew", Listener([(1.0, "a", frame_of(60))]), takers)
    for name in "ab":
        network.connect(Wire(name, (End("Plover", name), End("Curlew", name)), 1000))
    network.run_until(1)
    assert heard == ["b", "a", "timer"]


class Ticker(Script):
    """A script that writes down, in a list that it shares, when it is called."""

    def __init__(self, diary, *times_s):
        super().__init__([(time_s, "x", frame_of(60)) for time_s in times_s])
        self.diary = diary

    def tick(self, now_s):
        self.diary.append((now_s, self))
        return super().tick(now_s)


def with_tickers(*tickers):
    network = Network()
    for number, ticker in enumerate(tickers):
        own = [interface("x", 0xC0000200 + 2 * number, 1)]
        network.add_router(f"Pier {9 - number}", ticker, own)
    return network


def test_timers_at_one_time_go_in_the_order_of_the_places():
    """The first place asks last: only at 0.5 s does it want to be called at 1 s."""
    diary = []
    tickers = [Ticker(diary, 0.5, 1.0), *(Ticker(diary, 1.0) for _ in range(4))]
    with_tickers(*tickers).run_until(2)
    assert diary == [(0.5, tickers[0]), *((1.0, ticker) for ticker in tickers)]


def test_who_changes_its_mind_is_called_at_the_new_time_only():
    diary = []
    ticker = Ticker(diary, 1.0)
    network = with_tickers(ticker)
    network.at(0.5, lambda: setattr(ticker, "scenes", [(3.0, "x", frame_of(60))]))
    network.run_until(5)
    assert diary == [(3.0, ticker)]


def test_a_scene_goes_before_a_frame_that_arrives_at_the_same_time():
    """The wire is cut just when the last bit would arrive, and the frame is lost."""
    network = chain([(0.0, "east", frame_of(125))], relays=0, rate_bits_per_s=1000)
    network.run_until(0.5)
    network.at(1.0, lambda: network.cut("Plover - Curlew"))
    network.run_until(2)
    assert arrivals(network) == []


def test_records_are_in_the_order_of_time():
    network = lossy_run(1)
    times = [record.time_s for record in network.records]
    assert times == sorted(times)
    assert len(times) > 300


# --- scenes


def test_a_wire_can_be_cut_and_mended_in_a_scene():
    scenes = [(float(n), "east", frame_of(60, n)) for n in range(6)]
    network = chain(scenes, relays=0)
    network.at(1.5, lambda: network.cut("Plover - Curlew"))
    network.at(3.5, lambda: network.mend("Plover - Curlew"))
    network.run_until(10)
    assert [frame[-1] for *_, frame in arrivals(network)] == [0, 1, 4, 5]
    happened = [(r.time_s, r.what) for r in network.records if r.what in (What.CUT, What.MENDED)]
    assert happened == [(1.5, What.CUT)] * 2 + [(3.5, What.MENDED)] * 2
    assert [r.text for r in network.records if r.what is What.LOST] == ["the wire is cut"] * 2


def test_a_frame_that_is_on_the_way_when_its_wire_is_cut_is_lost_then():
    network = chain([(0.0, "east", frame_of(60))], relays=0, delay_s=1)
    network.run_until(0.5)
    network.cut("Plover - Curlew")
    network.mend("Plover - Curlew")
    network.run_until(5)
    lost = [(r.time_s, r.place, r.text) for r in network.records if r.what is What.LOST]
    assert lost == [(0.5, "Plover", "the wire was cut")]
    assert arrivals(network) == []


def test_only_a_wire_that_exists_can_be_cut():
    with pytest.raises(NetworkError, match="there is no wire 'reef', only 'Plover - Curlew'"):
        chain([], relays=0).cut("reef")


def test_a_scene_cannot_run_the_network_once_more():
    network = chain([])
    network.at(1, lambda: network.run_until(5))
    with pytest.raises(RuntimeError, match="running already"):
        network.run_until(2)
    network.run_until(3)
    assert network.now_s == 3


def test_time_does_not_go_back():
    network = chain([])
    network.run_until(2)
    with pytest.raises(ValueError, match=r"it is 2 s; the clock cannot run until 1 s"):
        network.run_until(1)


def test_an_interface_without_a_wire_loses_frames_and_says_so():
    network = Network()
    network.add_router("Plover", Script([(1, "x", frame_of(60))]), [interface("x", 0xC0000200, 1)])
    network.run_until(2)
    found = [(r.place, r.interface, r.what) for r in network.records]
    assert found == [("Plover", "x", What.LOST)]
    assert network.records[0].text.endswith("there is no wire at this interface")


def test_a_network_that_is_too_busy_is_stopped_and_told_where():
    class Doubler(Relay):
        def receive(self, now_s, interface, frame):
            return super().receive(now_s, interface, frame) * 2

    network = chain([(0, "east", frame_of(60))], relays=1, make=Doubler)
    for end in ("Plover", "Curlew"):
        network.routers[end].receive = lambda now_s, name, frame: [(name, frame)] * 2
    with pytest.raises(TooManyEventsError, match=r"500 events.* frames came to 'Pier 1'.*multiply"):
        network.run_until(10, most_events=500)
    now_s = network.now_s
    with pytest.raises(TooManyEventsError):
        network.run_until(10, most_events=500)
    assert network.now_s > now_s


# --- captures


def test_what_was_delivered_can_be_written_as_a_capture_and_read_back(tmp_path):
    network = chain([(0.001 * n, "east", frame_of(60 + n, n)) for n in range(5)], delay_s=1e-3)
    network.run_until(1)
    chosen = [r for r in network.records if r.what is What.DELIVERED and r.place == "Curlew"]
    write(tmp_path / "curlew.pcap", captured(chosen))
    found = read(tmp_path / "curlew.pcap")
    assert [frame.octets for frame in found] == [frame for *_, frame in arrivals(network)]
    assert [frame.time_ns / 1e9 for frame in found] == pytest.approx(
        [time_s for time_s, *_ in arrivals(network)], abs=1e-9
    )


def test_importing_the_network_loads_nothing_heavy():
    program = "import sys, course_lib.network; print(sorted({'numpy', 'scapy'} & set(sys.modules)))"
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "[]"


def test_counts_are_kept_for_each_place():
    network = chain([(0.0, "east", frame_of(60))], relays=1)
    network.run_until(math.nextafter(1, 2))
    assert network.counts()["Pier 1", What.DELIVERED] == 1
    assert network.counts()["Pier 1", What.SENT] == 1
    assert network.counts()["Curlew", What.SENT] == 0

"""How fast TCP flows are simulated: packets a second, and ratios to two peers in the same run.

Run as a script: `python tests/benchmarks/bench_tcp.py`. The peers are the same loop over plain
objects and lists, which must give the same numbers, and the same flows in SimPy: a process for the
link and one for each acknowledgement on its way, with this package's rules for senders and
receivers, so that SimPy's own part is all that differs. Both must carry as many packets.

For the cost by the number of flows the peer is a compiled loop that only touches, for each packet,
as many records of the same size in as much memory, in random order, each place known when the last
record is there. Rounds alternate; processor time is counted; a figure is the median over them.
"""

import statistics
import time
from collections.abc import Generator
from typing import Any

import numba
import numpy as np
import simpy

from course_lib.engine.records import machine_row
from course_lib.experiments.sweeps import sweep_buffers
from course_lib.queueing.drop_policies import keep
from course_lib.tcp import memory as tcp_memory
from course_lib.tcp import receivers as tcp_receivers
from course_lib.tcp import senders as tcp_senders
from course_lib.tcp import simulation as tcp
from course_lib.tcp.bottleneck import leave_link
from course_lib.tcp.results import utilisation
from course_lib.tcp.state import ECHO, NEVER, Net, Receiver, Segment, Sender
from course_lib.tcp.timing_wheel import give_back
from course_lib.tcp.traffic import Flows, spread_flows

ROUNDS = 3
RATE = 100e6
BUFFER = 83
AFTER_THE_LINK_NS = 0.25  # of two events at a time, the packet that leaves the link is first


def spread(count: int) -> Flows:
    return spread_flows(count, (0.06, 0.14), (0.0, 1.0))


def seconds(call: Any) -> tuple[float, Any]:
    start = time.process_time()
    result = call()
    return time.process_time() - start, result


def with_simpy(flows: Flows, to_s: float) -> int:
    """Run the flows with SimPy as clock and calendar; return the packets carried."""
    environment = simpy.Environment()
    net = plain_net(flows, to_s)
    woken = [environment.event()]

    def later(place: int, after_ns: float) -> Generator[Any, Any, None]:
        yield environment.timeout(after_ns)
        net.clock.now_ns = int(environment.now)
        ring(net, place)
        wake()

    def set_alarm(_: Net, place: int, at_ns: int) -> None:
        environment.process(later(place, at_ns + AFTER_THE_LINK_NS - environment.now))

    def wake() -> None:
        if net.link.free_ns != NEVER and not woken[0].triggered:
            woken[0].succeed()

    def link() -> Generator[Any, Any, None]:
        while True:
            if net.link.free_ns == NEVER:
                woken[0] = environment.event()
                yield woken[0]
            yield environment.timeout(net.link.free_ns - environment.now)
            net.clock.now_ns = int(environment.now)
            place = leave_link(net)
            net.receivers[net.packets[place].flow].carried += 1
            tcp_receivers.receive(net, place)

    patched = (tcp_receivers, tcp_senders)
    originals = [module.set_alarm for module in patched]
    try:
        for module in patched:
            module.set_alarm = set_alarm  # type: ignore[attr-defined]
        for place in range(2 * len(net.senders), len(net.packets)):
            give_back(net, place)
        for flow, sender in enumerate(net.senders):
            set_alarm(net, flow, min(sender.due_ns, net.rules.shortest_timeout_ns))
        environment.process(link())
        environment.run(until=round(to_s * 1e9))
    finally:
        for module, original in zip(patched, originals, strict=True):
            module.set_alarm = original  # type: ignore[attr-defined]
    return sum(receiver.carried for receiver in net.receivers)


def ring(net: Net, place: int) -> None:
    flows = len(net.senders)
    if place < flows:
        tcp_senders.look_at_timer(net, place)
    elif place < 2 * flows:
        tcp_receivers.acknowledge_late(net, place - flows)
    else:
        packet = net.packets[place]
        give_back(net, place)
        echo = packet.marks & ECHO != 0
        tcp_senders.acknowledged(net, packet.flow, packet.number, packet.missing, echo)


def plain_net(flows: Flows, to_s: float) -> Net:
    plan = tcp.Scenario(flows, RATE, BUFFER, to_s=to_s, compiled=False).plan()
    return Net(*tcp_memory.make_state(plan, tcp_memory.likely_size(plan)), keep, keep)


def run(flows: Flows, rate: float, buffer: int, to_s: float, compiled: bool = True) -> tcp.TcpRun:
    return tcp.simulate_tcp(flows, rate, buffer, to_s=to_s, compiled=compiled)


def against_peers() -> None:
    flows, rows = spread(100), []
    run(flows, RATE, BUFFER, 1)
    for _ in range(ROUNDS):
        fast_s, fast = seconds(lambda: run(flows, RATE, BUFFER, 60))
        short_s, short = seconds(lambda: run(flows, RATE, BUFFER, 10))
        plain_s, plain = seconds(lambda: run(flows, RATE, BUFFER, 10, compiled=False))
        simpy_s, carried = seconds(lambda: with_simpy(flows, 10))
        count, few = fast.per_flow.carried.sum(), short.per_flow.carried.sum()
        assert plain.per_flow.carried.sum() == few
        assert carried == few
        rows.append((count / fast_s, fast_s, plain_s / short_s, simpy_s / short_s))
    packets_s, fast_s, plain, with_peer = (statistics.median(c) for c in zip(*rows, strict=True))
    print(f"100 flows, 100 Mbit/s, 60 s: {fast_s:.3f} s, {packets_s / 1e6:.2f} million packets/s")
    print(f"plain objects and lists take {plain:.0f} x as long; SimPy {with_peer:.0f} x (10 s)")


def by_number_of_flows() -> None:
    """Each flow has a megabit a second; counted from when all flows have started and lost packets.

    A run to half its time is taken off, so that making memory and slow start are not counted.
    """
    for count in (1, 10, 100, 1000, 10_000, 30_000):
        rate, to_s = max(count, 10) * 1e6, max(6.0, min(60.0, 30_000 / max(count, 10)))
        room = max(10, round(rate * 0.1 / 12_000 / count**0.5))
        times, touches = [], []
        for _ in range(ROUNDS):
            half, whole = (
                seconds(lambda: run(spread(count), rate, room, end_s))  # noqa: B023
                for end_s in (to_s / 2, to_s)
            )
            packets = whole[1].per_flow.carried.sum() - half[1].per_flow.carried.sum()
            times.append((whole[0] - half[0]) / packets * 1e9)
            touches.append(touching_ns(count, round(rate * 0.1 / 12_000)))
        ours, touched = statistics.median(times), statistics.median(touches)
        print(f"{count:>6} flows: {ours:.0f} ns a packet; touching the records alone {touched:.0f}")


def touching_ns(flows: int, under_way: int) -> float:
    """Return what it takes to touch a packet, a slot, a receiver, and a sender twice, at random."""
    kinds = [(Segment, under_way), (Receiver, flows), (Sender, flows), (Sender, flows)]
    steps = np.array([machine_row(kind).itemsize // 8 for kind, _ in kinds] + [1])
    counts = np.array([count for _, count in kinds] + [under_way])
    last = np.cumsum(steps * counts)
    first = np.concatenate([[0], last[:-1]])
    first[3] = first[2] + 8  # the second line of a sender, which another event needs
    memory = np.zeros(last[-1] + 8, np.int64)
    touch(memory, first, steps, counts, 1000)
    spent_s, _ = seconds(lambda: touch(memory, first, steps, counts, 1_000_000))
    return spent_s * 1e3


@numba.njit
def touch(memory: Any, first: Any, steps: Any, counts: Any, packets: int) -> int:
    """Write into random records of each kind; where the next one is depends on what was read."""
    place = 1
    for _ in range(packets):
        for kind in range(len(first)):
            place = (place * 25_214_903_917 + 11) & 0xFFFFFFFFFFFF
            where = first[kind] + (place >> 16) % counts[kind] * steps[kind]
            place += memory[where] >> 40  # 0, but the processor has to wait to know that
            memory[where] += 1
    return place


def buffer_sweep() -> None:
    flows, buffers = spread(100), [round(5 * 1.15**step) for step in range(30)]
    times = []
    for _ in range(3):
        start = time.perf_counter()
        runs = sweep_buffers(flows, RATE, buffers, to_s=60, from_s=20)
        times.append(time.perf_counter() - start)
    least, most = utilisation(runs[0]), utilisation(runs[-1])
    print(f"30 buffers: {statistics.median(times):.2f} s on the wall ({least:.3f} to {most:.3f})")


if __name__ == "__main__":
    against_peers()
    by_number_of_flows()
    buffer_sweep()

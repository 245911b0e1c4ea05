"""How fast one queue is simulated, as a ratio to SimPy and Ciw on the same model in the same run.

Run as a script: `python tests/benchmarks/bench_queueing.py`. The model is M/M/1/10 at a load of
0.9. All three are given the same arrival and service times, drawn beforehand, and must lose the
same packets and send the others at the same times. Rounds alternate, so that a busy machine slows
all of them; processor time is counted. A time is the median over the rounds, a ratio the median of
the ratios within each round.

Ours is timed with the checks of its input and with filling in all results, from the second call
on. What starting costs is shown apart, in a fresh process: with everything fetched from disk, and
with everything compiled.
"""

import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Generator
from pathlib import Path
from typing import Any, NamedTuple

import ciw
import numpy as np
import simpy

from course_lib.queueing.one_queue import FATES, Buffer, QueueRun, simulate
from course_lib.queueing.packets import Packets, exponential_sizes, poisson_times, trace
from course_lib.switching.switch import Waiting, simulate_switch, uniform_cells

ROUNDS = 9
SIZES = (20_000, 100_000)  # packets in a run: about 0.7 ms and 3.5 ms of ours
REPEATS = 10  # of ours, in one round
PLACES = 10
LOAD = 0.9
LINK = 8.0  # bit/s: a packet takes as many seconds as it has octets

START = """
import time
start = time.perf_counter()
from course_lib.engine import compiled
from course_lib.queueing import one_queue, token_buckets
from course_lib.switching import switch
import_s = time.perf_counter() - start
queue = compiled.prepare((*one_queue.PARTS, *token_buckets.METERS))
switches = compiled.prepare(switch.PARTS)
print(import_s, queue.seconds, switches.seconds, queue.fetched + switches.fetched)
"""


class Fates(NamedTuple):
    """What all candidates tell: which packets were lost, and when the others left, in order."""

    lost: list[bool]
    left_s: list[float]


def packets_of(seed: int, count: int) -> Packets:
    random = np.random.default_rng(seed)
    times = poisson_times(LOAD, count, random)
    return trace(times, exponential_sizes(1.0, count, random))


def ours(packets: Packets) -> QueueRun:
    return simulate(packets, LINK, buffer=Buffer(PLACES))


def with_simpy(packets: Packets) -> Fates:
    """Write the model as SimPy's users do: a process for the source and one for each packet."""
    environment = simpy.Environment()
    link = simpy.Resource(environment, capacity=1)
    fates = Fates([], [])

    def packet(service_s: float) -> Generator[Any, Any, None]:
        with link.request() as turn:
            yield turn
            yield environment.timeout(service_s)
        fates.left_s.append(environment.now)

    def source() -> Generator[Any, Any, None]:
        gaps = np.diff(packets.came_s, prepend=0.0).tolist()
        for gap_s, service_s in zip(gaps, packets.octets.tolist(), strict=True):
            yield environment.timeout(gap_s)
            full = link.count + len(link.queue) >= PLACES
            fates.lost.append(full)
            if not full:
                environment.process(packet(service_s))

    environment.process(source())
    environment.run()
    return fates


class ByNumber(ciw.dists.Distribution):  # type: ignore[misc]
    """Give the n-th customer to come the n-th service time."""

    def __init__(self, times: list[float]) -> None:
        self.times = times

    def sample(self, t: Any = None, ind: Any = None) -> float:
        return self.times[ind.id_number - 1]


def with_ciw(packets: Packets) -> Fates:
    """Build the model from Ciw's parts."""
    gaps = [*np.diff(packets.came_s, prepend=0.0).tolist(), float("inf")]
    network = ciw.create_network(
        arrival_distributions=[ciw.dists.Sequential(gaps)],
        service_distributions=[ByNumber(packets.octets.tolist())],
        number_of_servers=[1],
        queue_capacities=[PLACES - 1],
    )
    simulation = ciw.Simulation(network)
    simulation.simulate_until_max_time(float(packets.came_s[-1]) + 1000)
    records = sorted(simulation.get_all_records(), key=lambda record: record.id_number)
    lost = [record.record_type == "rejection" for record in records]
    return Fates(lost, [record.exit_date for record in records if record.record_type == "service"])


def check_that_all_agree(packets: Packets) -> None:
    """Raise AssertionError unless all lose the same packets and send the others at one time."""
    run = ours(packets)
    lost = run.fate == FATES.index("no room")
    for fates in (with_simpy(packets), with_ciw(packets)):
        assert fates.lost == lost.tolist()
        assert np.allclose(fates.left_s, run.left_s[~lost])


def seconds(call: Callable[[Packets], object], packets: Packets, repeats: int) -> float:
    start = time.process_time()
    for _ in range(repeats):
        call(packets)
    return (time.process_time() - start) / repeats


def one_queue_rounds(count: int) -> None:
    """Print the time for a packet, and the ratios to the peers."""
    check_that_all_agree(packets_of(99, count))
    rows = []
    for seed in range(ROUNDS):
        packets = packets_of(seed, count)
        mine = seconds(ours, packets, REPEATS)
        rows.append((mine, seconds(with_simpy, packets, 1), seconds(with_ciw, packets, 1)))
    print(f"M/M/1/{PLACES} at a load of {LOAD}, {count} packets, {ROUNDS} rounds")
    for column, name in enumerate(("ours", "SimPy", "Ciw")):
        each_us = statistics.median(row[column] for row in rows) / count * 1e6
        ratios = [row[column] / row[0] for row in rows]
        ratio = f"{statistics.median(ratios):.0f} x ({min(ratios):.0f} to {max(ratios):.0f})"
        print(f"{name:>6}: {each_us:7.3f} us a packet, {ratio}")


def switch_rounds() -> None:
    """Print the time of a slot of a saturated switch, for which there is no peer."""
    for ports in (8, 16, 32):
        cells = uniform_cells(ports, 1.0, 5000, np.random.default_rng(ports))
        simulate_switch(cells, Waiting.INPUT)
        times = []
        for _ in range(ROUNDS):
            start = time.process_time()
            simulate_switch(cells, Waiting.INPUT)
            times.append((time.process_time() - start) / len(cells) * 1e6)
        print(f"switch of {ports} ports, input queues: {statistics.median(times):.2f} us a slot")


def starts() -> None:
    """Print what the first use costs; on the wall, since that is what a class waits for."""
    with tempfile.TemporaryDirectory() as place:
        environment = {**os.environ, "NUMBA_CACHE_DIR": place}
        for name in ("compiled", "fetched", "fetched"):
            done = subprocess.run(
                [sys.executable, "-c", START],
                env=environment,
                cwd=Path(__file__).parents[2],
                capture_output=True,
                text=True,
                check=True,
            ).stdout.split()
            import_s, queue_s, switch_s = map(float, done[:3])
            print(
                f"start, all {name} ({done[3]} from disk): import {import_s:.2f} s, "
                f"queue and meters {queue_s:.2f} s, switch {switch_s:.2f} s"
            )


if __name__ == "__main__":
    for packets_in_a_run in SIZES:
        one_queue_rounds(packets_in_a_run)
    switch_rounds()
    starts()

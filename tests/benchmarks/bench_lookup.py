"""Compare the direct-index table with PyTricia and with NumPy, at a million routes.

    python tests/benchmarks/bench_lookup.py [ROUTES]

All figures of one line come from one run in which the competitors take turns; each is the median
of the turns. What is measured is processor time, since the machine may have other work to do:
all competitors use one thread. PyTricia is given what it takes fastest: whole numbers for
addresses and for inserting, octets with a length for deleting. Random addresses are drawn
afresh for every turn, so that nobody finds the cache warmed by the one before.
"""

import gc
import multiprocessing
import statistics
import sys
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import NamedTuple

import numpy as np
import pytricia

from course_lib.engine import engine
from course_lib.lookup import DirectIndex
from course_lib.lookup.direct_index_reader import read_with_numpy
from course_lib.lookup.invented_routes import RouteTable, invent_routes
from course_lib.prefixes.prefix import Prefix

TURNS = 7
MANY = 4_000_000  # addresses in one call
SINGLE = 200_000  # addresses or routes, one call each
MIB = 1 << 20
FORK = multiprocessing.get_context("fork")


class Line(NamedTuple):
    """One comparison: how much faster than the peer the table is, and how much it should be."""

    what: str
    ours_ns: float
    peer: str
    peer_ns: float
    goal: float


def main() -> None:
    """Run all comparisons and print them."""
    size = int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000
    routes = invent_routes(size, seed=31)
    print(f"{size:,} invented routes, medians of {TURNS} turns; reader: {engine().reason}")
    before = resident_bytes()
    oracle = fill_pytricia(*(column.tolist() for column in routes))
    between = resident_bytes()
    table = DirectIndex.from_arrays(*routes)
    print_memory(table, between - before, resident_bytes() - between)
    gc.disable()  # the addresses are a million objects that the collector would visit again
    print_line(*HEADINGS)
    for line in [*lookups(table, oracle), *changes(table, oracle, routes), *building(routes)]:
        ratio = line.peer_ns / line.ours_ns
        verdict = "met" if ratio >= line.goal else "MISSED"
        numbers = (f"{line.ours_ns:,.1f}", f"{line.peer_ns:,.1f}", f"{ratio:.2f}", f"{line.goal:g}")
        print_line(line.what, line.peer, *numbers, verdict)


def lookups(table: DirectIndex, oracle: pytricia.PyTricia) -> list[Line]:
    """Look up random addresses: many in a call, and one at a time."""
    rng = np.random.default_rng(1)
    levels = table._first, table._second

    def random_addresses(count: int) -> np.ndarray:
        return rng.integers(0, 1 << 32, count, dtype=np.uint32)

    table.lookup_many(random_addresses(1000))  # loads the compiled code
    hops = np.empty(MANY, np.int32)
    times = take_turns(
        numpy=lambda: timed(lambda a: read_with_numpy(*levels, a, hops), random_addresses(MANY)),
        many=lambda: timed(table.lookup_many, random_addresses(MANY)),
        take=lambda: timed(levels[0].take, rng.integers(0, 1 << 24, MANY)),
        one=lambda: timed_each(table.lookup, random_addresses(SINGLE).tolist()),
        peer=lambda: timed_each(oracle.get, random_addresses(SINGLE).tolist()),
    )
    return [
        Line("many in one call", times["many"], "PyTricia, one call each", times["peer"], 100),
        Line("many in one call", times["many"], "NumPy take, same array", times["take"], 1),
        Line(
            "the same, without Numba", times["numpy"], "PyTricia, one call each", times["peer"], 1
        ),
        Line("one call each", times["one"], "PyTricia", times["peer"], 4),
    ]


def changes(table: DirectIndex, oracle: pytricia.PyTricia, routes: RouteTable) -> list[Line]:
    """Insert new /24s and withdraw them again, in another order, one call each."""
    rng = np.random.default_rng(2)
    drawn = np.unique(rng.integers(1 << 16, 224 << 16, SINGLE)) << 8
    networks = np.setdiff1d(drawn, routes.networks[routes.lengths == 24])
    rng.shuffle(networks)
    prefixes = [Prefix(network, 24) for network in networks.tolist()]
    keys = [(network.to_bytes(4, "big"), 24) for network in networks.tolist()]
    other_order = rng.permutation(len(prefixes)).tolist()
    times = take_turns(
        insert=lambda: timed_each(lambda p: table.insert(p, 5), prefixes),
        peer_insert=lambda: timed_each(lambda n: oracle.insert(n, 24, 5), networks.tolist()),
        withdraw=lambda: timed_each(table.withdraw, [prefixes[i] for i in other_order]),
        peer_withdraw=lambda: timed_each(oracle.delete, [keys[i] for i in other_order]),
    )
    return [
        Line("insert a /24", times["insert"], "PyTricia", times["peer_insert"], 1),
        Line("withdraw a /24", times["withdraw"], "PyTricia", times["peer_withdraw"], 0.25),
    ]


def building(routes: RouteTable) -> list[Line]:
    """Build the whole table, from routes in random order and from sorted ones.

    Every turn runs in a process of its own: the many small pieces that a PyTricia leaves behind
    would be swept up by the next one to ask for memory, and be counted as its time.
    """
    shuffled = np.random.default_rng(3).permutation(routes.networks.size)
    lines = []
    for order, given in [
        ("random order", RouteTable(*(column[shuffled] for column in routes))),
        ("sorted", routes),
    ]:
        times = take_turns(
            ours=partial(in_own_process, time_building, given),
            peer=partial(in_own_process, time_filling, given),
        )
        what = f"build, per route, {order}"
        lines.append(Line(what, times["ours"], "PyTricia, filled", times["peer"], 3))
    return lines


def time_building(routes: RouteTable) -> float:
    """Return nanoseconds per route for building the direct-index table at once."""
    return timed(DirectIndex.from_arrays, *routes)


def time_filling(routes: RouteTable) -> float:
    """Return nanoseconds per route for inserting all into a new PyTricia."""
    columns = [column.tolist() for column in routes]
    return timed(fill_pytricia, *columns)


def fill_pytricia(*columns: list[int]) -> pytricia.PyTricia:
    """Insert routes into a new PyTricia, with whole numbers as keys."""
    oracle = pytricia.PyTricia(32)
    insert = oracle.insert
    for network, length, next_hop in zip(*columns, strict=True):
        insert(network, length, next_hop)
    return oracle


def in_own_process(work: Callable[[RouteTable], float], routes: RouteTable) -> float:
    """Return what `work` returns, from a child that has this process's memory to start with."""
    receiver, sender = FORK.Pipe(duplex=False)
    child = FORK.Process(target=lambda: sender.send(work(routes)))
    child.start()
    figure: float = receiver.recv()
    child.join()
    return figure


def take_turns(**competitors: Callable[[], float]) -> dict[str, float]:
    """Return each competitor's median nanoseconds per item; the first turn does not count."""
    turns = [{name: run() for name, run in competitors.items()} for _ in range(TURNS + 1)]
    return {name: statistics.median(turn[name] for turn in turns[1:]) for name in competitors}


def timed(work: Callable[..., object], *arguments: np.ndarray | list[int]) -> float:
    """Return nanoseconds per item of the first argument, for one call with all items."""
    start = time.process_time_ns()
    work(*arguments)
    return (time.process_time_ns() - start) / len(arguments[0])


def timed_each(work: Callable[..., object], items: list) -> float:
    """Return nanoseconds per item, for one call each."""
    start = time.process_time_ns()
    for item in items:
        work(item)
    return (time.process_time_ns() - start) / len(items)


def resident_bytes() -> int:
    """Return how much memory this process occupies (Linux)."""
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * 4096


def print_memory(table: DirectIndex, peer_bytes: int, our_bytes: int) -> None:
    """Print what the two tables occupy."""
    print(f"memory that lookups read: {table.memory_bytes / MIB:.1f} MiB")
    print(f"memory in all, by growth of the process: {our_bytes / MIB:.0f} MiB", end="; ")
    print(f"PyTricia {peer_bytes / MIB:.0f} MiB\n")


HEADINGS = ("direct index", "peer", "ns", "peer ns", "times faster", "goal", "")


def print_line(*cells: str) -> None:
    """Print one line of the table."""
    widths = (34, 25, 9, 10, 13, 6, 7)
    aligned = [f"{cells[i]:<{w}}" if i < 2 else f"{cells[i]:>{w}}" for i, w in enumerate(widths)]
    print("".join(aligned))


if __name__ == "__main__":
    main()

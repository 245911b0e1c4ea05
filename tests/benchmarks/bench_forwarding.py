"""How fast packets are forwarded, as a ratio to what cannot be left out, in the same run.

Run as a script: `python tests/benchmarks/bench_forwarding.py`. Rounds of all candidates alternate,
so that a busy machine slows all of them. Processor time is counted, not time on the wall. A time is
the median over the rounds, a ratio the median of the ratios within each round.

The unavoidable parts, written as plainly as Python allows: unpack the header, verify its checksum,
look up the destination, rewrite the time to live and the checksum. Look-ups are in a binary trie
with as many routes as a small network has, unless the line says otherwise.

A batch is measured against its own look-ups alone, in a direct index: for destinations all over a
million routes, other ones in each call, as on a large router, and for the few of the lines above,
whose entries stay in the processor's cache so that hardly anything is left of a look-up.
"""

import itertools
import os
import statistics
import struct
import time
from collections.abc import Callable

import numpy as np

from course_lib.checksum import checksums
from course_lib.forwarding.batch import forward_batch
from course_lib.forwarding.router import Router
from course_lib.headers.ethernet import EthernetHeader
from course_lib.headers.ipv4 import IPv4Header
from course_lib.ip.packets import Interface
from course_lib.lookup import BinaryTrie, DirectIndex, LookupTable
from course_lib.lookup.invented_routes import invent_routes
from course_lib.prefixes.prefix import parse_prefix
from course_lib.prefixes.text import parse_address, parse_mac

ROUNDS = 15
ROUND_S = 0.05  # how long one candidate runs in one round
PACKETS = 256
BATCH = 65_536
BATCHES = 32  # with addresses of their own: more than fits into any cache
ROUTES = 1_000_000
LIMITS = {"parts": 4.0, "batch": 8.0, "look-up": 4.0}

HEADER = struct.Struct("!BBHHHBBHII")
CHANGED = struct.Struct("!BBH")


HARBOUR, SEA, PLOVER_MAC = (parse_mac(f"00:00:5e:00:53:{n}") for n in ("01", "02", "12"))
PLOVER = parse_address("198.51.100.2")


def router_with(table: LookupTable) -> Router:
    links = [
        Interface("harbour", HARBOUR, parse_address("192.0.2.1"), parse_prefix("192.0.2.0/24")),
        Interface("sea", SEA, parse_address("198.51.100.1"), parse_prefix("198.51.100.0/24")),
    ]
    router = Router("North Pier", links, table)
    for third in range(64):
        router.add_route(parse_prefix(f"203.0.{third}.0/24"), PLOVER, "sea")
    router.neighbours["sea"].keep(PLOVER, PLOVER_MAC)
    return router


def datagrams() -> list[bytes]:
    source, first = parse_address("192.0.2.7"), parse_address("203.0.0.7")
    headers = (
        IPv4Header(0, 84, n, 0, 0, 64, 17, 0, source, first + (n % 64 << 8)) for n in range(PACKETS)
    )
    return [header.with_checksum().build() + bytes(64) for header in headers]


def parts_of(table: LookupTable, frames: list[bytes]) -> Callable[[], None]:
    """Return a call that does only what cannot be left out, for all frames."""
    unpack, pack, look_up, number = HEADER.unpack_from, CHANGED.pack, table.lookup, int.from_bytes

    def run() -> None:
        for each in frames:
            fields = unpack(each, 14)
            if number(each[14:34]) % 0xFFFF:
                raise ValueError("a checksum is wrong")
            look_up(fields[9])
            total = (fields[7] ^ 0xFFFF) + 0xFFFF - 0x0100
            pack(fields[5] - 1, fields[6], total % 0xFFFF ^ 0xFFFF)

    return run


def forwarding(router: Router, frames: list[bytes]) -> Callable[[], None]:
    receive = router.receive

    def run() -> None:
        for each in frames:
            receive(0.0, "harbour", each)

    return run


def batches_of(router: Router, rows: np.ndarray) -> tuple[Callable[[], None], Callable[[], None]]:
    """Return a call that forwards the next batch, and one that looks it up and nothing else."""
    lengths = np.full(BATCH, 84)
    batches = [rows[start : start + BATCH] for start in range(0, len(rows), BATCH)]
    addresses = [rows[:, 16:].copy().view(">u4").astype(np.uint32)[:, 0] for rows in batches]
    for each in batches:
        assert forward_batch(router, "harbour", each, lengths).plain.mean() > 0.99
    batch, wanted = itertools.cycle(batches), itertools.cycle(addresses)

    def forward() -> None:
        forward_batch(router, "harbour", next(batch), lengths)

    def look_up() -> None:
        router.table.lookup_many(next(wanted))

    return forward, look_up


def few_rows(data: list[bytes]) -> np.ndarray:
    octets = b"".join(each[:20] for each in data) * (BATCH // PACKETS)
    return np.frombuffer(octets, np.uint8).reshape(BATCH, 20)


def large_router() -> tuple[Router, np.ndarray]:
    """Return a router with a million routes, and headers for addresses all over them."""
    router = router_with(DirectIndex())
    sea = len(router.decide.entries) - 1
    routes = invent_routes(ROUTES, seed=31)
    table = DirectIndex.from_arrays(routes.networks, routes.lengths, np.full(ROUTES, sea))
    for prefix, entry in router.routes().items():
        table.insert(prefix, router.decide.entries.index(entry))
    router.table = router.decide.table = table
    rng = np.random.default_rng(7)
    drawn = rng.integers(0, ROUTES, BATCHES * BATCH)
    inside = rng.integers(0, 256, drawn.size) & ((1 << (32 - routes.lengths[drawn])) - 1)
    rows = np.zeros((drawn.size, 20), np.uint8)
    rows[:, :12] = np.frombuffer(datagrams()[0][:12], np.uint8)
    rows[:, 12:16] = np.frombuffer(parse_address("192.0.2.7").to_bytes(4, "big"), np.uint8)
    rows[:, 16:] = (routes.networks[drawn] | inside).astype(">u4").view(np.uint8).reshape(-1, 4)
    rows[:, 10:12] = 0
    rows[:, 10:12] = checksums(rows).astype(">u2").view(np.uint8).reshape(-1, 2)
    return router, rows


def ns_per_packet(call: Callable[[], None], packets: int) -> float:
    """Run for about ROUND_S; return the processor time for one packet."""
    began, done = time.process_time_ns(), 0
    while (spent := time.process_time_ns() - began) < ROUND_S * 1e9:
        call()
        done += packets
    return spent / done


def main() -> None:
    """Print time, rate and ratios, and whether the limits are kept."""
    data = datagrams()
    frames = [EthernetHeader(HARBOUR, PLOVER_MAC, 0x0800).build() + each for each in data]
    trie, direct = router_with(BinaryTrie()), router_with(DirectIndex())
    few, few_looked_up = batches_of(direct, few_rows(data))
    many, many_looked_up = batches_of(*large_router())
    candidates = {
        "unavoidable parts": (parts_of(trie.table, frames), PACKETS),
        "one by one": (forwarding(trie, frames), PACKETS),
        "one by one, direct index": (forwarding(direct, frames), PACKETS),
        "batch, direct index": (few, BATCH),
        "  its look-ups alone": (few_looked_up, BATCH),
        "batch, a million routes": (many, BATCH),
        "  its look-ups alone there": (many_looked_up, BATCH),
    }
    rounds = [
        {name: ns_per_packet(*each) for name, each in candidates.items()} for _ in range(ROUNDS)
    ]
    assert trie.counters.dropped.total() == 0
    assert trie.counters.fast_path_share == 1.0
    for name in candidates:
        ns = [each[name] for each in rounds]
        middle, best = statistics.median(ns), min(ns)
        rates = f"{1e9 / middle:>11,.0f} packets/s (best round {1e9 / best:,.0f})"
        print(f"{name:<26} {middle:>8,.1f} ns {rates}")

    def ratio(slow: str, quick: str) -> float:
        return statistics.median(each[slow] / each[quick] for each in rounds)

    parts, batch = (
        ratio("one by one", "unavoidable parts"),
        ratio("one by one", "batch, direct index"),
    )
    print(f"one by one takes {parts:.2f} times its parts (at most {LIMITS['parts']:g} wanted)")
    print(f"the batch is {batch:.1f} times as fast (at least {LIMITS['batch']:g} wanted)")
    large = ratio("batch, a million routes", "  its look-ups alone there")
    print(f"it takes {large:.1f} times its look-ups (at most {LIMITS['look-up']:g} wanted),")
    cached = ratio("batch, direct index", "  its look-ups alone")
    print(f"and {cached:.1f} times those whose few entries are all in the cache")
    print(f"load average {os.getloadavg()[0]:.1f} on {os.cpu_count()} processors")


if __name__ == "__main__":
    main()

"""What a rule of one's own costs: to compile, for a packet, and to find the line of a failure.

Run as a script: `python tests/benchmarks/bench_own_rules.py`. The peers, in the same rounds, are
the same rule without any care (`DropPolicy(rule, keep)`), and plain Python.
Processor time is counted, except where a person waits: there it is the time on the wall. Starts are
fresh processes with an empty folder for what is compiled; in the last lines two of them at a time.
"""

import contextlib
import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

import numpy as np

from course_lib.engine.rules import RuleError
from course_lib.queueing.drop_policies import DropPolicy, keep
from course_lib.queueing.one_queue import simulate
from course_lib.queueing.own_rules import own_policy
from course_lib.queueing.packets import poisson_times, trace

ROUNDS = 9
PACKETS = trace(poisson_times(0.9, 100_000, np.random.default_rng(1)), 1.0)
PAIRS = 10

START = """
import time
start, busy = time.perf_counter(), time.process_time()
from course_lib.engine.compiled import engine, ready
from course_lib.queueing.one_queue import serve, simulate
from course_lib.queueing.packets import trace
imported = time.perf_counter()
engine()
loaded = time.perf_counter()
simulate(trace([0.0], 1.0), 8.0)
print()
print(imported - start, loaded - imported, time.perf_counter() - loaded,
      time.process_time() - busy, int(bool(ready(serve).stats.cache_hits)))
"""


def large(view: Any, settings: Any, memory: Any) -> Any:
    return view.others >= 20


def smoothed(view: Any, settings: Any, memory: Any) -> Any:
    for _ in range(2):
        memory[0] += 0.1 * (view.others - memory[0])
    return memory[0] > 12


def fails_late(view: Any, settings: Any, memory: Any) -> Any:
    if view.now_s > 100_000:
        memory[9] = 1.0
    return False


def anew(rule: Any) -> Any:
    """Return a copy of a rule, which has to be compiled once more."""
    return type(rule)(rule.__code__, rule.__globals__, rule.__name__)


def seconds(policy: DropPolicy, compiled: bool) -> float:
    start = time.process_time()
    simulate(PACKETS, 8.0, drop=policy, compiled=compiled)
    return time.process_time() - start


def wall(call: Any) -> float:
    start = time.perf_counter()
    call()
    return time.perf_counter() - start


def rules() -> None:
    """Print what a rule costs, with care and without."""
    total = len(PACKETS.came_s)
    for rule in (large, smoothed):
        own = own_policy(rule, memory=(0,))
        raw = DropPolicy(rule, keep, memory=(0.0,))
        seconds(own, True), seconds(raw, True)
        rows = [
            (seconds(raw, True), seconds(own, True), seconds(own, False)) for _ in range(ROUNDS)
        ]
        raw_ns, own_ns, plain_ns = (
            statistics.median(row[place] for row in rows) / total * 1e9 for place in range(3)
        )
        ratio = statistics.median(row[1] / row[0] for row in rows)
        slower = statistics.median(row[2] / row[1] for row in rows)
        waits = [wall(lambda: own_policy(anew(rule), memory=(0,))) for _ in range(ROUNDS)]  # noqa: B023
        print(
            f"{rule.__name__}: {raw_ns:.0f} ns a packet without care, {own_ns:.0f} ns with "
            f"({ratio:.1f} x), {plain_ns:.0f} ns in plain Python ({slower:.0f} x); "
            f"to compile {statistics.median(waits):.2f} s ({min(waits):.2f} to {max(waits):.2f})"
        )


def line_of_a_failure() -> None:
    """Print how long it takes until the line is told, after 90,000 packets that went well."""
    policy = own_policy(fails_late, memory=(0,))

    def run() -> None:
        with contextlib.suppress(RuleError):
            simulate(PACKETS, 8.0, drop=policy)
            raise AssertionError("it ought to have failed")

    print(f"the line of a failure at packet 90,000 is told after {wall(run):.2f} s")


def start(place: str) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-c", START],
        env={**os.environ, "NUMBA_CACHE_DIR": place},
        cwd=Path(__file__).parents[2],
        stdout=subprocess.PIPE,
        text=True,
    )


def starts() -> None:
    """Print what the first run costs, cold and fetched."""
    with tempfile.TemporaryDirectory() as place:
        for name in ("cold", "fetched", "fetched", "fetched"):
            text, _ = start(place).communicate(timeout=120)
            imported, loaded, ran, busy = map(float, text.splitlines()[-1].split()[:4])
            print(
                f"first run, {name}: course {imported:.2f} s, compiler {loaded:.2f} s, "
                f"loop and rules {ran:.2f} s; {busy:.2f} s of processor time in all"
            )


def pairs() -> None:
    """Start two at a time in one empty folder; all must come to their end."""
    waits = []
    for _ in range(PAIRS):
        with tempfile.TemporaryDirectory() as place:
            began = time.perf_counter()
            both = [start(place) for _ in range(2)]
            codes = [process.wait(timeout=120) for process in both]
            waits.append(time.perf_counter() - began)
            assert codes == [0, 0]
            assert start(place).communicate(timeout=120)[0].endswith(" 1\n")  # fetched
    print(f"two cold starts at once, {PAIRS} times: all ended; at most {max(waits):.1f} s")


if __name__ == "__main__":
    rules()
    line_of_a_failure()
    starts()
    pairs()

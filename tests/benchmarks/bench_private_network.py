"""How long a private network takes to come, and to go when one of its processes is killed.

    python tests/benchmarks/bench_private_network.py
    python tests/benchmarks/bench_private_network.py cuts

Medians of some rounds. With `cuts`, a line of the ferry company's ten routers is cut, by each way
of routing, between real kernels and simulated. Do it on a quiet machine.
"""

import os
import select
import signal
import statistics
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "support")]

from course_lib.live import PrivateNetwork, both_cuts, live_ability, pier_plan  # noqa: E402
from instructor.units.unit_07 import answers  # noqa: E402
from machines.processes import children_of  # noqa: E402

ROUNDS = 7
NOTEBOOK = """
import sys
from course_lib.live import PrivateNetwork, pier_plan
with PrivateNetwork(pier_plan()) as network:
    rows = network.measure("Ticket Office", "echo", destination=0xC6336442, count=60_000)
    next(rows)
    print("it runs", flush=True)
    sys.stdin.read()
"""


def timed_ms(do):
    begun_s = time.perf_counter()
    do()
    return (time.perf_counter() - begun_s) * 1000


def come_and_go_ms(with_routers):
    network = PrivateNetwork(pier_plan(), with_routers=with_routers)
    return timed_ms(network.__enter__), timed_ms(network.close)


def gone_after_ms(who):
    """Kill one; return how long it took until the kernel said that all others had ended."""
    notebook = subprocess.Popen(
        [sys.executable, "-c", NOTEBOOK], stdin=subprocess.PIPE, stdout=subprocess.PIPE
    )
    notebook.stdout.readline()
    below = children_of(notebook.pid)
    outer, inner = sorted(below)[:2]
    killed = {"notebook": notebook.pid, "outer supervisor": outer, "inner supervisor": inner}[who]
    took_ms = timed_ms(lambda: end(killed, below))
    notebook.kill()
    notebook.communicate()
    return took_ms


def end(killed, below):
    os.kill(killed, signal.SIGKILL)
    for descriptor in below.values():
        poll = select.poll()
        poll.register(descriptor, select.POLLIN)
        poll.poll()
        os.close(descriptor)


def main():
    print(f"load of the machine: {os.getloadavg()[0]:.1f}")
    print(live_ability())
    for with_routers, what in ((False, "two hosts and links"), (True, "and a router's process")):
        come, go = zip(*(come_and_go_ms(with_routers) for _ in range(ROUNDS)), strict=True)
        print(
            f"{what}: {statistics.median(come):.0f} ms to come, {statistics.median(go):.0f} to go"
        )
    for who in ("notebook", "outer supervisor", "inner supervisor"):
        took = [gone_after_ms(who) for _ in range(ROUNDS)]
        print(f"{who} killed: all gone after {statistics.median(took):.1f} ms, "
              f"{max(took):.1f} at most")  # fmt: skip
    if "cuts" in sys.argv:
        process = Path(answers.__file__).read_text(encoding="utf-8")
        for way in ("distance vector", "link state", "own process"):
            print(way)
            for story in both_cuts(way, process):
                print(f"  {story}")


if __name__ == "__main__":
    main()

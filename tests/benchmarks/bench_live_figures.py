"""How long live figures (units 01, 02, 04, 06, 10) take to follow a control, with no browser.

Run as a script: `python tests/benchmarks/bench_live_figures.py`. The budget is 100 ms per move,
from the control to the new markup. The peer, in the same run, is Matplotlib drawing a bar chart of
three bars into SVG with its artists kept: what a live plot of the usual kind costs. Times are
medians of wall time; rounds of all candidates alternate, so that a busy machine slows all of them.

With `--browser` it goes on in JupyterLab in Chromium: 50 moves of the slider of unit 10, each from
the key to the new words and the new picture in the page.
"""

import functools
import io
import itertools
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import matplotlib

matplotlib.use("svg")
import matplotlib.pyplot as plt

from course_lib.ferry.shared_line import POLICIES
from course_lib.headers.error_injection import KINDS
from course_lib.headers.ipv4 import IPv4Header
from course_lib.widgets.buffer_explorer import explore_buffers
from course_lib.widgets.error_explorer import explore_errors
from course_lib.widgets.header_explorer import explore_header
from course_lib.widgets.journey_explorer import explore_journey
from course_lib.widgets.trie_explorer import explore_trie

ROUNDS = 30
BUDGET_MS = 100.0
HEADER = IPv4Header(0, 84, 7, 2, 0, 64, 1, 0, 0xC000020A, 0xC6336407).with_checksum().build()


def peer() -> Callable[[], object]:
    figure, axes = plt.subplots()
    bars = axes.bar(["noticed", "missed", "unchanged"], [1, 1, 1])
    heights = itertools.cycle((0.2, 0.5, 0.9))

    def draw() -> None:
        for bar in bars:
            bar.set_height(next(heights))
        figure.savefig(io.StringIO())

    return draw


def header_moves() -> dict[str, Callable[[], object]]:
    flipper = explore_header(HEADER)
    longest = explore_header(b"\x4f" + HEADER[1:] + bytes(range(40)))
    bits = itertools.cycle(range(160))
    return {
        "header, flip": lambda: flipper.act("flip", next(bits)),
        "60-octet header, flip": lambda: longest.act("flip", next(bits)),
    }


def trie_moves() -> dict[str, Callable[[], object]]:
    routes = {"": "North", "01": "Reed", "0110": "Gull", "011010": "Lantern", "1": "Curlew"}
    explorer = explore_trie({**routes, "011": "Sandpiper", "11001": "Gull"}, at_first=routes)
    addresses, prefixes = itertools.cycle(range(256)), itertools.cycle(["011", "11001"])
    return {
        "trie, address dragged": lambda: explorer.act("address", next(addresses)),
        "trie, route pressed": lambda: explorer.act("route", next(prefixes)),
    }


def error_moves() -> dict[str, Callable[[], object]]:
    moves: dict[str, Callable[[], object]] = {}
    for trials in (10_000, 100_000):
        for kind in KINDS:
            explorer = explore_errors(HEADER)
            explorer.kind.value, explorer.trials.value = kind, trials
            moves[f"{trials:,} headers, {kind}"] = explorer.again.click
    return moves


def journey_moves() -> dict[str, Callable[[], object]]:
    """A step to the end and back, and another packet, which is followed anew through a router."""
    moves: dict[str, Callable[[], object]] = {}
    for name in ("plain", "too large"):
        stepper, chooser = explore_journey(), explore_journey()
        stepper.packet.value = name
        steps = itertools.cycle((stepper.step.max, stepper.step.max - 1))
        names = itertools.cycle(("no route", name))
        moves[f"journey, {name}, step"] = functools.partial(follow, stepper.slider, steps)
        moves[f"journey, {name}, chosen"] = functools.partial(follow, chooser.packet, names)
    return moves


def follow(control: Any, values: Iterator[object]) -> None:
    control.value = next(values)


def buffer_moves() -> dict[str, Callable[[], object]]:
    """Coarse answers: what a move has to wait for. Settings from the lightest to the heaviest."""
    moves: dict[str, Callable[[], object]] = {}
    for flows, spread_ms, policy in ((1, 0, 0), (25, 0, 0), (25, 30, 0), (64, 30, 1), (64, 30, 2)):
        explorer = explore_buffers(50, flows, spread_ms)
        explorer.policy.value = POLICIES[policy]
        sizes = itertools.cycle(range(7, 301, 37))
        name = f"buffer, {flows} flows ± {spread_ms} ms, policy {policy}"
        moves[name] = functools.partial(_next_size, explorer.buffer, sizes)
    return moves


def _next_size(slider: Any, sizes: Iterator[int]) -> None:
    slider.value = next(sizes)


def measure(moves: dict[str, Callable[[], object]]) -> dict[str, list[float]]:
    took_ms: dict[str, list[float]] = {name: [] for name in moves}
    for _ in range(ROUNDS):
        for name, move in moves.items():
            start = time.perf_counter()
            move()
            took_ms[name].append((time.perf_counter() - start) * 1000)
    return took_ms


def main() -> None:
    moves = {**header_moves(), **trie_moves(), **error_moves(), **journey_moves(), **buffer_moves()}
    took_ms = measure({"peer": peer(), **moves})
    peer_ms = statistics.median(took_ms["peer"])
    print(f"{'move':<36}{'median ms':>10}{'slowest ms':>12}{'to the peer':>13}  within budget")
    for name, times in took_ms.items():
        middle = statistics.median(times)
        verdict = "yes" if middle < BUDGET_MS else "NO"
        print(f"{name:<36}{middle:>10.1f}{max(times):>12.1f}{middle / peer_ms:>12.2f}x  {verdict}")


def in_the_browser() -> None:
    """Run the test that moves the slider, and print what it measured."""
    test = Path(__file__).parents[1] / "workbooks" / "test_in_the_browser.py"
    order = [sys.executable, "-m", "pytest", str(test), "-k", "live_buffer", "-s", "-q", "-n0"]
    shown = subprocess.run(order, stdout=subprocess.PIPE, text=True, check=False).stdout
    print(next((line for line in shown.splitlines() if line.startswith("moves:")), shown))


if __name__ == "__main__":
    main()
    if "--browser" in sys.argv:
        in_the_browser()

"""How much of a core the control page costs the notebook's kernel, beside a kernel that is idle.

    python tests/benchmarks/bench_control_page.py [SECONDS]

A real kernel shows the page of a simulated router, then that of one between real kernels with
packets on its lines, if this machine can have one. Nobody looks, so all that Python does for a page
is done: states are read, pictures drawn and sent. Processor time is that of the kernel's process
with all its threads; the network's own processes are not in it. The goal is less than 5 % of a core
at ten pictures a second.
"""

import statistics
import sys
import time

from jupyter_client.manager import start_new_kernel

from course_lib.live import live_ability

RUNS, LENGTH_S = 3, 10.0
BEGIN = "import course_lib.control as control\npage = control.show_control_page({router})"
ROUTERS = {"simulated": "control.SimulatedRouter()", "live": "control.LiveRouterWithTraffic()"}
READ = "import time; print(time.process_time(), time.monotonic(), {pictures})"


def main(length_s: float) -> None:
    """Print the medians of some runs."""
    manager, client = start_new_kernel()
    try:
        idle = [_share(client, "0", length_s) for _ in range(RUNS)]
        measured = {"idle kernel": idle}
        for name, router in ROUTERS.items():
            if name == "live" and not live_ability().is_there:
                continue
            _say(client, BEGIN.format(router=router))
            for _ in range(RUNS):
                _say(client, "page._seen = page._unasked")
                run = _share(client, "page._unasked", length_s)
                measured.setdefault(f"page, {name}", []).append(run)
            _say(client, "page.close()")
    finally:
        client.stop_channels()
        manager.shutdown_kernel(now=True)
    for name, runs in measured.items():
        share = statistics.median(share for share, _ in runs)
        rate = statistics.median(rate for _, rate in runs)
        print(f"{name:<15} {100 * share:5.2f} % of a core, {rate:4.1f} pictures a second")


def _share(client: object, pictures: str, length_s: float) -> tuple[float, float]:
    """Return the share of a core, and how many pictures a second there were."""
    busy, wall, number = _numbers(client, pictures)
    time.sleep(length_s)
    busy_now, wall_now, number_now = _numbers(client, pictures)
    passed = wall_now - wall
    return (busy_now - busy) / passed, (number_now - number) / passed


def _numbers(client: object, pictures: str) -> list[float]:
    return [float(each) for each in _say(client, READ.format(pictures=pictures)).split()]


def _say(client: object, code: str) -> str:
    """Run code in the kernel, and return what it printed."""
    printed = []

    def heard(message: dict) -> None:
        if message["msg_type"] == "stream":
            printed.append(message["content"]["text"])
        if message["msg_type"] == "error":
            raise RuntimeError("\n".join(message["content"]["traceback"]))

    client.execute_interactive(code, output_hook=heard)
    return "".join(printed)


if __name__ == "__main__":
    main(float(sys.argv[1]) if len(sys.argv) > 1 else LENGTH_S)

"""A slow line, by a token bucket with a bounded queue: what leaves here by an interface waits.

    slow_line.py '{"device": "wired", "rate": "256kbit"}'

The kernel's own "tbf", see tc-tbf(8). What does not find room in the queue is dropped.
"""

import json
import sys

from pyroute2 import IPRoute

BURST_OCTETS, LONGEST_WAIT = 3000, "200ms"  # two frames; so the queue holds a fifth of a second


def main(device, rate):
    with IPRoute() as kernel:
        (number,) = kernel.link_lookup(ifname=device)
        kernel.tc("add", "tbf", number, rate=rate, burst=BURST_OCTETS, latency=LONGEST_WAIT)


if __name__ == "__main__":
    main(**json.loads(sys.argv[1]))

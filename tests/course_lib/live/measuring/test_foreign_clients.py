"""Programs that others wrote find in a private network what ours find: loss, path, rate."""

import json
import re

import pytest

from course_lib.live.measuring.probes import bulk_transfer, echo_requests, trace_path
from course_lib.live.private_network.live_process import LiveProcess
from course_lib.prefixes.text import format_address
from course_lib.steering.changes import SetLine

OFFICE, NORTH, REED, BOARD = "Ticket Office", "North Pier", "Reed Pier", "Timetable Board"
LINE = SetLine(f"to {REED}", 10e6, 0.005, 30)
ADDRESS = "198.51.100.2"
IN_THE_HOST = """
import json, subprocess, sys
done = subprocess.run(sys.argv[1:], capture_output=True, text=True)
print(json.dumps({"code": done.returncode, "said": done.stdout, "errors": done.stderr}))
"""
SERVING = """
import json, subprocess, sys
server = subprocess.Popen(sys.argv[1:], stdout=subprocess.PIPE, text=True)
for line in server.stdout:
    print(json.dumps({"said": line}), flush=True)
"""


@pytest.fixture
def run_in(network):
    """Give a function that runs a program in a host and returns what it said."""

    def run(host, *words, codes=(0,)):
        process = LiveProcess(
            network._running, host, ["-c", IN_THE_HOST, *words], lines_on_output=True
        )
        try:
            done = next(process.lines())
        finally:
            process.stop()
        assert done["code"] in codes, done
        return done["said"]

    return run


def test_ping_loses_the_same_echoes_and_measures_the_same_round_trip(network, need, run_in):
    ping = need("ping", "apt-get install iputils-ping")
    echo_requests(network, OFFICE, BOARD, count=1)  # neighbours are known now
    network.change(NORTH, LINE._replace(loss_period=5))
    try:
        ours = echo_requests(network, OFFICE, BOARD, count=20, interval_s=0.02, wait_s=1)
        network.change(NORTH, LINE)
        network.change(NORTH, LINE._replace(loss_period=5))
        said = run_in(OFFICE, ping, "-n", "-c", "20", "-i", "0.02", "-W", "2", ADDRESS)
    finally:
        network.change(NORTH, LINE)
    answered = [int(number) for number in re.findall(r"icmp_seq=(\d+).*time=", said)]
    assert answered == [number for number, one in enumerate(ours, 1) if one is not None]
    assert len(answered) == 16
    times_ms = [float(one) for one in re.findall(r"time=([\d.]+)", said)]
    # ping prints three digits: 10.0 may be 9.95
    assert min(times_ms) >= 9.95
    assert min(one for one in ours if one is not None) >= 0.00995


def test_traceroute_finds_the_same_hops(network, need, run_in):
    traceroute = need("traceroute", "apt-get install traceroute")
    ours = trace_path(network, OFFICE, BOARD)
    # One question at a time, as ours: routers and hosts answer only so many in a second.
    said = run_in(OFFICE, traceroute, "-n", "-q", "1", "-N", "1", "-w", "20", ADDRESS)
    found = re.findall(r"^ *(\d+)  ([\d.]+)  ", said, re.MULTILINE)
    assert found == [(str(one.time_to_live), format_address(one.address or 0)) for one in ours]


def test_iperf_gets_the_rate_that_we_get(network, need, run_in):
    iperf = need("iperf3", "apt-get install iperf3")
    network.change(NORTH, LINE._replace(rate_bits_per_s=1e6))
    server = LiveProcess(
        network._running, BOARD,
        ["-c", SERVING, iperf, "--server", "--one-off", "--forceflush"], lines_on_output=True,
    )  # fmt: skip
    try:
        said_first = server.lines()
        while "listening" not in next(said_first)["said"]:
            pass
        said = run_in(OFFICE, iperf, "-c", ADDRESS, "-t", "1", "-C", "cubic", "--json")
        ours = bulk_transfer(network, OFFICE, BOARD, length_s=1, control="cubic", from_s=0)
    finally:
        server.stop()
        network.change(NORTH, LINE)
    theirs = json.loads(said)["end"]["sum_received"]["bits_per_second"]
    # The line carries 1 Mbit/s with all headers. Its buffer has room for a third of a second, so it
    # is hardly ever idle, however late somebody gets a turn.
    most = 1e6 * 1448 / 1514
    assert 0.6 * most < theirs < 1.05 * most
    assert 0.6 * most < ours.rate_bits_per_s <= most

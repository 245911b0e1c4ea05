"""The network itself, for real: what is in it, what is not, and what it says when asked amiss."""

import contextlib
import socket
from pathlib import Path

import pytest

from course_lib.live import LiveNetworkError, PrivateNetwork, SourceRecipe, pier_plan
from course_lib.live.private_network.live_process import LiveProcess
from course_lib.live.private_network.namespaces import StepError
from course_lib.live.private_network.supervised import Supervised
from course_lib.prefixes import parse_address, parse_prefix
from course_lib.steering import AddRoute, SteeringError, WithdrawRoute

pytestmark = pytest.mark.usefixtures("live")

OFFICE, BOARD, PIER = "Ticket Office", "Timetable Board", "North Pier"
LOST = {"no answer", "unreachable"}
VOLATILE = ("conntrack", "random", "flush", "gc_", "nf_log")


@pytest.fixture(scope="module")
def network(live):
    with PrivateNetwork(pier_plan()) as running:
        yield running


def echoes(network, wait_s=1.0):
    """Return what came of echo requests from the office to the board."""
    target = network.plan.host(BOARD).interface.address
    rows = network.measure(
        OFFICE, "echo", destination=target, count=4, interval_s=0.02, wait_s=wait_s
    )
    return [row["what"] for row in rows]


def until_echo(network):
    """Ask until an answer comes: after a silence, a kernel waits before it asks for a neighbour."""
    while "echo reply" not in echoes(network, wait_s=0.2):
        pass


def test_without_the_routers_process_all_is_lost_and_with_it_all_arrives(network):
    until_echo(network)
    assert echoes(network, wait_s=10.0) == ["echo reply"] * 4
    network.stop_router(PIER)
    assert not network.is_alive(PIER)
    assert set(echoes(network)) <= LOST
    network.start_router(PIER)
    until_echo(network)


def test_two_networks_with_the_same_addresses_never_meet(network):
    with PrivateNetwork(pier_plan(), with_routers=False) as other:
        received = network.state(PIER).interfaces[0].received_frames
        assert set(echoes(other, wait_s=0.3)) <= LOST
        assert network.state(PIER).interfaces[0].received_frames == received


def test_nothing_of_the_machine_itself_is_touched():
    before = seen_of_this_machine()
    with PrivateNetwork(pier_plan()) as running:
        until_echo(running)
        assert seen_of_this_machine() == before
    assert seen_of_this_machine() == before


def seen_of_this_machine():
    """Return names of interfaces, routes, rules of the firewall as far as told, and settings."""
    seen = {"interfaces": socket.if_nameindex()}
    for name in ("route", "ipv6_route", "fib_trie", "ip_tables_names", "packet", "arp"):
        with contextlib.suppress(OSError):
            seen[name] = Path("/proc/net", name).read_text()
    seen.pop("packet", None)  # other programs of this machine may open packet sockets
    for file in Path("/proc/sys/net").rglob("*"):
        if file.is_file() and not any(word in str(file) for word in VOLATILE):
            with contextlib.suppress(OSError):
                seen[str(file)] = file.read_text()
    return seen


def said_in(network, place, code):
    """Run a program in a place, and return the one line that it prints."""
    process = LiveProcess(network._running, place, ["-c", code], lines_on_output=True)
    try:
        return next(process.lines())
    finally:
        process.stop()


def test_every_kernel_in_it_is_told_to_forward_nothing_and_to_keep_to_ipv4(network):
    names = ("ipv4/ip_forward", "ipv6/conf/all/disable_ipv6", "ipv4/tcp_no_metrics_save")
    code = f"""
import json, pathlib
print(json.dumps([pathlib.Path("/proc/sys/net", n).read_text().strip() for n in {names}]))
"""
    assert said_in(network, OFFICE, code) == ["0", "1", "1"]
    assert said_in(network, PIER, code)[:2] == ["0", "1"]


GET_OUT = """
import ctypes, json, os
said = []
libc = ctypes.CDLL(None, use_errno=True)
try:
    outside = os.open("/proc/1/ns/net", os.O_RDONLY)
    said.append(os.strerror(ctypes.get_errno()) if libc.setns(outside, 0) else "got out")
except OSError as refused:
    said.append(refused.strerror)
try:
    open("/proc/sys/net/core/rmem_max", "w").write("1000000")
    said.append("set for the whole machine")
except OSError as refused:
    said.append(refused.strerror)
try:
    os.kill(%d, 0)
    said.append("sees processes outside")
except OSError as refused:
    said.append(refused.strerror)
print(json.dumps(said))
"""


def test_what_runs_in_it_has_no_power_outside_even_if_root_has_started_it(network):
    outside = network._running.process.pid
    said = said_in(network, OFFICE, GET_OUT % outside)
    assert said[0] in ("Operation not permitted", "Permission denied")
    assert said[1] in ("Operation not permitted", "Permission denied", "No such file or directory")
    assert said[2] == "No such process"


def test_a_router_that_cannot_be_made_is_told_in_words():
    recipe = SourceRecipe("def make_router(interfaces):\n    return 1 // 0\n")
    with (
        pytest.raises(LiveNetworkError, match=r"'North Pier' could not be made.*ZeroDivisionError"),
        PrivateNetwork(pier_plan(recipe)),
    ):
        pass


def test_a_router_whose_process_ends_is_missed_and_can_be_started_again():
    recipe = SourceRecipe("""
import os
from course_lib.forwarding.router import Router
class Brittle(Router):
    def withdraw_route(self, prefix):
        print("the mast fell down", flush=True)
        os._exit(3)
def make_router(interfaces):
    return Brittle("mine", interfaces)
""")
    with PrivateNetwork(pier_plan(recipe)) as network:
        change = WithdrawRoute(parse_prefix("198.51.100.0/27"))
        with pytest.raises(LiveNetworkError, match=r"exit code 3.*\n.*the mast fell down"):
            network.change(PIER, change)
        assert not network.is_alive(PIER)
        network.start_router(PIER)
        assert network.is_alive(PIER)
        until_echo(network)


def test_changes_come_through_and_refusals_are_told(network):
    prefix = parse_prefix("203.0.113.0/24")
    network.change(PIER, AddRoute(prefix, parse_address("198.51.100.2"), "to Ticket Office"))
    assert prefix in [route.prefix for route in network.state(PIER).routes]
    with pytest.raises(SteeringError, match="North Pier"):
        network.change(PIER, AddRoute(prefix, None, "to nowhere"))


def test_a_link_that_is_cut_carries_nothing_until_it_is_mended(network):
    until_echo(network)
    network.cut("North Pier - Timetable Board")
    assert set(echoes(network, wait_s=0.3)) <= LOST
    network.mend("North Pier - Timetable Board")
    until_echo(network)


def test_a_measurement_that_cannot_be_made_says_why(network):
    with pytest.raises(LiveNetworkError, match="most_hops"):
        list(network.measure(OFFICE, "path", destination=0xC6336442, most_hops=999))
    rows = network.measure(OFFICE, "echo", destination=0xC6336442, count=1000)
    rows.stop()
    assert list(rows) == []


def test_outside_the_block_there_is_no_network():
    network = PrivateNetwork(pier_plan(), with_routers=False)
    with pytest.raises(LiveNetworkError, match="inside a `with` block only"):
        network.measure(OFFICE, "echo", destination=1)
    with network:
        pass
    with pytest.raises(LiveNetworkError, match="inside a `with` block only"):
        network.start_router(PIER)


def test_what_the_kernel_refuses_names_the_step():
    supervised = Supervised()
    try:
        with pytest.raises(StepError, match=r"setting net\.ipv4\.no_such_thing"):
            supervised.order("add_place", name="x", settings={"net.ipv4.no_such_thing": "1"})
    finally:
        supervised.close()

"""Ask a network a question and let it run until the answer is there.

Each function gives one host a task, lets the clock run until the task is done, and picks the answer
from the records. Whatever else goes on in the network goes on meanwhile.

A destination is an address, as a number or as text, or the name of a host of the network.

>>> from course_lib.forwarding import Router
>>> from course_lib.network import build_network, fill_in_routes, links_for_documentation
>>> piers = [("Ticket Office", "North Pier"), ("North Pier", "Bridge Screen")]
>>> links = links_for_documentation(piers, delay_s=0.001)
>>> network = build_network(links, Router, hosts=["Ticket Office", "Bridge Screen"])
>>> fill_in_routes(network)

Two wires of 1 ms, there and back, are 4 ms. Before the first echo come the questions for hardware
addresses, along the whole way.

>>> [round(time_s * 1000) for time_s in echo_requests(network, "Ticket Office", "Bridge Screen")]
[8, 4, 4]
>>> for hop in trace_path(network, "Ticket Office", "Bridge Screen"):
...     print(hop)
  1      2.013 ms  192.0.2.1        North Pier
  2      4.022 ms  192.0.2.3        Bridge Screen  (echo reply)
>>> report = stream(network, "Ticket Office", "Bridge Screen", count=100, interval_s=0.02)
>>> report.received, report.lost_share
(100, 0.0)
"""

__all__ = ["Hop", "StreamReport", "address_of", "echo_requests", "stream", "trace_path"]

from typing import NamedTuple

from course_lib.network.hosts.tasks import STREAM_PORT, EchoRequests, HostTask, PathTrace, Stream
from course_lib.network.records import Record, What
from course_lib.network.simulation import Network
from course_lib.network.wires import NetworkError
from course_lib.prefixes.text import IPV4_BITS, format_address, parse_address

LONGEST_RUN_S = 1e6  # more than any task takes: each gives up a question after some seconds


class Hop(NamedTuple):
    """One line of a path: who answered at this distance, and after which time; None if nobody."""

    time_to_live: int
    address: int | None
    place: str | None
    delay_s: float | None
    what: What

    def __str__(self) -> str:
        if self.address is None or self.delay_s is None:
            return f"{self.time_to_live:3}  {self.what}"
        who = f"{format_address(self.address):<15}  {self.place or 'unknown place'}"
        note = "" if self.what is What.TIME_EXCEEDED else f"  ({self.what})"
        return f"{self.time_to_live:3}  {self.delay_s * 1e3:9.3f} ms  {who}{note}"


class StreamReport(NamedTuple):
    """What became of a stream: one-way delays by the number of the datagram, from 1 on."""

    sent: int
    delays_s: dict[int, float]  # in the order of arrival

    @property
    def received(self) -> int:
        """How many arrived; copies count once."""
        return len(self.delays_s)

    @property
    def lost_share(self) -> float:
        """The share that did not arrive."""
        return 1 - self.received / self.sent


def echo_requests(
    network: Network,
    host: str,
    destination: int | str,
    *,
    count: int = 3,
    interval_s: float = 1.0,
    payload_octets: int = 56,
    wait_s: float = 2.0,
) -> list[float | None]:
    """Return the round-trip time in seconds of every echo, None for one without an answer.

    The first one includes the search for hardware addresses along the whole way.
    """
    task = EchoRequests(
        address_of(network, destination),
        count=count,
        interval_s=interval_s,
        payload_octets=payload_octets,
        wait_s=wait_s,
    )
    answers = _answers(network, host, task)
    times_s = {a.number: a.delay_s for a in answers if a.what is What.ECHO_REPLY}
    return [times_s.get(number) for number in range(1, count + 1)]


def trace_path(
    network: Network,
    host: str,
    destination: int | str,
    *,
    most_hops: int = 30,
    wait_s: float = 2.0,
) -> list[Hop]:
    """Return who answered at distance 1, 2, 3 and so on, up to the destination.

    The path is that of each question by itself: routes that change meanwhile give a path that no
    single datagram has taken.
    """
    task = PathTrace(address_of(network, destination), most_hops=most_hops, wait_s=wait_s)
    return [_hop(network, answer) for answer in _answers(network, host, task)]


def stream(
    network: Network,
    host: str,
    destination: int | str,
    *,
    count: int,
    interval_s: float,
    payload_octets: int = 160,
    port: int = STREAM_PORT,
    wait_s: float = 2.0,
) -> StreamReport:
    """Send datagrams from one host to another; wait `wait_s` for the last ones."""
    address = address_of(network, destination)
    owner = network.plan.owner(address)
    if owner is None or owner.place not in network.hosts:
        raise NetworkError(
            f"no host has the address {format_address(address)}, so nobody would count"
        )
    network.hosts[owner.place].ports.add(port)
    task = Stream(
        address, count=count, interval_s=interval_s, payload_octets=payload_octets, port=port
    )
    begun = len(network.records)
    number = _run(network, host, task)
    network.run_until(network.now_s + wait_s)
    source = network.hosts[host].interface.address
    delays_s: dict[int, float] = {}
    for record in network.records[begun:]:
        arrived = record.what is What.DATAGRAM and record.place == owner.place
        if arrived and (record.task, record.other) == (number, source):
            delays_s.setdefault(record.number, record.delay_s or 0.0)
    return StreamReport(count, delays_s)


def address_of(network: Network, destination: int | str) -> int:
    """Return the address meant; raises `ValueError` for what is neither name nor address."""
    if isinstance(destination, int):
        return destination
    host = network.hosts.get(destination)
    return parse_address(destination, IPV4_BITS) if host is None else host.interface.address


def _answers(network: Network, host: str, task: HostTask) -> list[Record]:
    """Return what the host found out by this task."""
    begun = len(network.records)
    number = _run(network, host, task)
    mine = (host, number)
    return [r for r in network.records[begun:] if (r.place, r.task) == mine and r.number]


def _run(network: Network, name: str, task: HostTask) -> int:
    if name not in network.hosts:
        known = ", ".join(map(repr, network.hosts)) or "none"
        raise NetworkError(f"there is no host {name!r}; hosts here: {known}")
    host = network.hosts[name]
    number = host.begin(network.now_s, task)
    network.run_until(network.now_s + LONGEST_RUN_S, stop=lambda: not host.is_busy_with(number))
    return number


def _hop(network: Network, answer: Record) -> Hop:
    owner = None if answer.other is None else network.plan.owner(answer.other)
    place = None if owner is None else owner.place
    delay_s = None if answer.other is None else answer.delay_s
    return Hop(answer.number, answer.other, place, delay_s, answer.what)

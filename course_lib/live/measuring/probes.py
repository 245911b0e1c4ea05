"""Ask a live network a question: as `course_lib.network.probes` asks a simulated one.

Names, arguments and results are the same, so a cell that asks one network can ask the other. What
is new is `bulk_transfer`: TCP between two real kernels.

A destination is an address, as a number or as text, or the name of a host of the network.
"""

__all__ = ["LiveNetwork", "bulk_transfer", "echo_requests", "stream", "trace_path"]

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from typing import Any, Protocol

from course_lib.live.measuring.reports import BulkReport, arrivals_of, samples_of
from course_lib.live.measuring.transfer import BULK_PORT
from course_lib.live.private_network.plan import LivePlan
from course_lib.live.private_network.private_network import PrivateNetwork
from course_lib.network.hosts.tasks import STREAM_PORT
from course_lib.network.probes import Hop, StreamReport
from course_lib.network.records import What
from course_lib.network.wires import NetworkError
from course_lib.prefixes.text import IPV4_BITS, format_address, parse_address

_WARM_UP = 0.25  # of a transfer: slow start, and what it has to repair


class LiveNetwork(Protocol):
    """What is asked of a network: to measure in a host, and to know names and addresses."""

    @property
    def plan(self) -> LivePlan:
        """What the network consists of."""

    def measure(self, host: str, name: str, /, **arguments: Any) -> Iterator[dict[str, Any]]:
        """Begin a measurement in a host; return its rows as they come."""


def echo_requests(
    network: LiveNetwork,
    host: str,
    destination: int | str,
    *,
    count: int = 3,
    interval_s: float = 1.0,
    payload_octets: int = 56,
    wait_s: float = 2.0,
) -> list[float | None]:
    """Return the round-trip time in seconds of every echo, None for one without an answer."""
    rows = network.measure(
        host,
        "echo",
        destination=_address(network, destination),
        count=count,
        interval_s=interval_s,
        payload_octets=payload_octets,
        wait_s=wait_s,
    )
    times_s = {row["number"]: row["delay_s"] for row in rows if row["what"] == What.ECHO_REPLY}
    return [times_s.get(number) for number in range(1, count + 1)]


def trace_path(
    network: LiveNetwork,
    host: str,
    destination: int | str,
    *,
    most_hops: int = 30,
    wait_s: float = 2.0,
) -> list[Hop]:
    """Return who answered at distance 1, 2, 3 and so on, up to the destination.

    The last one says "unreachable": nobody listens on the port that was asked.
    """
    address = _address(network, destination)
    rows = network.measure(host, "path", destination=address, most_hops=most_hops, wait_s=wait_s)
    return [_hop(network, row) for row in rows]


def stream(
    network: LiveNetwork,
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
    address = _address(network, destination)
    receiver = _host_at(network, address)
    arrivals = network.measure(receiver, "stream_arrivals", count=count, interval_s=interval_s,
                               port=port, wait_s=wait_s)  # fmt: skip
    next(arrivals)  # it listens
    sent = network.measure(host, "stream", destination=address, count=count,
                           interval_s=interval_s, payload_octets=payload_octets,
                           port=port)  # fmt: skip
    delays_s: dict[int, float] = {}
    for row in arrivals:
        delays_s.setdefault(row["number"], row["delay_s"])
    return StreamReport(sum(row["sent"] for row in sent), delays_s)


def bulk_transfer(
    network: PrivateNetwork,
    host: str,
    destination: int | str,
    *,
    length_s: float = 10.0,
    control: str = "cubic",
    from_s: float | None = None,
    port: int = BULK_PORT,
) -> BulkReport:
    """Let one host send to another over TCP, as much as goes, for `length_s`.

    `control` is "reno", "cubic", or "bbr" where the kernel has it. The steady part begins at
    `from_s`, or after a quarter of the time.
    """
    address = _address(network, destination)
    receiver = _host_at(network, address)
    counting = network.measure(receiver, "bulk_arrivals", port=port)
    next(counting)  # it listens
    # Both sides tell as they go, and neither waits for the other to be read.
    with ThreadPoolExecutor(1) as reader:
        counted = reader.submit(list, counting)
        try:
            begun_s, samples = samples_of(
                network.measure(
                    host, "bulk", destination=address, length_s=length_s, control=control, port=port
                )
            )
        except BaseException:
            counting.stop()
            raise
    arrivals = arrivals_of(counted.result(), begun_s)
    steady_s = _WARM_UP * length_s if from_s is None else from_s
    return BulkReport(control, samples, arrivals, steady_s)


def _address(network: LiveNetwork, destination: int | str) -> int:
    if isinstance(destination, int):
        return destination
    if destination[:1].isdigit():
        return parse_address(destination, IPV4_BITS)
    return network.plan.host(destination).interface.address


def _host_at(network: LiveNetwork, address: int) -> str:
    place = network.plan.place_of(address)
    if place is None or place not in {host.name for host in network.plan.hosts}:
        raise NetworkError(
            f"no host has the address {format_address(address)}, so nobody would count"
        )
    return place


def _hop(network: LiveNetwork, row: dict[str, Any]) -> Hop:
    other = row["other"]
    place = None if other is None else network.plan.place_of(other)
    delay_s = None if other is None else row["delay_s"]
    return Hop(row["number"], other, place, delay_s, What(row["what"]))

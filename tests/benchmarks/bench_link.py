"""What a link costs beside a bare UDP echo in Python, in one run; and what a flood costs it.

    python tests/benchmarks/bench_link.py

Two sockets on loopback, in one process. A frame goes there and comes back: over two ends of a link,
and over two plain sockets that send back what they get. Both wait in `select` for the first of the
frames that are in flight, as a program does that has more to wait for. Rounds of both alternate, so
a busy machine slows both. Processor time is counted, not time on the wall; a time is the median
over the rounds, a ratio the median of the ratios within each round. The goal is a ratio of 3.

The rate limit of the link is at work, but set so high that it refuses nothing. A flood is given in
processor time for each datagram, from the socket to its end, and as the share of a core that 10,000
of them in a second take. What the kernel does with one, up to the socket, is done on loopback in
the time of whoever sends it.
"""

import gc
import os
import select
import socket
import statistics
import sys
import time
import tracemalloc
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "support")]

from course_lib.links import LinkTerms, Opener, Sealer, UdpLink, open_udp_socket  # noqa: E402
from course_lib.links.datagrams import Hello, write_hello  # noqa: E402
from course_lib.links.rate_limit import RateLimit  # noqa: E402
from networks.linked_ends import SECRET, LinkedEnds  # noqa: E402

ROUNDS, TRIPS, IN_FLIGHT = 25, 200, 20
HERE, NO_LIMIT_BITS_PER_S = "127.0.0.1", 1e12
FLOOD_PER_S = 10_000
SO_DETACH_FILTER = 27  # asm-generic/socket.h
MTU = 1428


def two_sockets():
    sockets = [open_udp_socket(0, HERE) for _ in range(2)]
    return sockets, [each.getsockname() for each in sockets]


def two_links():
    sockets, places = two_sockets()
    links = [
        UdpLink(
            sockets[end],
            LinkTerms(1, end, places[end][1], (places[1 - end],), MTU, keep_alive_s=60),
            SECRET,
        )
        for end in (0, 1)
    ]
    for link in links:
        link.end._limit = RateLimit(NO_LIMIT_BITS_PER_S, time.monotonic())
    while not all(link.end.is_up for link in links):
        for link in links:
            link.arrivals()
            link.tick()
    return links


class BareEcho:
    """Plain sockets: what comes to the second goes back to the first."""

    def __init__(self):
        sockets = [socket.socket(socket.AF_INET, socket.SOCK_DGRAM) for _ in range(2)]
        for each in sockets:
            each.bind((HERE, 0))
        self.here, self.there = sockets
        self._place = self.there.getsockname()

    def trip(self, frame, in_flight):
        for _ in range(in_flight):
            self.here.sendto(frame, self._place)
        select.select([self.there], [], [])
        for _ in range(in_flight):
            data, origin = self.there.recvfrom(2048)
            self.there.sendto(data, origin)
        select.select([self.here], [], [])
        for _ in range(in_flight):
            self.here.recvfrom(2048)


class LinkEcho:
    """The same over a link."""

    def __init__(self):
        self.here, self.there = two_links()

    def trip(self, frame, in_flight):
        for _ in range(in_flight):
            self.here.send(frame)
        self._take(self.there, in_flight, self.there.send)
        self._take(self.here, in_flight, len)

    def _take(self, link, count, do):
        while count > 0:
            select.select([link.fileno()], [], [])
            for frame in link.arrivals(count):
                do(frame)
                count -= 1


def per_frame_us(echo, frame, in_flight):
    begun_s = time.process_time()
    for _ in range(TRIPS // in_flight):
        echo.trip(frame, in_flight)
    return (time.process_time() - begun_s) / TRIPS / 2 * 1e6


def beside_bare_echo():
    print("processor time for a frame, one way: link, bare, ratio; goodput of one core")
    bare, link = BareEcho(), LinkEcho()
    for octets, in_flight in ((60, 1), (200, 1), (MTU + 14, 1), (MTU + 14, IN_FLIGHT)):
        frame, took = bytes(octets), []
        for _ in range(ROUNDS):
            took.append([per_frame_us(echo, frame, in_flight) for echo in (link, bare)])
        ours, theirs = (statistics.median(column) for column in zip(*took, strict=True))
        ratio = statistics.median(one / other for one, other in took)
        print(
            f"  {octets:5} octets, {in_flight:2} in flight: {ours:5.1f} us, {theirs:5.1f} us, "
            f"{ratio:.2f}; {octets * 8 / ours:4.0f} Mbit/s"
        )


def of_which_sealing():
    sealer, opener = Sealer(SECRET, b"about"), Opener(SECRET, b"about")
    for octets in (60, MTU + 14):
        frame, took = bytes(octets), []
        for _ in range(ROUNDS):
            begun_s = time.process_time()
            for _ in range(TRIPS):
                opener.open(sealer.seal(frame))
            took.append((time.process_time() - begun_s) / TRIPS * 1e6)
        print(f"  of which seal and open, {octets} octets: {statistics.median(took):.1f} us")


def floods():
    """Print what each kind of unwanted datagram costs, from the socket to its refusal."""
    print(f"a flood, for each datagram, and {FLOOD_PER_S} of them in a second:")
    link, other = two_links()
    place = link.end.terms.port
    genuine = other.end.send(time.monotonic(), bytes(60))[1]
    ahead = genuine[:5] + (1 << 40).to_bytes(8, "big") + genuine[13:]
    hello = write_hello(Hello(1, bytes(range(32))), bytes(32))
    stranger = socket.socket(socket.AF_INET, socket.SOCK_DGRAM)
    stranger.bind((HERE, 0))
    named = other._socket
    open_to_all = "from an address that is not of the room, with no filter in the kernel"
    for what, sender, octets in (
        ("from an address that is not of the room", stranger, ahead),
        (open_to_all, stranger, ahead),
        ("as the neighbour: a genuine one, again", named, genuine),
        ("as the neighbour: a seal that does not open", named, ahead),
        ("as the neighbour: a hello without the code", named, hello),
        ("as the neighbour: 1400 octets of nothing", named, bytes(1400)),
    ):
        if what == open_to_all:
            link._socket.setsockopt(socket.SOL_SOCKET, SO_DETACH_FILTER, 0)
        sent_us, took = [], []
        for _ in range(ROUNDS):
            begun_s = time.process_time()
            for _ in range(100):
                sender.sendto(octets, (HERE, place))
            sent_us.append((time.process_time() - begun_s) / 100 * 1e6)
            begun_s = time.process_time()
            link.arrivals(100)
            link.tick()
            took.append((time.process_time() - begun_s) / 100 * 1e6)
        each_us, by_sender_us = statistics.median(took), statistics.median(sent_us)
        print(
            f"  {what}:\n    {each_us:.1f} us, {each_us * FLOOD_PER_S / 1e4:.1f} % of a core; "
            f"to send it, {by_sender_us:.1f} us"
        )


def state():
    """Print what an end keeps in memory: alone, and after 10,000 unwanted datagrams."""
    LinkedEnds().run(0.0)  # what is loaded once
    tracemalloc.start()
    made = [LinkedEnds() for _ in range(20)]
    for ends in made:
        ends.run(0.0)
        ends.seen.clear()
    an_end = tracemalloc.get_traced_memory()[0] / 40
    for number in range(10_000):
        garbage = bytes((1 + number % 3,)) + os.urandom(97)
        made[0].throw_in(0, garbage)
    flooded = tracemalloc.get_traced_memory()[0] / 40
    print(f"state of an end: {an_end / 1024:.1f} KiB, after a flood {flooded / 1024:.1f} KiB")


def main():
    print(f"load of the machine: {os.getloadavg()[0]:.1f}")
    gc.collect()
    gc.freeze()  # as the process of a router does
    beside_bare_echo()
    of_which_sealing()
    floods()
    state()


if __name__ == "__main__":
    main()

"""How fast frames go through our router between kernels, beside what cannot be left out.

Run as a script: `python tests/benchmarks/bench_live_router.py`. It makes two network namespaces of
its own (user namespaces, or root), joined by two links; nothing of the machine's own is touched.

Frames are put in by the far ends with sendmmsg(2), as many as the ring holds, and then the router
works until all are out again. Only that is counted: processor time of this process, per frame; it
holds the kernel's work for receiving and sending too. Candidates alternate in each round; a ratio
is the median of the ratios within each round.

* floor: the same ring and the same sendmmsg, and no work;
* bursts: the library's router as it runs (`burst_path`);
* stages: the library's router one by one, with its list of stages changed, so no burst is taken;
* own parts: a router in a student's way: the library's parts put together in plain Python, behind
  the guard that every router of somebody's own has;
* kernel: this machine's kernel forwards the same frames. Its work is done while they are put in, so
  it is what putting in costs with forwarding, less what it costs without.

Then lines: rate at 10, 20 and 50 Mbit/s, and what the router adds to the time of an echo.
"""

import ctypes
import os
import statistics
import subprocess
import sys
import time
from functools import partial

import numpy as np

from course_lib.forwarding.router import Router
from course_lib.headers.ethernet import EthernetHeader
from course_lib.headers.ipv4 import IPv4Header
from course_lib.ip.packets import Interface, OutgoingFrame
from course_lib.live.carrying.careful_router import CarefulRouter
from course_lib.live.carrying.line import Line
from course_lib.live.carrying.line_settings import LineSettings
from course_lib.live.carrying.packet_loop import PacketLoop
from course_lib.live.carrying.ports import Port
from course_lib.live.packet_sockets.packet_ring import MOST_IN_A_BURST, PacketRing
from course_lib.live.packet_sockets.packet_sender import PacketSender
from course_lib.prefixes.prefix import parse_prefix
from course_lib.prefixes.text import parse_address, parse_mac
from course_lib.runner.time_limit import CallLimit

ROUNDS = 9
FRAMES = 3840  # 15 bursts; the ring holds a little more
FRAME_OCTETS = 98
LIMITS = {"bursts": 2.0}
LEAST_OWN_FRAMES_PER_S = 20_000
RATES = (10e6, 20e6, 50e6)

NEW_USER, NEW_NET = 0x10000000, 0x40000000  # linux/sched.h
MACS = {name: parse_mac(f"00:00:5e:00:53:{n:02x}") for n, name in enumerate(("harbour", "sea"), 1)}
FAR_MACS = {"harbour": parse_mac("00:00:5e:00:53:11"), "sea": parse_mac("00:00:5e:00:53:12")}
OFFICE, BOAT = parse_address("192.0.2.7"), parse_address("198.51.100.2")
LINKS = [
    Interface("harbour", MACS["harbour"], parse_address("192.0.2.1"), parse_prefix("192.0.2.0/24")),
    Interface("sea", MACS["sea"], parse_address("198.51.100.1"), parse_prefix("198.51.100.0/24")),
]


def run(*words: str) -> None:
    subprocess.run(words, check=True)


def enter_private_network() -> None:
    """Leave the machine's network for good; make both links, far ends included, in a new one."""
    user, group = os.geteuid(), os.getegid()
    libc = ctypes.CDLL(None, use_errno=True)
    flags = NEW_NET if user == 0 else NEW_NET | NEW_USER
    if libc.unshare(flags):
        sys.exit(f"no namespace can be made here: {os.strerror(ctypes.get_errno())}")
    if user:
        for name, text in (("setgroups", "deny"), ("uid_map", f"0 {user} 1"),
                           ("gid_map", f"0 {group} 1")):  # fmt: skip
            with open(f"/proc/self/{name}", "w") as file:  # noqa: PTH123 - one write, no buffering
                file.write(text)
    for name in MACS:
        run("ip", "link", "add", name, "type", "veth", "peer", "name", f"far-{name}")
        for device, mac in ((name, MACS[name]), (f"far-{name}", FAR_MACS[name])):
            run("ip", "link", "set", device, "address", mac.hex(":"), "arp", "off", "up")


def frames() -> np.ndarray:
    header = IPv4Header(0, FRAME_OCTETS - 14, 7, 0, 0, 64, 17, 0, OFFICE, BOAT).with_checksum()
    start = EthernetHeader(MACS["harbour"], FAR_MACS["harbour"], 0x0800).build()
    whole = start + header.build() + bytes(FRAME_OCTETS - 34)
    return np.tile(np.frombuffer(whole, np.uint8), (MOST_IN_A_BURST, 1)).copy()


def north_pier() -> Router:
    router = Router("North Pier", LINKS)
    router.neighbours["sea"].keep(BOAT, FAR_MACS["sea"])
    return router


class OwnParts:
    """A router as students put it together: parts in plain Python, no batches."""

    def __init__(self) -> None:
        self.sent = 0

    def receive(self, now_s: float, interface: str, frame: bytes) -> list[OutgoingFrame]:
        if frame[12:14] != b"\x08\x00":
            return []
        header = IPv4Header.parse(frame[14:], verify_checksum=True)
        for link in LINKS:
            if link.prefix.contains(header.destination):
                lowered = header._replace(time_to_live=header.time_to_live - 1).with_checksum()
                start = FAR_MACS[link.name] + link.hardware_address + b"\x08\x00"
                payload = frame[14 + 20 : 14 + header.total_length]
                return [OutgoingFrame(link.name, start + lowered.build() + payload)]
        return []

    def tick(self, now_s: float) -> list[OutgoingFrame]:
        return []

    def next_tick_s(self) -> float:
        return float("inf")


def same(packet):  # type: ignore[no-untyped-def]
    return packet


def loop_around(router: object, limit: CallLimit, rate: float | None = None) -> PacketLoop:
    lines = {"sea": Line(LineSettings(rate_bits_per_s=rate))}
    ports = {
        each.name: Port(
            each, PacketRing(each.name, 1514), PacketSender(each.name), lines.get(each.name, Line())
        )
        for each in LINKS
    }
    careful = CarefulRouter("North Pier", router, {each.name: each for each in LINKS}, limit)
    return PacketLoop(careful, ports)


def put_in(sender: PacketSender, rows: np.ndarray, count: int = FRAMES) -> None:
    places, octets = np.arange(len(rows)), np.full(len(rows), FRAME_OCTETS)
    for _ in range(count // len(rows)):
        assert sender.send_rows(rows, places, octets) == len(rows)


def by_loop(loop: PacketLoop, put: partial) -> float:
    """Return microseconds of processor time per frame."""
    before = loop.ports["sea"].sent_frames
    put()
    began = time.process_time_ns()
    while loop.ports["sea"].sent_frames - before < FRAMES:
        loop.turn()
    spent = time.process_time_ns() - began
    assert loop.ports["harbour"].ring.dropped() == 0
    return spent / FRAMES / 1000


def by_floor(ring: PacketRing, sender: PacketSender, put: partial) -> float:
    put()
    places, done = np.arange(MOST_IN_A_BURST), 0
    began = time.process_time_ns()
    while done < FRAMES:
        burst = ring.burst()
        count = len(burst.octets)
        sender.send_rows(burst.rows, places[:count], burst.octets)
        ring.give_back(burst)
        done += count
    return (time.process_time_ns() - began) / FRAMES / 1000


def by_kernel(put: partial) -> float:
    """Return what the kernel's own forwarding costs per frame."""
    spent = []
    for is_on in (0, 1):
        run("sysctl", "-q", f"net.ipv4.ip_forward={is_on}")
        run("sysctl", "-q", "net.ipv4.conf.far-sea.forwarding=0")  # or it would come round again
        began = time.process_time_ns()
        put()
        spent.append(time.process_time_ns() - began)
    run("sysctl", "-q", "net.ipv4.ip_forward=0")
    return (spent[1] - spent[0]) / FRAMES / 1000


def kernel_candidate(rows: np.ndarray) -> list[float]:
    """Measure the kernel in the same links, with addresses on them for that time."""
    for link in LINKS:
        run("ip", "address", "add", f"{'.'.join(map(str, link.address.to_bytes(4, 'big')))}/24",
            "dev", link.name)  # fmt: skip
    run("ip", "neigh", "replace", "198.51.100.2", "lladdr", FAR_MACS["sea"].hex(":"), "dev", "sea")
    run("sysctl", "-q", "net.ipv4.conf.all.rp_filter=0", "net.ipv4.conf.harbour.rp_filter=0")
    put = partial(put_in, PacketSender("far-harbour"), rows)
    measured = [by_kernel(put) for _ in range(ROUNDS)]
    for link in LINKS:
        run("ip", "address", "flush", "dev", link.name)
    return measured


def rate_of_line(limit: CallLimit, rate: float) -> float:
    """Fill a line, let it run on the clock, and return what left it, as a share of its rate."""
    loop = loop_around(north_pier(), limit, rate)
    far = PacketRing("far-sea", 1514)
    big = np.zeros((MOST_IN_A_BURST, 1514), np.uint8)
    big[:, :34] = frames()[:, :34]
    header = IPv4Header(0, 1500, 7, 0, 0, 64, 17, 0, OFFICE, BOAT).with_checksum().build()
    big[:, 14:34] = np.frombuffer(header, np.uint8)
    sender, count = PacketSender("far-harbour"), FRAMES
    for _ in range(count // MOST_IN_A_BURST):
        sender.send_rows(big, np.arange(MOST_IN_A_BURST), np.full(MOST_IN_A_BURST, 1514))
    stamps = []
    while len(stamps) < count:
        loop.turn()
        time.sleep(max(0.0, min(0.001, loop.next_s() - loop.now_s())))
        while (burst := far.burst()) is not None:
            stamps += burst.stamps_ns.tolist()
            far.give_back(burst)
    assert loop.ports["harbour"].ring.dropped() == 0
    # The slope through all frames: a machine that is busy makes single ones late.
    passed_s = np.polyfit(np.arange(count), np.array(stamps) - stamps[0], 1)[0] * (count - 1) / 1e9
    close(loop)
    far.close()
    return (count - 1) * 1514 * 8 / passed_s / rate


def added_time_ms(limit: CallLimit, delay_s: float = 0.005, count: int = 300) -> list[float]:
    """Return by how much frames came later than the line says, by the far kernel's stamps."""
    loop = loop_around(north_pier(), limit)
    loop.ports["sea"].line_out.settings = LineSettings(delay_s=delay_s)
    far, sender, rows = PacketRing("far-sea", 1514), PacketSender("far-harbour"), frames()
    late = []
    for _ in range(count):
        sent_ns = time.time_ns()
        sender.send_rows(rows, np.arange(1), np.full(1, FRAME_OCTETS))
        while (burst := far.burst()) is None:
            loop.turn()
            time.sleep(max(0.0, min(0.001, loop.next_s() - loop.now_s())))
        late.append((int(burst.stamps_ns[0]) - sent_ns) / 1e6 - delay_s * 1e3)
        far.give_back(burst)
    close(loop)
    far.close()
    return sorted(late)


def close(loop: PacketLoop) -> None:
    for port in loop.ports.values():
        port.close()


def main() -> None:
    enter_private_network()
    rows = frames()
    measured: dict[str, list[float]] = {"kernel": kernel_candidate(rows)}
    put = partial(put_in, PacketSender("far-harbour"), rows)
    changed = north_pier()
    changed.stages.insert(2, same)
    with CallLimit(5.0) as limit:
        routers = {"bursts": north_pier(), "stages": changed, "own parts": OwnParts()}
        for _ in range(ROUNDS):
            ring, sender = PacketRing("harbour", 1514), PacketSender("sea")
            measured.setdefault("floor", []).append(by_floor(ring, sender, put))
            ring.close()
            sender.close()
            for name, router in routers.items():
                loop = loop_around(router, limit)
                measured.setdefault(name, []).append(by_loop(loop, put))
                close(loop)
        for name in ("floor", "kernel", "bursts", "stages", "own parts"):
            middle, best = statistics.median(measured[name]), min(measured[name])
            print(f"{name:<10} {middle:7.2f} us/frame {1e6 / middle:>11,.0f} frames/s "
                  f"(best round {best:.2f} us)")  # fmt: skip
        for name in ("bursts", "stages", "own parts"):
            pairs = zip(measured[name], measured["floor"], strict=True)
            ratio = statistics.median(one / floor for one, floor in pairs)
            wanted = f" (at most {LIMITS[name]:g} wanted)" if name in LIMITS else ""
            print(f"{name} takes {ratio:.2f} times the floor{wanted}")
        print(f"own parts: at least {LEAST_OWN_FRAMES_PER_S:,} frames/s wanted")
        for rate in RATES:
            print(f"line of {rate / 1e6:g} Mbit/s: {100 * rate_of_line(limit, rate):.3f} % of it")
        late = added_time_ms(limit)
        middle, most = statistics.median(late), late[len(late) * 99 // 100]
        print(f"one way, later than the line says: median {middle:.3f} ms,")
        print(f"99 of 100 below {most:.3f} ms (1 ms wanted for both ways, on an idle machine)")
    print(f"load average {os.getloadavg()[0]:.1f} on {os.cpu_count()} processors")


if __name__ == "__main__":
    main()

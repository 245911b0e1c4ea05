"""Let this machine's kernel send TCP flows through one slow line, in namespaces made for it.

Run as a program in a fresh namespace: `unshare --net python kernel_flows.py`. It reads one JSON
object from standard input and writes one to standard output.

    senders - router - this program - receivers

The router's line to this program is the slow one: a token bucket with room for so many octets that
wait (tc-tbf(8)). This program is the long way behind it: it holds each packet for the round trip of
its flow, known by the port, and hands acknowledgements on at once. So the whole delay lies behind
the line, as in `course_lib.tcp.simulation`. All namespaces end with the program.

Input:
    rate_bits_per_s, packet_octets   of the line; packet_octets with the IP header
    buffer_packets                   room for packets that wait for the line
    round_trips_s, starts_s          of each flow, in seconds
    congestion_control               "reno" or "cubic", for all flows
    sack                             whether acknowledgements may be selective
    from_s, to_s                     what of the run is counted
Output: octets that each receiver got between from_s and to_s, and the time between them.

Only standard library. Hosts and router keep their kernels' other defaults.
"""

import array
import fcntl
import heapq
import itertools
import json
import os
import select
import socket
import struct
import subprocess
import sys
import threading
import time

ETH_P_ALL, PACKET_OUTGOING = 0x0003, 4
ETHERNET_OCTETS = 14
SIOCETHTOOL = 0x8946
# Checksums and segments that are left to a card, packets put together on receipt (ethtool.h).
OFFLOADS = (0x17, 0x1F, 0x24, 0x2C)
FIRST_PORT = 5001
SENDER, RECEIVER = "192.0.2.2", "198.51.100.2"
ROUTER_AT_SENDER, ROUTER_AT_RECEIVER = "192.0.2.1", "198.51.100.1"
LIMIT = 1 << 16  # frames of this program may wait in a socket


def run(*words):
    subprocess.run(words, check=True, capture_output=True, timeout=300)


class Namespace:
    """A namespace of its own, with a helper program inside; it ends when its input does."""

    def __init__(self, *command):
        whole = ["unshare", "--net", sys.executable, __file__, *command]
        self.process = subprocess.Popen(whole, stdin=subprocess.PIPE, stdout=subprocess.PIPE)
        self.read()

    def run(self, *words):
        run("nsenter", "--target", str(self.process.pid), "--net", *words)

    def set(self, path, value):
        self.run("sh", "-c", f"echo '{value}' > /proc/sys/net/{path}")

    def tell(self, thing):
        self.process.stdin.write((json.dumps(thing) + "\n").encode())
        self.process.stdin.flush()

    def read(self):
        line = self.process.stdout.readline()
        if not line:
            raise RuntimeError("a helper ended before its time")
        return json.loads(line)

    def end(self):
        self.process.stdin.close()
        self.process.wait(30)


def plain(name):
    """Switch off what a card would do for the kernel: each frame shall be what is on the wire."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as any_socket:
        for command in OFFLOADS:
            value = array.array("B", struct.pack("II", command, 0))
            request = struct.pack("16sP", name.encode(), value.buffer_info()[0])
            fcntl.ioctl(any_socket.fileno(), SIOCETHTOOL, request)


def build(order, sender, router, receiver):
    for one in (sender, router, receiver):
        one.run("ip", "link", "set", "lo", "up")
        one.set("ipv6/conf/default/disable_ipv6", 1)
    run("sh", "-c", "echo 1 > /proc/sys/net/ipv6/conf/default/disable_ipv6")
    router.set("ipv4/ip_forward", 1)
    pairs = (("s0", sender, "r0", router), ("r1", router, "x0", None), ("d0", receiver, "x1", None))
    for one, here, other, there in pairs:
        run("ip", "link", "add", one, "type", "veth", "peer", "name", other)
        for name, where in ((one, here), (other, there)):
            plain(name)
            if where is None:
                run("ip", "link", "set", name, "arp", "off", "up")
            else:
                run("ip", "link", "set", name, "netns", str(where.process.pid))
                where.run("ip", "link", "set", name, "mtu", str(order["packet_octets"]), "up")
    for where, name, address in (
        (sender, "s0", SENDER),
        (router, "r0", ROUTER_AT_SENDER),
        (router, "r1", ROUTER_AT_RECEIVER),
        (receiver, "d0", RECEIVER),
    ):
        where.run("ip", "address", "add", f"{address}/24", "dev", name)
    sender.run("ip", "route", "add", "default", "via", ROUTER_AT_SENDER)
    receiver.run("ip", "route", "add", "default", "via", ROUTER_AT_RECEIVER)
    for host in (sender, receiver):
        host.set("ipv4/tcp_sack", int(order["sack"]))
        host.set("ipv4/tcp_no_metrics_save", 1)
        host.set("ipv4/tcp_rmem", "4096 4000000 16000000")
        host.set("ipv4/tcp_wmem", "4096 4000000 16000000")
    frame = order["packet_octets"] + ETHERNET_OCTETS
    # The bucket sees whole frames; so the rate is raised by the octets of Ethernet.
    rate = round(order["rate_bits_per_s"] * frame / order["packet_octets"])
    room = str(frame * order["buffer_packets"])
    router.run(
        *("tc", "qdisc", "add", "dev", "r1", "root", "tbf", "rate", f"{rate}bit"),
        *("burst", str(frame), "limit", room),
    )


class LongWay:
    """Holds packets for the round trip of their flow; a thread of its own hands them on."""

    def __init__(self, round_trips_s):
        self.delays_s = {FIRST_PORT + flow: s for flow, s in enumerate(round_trips_s)}
        self.near, self.far = (self._opened(name) for name in ("x0", "x1"))
        self.held, self.numbers, self.stopped = [], itertools.count(), False
        self.thread = threading.Thread(target=self._work)
        self.thread.start()

    def stop(self):
        self.stopped = True
        self.thread.join()
        self.near.close()
        self.far.close()

    def _opened(self, name):
        opened = socket.socket(socket.AF_PACKET, socket.SOCK_RAW, socket.htons(ETH_P_ALL))
        opened.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, LIMIT << 10)
        opened.bind((name, 0))
        return opened

    def _work(self):
        while not self.stopped:
            wait_s = 0.05
            if self.held:
                wait_s = min(wait_s, max(0.0, self.held[0][0] - time.monotonic()))
            ready, _, _ = select.select([self.near, self.far], [], [], wait_s)
            now = time.monotonic()
            for one in ready:
                frame, address = one.recvfrom(1 << 16)
                if address[2] == PACKET_OUTGOING:
                    continue
                if one is self.far:
                    self.near.send(frame)
                else:
                    heapq.heappush(
                        self.held, (now + self._delay_s(frame), next(self.numbers), frame)
                    )
            while self.held and self.held[0][0] <= time.monotonic():
                self.far.send(heapq.heappop(self.held)[2])

    def _delay_s(self, frame):
        if frame[12:14] != b"\x08\x00" or frame[23] != 6:  # ARP, for example
            return 0.0
        start = ETHERNET_OCTETS + (frame[14] & 0x0F) * 4
        return self.delays_s.get(int.from_bytes(frame[start + 2 : start + 4], "big"), 0.0)


def receive_flows():
    """In the receivers' namespace: count what comes, until the input ends."""
    print(json.dumps("here"), flush=True)
    order = json.loads(sys.stdin.readline())
    counts = [0] * order["flows"]

    def count(flow, listening):
        taken, _ = listening.accept()
        while octets := taken.recv(1 << 16):
            counts[flow] += len(octets)

    for flow in range(order["flows"]):
        listening = socket.create_server((RECEIVER, FIRST_PORT + flow))
        threading.Thread(target=count, args=(flow, listening), daemon=True).start()
    print(json.dumps("listening"), flush=True)
    while sys.stdin.readline():
        print(json.dumps([time.monotonic(), counts]), flush=True)
    os._exit(0)


def send_flows():
    """In the senders' namespace: each flow sends as much as it may, until the input ends."""
    print(json.dumps("here"), flush=True)
    order = json.loads(sys.stdin.readline())

    def send(flow, start_s):
        time.sleep(start_s)
        with socket.socket() as sending:
            name = order["congestion_control"].encode()
            sending.setsockopt(socket.IPPROTO_TCP, socket.TCP_CONGESTION, name)
            sending.connect((RECEIVER, FIRST_PORT + flow))
            while True:
                sending.sendall(bytes(1 << 16))

    for flow, start_s in enumerate(order["starts_s"]):
        threading.Thread(target=send, args=(flow, start_s), daemon=True).start()
    sys.stdin.read()
    os._exit(0)


def measure(order):
    helpers, way = [], None
    try:
        for command in ("send", "hold", "receive"):
            helpers.append(Namespace(command))
        sender, router, receiver = helpers
        build(order, sender, router, receiver)
        way = LongWay(order["round_trips_s"])
        receiver.tell({"flows": len(order["starts_s"])})
        receiver.read()
        sender.tell(order)
        time.sleep(order["from_s"])
        receiver.tell("count")
        begun_s, before = receiver.read()
        time.sleep(order["to_s"] - order["from_s"])
        receiver.tell("count")
        ended_s, after = receiver.read()
        return {
            "octets": [late - early for early, late in zip(before, after, strict=True)],
            "seconds": ended_s - begun_s,
        }
    finally:
        if way is not None:
            way.stop()
        for helper in helpers:
            helper.end()


def hold():
    print(json.dumps("here"), flush=True)
    sys.stdin.read()


if __name__ == "__main__":
    HELPERS = {"send": send_flows, "receive": receive_flows, "hold": hold}
    if len(sys.argv) > 1:
        HELPERS[sys.argv[1]]()
    else:
        try:
            json.dump(measure(json.load(sys.stdin)), sys.stdout)
        except subprocess.CalledProcessError as error:
            sys.exit(f"{' '.join(error.cmd)}: {error.stderr.decode().strip()}")

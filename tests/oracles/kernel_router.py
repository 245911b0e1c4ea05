"""Let this machine's kernel forward packets, inside network namespaces made for the purpose.

Run as a program in a fresh namespace: `unshare --net python kernel_router.py`. It reads one JSON
object from standard input and writes one to standard output. The namespace in which it runs holds
the far ends of the links; a second one, which ends with the program, holds the router.

Input:
    interfaces  name, mac, address (with prefix length) and mtu of each of the router's interfaces
    routes      lists of words for `ip route add`
    neighbours  lists of words for `ip neigh replace`
    settings    values for files below /proc/sys/net/ipv4
    frames      pairs: the interface at which a frame arrives, and its octets in hexadecimal
    patience_s  how long to go on listening after the last frame
Output: a list of what the router sent: seconds since the start, interface, octets in hexadecimal.

Raw octets go in and out through packet sockets (packet(7)). Only standard library.
"""

import json
import select
import socket
import subprocess
import sys
import time

ETH_P_ALL, PACKET_OUTGOING = 0x0003, 4
RECEIVE_BUFFER = 1 << 22
PACE_S = 0.0005  # between two frames, so that no queue on the way overflows
KINDS = (b"\x08\x00", b"\x08\x06")  # IPv4 and ARP; a kernel sends other things unasked
HOLD = "import sys; sys.stdin.read()"  # the router's namespace lives as long as this program


def run(*words):
    subprocess.run(words, check=True, capture_output=True, timeout=300)


class Namespace:
    """The router's own namespace, kept by a process that waits for its input to end."""

    def __init__(self):
        command = ["unshare", "--net", sys.executable, "-c", "print('ready', flush=True);" + HOLD]
        pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE}
        self.process = subprocess.Popen(command, **pipes)
        self.process.stdout.readline()

    def run(self, *words):
        run("nsenter", "--target", str(self.process.pid), "--net", *words)

    def set(self, path, value):
        self.run("sh", "-c", f"echo {value} > /proc/sys/net/{path}")

    def end(self):
        self.process.stdin.close()
        self.process.wait(10)


def far_end(name):
    return f"to-{name}"


def far_socket(name):
    opened = socket.socket(socket.AF_PACKET, socket.SOCK_RAW, socket.htons(ETH_P_ALL))
    opened.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, RECEIVE_BUFFER)
    opened.bind((far_end(name), 0))
    return opened


def build(router, order):
    router.set("ipv6/conf/all/disable_ipv6", 1)
    router.set("ipv6/conf/default/disable_ipv6", 1)
    run("sh", "-c", "echo 1 > /proc/sys/net/ipv6/conf/default/disable_ipv6")
    router.run("ip", "link", "set", "lo", "up")
    for path, value in order["settings"].items():
        router.set(f"ipv4/{path}", value)
    for each in order["interfaces"]:
        name, end = each["name"], far_end(each["name"])
        run("ip", "link", "add", end, "type", "veth", "peer", "name", name)
        run("ip", "link", "set", end, "arp", "off", "up")
        run("ip", "link", "set", name, "netns", str(router.process.pid))
        router.run("ip", "link", "set", name, "address", each["mac"], "mtu", str(each["mtu"]), "up")
        router.run("ip", "address", "add", each["address"], "dev", name)
    for words in order["routes"]:
        router.run("ip", "route", "add", *words)
    for words in order["neighbours"]:
        router.run("ip", "neigh", "replace", *words)


def listen(sockets, seen, start, until):
    """Note what the router sends until that time; our own frames come back marked, and are not."""
    names = {each.fileno(): name for name, each in sockets.items()}
    while True:
        ready, _, _ = select.select(sockets.values(), [], [], max(0.0, until - time.monotonic()))
        if not ready:
            return
        for each in ready:
            octets, address = each.recvfrom(1 << 16)
            if address[2] != PACKET_OUTGOING and octets[12:14] in KINDS:
                seen.append((time.monotonic() - start, names[each.fileno()], octets.hex()))


def main():
    order = json.load(sys.stdin)
    router = Namespace()
    try:
        try:
            build(router, order)
        except subprocess.CalledProcessError as error:
            sys.exit(f"{' '.join(error.cmd)}: {error.stderr.decode().strip()}")
        sockets = {}
        for each in order["interfaces"]:
            name = each["name"]
            sockets[name] = socket.socket(
                socket.AF_PACKET, socket.SOCK_RAW, socket.htons(ETH_P_ALL)
            )
            sockets[name].setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, RECEIVE_BUFFER)
            sockets[name].bind((far_end(name), 0))
        seen, start = [], time.monotonic()
        for name, octets in order["frames"]:
            sockets[name].send(bytes.fromhex(octets))
            listen(sockets, seen, start, time.monotonic() + PACE_S)
        listen(sockets, seen, start, time.monotonic() + order["patience_s"])
        json.dump(seen, sys.stdout)
    finally:
        router.end()


if __name__ == "__main__":
    main()

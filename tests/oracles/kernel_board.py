"""Play scenarios of the conformance board to this machine's kernel, in network namespaces.

Run as a program in a fresh namespace: `unshare --net python kernel_board.py`. The bench
of `course_lib.conformance` is built with the far ends of its links in this namespace, and the
router in a second one (see `kernel_router`). Neither has a way to this machine's own network.

Input: a JSON list of the names of scenarios. Output: a JSON object, by name the frames that the
kernel sent: seconds since the scenario's start, interface, octets in hexadecimal.

A scenario ends when what it wants has come, or, if that does not come, when the kernel has answered
an echo that was sent behind all else on each link: then it has dealt with everything before. Where
time has to pass first, it ends after `PATIENCE_S` at the latest.
"""

import json
import select
import subprocess
import sys
import time

from kernel_router import PACKET_OUTGOING, Namespace, build, far_socket

from course_lib.conformance import SCENARIOS
from course_lib.conformance.bench import INTERFACES
from course_lib.conformance.given import icmp
from course_lib.conformance.scenario import Exchange, introductions
from course_lib.conformance.seen import Sent
from course_lib.conformance.stations import answer_to
from course_lib.headers.ethernet import EthernetHeader
from course_lib.headers.ipv4 import IPv4Header
from course_lib.prefixes.text import format_address, format_mac, parse_address

PATIENCE_S = 20.0
MARK = 0x5EA1  # identifier of the echoes that mark an end
SHORT_S = 1.0  # what has to wait no longer than this is not waited for longer
WATCHMEN = {"quay": "192.0.2.60", "radio": "198.51.100.60", "cable": "192.0.2.255"}
WATCH_CARD = bytes.fromhex("00005e0053f0")
SETTINGS = {
    "ip_forward": 1,
    "icmp_ratelimit": 0,
    "icmp_ratemask": 0,
    "conf/all/rp_filter": 0,
    "conf/default/rp_filter": 0,
}


def order():
    """Return the bench as `kernel_router.build` wants to be told it."""
    return {
        "interfaces": [
            {
                "name": each.name,
                "mac": format_mac(each.hardware_address),
                "address": f"{format_address(each.address)}/{each.prefix.length}",
                "mtu": each.mtu,
            }
            for each in INTERFACES
        ],
        "routes": [],
        "neighbours": [],
        "settings": SETTINGS,
    }


def end_mark(interface, number):
    """Return an echo to the router, from an address of the link that nobody else uses."""
    ours = next(each for each in INTERFACES if each.name == interface)
    message = icmp(8, 0, MARK << 16 | number, b"mark")
    source = parse_address(WATCHMEN[interface])
    header = IPv4Header(0, 32, 1, 0, 0, 64, 1, 0, source, ours.address).with_checksum()
    ethernet = EthernetHeader(ours.hardware_address, WATCH_CARD, 0x0800)
    return ethernet.build() + header.build() + message


def is_mark(frame):
    is_icmp = frame[12:14] == b"\x08\x00" and frame[23] == 1 and len(frame) >= 42
    return is_icmp and frame[34] == 0 and frame[38:40] == MARK.to_bytes(2, "big")


class Bench:
    """The router's namespace, and sockets on the far ends of its links."""

    def __init__(self, router):
        self.router = router
        self.sockets = {each.name: far_socket(each.name) for each in INTERFACES}
        self.names = {each.fileno(): name for name, each in self.sockets.items()}
        self.marks, self.is_marked = 0, False

    def prepare(self, scenario):
        """Set routes and neighbours as they are when a scenario begins."""
        lines = ["route flush proto static"]
        for each in scenario.routes:
            via = format_address(each.next_hop)
            lines.append(f"route replace {each.prefix} via {via} dev {each.interface} proto static")
        lines.append("route flush cache")
        for name, address in WATCHMEN.items():
            if name != "cable":
                card = format_mac(WATCH_CARD)
                lines.append(f"neigh replace {address} lladdr {card} dev {name} nud permanent")
        flushed = [f"neigh flush dev {each.name} nud all" for each in INTERFACES]
        self.seen = []
        self.batch([*flushed, *lines])
        self.settle((), ("quay", "radio"))  # whatever waited is given up now, and told
        self.batch([*flushed, *lines])
        self.seen.clear()

    def batch(self, lines):
        command = ["nsenter", "--target", str(self.router.process.pid), "--net", "ip", "-force",
                   "-batch", "-"]  # fmt: skip
        subprocess.run(command, input="\n".join(lines) + "\n", text=True, capture_output=True,
                       timeout=300, check=False)  # fmt: skip

    def play(self, scenario):
        """Return what the kernel sent in a scenario."""
        self.prepare(scenario)
        silent = scenario.silent
        self.start = time.monotonic()
        if scenario.is_introduced:
            for given in introductions():
                self.sockets[given.interface].send(given.frame)
            self.settle(silent, self.sockets)
        self.seen.clear()
        self.start = time.monotonic()
        for given in sorted(scenario.given, key=lambda each: each.at_s):
            self.listen(silent, until=self.start + given.at_s)
            self.sockets[given.interface].send(given.frame)
        # A mark by cable would have the kernel ask for Gull Rock, where questions are counted.
        links = self.sockets if scenario.is_introduced else ("quay", "radio")
        self.settle(silent, links)
        while scenario.until_s > SHORT_S and self.is_missing(scenario):
            if time.monotonic() - self.start > PATIENCE_S:
                break
            self.listen(silent, until=time.monotonic() + 0.1)
        return [(each.at_s, each.interface, each.frame.hex()) for each in self.seen]

    def is_missing(self, scenario):
        exchange = Exchange(tuple(self.seen))
        waits_on = time.monotonic() - self.start < min(scenario.until_s, 3.0)
        return waits_on or scenario.expected.problem(exchange.seen(scenario)) is not None

    def settle(self, silent, links):
        """Listen until the kernel has dealt with all that was sent, and with what follows."""
        for name in links:
            answered = True
            while answered:
                answered = self.until_marked(name, silent)

    def until_marked(self, name, silent):
        """Send a mark and listen until its reply; return whether a neighbour was asked for."""
        self.marks += 1
        self.sockets[name].send(end_mark(name, self.marks & 0xFFFF))
        self.is_marked, asked = False, False
        give_up = time.monotonic() + PATIENCE_S
        while not self.is_marked and time.monotonic() < give_up:
            asked |= self.listen(silent, until=time.monotonic() + 0.1, to_mark=True)
        return asked

    def listen(self, silent, until, *, to_mark=False):
        """Note what comes until that time, and let the stations answer; return whether one did.

        With `to_mark`, listening ends with the reply to a mark.
        """
        answered = False
        while True:
            left_s = max(0.0, until - time.monotonic())
            ready, _, _ = select.select(self.sockets.values(), [], [], left_s)
            if not ready:
                return answered
            for each in ready:
                frame, address = each.recvfrom(1 << 16)
                name = self.names[each.fileno()]
                if address[2] != PACKET_OUTGOING and frame[12:14] in (b"\x08\x00", b"\x08\x06"):
                    answered |= self.note(name, frame, silent)
            if to_mark and self.is_marked:
                return answered

    def note(self, name, frame, silent):
        if is_mark(frame):
            self.is_marked = True
            return False
        self.seen.append(Sent(time.monotonic() - self.start, name, frame))
        answer = answer_to(name, frame, silent)
        if answer is not None:
            self.sockets[name].send(answer)
        return answer is not None


def main():
    wanted = set(json.load(sys.stdin))
    router = Namespace()
    try:
        try:
            build(router, order())
            for each in INTERFACES:  # or it believes nothing new of a neighbour for a second
                router.set(f"ipv4/neigh/{each.name}/locktime", 0)
        except subprocess.CalledProcessError as error:
            sys.exit(f"{' '.join(error.cmd)}: {error.stderr.decode().strip()}")
        bench = Bench(router)
        played = {each.name: bench.play(each) for each in SCENARIOS if each.name in wanted}
        json.dump(played, sys.stdout)
    finally:
        router.end()


if __name__ == "__main__":
    main()

"""Other right answers for unit 06, exercises 6.4 to 6.6: filters, droppers, reasons."""

__all__ = ["MAY_PASS", "NEW_DROPPER", "WHY_SLOW"]

import struct
from collections import defaultdict
from collections.abc import Iterator
from ipaddress import IPv4Address, ip_address, ip_network
from itertools import count
from typing import Any

import numpy as np

Rules = list[tuple[str, int | None, bool]]
Routes = list[tuple[str, str | None, str]]

# 6.4 may_pass


def may_pass_by_ipaddress(datagram: bytes, rules: Rules) -> bool:
    """Let the standard library compare prefixes; look at ports only where a rule asks."""
    for prefix, port, passes in rules:
        if ip_address(datagram[16:20]) not in ip_network(prefix):
            continue
        if port is None:
            return passes
        words = struct.unpack_from("!4H", datagram)
        if words[3] % 0x2000 or datagram[9] not in {6, 17}:
            continue
        behind = datagram[datagram[0] % 16 * 4 :]
        if int.from_bytes(behind[2:4], "big") == port:
            return passes
    return True


def may_pass_by_listing(datagram: bytes, rules: Rules) -> Any:
    """List what all rules that fit say; return a NumPy boolean."""
    address = int.from_bytes(datagram[16:20], "big")
    start = (datagram[0] & 15) << 2
    has_ports = datagram[9] in (17, 6) and datagram[6] & 31 == 0 and datagram[7] == 0
    port = datagram[start + 2] << 8 | datagram[start + 3] if has_ports else -1
    said = []
    for prefix, wanted, passes in rules:
        network, length = prefix.split("/")
        size = 1 << 32 - int(length)
        first = int(IPv4Address(network))
        if first <= address < first + size and (wanted is None or wanted == port):
            said.append(passes)
    return np.bool_([*said, True][0])


def may_pass_by_recursion(datagram: bytes, rules: Rules) -> bool:
    """Ask the first rule, and the rest only if it does not fit."""
    if not rules:
        return True
    (prefix, wanted, passes), *rest = rules
    bits = "".join(f"{octet:08b}" for octet in datagram[16:20])
    network, length = prefix.split("/")
    wanted_bits = "".join(f"{int(part):08b}" for part in network.split("."))[: int(length)]
    fits = bits.startswith(wanted_bits)
    if fits and wanted is not None:
        offset = (datagram[6] & 0b11111) * 256 + datagram[7]
        behind = datagram[(datagram[0] & 0b1111) * 4 :]
        carried = behind[2] * 256 + behind[3] if len(behind) > 3 else None
        fits = offset == 0 and datagram[9] in b"\x06\x11" and carried == wanted
    return passes if fits else may_pass_by_recursion(datagram, rest)


MAY_PASS = (may_pass_by_ipaddress, may_pass_by_listing, may_pass_by_recursion)


# 6.5 new_dropper


class CountsDown:
    """Keeps how many packets of a flow are left until the next one is dropped."""

    def __init__(self, every: int) -> None:
        if every <= 0:
            raise ValueError("no such period")
        self.every = every
        self.left: dict[str, int] = {}
        self.numbers = [0, 0]

    def passes(self, flow: str) -> bool:
        """Count down, and begin anew at zero."""
        left = self.left.get(flow, self.every) - 1
        self.left[flow] = left or self.every
        self.numbers[left == 0] += 1
        return left != 0

    def counts(self) -> tuple[int, ...]:
        """Return what the list says."""
        return tuple(self.numbers)


def new_dropper_down(every: int) -> CountsDown:
    """Make one that counts down."""
    return CountsDown(every)


def new_dropper_with_list(every: int) -> Any:
    """Keep all flows seen in one list, and count in it."""
    if not every > 0:
        raise ValueError(every)

    class Listing:
        def __init__(self) -> None:
            self.flows: list[str] = []
            self.verdicts: list[bool] = []

        def passes(self, flow: str) -> bool:
            self.flows.append(flow)
            self.verdicts.append(self.flows.count(flow) % every != 0)
            return self.verdicts[-1]

        def counts(self) -> tuple[int, int]:
            return self.verdicts.count(True), self.verdicts.count(False)

    return Listing()


class Generating:
    """A generator for each flow."""

    def __init__(self, every: int) -> None:
        self.flows: defaultdict[str, Iterator[bool]] = defaultdict(
            lambda: (number % every != 0 for number in count(1))
        )
        self.passed = self.dropped = 0

    def passes(self, flow: str) -> bool:
        """Ask the flow's own generator."""
        passes = next(self.flows[flow])
        self.passed += passes
        self.dropped += not passes
        return passes

    def counts(self) -> Any:
        """Return NumPy integers."""
        return tuple(np.array([self.passed, self.dropped]))


def new_dropper_of_generators(every: int) -> Generating:
    """Make one with generators, if the period makes sense."""
    if every not in range(1, 1 << 32):
        raise ValueError(f"{every} is not a period")
    return Generating(every)


NEW_DROPPER = (new_dropper_down, new_dropper_with_list, new_dropper_of_generators)


# 6.6 why_slow


def why_slow_by_ipaddress(
    header: bytes, own: list[str], routes: Routes, mtus: dict[str, int], known: list[str]
) -> str | None:
    """Sort the routes, and ask one question after the other."""
    address = IPv4Address(header[16:20])
    if str(address) in own:
        return "for the router"
    in_order = sorted(routes, key=lambda route: -ip_network(route[0]).prefixlen)
    matching = (route[1:] for route in in_order if address in ip_network(route[0]))
    hop, interface = next(matching, (None, ""))
    if not interface:
        return "no route"
    if header[8] < 2:
        return "time to live exceeded"
    if header[0] != 0x45:
        return "options"
    if int.from_bytes(header[2:4], "big") > mtus[interface]:
        return "too large"
    neighbour = str(address) if hop is None else hop
    return None if neighbour in known else "unknown neighbour"


def why_slow_from_a_list(
    header: bytes, own: list[str], routes: Routes, mtus: dict[str, int], known: list[str]
) -> str | None:
    """Write all questions down, each with its reason, and return the first that says yes."""
    target = "%d.%d.%d.%d" % tuple(header[16:20])  # noqa: UP031
    best: tuple[int, str | None, str] | None = None
    for prefix, next_hop, interface in routes:
        length = int(prefix.partition("/")[2])
        network = int.from_bytes(bytes(map(int, prefix.partition("/")[0].split("."))), "big")
        same = (network ^ int.from_bytes(header[16:20], "big")) >> 32 - length == 0
        if same and (best is None or length > best[0]):
            best = length, next_hop, interface
    _, hop, leaves_on = best or (0, None, "")
    questions = {
        "for the router": own.count(target) > 0,
        "no route": best is None,
        "time to live exceeded": not header[8] > 1,
        "options": header[0] % 16 > 5,
        "too large": struct.unpack_from("!H", header, 2)[0] > mtus.get(leaves_on, 0),
        "unknown neighbour": not {hop or target} <= set(known),
    }
    return next((reason for reason, is_so in questions.items() if is_so), None)


def why_slow_by_lengths(
    header: bytes, own: list[str], routes: Routes, mtus: dict[str, int], known: list[str]
) -> str | None:
    """Cut the address at every length, from 32 down, and look that prefix up in a dictionary."""
    address = str(IPv4Address(header[16:20]))
    ways = {prefix: (hop, interface) for prefix, hop, interface in routes}
    cuts = (str(ip_network(f"{address}/{length}", strict=False)) for length in range(32, -1, -1))
    prefix = next((cut for cut in cuts if cut in ways), None)
    if address in own or prefix is None:
        return "for the router" if address in own else "no route"
    hop, interface = ways[prefix]
    reasons = [
        "time to live exceeded" if header[8] in (0, 1) else "",
        "options" if header[0] & 0x0F != 5 else "",
        "too large" if header[2] * 256 + header[3] > mtus[interface] else "",
        "unknown neighbour" if (address if hop is None else hop) not in known else "",
    ]
    return max(reasons, key=bool) or None  # max takes the first of equals


WHY_SLOW = (why_slow_by_ipaddress, why_slow_from_a_list, why_slow_by_lengths)

"""Right answers to 12.4 to 12.6, with what the standard library has."""

import enum
import ipaddress
import itertools
import re
from collections import OrderedDict, defaultdict
from dataclasses import dataclass, field, replace
from fractions import Fraction
from struct import pack, pack_into, unpack, unpack_from

LIFETIMES = {17: 120, 6: 7440}


@dataclass
class Lease:
    """An outside port that somebody inside has for a time."""

    end: tuple
    used_s: float = 0
    talked_to: set = field(default_factory=set)


def nudged(old_sum, gone, come):
    """Return a checksum after words have gone and come: a remainder by 65535 does the carries."""
    words = f"!{len(gone) // 2}H"
    total = 0xFFFF - old_sum + sum(unpack(words, come)) - sum(unpack(words, gone))
    return 0xFFFF - (total % 0xFFFF or 0xFFFF)


class Gate:
    def __init__(self, outside, ports):
        self.outside, self.ports = ipaddress.ip_address(outside).packed, ports
        self.leases = defaultdict(dict)  # by protocol, then by outside port

    def current(self, now_s, protocol):
        living = {
            port: lease for port, lease in self.leases[protocol].items()
            if now_s - lease.used_s < LIFETIMES[protocol]
        }  # fmt: skip
        self.leases[protocol] = living
        return living

    def rewritten(self, packet, at, end):
        """Put an end in, source (12) or destination (16), and let both sums follow."""
        out, port_at = bytearray(packet), 20 if at == 12 else 22
        gone = packet[at : at + 4], packet[port_at : port_at + 2]
        pack_into("!H", out, 10, nudged(unpack_from("!H", packet, 10)[0], gone[0], end[0]))
        sum_at = {17: 26, 6: 36}[packet[9]]
        (before,) = unpack_from("!H", packet, sum_at)
        if before or packet[9] == 6:
            after = nudged(before, b"".join(gone), b"".join(end))
            pack_into("!H", out, sum_at, after or (0xFFFF if packet[9] == 17 else 0))
        out[at : at + 4], out[port_at : port_at + 2] = end
        return bytes(out)

    def outward(self, now_s, packet):
        living = self.current(now_s, packet[9])
        end = packet[12:16], packet[20:22]
        port = next((port for port, lease in living.items() if lease.end == end), None)
        if port is None:
            port = next((port for port in self.ports if port not in living), None)
            if port is None:
                return "full"
            living[port] = Lease(end)
        living[port].used_s = now_s
        living[port].talked_to.add(packet[16:20])
        return self.rewritten(packet, 12, (self.outside, pack("!H", port)))

    def inward(self, now_s, packet):
        if packet[9] == 1:
            return self.report(now_s, packet)
        lease = self.current(now_s, packet[9]).get(unpack_from("!H", packet, 22)[0])
        if lease is None:
            return "no mapping"
        if packet[12:16] not in lease.talked_to:
            return "stranger"
        return self.rewritten(packet, 16, lease.end)

    def report(self, now_s, packet):
        lease = self.current(now_s, 17).get(unpack_from("!H", packet, 48)[0])
        if lease is None:
            return "no mapping"
        inner = self.rewritten(packet[28:56], 12, lease.end)
        out = bytearray(packet)
        pack_into("!H", out, 10, nudged(unpack_from("!H", packet, 10)[0], packet[16:20],
                                        lease.end[0]))  # fmt: skip
        pack_into("!H", out, 22, nudged(unpack_from("!H", packet, 22)[0], packet[28:56], inner))
        out[16:20], out[28:56] = lease.end[0], inner
        return bytes(out)


new_translator = Gate


@dataclass(frozen=True)
class Bucket:
    tokens: Fraction
    at_ms: int


def new_limiter(length, rate_bits_per_s, burst_octets, most):
    from types import SimpleNamespace

    buckets = {}
    full = Fraction(burst_octets)

    def tokens(block, now_ms):
        if block not in buckets:
            return full
        bucket = buckets[block]
        come = Fraction(rate_bits_per_s * (now_ms - bucket.at_ms), 8 * 1000)
        return min(full, bucket.tokens + come)

    def unfilled(now_ms):
        return {block for block in buckets if tokens(block, now_ms) < full}

    def take(now_ms, source, octets, ecn):
        block = ipaddress.ip_interface(f"{source}/{length}").network
        left = tokens(block, now_ms) - octets
        if left < 0:
            return "mark" if ecn else "drop"
        if left < full and len(unfilled(now_ms) - {block}) >= most:
            return "no room"
        buckets[block] = Bucket(left, now_ms)
        return "pass"

    def waiting(now_ms):
        return [block.with_prefixlen for block in sorted(unfilled(now_ms))]

    return SimpleNamespace(take=take, waiting=waiting)


class Kind(enum.IntEnum):
    HAIL = 1
    ANSWER = 2
    CONFIRM = 3
    REFUSE = 4


OPEN = {Kind.HAIL: "hailed", Kind.ANSWER: "answered"}
SIDES = {Kind.HAIL: "ours", Kind.ANSWER: "theirs"}
# Destination, source, version, kind, own number, heard number: the numbers stay octets.
MESSAGE = re.compile(rb"(.{6})(.{6})\x88\xb5(.)(.)(.{4})(.{4})", re.DOTALL)


@dataclass(frozen=True)
class Told:
    """What is told again until somebody hears it."""

    kind: Kind
    numbers: bytes
    state: str
    times: tuple = ()


def new_greeter(own, friends, first, wait_s, tries):
    numbers = (number % 2**32 for number in itertools.count(first))
    table = OrderedDict()

    def frame(peer, kind, both):
        return b"".join((peer, own, b"\x88\xb5\x01", bytes([kind]), both)).ljust(60, b"\0")

    def begin(now_s, peer, kind, heard):
        both = pack("!L", next(numbers)) + heard
        table[peer, SIDES[kind]] = Told(kind, both, OPEN[kind], (now_s,))
        table.move_to_end((peer, SIDES[kind]))
        return [frame(peer, kind, both)]

    class Greeter:
        def hail(self, now_s, peer):
            return begin(now_s, peer, Kind.HAIL, bytes(4))

        def receive(self, now_s, octets):
            found = MESSAGE.match(octets)
            if not found or found[1] != own:
                return []
            _, peer, version, kind, its, mine = found.groups()
            is_ours, is_hail = version == b"\1", kind == b"\1"
            if is_hail and not (is_ours and peer in friends):
                return [frame(peer, Kind.REFUSE, bytes(4) + its)]
            if is_hail:
                known = table.get((peer, "theirs"))
                if known and known.numbers.endswith(its):
                    return [frame(peer, Kind.ANSWER, known.numbers)]
                return begin(now_s, peer, Kind.ANSWER, its)
            if not is_ours:
                return []
            match ord(kind):
                case Kind.ANSWER if self.settle((peer, "ours"), mine + bytes(4), "greeted"):
                    return [frame(peer, Kind.CONFIRM, mine + its)]
                case Kind.CONFIRM:
                    self.settle((peer, "theirs"), mine + its, "greeted")
                case Kind.REFUSE:
                    self.settle((peer, "ours"), mine + bytes(4), "refused", only="hailed")
            return []

        def settle(self, key, both, state, only=""):
            known = table.get(key)
            if known is None or known.numbers != both or only not in ("", known.state):
                return False
            table[key] = replace(known, state=state)
            return True

        def tick(self, now_s):
            frames = []
            for (peer, side), told in table.items():
                if told.state != OPEN[told.kind] or now_s - told.times[-1] < wait_s:
                    continue
                if len(told.times) == tries:
                    table[peer, side] = replace(told, state="silent")
                    continue
                table[peer, side] = replace(told, times=(*told.times, now_s))
                frames.append(frame(peer, told.kind, told.numbers))
            return frames

        def greetings(self):
            return [(*key, told.state) for key, told in table.items()]

    return Greeter()

"""Unit 06, with the standard library."""

# ruff: noqa: N818  # habits of whoever wrote this

import collections
import ipaddress
import itertools
import struct


def remainder(octets):
    octets = bytes(octets) + b"\0" * (len(octets) % 2)
    total = sum(w for (w,) in struct.iter_unpack("!H", octets))
    return total % 0xFFFF if total % 0xFFFF or not total else 0xFFFF


def first_fault(datagram):
    def checks():
        yield len(datagram) >= 20
        vihl, _, total = struct.unpack_from("!BBH", datagram)
        version, ihl = divmod(vihl, 16)
        yield remainder(datagram[: ihl * 4].ljust(ihl * 4, b"\0")) == 0xFFFF
        yield version == 4
        yield ihl >= 5
        yield total >= ihl * 4
        yield len(datagram) >= total

    return next((n for n, ok in enumerate(checks(), 1) if not ok), None)


def rewrite_frame(frame, leaves_by, next_hop):
    (total,) = struct.unpack_from("!H", frame, 16)
    out = bytearray(frame[: 14 + total])
    if out[22] <= 1:
        raise ValueError("TTL")
    out[22] -= 1
    out[0:6], out[6:12] = next_hop[0], leaves_by[0]
    end = 14 + out[14] % 16 * 4
    out[24:26] = bytes(2)
    out[24:26] = struct.pack("!H", 0xFFFF ^ remainder(out[14:end]))
    return bytes(out)


class Drop(Exception):
    pass


def carry(packets, stages):
    drops = collections.Counter()
    sent = []

    def step(packet, stage):
        name, function = stage
        try:
            out = function(packet)
        except Exception as e:
            raise Drop(name, "stage failed") from e
        if type(out) is dict:
            return out
        raise Drop(name, out if isinstance(out, str) else "stage failed")

    for packet in packets:
        try:
            *_, last = itertools.accumulate(stages, step, initial=packet)
            sent.append(last)
        except Drop as drop:
            drops[drop.args] += 1
    return sent, dict(drops)


def may_pass(datagram, rules):
    vihl, flags, proto, dst = struct.unpack_from("!B5xHxB6xI", datagram)
    port = None
    if proto in {6, 17} and flags % 8192 == 0:
        port = struct.unpack_from("!2H", datagram, vihl % 16 * 4)[1]
    dst = ipaddress.IPv4Address(dst)
    verdicts = (
        verdict
        for net, p, verdict in rules
        if dst in ipaddress.IPv4Network(net, strict=False) and (p is None or p == port)
    )
    return next(verdicts, True)


class Dropper:
    def __init__(self, every):
        if every < 1:
            raise ValueError(every)
        self._cycles = collections.defaultdict(
            lambda: itertools.cycle([True] * (every - 1) + [False])
        )
        self._said = collections.Counter()

    def passes(self, flow):
        answer = next(self._cycles[flow])
        self._said[answer] += 1
        return answer

    def counts(self):
        return self._said[True], self._said[False]


new_dropper = Dropper


def why_slow(header, own, routes, mtus, known):
    vihl, _, total, ttl, dst = struct.unpack_from("!BBH4xB7xI", header)
    dst = ipaddress.ip_address(dst)
    if str(dst) in own:
        return "for the router"
    nets = [(ipaddress.ip_network(p, strict=False), hop, out) for p, hop, out in routes]
    nets = [n for n in nets if dst in n[0]]
    if not nets:
        return "no route"
    _, hop, out = max(nets, key=lambda n: n[0].prefixlen)
    tests = {
        "time to live exceeded": ttl < 2,
        "options": vihl != 0x45,
        "too large": total > mtus[out],
        "unknown neighbour": (hop if hop else str(dst)) not in known,
    }
    return next((why for why, holds in tests.items() if holds), None)

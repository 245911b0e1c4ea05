"""Right answers to exercises of unit 12, with loops."""

__all__ = [
    "new_filter",
    "new_greeter",
    "new_limiter",
    "new_monitor",
    "new_router",
    "new_translator",
]

import ipaddress

from written_apart.unit_12_loops_stages import new_greeter, new_limiter, new_translator


class Router:
    def __init__(self, parts, own):
        self.parts = parts
        self.own = own
        self.mine = {address for address, hardware in own.values()}
        self.count = dict.fromkeys(
            ["bad header", "for us", "no route", "too old", "forwarded", "given up"], 0
        )

    def send(self, now_s, way, packet):
        interface, hop = way
        if hop is None:
            hop = self.parts.ends(packet)[1]
        hardware = self.parts.find(now_s, interface, hop)
        if hardware is None:
            return [(interface, frame) for frame in self.parts.wait(now_s, interface, hop, packet)]
        if self.parts.ends(packet)[0] not in self.mine:
            self.count["forwarded"] += 1
        return [(interface, self.parts.close_frame(interface, hardware, packet))]

    def complain(self, now_s, packet, reason):
        way = self.parts.look_up(self.parts.ends(packet)[0])
        if way is None:
            return []
        message = self.parts.error(packet, reason, self.own[way[0]][0])
        if message is None:
            return []
        return self.send(now_s, way, message)

    def receive(self, now_s, interface, frame):
        parts = self.parts
        whom, kind, inside = parts.open_frame(frame)
        if whom != self.own[interface][1] and not (
            kind == "message" and whom == "ff:ff:ff:ff:ff:ff"
        ):
            return []
        if kind == "message":
            answers, free = parts.hear(now_s, interface, inside)
            out = [(interface, each) for each in answers]
            for address, packet in free:
                out += self.send(now_s, (interface, address), packet)
            return out
        if kind != "packet":
            return []
        if not parts.is_sound(inside):
            self.count["bad header"] += 1
            return []
        _source, destination = parts.ends(inside)
        if destination in self.mine:
            self.count["for us"] += 1
            reply = parts.answer(inside)
            if reply is None:
                return []
            way = parts.look_up(parts.ends(reply)[1])
            return [] if way is None else self.send(now_s, way, reply)
        way = parts.look_up(destination)
        if way is None:
            self.count["no route"] += 1
            return self.complain(now_s, inside, "net unreachable")
        try:
            older = parts.lower(inside)
        except ValueError:
            self.count["too old"] += 1
            return self.complain(now_s, inside, "time exceeded")
        return self.send(now_s, way, older)

    def tick(self, now_s):
        questions, lost = self.parts.give_up(now_s)
        out = list(questions)
        for packet in lost:
            if self.parts.ends(packet)[0] not in self.mine:
                self.count["given up"] += 1
                out += self.complain(now_s, packet, "host unreachable")
        return out

    def counters(self):
        return dict(self.count)


def new_router(parts, own):
    return Router(parts, own)


class Filter:
    def __init__(self, rules, otherwise, most):
        self.rules = [
            (ipaddress.ip_network(s), ipaddress.ip_network(d), p, r, v) for s, d, p, r, v in rules
        ]
        self.otherwise = otherwise
        self.most = most
        self.passed = []

    def judge(self, packet):
        size = (packet[0] & 15) * 4
        word = int.from_bytes(packet[6:8], "big")
        offset, more = word & 0x1FFF, bool(word & 0x2000)
        protocol = packet[9]
        data = packet[size:]
        key = (packet[12:20], protocol, packet[4:6])
        if protocol == 6 and offset == 1:
            return "drop"
        if offset:
            return "pass" if key in self.passed else "drop"
        if protocol == 6 and more and len(data) < 16:
            return "drop"
        verdict = self.rule(packet, protocol, data)
        if more and verdict == "pass":
            self.passed.append(key)
            if len(self.passed) > self.most:
                self.passed.pop(0)
        return verdict

    def rule(self, packet, protocol, data):
        source = ipaddress.ip_address(bytes(packet[12:16]))
        destination = ipaddress.ip_address(bytes(packet[16:20]))
        for s, d, p, ports, verdict in self.rules:
            if source not in s or destination not in d:
                continue
            if p is not None and p != protocol:
                continue
            if ports is not None:
                if protocol not in (6, 17):
                    continue
                if not ports[0] <= int.from_bytes(data[2:4], "big") <= ports[1]:
                    continue
            return verdict
        return self.otherwise


def new_filter(rules, otherwise, most):
    return Filter(rules, otherwise, most)


class Monitor:
    def __init__(self, routes, ports, window_s, most):
        self.routes = [(ipaddress.ip_network(p), i) for p, i in routes]
        self.ports, self.window_s, self.most = ports, window_s, most
        self.pairs = {}

    def see(self, now_s, interface, source, destination, port):
        address = ipaddress.ip_address(source)
        best, ways = -1, set()
        for net, way in self.routes:
            if address in net:
                if net.prefixlen > best:
                    best, ways = net.prefixlen, set()
                if net.prefixlen == best:
                    ways.add(way)
        if interface not in ways:
            return [("spoofed", source, interface)]
        pair = (source, destination)
        seen, alarmed = self.pairs.pop(pair, ({}, False))
        if len(self.pairs) >= self.most:
            del self.pairs[next(iter(self.pairs))]
        seen[port] = now_s
        seen = {p: t for p, t in seen.items() if now_s - t < self.window_s}
        enough = len(seen) >= self.ports
        self.pairs[pair] = (seen, enough)
        return [("sweep", source, destination)] if enough and not alarmed else []


def new_monitor(routes, ports, window_s, most):
    return Monitor(routes, ports, window_s, most)

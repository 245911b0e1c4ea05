"""Right answers to exercises of unit 12, in small pieces."""

__all__ = [
    "new_filter",
    "new_greeter",
    "new_limiter",
    "new_monitor",
    "new_router",
    "new_translator",
]

from written_apart.unit_12_pieces_stages import new_greeter, new_limiter, new_translator


def new_router(parts, own):
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
                return [
                    (interface, frame) for frame in self.parts.wait(now_s, interface, hop, packet)
                ]
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

    return Router(parts, own)


def new_filter(rules, otherwise, most):
    import ipaddress

    class Filter:
        def __init__(self, rules, otherwise, most):
            self.rules = [
                (ipaddress.ip_network(s), ipaddress.ip_network(d), p, r, v)
                for s, d, p, r, v in rules
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

    return Filter(rules, otherwise, most)


def new_monitor(routes, ports, window_s, most):
    def num(a):
        return int.from_bytes(bytes(map(int, a.split("."))), "big")

    asked, last, state = {}, {}, set()

    def ways(source):
        fits = {}
        for prefix, way in routes:
            base, length = prefix.split("/")
            shift = 32 - int(length)
            if num(source) >> shift == num(base) >> shift:
                fits.setdefault(int(length), []).append(way)
        return fits[max(fits)] if fits else []

    class Monitor:
        step = 0

        def see(self, now_s, interface, source, destination, port):
            if interface not in ways(source):
                return [("spoofed", source, interface)]
            self.step += 1
            pair = source, destination
            if pair not in last and len(last) == most:
                old = min(last, key=last.get)
                del last[old], asked[old]
                state.discard(old)
            last[pair] = self.step
            asked.setdefault(pair, {})[port] = now_s
            n = sum(now_s - t < window_s for t in asked[pair].values())
            if n < ports:
                state.discard(pair)
                return []
            if pair in state:
                return []
            state.add(pair)
            return [("sweep", source, destination)]

    return Monitor()

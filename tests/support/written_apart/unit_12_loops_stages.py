"""Right answers to 12.4 to 12.6, with loops."""


class Sharer:
    """Two lists of rows, one for each protocol; a row is a list of what is known."""

    def __init__(self, outside, ports):
        self.outside = bytearray(map(int, outside.split(".")))
        self.ports = ports
        self.rows = []  # [protocol, inside address, inside port, outside port, last, partners]

    def sweep(self, now_s):
        kept = []
        for row in self.rows:
            limit = 7440 if row[0] == 6 else 120
            if now_s < row[4] + limit:
                kept.append(row)
        self.rows = kept

    def correct(self, octets, place, before, after):
        """Add word by word to the sum's complement, bringing each carry back at once."""
        total = 0xFFFF - (octets[place] * 256 + octets[place + 1])
        for i in range(0, len(before), 2):
            total += 0xFFFF - (before[i] * 256 + before[i + 1])
            if total > 0xFFFF:
                total -= 0xFFFF
            total += after[i] * 256 + after[i + 1]
            if total > 0xFFFF:
                total -= 0xFFFF
        total = 0xFFFF - total
        octets[place] = total // 256
        octets[place + 1] = total % 256

    def swap(self, octets, start, address_place, port_place, address, port):
        before_address = octets[address_place : address_place + 4]
        before_port = octets[port_place : port_place + 2]
        after_port = bytearray([port // 256, port % 256])
        octets[address_place : address_place + 4] = address
        octets[port_place : port_place + 2] = after_port
        self.correct(octets, start + 10, before_address, address)
        if octets[start + 9] == 6:
            place = start + 36
        else:
            place = start + 26
            if octets[place] == 0 and octets[place + 1] == 0:
                return
        self.correct(octets, place, before_address + before_port, address + after_port)
        if octets[start + 9] == 17 and octets[place] == 0 and octets[place + 1] == 0:
            octets[place] = octets[place + 1] = 255

    def outward(self, now_s, packet):
        self.sweep(now_s)
        octets = bytearray(packet)
        protocol, inside = octets[9], octets[12:16]
        port = octets[20] * 256 + octets[21]
        found = None
        for row in self.rows:
            if row[0] == protocol and row[1] == inside and row[2] == port:
                found = row
        if found is None:
            taken = []
            for row in self.rows:
                if row[0] == protocol:
                    taken.append(row[3])
            for candidate in self.ports:
                if candidate not in taken:
                    found = [protocol, inside, port, candidate, now_s, []]
                    self.rows.append(found)
                    break
            else:
                return "full"
        found[4] = now_s
        found[5].append(octets[16:20])
        self.swap(octets, 0, 12, 20, self.outside, found[3])
        return bytes(octets)

    def inward(self, now_s, packet):
        self.sweep(now_s)
        octets = bytearray(packet)
        error = octets[9] == 1
        protocol = 17 if error else octets[9]
        place = 48 if error else 22
        port = octets[place] * 256 + octets[place + 1]
        for row in self.rows:
            if row[0] == protocol and row[3] == port:
                break
        else:
            return "no mapping"
        if not error:
            if octets[12:16] not in row[5]:
                return "stranger"
            self.swap(octets, 0, 16, 22, row[1], row[2])
            return bytes(octets)
        quoted = octets[28:56]
        self.swap(octets, 28, 40, 48, row[1], row[2])
        self.correct(octets, 22, quoted, octets[28:56])
        to = octets[16:20]
        octets[16:20] = row[1]
        self.correct(octets, 10, to, row[1])
        return bytes(octets)


def new_translator(outside, ports):
    return Sharer(outside, ports)


class Meter:
    """Levels in 1/8000 of an octet, filled for every block whenever somebody asks."""

    def __init__(self, length, rate_bits_per_s, burst_octets, most):
        self.length, self.rate, self.most = length, rate_bits_per_s, most
        self.brim = 8000 * burst_octets
        self.names, self.levels = [], []
        self.clock = None

    def catch_up(self, now_ms):
        if self.clock is not None:
            names, levels = [], []
            for name, level in zip(self.names, self.levels, strict=True):
                level += self.rate * (now_ms - self.clock)
                if level < self.brim:
                    names.append(name)
                    levels.append(level)
            self.names, self.levels = names, levels
        self.clock = now_ms

    def take(self, now_ms, source, octets, ecn):
        self.catch_up(now_ms)
        block = 0
        for part in source.split("."):
            block = block * 256 + int(part)
        for _ in range(32 - self.length):
            block //= 2
        need = 8000 * octets
        if block in self.names:
            place = self.names.index(block)
            if self.levels[place] >= need:
                self.levels[place] -= need
                return "pass"
        elif need <= self.brim:
            if need == 0:
                return "pass"
            if len(self.names) >= self.most:
                return "no room"
            self.names.append(block)
            self.levels.append(self.brim - need)
            return "pass"
        if ecn == 0:
            return "drop"
        return "mark"

    def waiting(self, now_ms):
        self.catch_up(now_ms)
        texts = []
        for block in sorted(self.names):
            for _ in range(32 - self.length):
                block *= 2
            parts = []
            for _ in range(4):
                parts.insert(0, str(block % 256))
                block //= 256
            texts.append(".".join(parts) + "/" + str(self.length))
        return texts


def new_limiter(length, rate_bits_per_s, burst_octets, most):
    return Meter(length, rate_bits_per_s, burst_octets, most)


class Caller:
    """Parallel lists; the place in them is the order."""

    def __init__(self, own, friends, first, wait_s, tries):
        self.own, self.friends = own, friends
        self.number, self.wait_s, self.tries = first, wait_s, tries
        self.who, self.side, self.state = [], [], []
        self.mine, self.its, self.count, self.last = [], [], [], []
        self.columns = [
            self.who, self.side, self.state, self.mine, self.its, self.count, self.last,
        ]  # fmt: skip

    def write(self, peer, kind, mine, its):
        octets = list(peer) + list(self.own) + [0x88, 0xB5, 1, kind]
        for number in (mine, its):
            for power in (24, 16, 8, 0):
                octets.append((number >> power) % 256)
        while len(octets) < 60:
            octets.append(0)
        return bytes(octets)

    def place(self, peer, side):
        for i in range(len(self.who)):
            if self.who[i] == peer and self.side[i] == side:
                return i
        return -1

    def begin(self, now_s, peer, side, state, its):
        old = self.place(peer, side)
        if old >= 0:
            for column in self.columns:
                del column[old]
        new = [peer, side, state, self.number, its, 1, now_s]
        for column, value in zip(self.columns, new, strict=True):
            column.append(value)
        self.number += 1
        if self.number == 2**32:
            self.number = 0
        return [self.repeat(len(self.who) - 1)]

    def repeat(self, i):
        kind = 1 if self.side[i] == "ours" else 2
        return self.write(self.who[i], kind, self.mine[i], self.its[i])

    def hail(self, now_s, peer):
        return self.begin(now_s, peer, "ours", "hailed", 0)

    def receive(self, now_s, frame):
        if len(frame) < 24 or frame[0:6] != self.own:
            return []
        if frame[12] != 0x88 or frame[13] != 0xB5:
            return []
        peer, version, kind = frame[6:12], frame[14], frame[15]
        its = mine = 0
        for i in range(16, 20):
            its = its * 256 + frame[i]
        for i in range(20, 24):
            mine = mine * 256 + frame[i]
        if kind == 1 and (version != 1 or peer not in self.friends):
            return [self.write(peer, 4, 0, its)]
        if version != 1:
            return []
        ours, theirs = self.place(peer, "ours"), self.place(peer, "theirs")
        if kind == 1:
            if theirs >= 0 and self.its[theirs] == its:
                return [self.repeat(theirs)]
            return self.begin(now_s, peer, "theirs", "answered", its)
        if kind == 2 and ours >= 0 and self.mine[ours] == mine:
            self.state[ours] = "greeted"
            return [self.write(peer, 3, mine, its)]
        numbers = mine, its
        if kind == 3 and theirs >= 0 and (self.mine[theirs], self.its[theirs]) == numbers:
            self.state[theirs] = "greeted"
        state = kind == 4 and ours >= 0 and self.mine[ours] == mine and self.state[ours]
        if state == "hailed":
            self.state[ours] = "refused"
        return []

    def tick(self, now_s):
        frames = []
        for i in range(len(self.who)):
            if self.state[i] != "hailed" and self.state[i] != "answered":
                continue
            if now_s < self.last[i] + self.wait_s:
                continue
            if self.count[i] >= self.tries:
                self.state[i] = "silent"
            else:
                self.count[i] += 1
                self.last[i] = now_s
                frames.append(self.repeat(i))
        return frames

    def greetings(self):
        rows = []
        for i in range(len(self.who)):
            rows.append((self.who[i], self.side[i], self.state[i]))
        return rows


def new_greeter(own, friends, first, wait_s, tries):
    return Caller(own, friends, first, wait_s, tries)

"""Unit 06, step by step."""

# ruff: noqa: SIM102, SIM108  # habits of whoever wrote this


def add_up(octets):
    total = 0
    for i in range(0, len(octets), 2):
        total += octets[i] << 8
        if i + 1 < len(octets):
            total += octets[i + 1]
    while total >> 16:
        total = (total >> 16) + (total & 0xFFFF)
    return total


def first_fault(datagram):
    size = len(datagram)
    if size < 20:
        return 1
    version = datagram[0] >> 4
    length = (datagram[0] & 15) * 4
    if add_up(datagram[0:length]) != 0xFFFF:
        return 2
    if version != 4:
        return 3
    if length < 20:
        return 4
    total = datagram[2] * 256 + datagram[3]
    if total < length:
        return 5
    if size < total:
        return 6
    return None


def rewrite_frame(frame, leaves_by, next_hop):
    total = frame[16] * 256 + frame[17]
    packet = bytearray(frame[14 : 14 + total])
    if packet[8] == 0 or packet[8] == 1:
        raise ValueError("time to live is used up")
    packet[8] -= 1
    length = (packet[0] & 15) * 4
    packet[10] = 0
    packet[11] = 0
    check = 0xFFFF - add_up(packet[0:length])
    packet[10] = check >> 8
    packet[11] = check & 255
    return bytes(next_hop[0]) + bytes(leaves_by[0]) + frame[12:14] + bytes(packet)


def carry(packets, stages):
    sent = []
    drops = {}
    for packet in packets:
        alive = True
        for name, function in stages:
            try:
                result = function(packet)
            except Exception:
                result = None
            if isinstance(result, dict):
                packet = result
                continue
            if isinstance(result, str):
                reason = result
            else:
                reason = "stage failed"
            if (name, reason) not in drops:
                drops[(name, reason)] = 0
            drops[(name, reason)] += 1
            alive = False
            break
        if alive:
            sent.append(packet)
    return sent, drops


def to_number(text):
    n = 0
    for part in text.split("."):
        n = n * 256 + int(part)
    return n


def matches(prefix, number):
    network, length = prefix.split("/")
    size = 2 ** (32 - int(length))
    return to_number(network) // size == number // size


def may_pass(datagram, rules):
    address = 0
    for i in range(16, 20):
        address = address * 256 + datagram[i]
    port = None
    offset = (datagram[6] & 31) * 256 + datagram[7]
    if datagram[9] == 6 or datagram[9] == 17:
        if offset == 0:
            start = (datagram[0] & 15) * 4
            port = datagram[start + 2] * 256 + datagram[start + 3]
    for prefix, wanted, verdict in rules:
        if not matches(prefix, address):
            continue
        if wanted is not None and wanted != port:
            continue
        return verdict
    return True


class EveryNth:
    def __init__(self, n):
        self.n = n
        self.left = {}
        self.good = 0
        self.bad = 0

    def passes(self, flow):
        if flow not in self.left:
            self.left[flow] = self.n
        self.left[flow] -= 1
        if self.left[flow] == 0:
            self.left[flow] = self.n
            self.bad += 1
            return False
        self.good += 1
        return True

    def counts(self):
        return self.good, self.bad


def new_dropper(every):
    if every <= 0:
        raise ValueError("every must be positive")
    return EveryNth(every)


def why_slow(header, own, routes, mtus, known):
    parts = []
    for i in range(16, 20):
        parts.append(str(header[i]))
    dest = ".".join(parts)
    if dest in own:
        return "for the router"
    best = None
    best_length = -1
    for prefix, hop, interface in routes:
        length = int(prefix.split("/")[1])
        if length > best_length and matches(prefix, to_number(dest)):
            best = (hop, interface)
            best_length = length
    if best is None:
        return "no route"
    hop, interface = best
    if header[8] < 2:
        return "time to live exceeded"
    if header[0] & 15 > 5:
        return "options"
    if header[2] * 256 + header[3] > mtus[interface]:
        return "too large"
    if hop is None:
        hop = dest
    if hop not in known:
        return "unknown neighbour"
    return None

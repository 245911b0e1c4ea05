"""Wrong answers to the exercises of unit 05 that no listed belief explains.

Each is a right answer in which a few words are others.
"""

REQUEST = """def answer_request(frame, hardware_address, address):
    if len(frame) < 42:
        raise ValueError("too short")
    if frame[12:14] != b"\\x08\\x06":
        raise ValueError("no ARP")
    if frame[14:20] != bytes([0, 1, 8, 0, 6, 4]):
        raise ValueError("other addresses")
    mine = bytes(int(part) for part in address.split("."))
    if frame[20:22] != b"\\0\\1" or frame[38:42] != mine:
        return None
    asker = frame[22:32]
    head = asker[:6] + hardware_address + frame[12:20]
    return head + b"\\0\\2" + hardware_address + mine + asker
"""
CACHE = """class Cache:
    def __init__(self, address, lifetime_s):
        self.address = address
        self.lifetime_s = lifetime_s
        self.entries = {}

    def receive(self, now_s, operation, hardware_address, sender, target):
        if hardware_address[0] & 1:
            return False
        for_us = target == self.address
        if for_us or self.find(now_s, sender) is not None:
            self.entries[sender] = (hardware_address, now_s)
        return for_us and operation == 1

    def find(self, now_s, address):
        hardware_address, heard_s = self.entries.get(address, (None, now_s))
        if now_s - heard_s >= self.lifetime_s:
            return None
        return hardware_address


def new_cache(address, lifetime_s):
    return Cache(address, lifetime_s)
"""
WAITING = """class Waiting:
    def __init__(self, most):
        self.most = most
        self.rooms = {}
        self.asked = {}

    def wait(self, address, packet):
        room = self.rooms.setdefault(address, [])
        room.append(packet)
        if len(room) > self.most:
            room.pop(0)

    def answered(self, address):
        self.asked.pop(address, None)
        return self.rooms.pop(address, [])

    def tick(self, now_s):
        questions, lost = [], []
        for address in list(self.rooms):
            count, last_s = self.asked.get(address, (0, 0))
            if count and now_s - last_s < 1:
                continue
            if count == 3:
                lost.extend(self.answered(address))
                continue
            self.asked[address] = (count + 1, now_s)
            questions.append(address)
        return questions, lost


def new_waiting(most):
    return Waiting(most)
"""
ECHO = """def add_up(data):
    if len(data) % 2:
        data = data + b"\\0"
    total = 0
    for place in range(0, len(data), 2):
        total += data[place] * 256 + data[place + 1]
    while total > 0xFFFF:
        total = (total & 0xFFFF) + (total >> 16)
    return total


def answer_echo(packet):
    start = 4 * (packet[0] & 15)
    message = bytearray(packet[start:])
    if len(message) < 8 or message[0] != 8 or message[1] != 0:
        return None
    if add_up(message) != 0xFFFF:
        return None
    header = bytearray(packet[:start])
    header[12:16], header[16:20] = header[16:20], header[12:16]
    header[8] = 64
    message[0] = 0
    header[10:12] = message[2:4] = bytes(2)
    header[10:12] = (0xFFFF - add_up(header)).to_bytes(2, "big")
    message[2:4] = (0xFFFF - add_up(message)).to_bytes(2, "big")
    return bytes(header + message)
"""
ERROR = """def add_up(data):
    if len(data) % 2:
        data = data + b"\\0"
    total = 0
    for place in range(0, len(data), 2):
        total += data[place] * 256 + data[place + 1]
    while total > 0xFFFF:
        total = (total & 0xFFFF) + (total >> 16)
    return total


CODES = {
    "net unreachable": (3, 0),
    "host unreachable": (3, 1),
    "fragmentation needed": (3, 4),
    "time exceeded": (11, 0),
}


def build_error(packet, reason, address, mtu=0):
    total = packet[2] * 256 + packet[3]
    quote = packet[:total][:548]
    kind, code = CODES[reason]
    rest = mtu if (kind, code) == (3, 4) else 0
    message = bytearray(bytes([kind, code, 0, 0]) + rest.to_bytes(4, "big") + quote)
    message[2:4] = (0xFFFF - add_up(message)).to_bytes(2, "big")
    size = 20 + len(message)
    header = bytearray([0x45, 0xC0, size >> 8, size & 255, 0, 0, 0, 0, 64, 1, 0, 0])
    header += bytes(int(part) for part in address.split(".")) + packet[12:16]
    header[10:12] = (0xFFFF - add_up(header)).to_bytes(2, "big")
    return bytes(header + message)
"""
REPORTER = """class Reporter:
    def __init__(self, broadcasts, most):
        self.broadcasts = broadcasts
        self.most = most
        self.times = []

    def may_report(self, now_s, packet, to_all):
        source = ".".join(str(octet) for octet in packet[12:16])
        target = ".".join(str(octet) for octet in packet[16:20])
        behind = packet[4 * (packet[0] & 15) :]
        if packet[9] == 1 and behind[0] in (3, 4, 5, 11, 12):
            return False
        if (packet[6] * 256 + packet[7]) & 0x1FFF:
            return False
        if to_all or target == "255.255.255.255" or 224 <= packet[16] < 240:
            return False
        if target in self.broadcasts or source in self.broadcasts:
            return False
        if packet[12] in (0, 127) or packet[12] >= 224:
            return False
        recent = [one for one in self.times if now_s - one < 1]
        if len(recent) >= self.most:
            return False
        self.times.append(now_s)
        return True


def new_reporter(broadcasts, most):
    return Reporter(broadcasts, most)
"""


def changed(right: str, old: str, new: str) -> str:
    """Return an answer with some of its words replaced."""
    assert old in right, old
    return right.replace(old, new)


UNLISTED: dict[str, dict[str, str]] = {
    "5.1": {
        "asker without IP address": changed(
            REQUEST, "asker = frame[22:32]", "asker = frame[22:28] + bytes(4)"
        ),
        "our own address as target": changed(
            REQUEST, "+ mine + asker\n", "+ mine + asker[:6] + mine\n"
        ),
        "kinds one octet too short": changed(
            REQUEST,
            "frame[14:20] != bytes([0, 1, 8, 0, 6, 4])",
            "frame[14:19] != bytes([0, 1, 8, 0, 6])",
        ),
        "operation 3": changed(REQUEST, 'head + b"\\0\\2"', 'head + b"\\0\\3"'),
        "two last octets of the address": changed(
            REQUEST, "frame[38:42] != mine", "frame[40:42] != mine[2:]"
        ),
        "padded to 46 behind the header": changed(
            REQUEST, "+ mine + asker\n", "+ mine + asker + bytes(4)\n"
        ),
        "a list of numbers": changed(
            REQUEST,
            'return head + b"\\0\\2" + hardware_address + mine + asker',
            'return list(head + b"\\0\\2" + hardware_address + mine + asker)',
        ),
    },
    "5.2": {
        "operation 2 ages at once": changed(
            CACHE, "(hardware_address, now_s)", "(hardware_address, now_s - 5 * (operation == 2))"
        ),
        "only one neighbour": changed(
            CACHE,
            "self.entries[sender] =",
            "self.entries.clear()\n            self.entries[sender] =",
        ),
        "half the lifetime": changed(
            CACHE, "self.lifetime_s = lifetime_s", "self.lifetime_s = lifetime_s / 2"
        ),
        "text prefix of the address": changed(
            CACHE, "for_us = target == self.address", "for_us = target.startswith(self.address)"
        ),
        "text for octets": changed(
            CACHE,
            "return hardware_address\n",
            "return hardware_address and hardware_address.hex()\n",
        ),
        "answers until it knows": changed(
            CACHE,
            "return for_us and operation == 1",
            "return for_us and operation == 1 and len(self.entries) < 2",
        ),
    },
    "5.3": {
        "half a second": changed(WAITING, "now_s - last_s < 1", "now_s - last_s < 0.5"),
        "oldest two go": changed(WAITING, "room.pop(0)", "del room[:2]"),
        "answers to all": changed(
            WAITING,
            "return self.rooms.pop(address, [])",
            "return self.rooms.pop(address, self.rooms.popitem()[1] if self.rooms else [])",
        ),
        "five questions": changed(WAITING, "count == 3", "count == 5"),
        "lists turned round": changed(WAITING, "return questions, lost", "return lost, questions"),
        "one list": changed(WAITING, "return questions, lost", "return questions + lost"),
    },
    "5.4": {
        "type 1": changed(ECHO, "message[0] = 0", "message[0] = 1"),
        "two's complement": changed(
            ECHO,
            "message[2:4] = (0xFFFF - add_up(message))",
            "message[2:4] = ((0x10000 - add_up(message)) % 0x10000)",
        ),
        "sequence number raised": changed(
            ECHO, "message[0] = 0", "message[0] = 0\n    message[7] = (message[7] + 1) % 256"
        ),
        "time to live 128": changed(ECHO, "header[8] = 64", "header[8] = 128"),
        "data turned round": changed(
            ECHO, "message[0] = 0", "message[0] = 0\n    message[8:] = message[:7:-1]"
        ),
        "fields left at zero": changed(
            ECHO, '    header[10:12] = (0xFFFF - add_up(header)).to_bytes(2, "big")\n', ""
        ),
    },
    "5.5": {
        "64 octets quoted": changed(ERROR, "[:548]", "[:64]"),
        "code 2 for a host": changed(ERROR, "(3, 1)", "(3, 2)"),
        "precedence 7": changed(ERROR, "0xC0", "0xE0"),
        "type and code exchanged for time": changed(ERROR, "(11, 0)", "(11, 1)"),
        "MTU in 4 octets from the left": changed(
            ERROR, "rest.to_bytes(4", "(rest << 8).to_bytes(4"
        ),
        "reply with the packet's own number": changed(
            ERROR, "size & 255, 0, 0, 0, 0, 64", "size & 255, packet[4], packet[5], 0, 0, 64"
        ),
    },
    "5.6": {
        "type 5 may be told": changed(REPORTER, "(3, 4, 5, 11, 12)", "(3, 4, 11, 12)"),
        "offset of 12 bits": changed(REPORTER, "& 0x1FFF", "& 0x0FFF"),
        "half a second": changed(REPORTER, "now_s - one < 1", "now_s - one < 0.5"),
        "broadcasts as one text": changed(
            REPORTER, "self.broadcasts = broadcasts", "self.broadcasts = broadcasts[:2]"
        ),
        "multicast of five blocks": changed(
            REPORTER, "224 <= packet[16] < 240", "224 <= packet[16] < 232"
        ),
        "loopback may be told": changed(REPORTER, "(0, 127)", "(0, 128)"),
    },
}

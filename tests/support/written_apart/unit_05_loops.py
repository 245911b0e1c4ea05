"""Unit 05, step by step."""


def octets_of(address):
    octets = []
    value = 0
    for character in address:
        if character == ".":
            octets.append(value)
            value = 0
        else:
            value = value * 10 + ord(character) - ord("0")
    octets.append(value)
    return octets


def checksum(octets):
    """The Internet checksum of a sequence of octets."""
    total = 0
    for i in range(0, len(octets), 2):
        total = total + octets[i] * 256
        if i + 1 < len(octets):
            total = total + octets[i + 1]
    while total > 65535:
        total = total % 65536 + total // 65536
    return 65535 - total


def answer_request(frame, hardware_address, address):
    if len(frame) < 42:
        raise ValueError("too short")
    if frame[12] != 8 or frame[13] != 6:
        raise ValueError("not ARP")
    expected = [0, 1, 8, 0, 6, 4]
    for i in range(6):
        if frame[14 + i] != expected[i]:
            raise ValueError("not for Ethernet and IPv4")
    if frame[20] != 0 or frame[21] != 1:
        return None
    ours = octets_of(address)
    for i in range(4):
        if frame[38 + i] != ours[i]:
            return None
    answer = [0] * 42
    for i in range(6):
        answer[i] = frame[22 + i]
        answer[6 + i] = hardware_address[i]
        answer[14 + i] = expected[i]
        answer[22 + i] = hardware_address[i]
        answer[32 + i] = frame[22 + i]
    answer[12] = 8
    answer[13] = 6
    answer[20] = 0
    answer[21] = 2
    for i in range(4):
        answer[28 + i] = ours[i]
        answer[38 + i] = frame[28 + i]
    return bytes(answer)


class Cache:
    def __init__(self, address, lifetime_s):
        self.address = address
        self.lifetime_s = lifetime_s
        self.hardware = {}
        self.heard_s = {}

    def find(self, now_s, address):
        if address not in self.hardware:
            return None
        if now_s - self.heard_s[address] >= self.lifetime_s:
            return None
        return self.hardware[address]

    def receive(self, now_s, operation, hardware_address, sender, target):
        if hardware_address[0] % 2 == 1:
            return False
        for_us = target == self.address
        if for_us or self.find(now_s, sender) is not None:
            self.hardware[sender] = hardware_address
            self.heard_s[sender] = now_s
        return for_us and operation == 1


def new_cache(address, lifetime_s):
    return Cache(address, lifetime_s)


class Waiting:
    def __init__(self, most):
        self.most = most
        self.addresses = []
        self.packets = []
        self.questions = []
        self.asked_s = []

    def place_of(self, address):
        for i in range(len(self.addresses)):
            if self.addresses[i] == address:
                return i
        return -1

    def forget(self, i):
        del self.addresses[i]
        del self.packets[i]
        del self.questions[i]
        del self.asked_s[i]

    def wait(self, address, packet):
        i = self.place_of(address)
        if i == -1:
            self.addresses.append(address)
            self.packets.append([packet])
            self.questions.append(0)
            self.asked_s.append(0)
        else:
            self.packets[i].append(packet)
            if len(self.packets[i]) > self.most:
                del self.packets[i][0]

    def answered(self, address):
        i = self.place_of(address)
        if i == -1:
            return []
        packets = self.packets[i]
        self.forget(i)
        return packets

    def tick(self, now_s):
        ask = []
        given_up = []
        i = 0
        while i < len(self.addresses):
            if self.questions[i] > 0 and now_s - self.asked_s[i] < 1:
                i = i + 1
            elif self.questions[i] < 3:
                ask.append(self.addresses[i])
                self.questions[i] = self.questions[i] + 1
                self.asked_s[i] = now_s
                i = i + 1
            else:
                for packet in self.packets[i]:
                    given_up.append(packet)
                self.forget(i)
        return ask, given_up


def new_waiting(most):
    return Waiting(most)


def answer_echo(packet):
    header = packet[0] % 16 * 4
    if len(packet) - header < 8:
        return None
    if packet[header] != 8 or packet[header + 1] != 0:
        return None
    if checksum(packet[header:]) != 0:
        return None
    reply = []
    for octet in packet:
        reply.append(octet)
    for i in range(4):
        reply[12 + i] = packet[16 + i]
        reply[16 + i] = packet[12 + i]
    reply[8] = 64
    reply[10] = 0
    reply[11] = 0
    total = checksum(reply[:header])
    reply[10] = total // 256
    reply[11] = total % 256
    reply[header] = 0
    reply[header + 2] = 0
    reply[header + 3] = 0
    total = checksum(reply[header:])
    reply[header + 2] = total // 256
    reply[header + 3] = total % 256
    return bytes(reply)


def build_error(packet, reason, address, mtu=0):
    if reason == "net unreachable":
        kind, code = 3, 0
    elif reason == "host unreachable":
        kind, code = 3, 1
    elif reason == "fragmentation needed":
        kind, code = 3, 4
    else:
        kind, code = 11, 0
    quoted = packet[2] * 256 + packet[3]
    if quoted > 576 - 28:
        quoted = 576 - 28
    length = 28 + quoted
    header = [0x45, 0xC0, length // 256, length % 256, 0, 0, 0, 0, 64, 1, 0, 0]
    for octet in octets_of(address):
        header.append(octet)
    for i in range(12, 16):
        header.append(packet[i])
    total = checksum(header)
    header[10] = total // 256
    header[11] = total % 256
    message = [kind, code, 0, 0, 0, 0, 0, 0]
    if reason == "fragmentation needed":
        message[6] = mtu // 256
        message[7] = mtu % 256
    for i in range(quoted):
        message.append(packet[i])
    total = checksum(message)
    message[2] = total // 256
    message[3] = total % 256
    return bytes(header + message)


class Reporter:
    def __init__(self, broadcasts, most):
        self.broadcasts = []
        for text in broadcasts:
            self.broadcasts.append(octets_of(text))
        self.most = most
        self.told_s = []

    def may_report(self, now_s, packet, to_all):
        header = packet[0] % 16 * 4
        if packet[9] == 1 and len(packet) > header:
            kind = packet[header]
            if kind == 3 or kind == 4 or kind == 5 or kind == 11 or kind == 12:
                return False
        if packet[6] % 32 * 256 + packet[7] != 0:
            return False
        if to_all:
            return False
        source = []
        destination = []
        for i in range(4):
            source.append(packet[12 + i])
            destination.append(packet[16 + i])
        if destination == [255, 255, 255, 255] or 224 <= destination[0] <= 239:
            return False
        if source[0] == 0 or source[0] == 127 or source[0] >= 224:
            return False
        for broadcast in self.broadcasts:
            if destination == broadcast or source == broadcast:
                return False
        recent = []
        for then_s in self.told_s:
            if now_s - then_s < 1:
                recent.append(then_s)
        self.told_s = recent
        if len(recent) >= self.most:
            return False
        recent.append(now_s)
        return True


def new_reporter(broadcasts, most):
    return Reporter(broadcasts, most)

"""Unit 05, in small pieces."""

from collections import deque

# 5.1

FOR_ETHERNET_AND_IPV4 = bytes.fromhex("0001 0800 0604")
ARP_TYPE = bytes.fromhex("0806")


def read_address(text):
    return bytes(map(int, text.split(".")))


def check_frame(frame):
    if len(frame) < 42:
        raise ValueError("too short")
    if frame[12:14] != ARP_TYPE:
        raise ValueError("not ARP")
    if frame[14:20] != FOR_ETHERNET_AND_IPV4:
        raise ValueError("not for Ethernet and IPv4")


def asks_for(frame, address):
    return frame[20:22] == b"\0\1" and frame[38:42] == address


def ethernet_header(target, source):
    return target + source + ARP_TYPE


def arp_answer(us, asker):
    return FOR_ETHERNET_AND_IPV4 + b"\0\2" + us + asker


def answer_request(frame, hardware_address, address):
    check_frame(frame)
    ours = read_address(address)
    if not asks_for(frame, ours):
        return None
    asker = frame[22:32]
    header = ethernet_header(asker[:6], hardware_address)
    return header + arp_answer(hardware_address + ours, asker)


# 5.2


def is_group(hardware_address):
    return hardware_address[0] & 1 == 1


class Cache:
    def __init__(self, address, lifetime_s):
        self.address = address
        self.lifetime_s = lifetime_s
        self.entries = {}

    def is_fresh(self, heard_s, now_s):
        return now_s - heard_s < self.lifetime_s

    def find(self, now_s, address):
        if address not in self.entries:
            return None
        hardware_address, heard_s = self.entries[address]
        return hardware_address if self.is_fresh(heard_s, now_s) else None

    def may_learn(self, now_s, sender, target):
        return target == self.address or self.find(now_s, sender) is not None

    def asks_us(self, operation, target):
        return operation == 1 and target == self.address

    def receive(self, now_s, operation, hardware_address, sender, target):
        if is_group(hardware_address):
            return False
        if self.may_learn(now_s, sender, target):
            self.entries[sender] = (hardware_address, now_s)
        return self.asks_us(operation, target)


def new_cache(address, lifetime_s):
    return Cache(address, lifetime_s)


# 5.3


class Expected:
    """What waits for one address, and how often that was asked for."""

    def __init__(self, most):
        self.packets = deque(maxlen=most)
        self.questions = 0
        self.asked_s = None

    def is_due(self, now_s):
        return self.asked_s is None or now_s - self.asked_s >= 1

    def is_hopeless(self):
        return self.questions == 3

    def ask(self, now_s):
        self.questions += 1
        self.asked_s = now_s


class Waiting:
    def __init__(self, most):
        self.most = most
        self.expected = {}

    def wait(self, address, packet):
        if address not in self.expected:
            self.expected[address] = Expected(self.most)
        self.expected[address].packets.append(packet)

    def answered(self, address):
        if address not in self.expected:
            return []
        return list(self.expected.pop(address).packets)

    def due(self, now_s):
        return [address for address, one in self.expected.items() if one.is_due(now_s)]

    def give_up(self, addresses):
        return [packet for address in addresses for packet in self.answered(address)]

    def ask(self, addresses, now_s):
        for address in addresses:
            self.expected[address].ask(now_s)

    def tick(self, now_s):
        due = self.due(now_s)
        hopeless = [address for address in due if self.expected[address].is_hopeless()]
        questions = [address for address in due if address not in hopeless]
        self.ask(questions, now_s)
        return questions, self.give_up(hopeless)


def new_waiting(most):
    return Waiting(most)


# 5.4


def words(octets):
    padded = octets + bytes(len(octets) % 2)
    return [padded[i] * 256 + padded[i + 1] for i in range(0, len(padded), 2)]


def fold(number):
    while number > 0xFFFF:
        number = (number & 0xFFFF) + (number >> 16)
    return number


def folded_sum(octets):
    return fold(sum(words(octets)))


def with_checksum(octets, place):
    zeroed = octets[:place] + b"\0\0" + octets[place + 2 :]
    checksum = 0xFFFF - folded_sum(zeroed)
    return octets[:place] + checksum.to_bytes(2, "big") + octets[place + 2 :]


def header_octets(packet):
    return (packet[0] & 15) * 4


def split_packet(packet):
    end = header_octets(packet)
    return packet[:end], packet[end:]


def is_echo(message):
    return len(message) >= 8 and message[:2] == b"\x08\0" and folded_sum(message) == 0xFFFF


def reply_header(header):
    turned = header[16:20] + header[12:16]
    return with_checksum(header[:8] + bytes([64]) + header[9:12] + turned + header[20:], 10)


def reply_message(message):
    return with_checksum(b"\0" + message[1:], 2)


def answer_echo(packet):
    header, message = split_packet(packet)
    if not is_echo(message):
        return None
    return reply_header(header) + reply_message(message)


# 5.5

TYPES_AND_CODES = {
    "net unreachable": bytes([3, 0]),
    "host unreachable": bytes([3, 1]),
    "fragmentation needed": bytes([3, 4]),
    "time exceeded": bytes([11, 0]),
}


def total_length(packet):
    return int.from_bytes(packet[2:4], "big")


def quote(packet):
    return packet[: total_length(packet)][: 576 - 28]


def hint_of(reason, mtu):
    return (mtu if reason == "fragmentation needed" else 0).to_bytes(4, "big")


def error_message(packet, reason, mtu):
    start = TYPES_AND_CODES[reason] + b"\0\0" + hint_of(reason, mtu)
    return with_checksum(start + quote(packet), 2)


def error_header(source, destination, octets):
    start = bytes([0x45, 0xC0]) + (20 + octets).to_bytes(2, "big")
    return with_checksum(start + bytes(4) + bytes([64, 1, 0, 0]) + source + destination, 10)


def build_error(packet, reason, address, mtu=0):
    message = error_message(packet, reason, mtu)
    return error_header(read_address(address), packet[12:16], len(message)) + message


# 5.6


def is_icmp_error(packet):
    first = split_packet(packet)[1][:1]
    return packet[9] == 1 and first in (b"\x03", b"\x04", b"\x05", b"\x0b", b"\x0c")


def is_later_fragment(packet):
    return int.from_bytes(packet[6:8], "big") & 0x1FFF != 0


def is_multicast(address):
    return address[0] >> 4 == 14


def is_nobody(address):
    return address[0] in (0, 127) or address[0] >= 224


class Limit:
    def __init__(self, most):
        self.times = deque(maxlen=most)
        self.most = most

    def is_reached(self, now_s):
        return len(self.times) == self.most and now_s - self.times[0] < 1

    def count(self, now_s):
        self.times.append(now_s)


class Reporter:
    def __init__(self, broadcasts, most):
        self.broadcasts = set(map(read_address, broadcasts))
        self.limit = Limit(most)

    def is_for_many(self, destination):
        everybody = destination == b"\xff" * 4
        return everybody or is_multicast(destination) or destination in self.broadcasts

    def is_no_sender(self, source):
        return is_nobody(source) or source in self.broadcasts

    def is_silent(self, packet, to_all):
        about = is_icmp_error(packet) or is_later_fragment(packet)
        ends = self.is_for_many(packet[16:20]) or self.is_no_sender(packet[12:16])
        return bool(to_all or about or ends)

    def may_report(self, now_s, packet, to_all):
        if self.is_silent(packet, to_all) or self.limit.is_reached(now_s):
            return False
        self.limit.count(now_s)
        return True


def new_reporter(broadcasts, most):
    return Reporter(broadcasts, most)

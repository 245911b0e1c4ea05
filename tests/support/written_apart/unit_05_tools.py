"""Unit 05, with the standard library."""

from collections import OrderedDict, deque
from dataclasses import dataclass, field
from struct import Struct, iter_unpack, pack, pack_into, unpack_from

ETHERNET = Struct("!6s6sH")
ARP = Struct("!HHBBH6s4s6s4s")
IPV4 = Struct("!BBHHHBBH4s4s")


def octets(address):
    return bytes(map(int, address.split(".")))


def checksum(data):
    total = sum(word for (word,) in iter_unpack("!H", data + bytes(len(data) % 2)))
    while total >> 16:
        total = (total & 0xFFFF) + (total >> 16)
    return total ^ 0xFFFF


def answer_request(frame, hardware_address, address):
    if len(frame) < ETHERNET.size + ARP.size:
        raise ValueError("too short")
    *_, kind = ETHERNET.unpack_from(frame)
    *kinds, operation, asker_mac, asker, _, target = ARP.unpack_from(frame, ETHERNET.size)
    if kind != 0x0806 or kinds != [1, 0x0800, 6, 4]:
        raise ValueError("no ARP for Ethernet and IPv4")
    if operation != 1 or target != octets(address):
        return None
    return ETHERNET.pack(asker_mac, hardware_address, kind) + ARP.pack(
        *kinds, 2, hardware_address, target, asker_mac, asker
    )


@dataclass
class Cache:
    address: str
    lifetime_s: float
    entries: dict = field(default_factory=dict)

    def find(self, now_s, address):
        mac, heard_s = self.entries.get(address, (None, now_s))
        return mac if now_s - heard_s < self.lifetime_s else None

    def receive(self, now_s, operation, hardware_address, sender, target):
        if hardware_address[0] & 1:
            return False
        if target == self.address or self.find(now_s, sender) is not None:
            self.entries[sender] = hardware_address, now_s
        return operation == 1 and target == self.address


def new_cache(address, lifetime_s):
    return Cache(address, lifetime_s)


@dataclass
class Queue:
    packets: deque
    questions: int = 0
    asked_s: float = float("-inf")


class Waiting:
    def __init__(self, most):
        self.most = most
        self.queues = OrderedDict()

    def wait(self, address, packet):
        if address not in self.queues:
            self.queues[address] = Queue(deque(maxlen=self.most))
        self.queues[address].packets.append(packet)

    def answered(self, address):
        queue = self.queues.pop(address, None)
        return list(queue.packets) if queue else []

    def tick(self, now_s):
        ask, given_up = [], []
        due = [item for item in self.queues.items() if now_s - item[1].asked_s >= 1]
        for address, queue in due:
            if queue.questions == 3:
                given_up += self.answered(address)
            else:
                ask.append(address)
                queue.questions += 1
                queue.asked_s = now_s
        return ask, given_up


def new_waiting(most):
    return Waiting(most)


def answer_echo(packet):
    header = 4 * (packet[0] & 0x0F)
    message = packet[header:]
    if len(message) < 8 or message[:2] != b"\x08\x00" or checksum(message):
        return None
    reply = bytearray(packet)
    reply[8] = 64
    reply[12:20] = packet[16:20] + packet[12:16]
    reply[10:12] = reply[header + 2 : header + 4] = bytes(2)
    reply[header] = 0
    pack_into("!H", reply, 10, checksum(reply[:header]))
    pack_into("!H", reply, header + 2, checksum(reply[header:]))
    return bytes(reply)


REASONS = {
    "net unreachable": (3, 0),
    "host unreachable": (3, 1),
    "fragmentation needed": (3, 4),
    "time exceeded": (11, 0),
}


def build_error(packet, reason, address, mtu=0):
    kind, code = REASONS[reason]
    told = mtu if (kind, code) == (3, 4) else 0
    (total,) = unpack_from("!H", packet, 2)
    quote = packet[: min(total, 576 - IPV4.size - 8)]
    message = pack("!BBHHH", kind, code, 0, 0, told) + quote
    message = message[:2] + pack("!H", checksum(message)) + message[4:]
    fields = [0x45, 0xC0, IPV4.size + len(message), 0, 0, 64, 1, 0, octets(address), packet[12:16]]
    fields[7] = checksum(IPV4.pack(*fields))
    return IPV4.pack(*fields) + message


class Reporter:
    def __init__(self, broadcasts, most):
        self.broadcasts = set(map(octets, broadcasts))
        self.told = deque([float("-inf")] * most, maxlen=most)

    def may_report(self, now_s, packet, to_all):
        first, _, _, _, fragment, _, protocol, _, source, target = IPV4.unpack_from(packet)
        inside = packet[4 * (first & 0x0F) :]
        if (
            to_all
            or fragment & 0x1FFF
            or (protocol == 1 and inside[:1] and inside[0] in (3, 4, 5, 11, 12))
            or target == octets("255.255.255.255")
            or target[0] >> 4 == 14
            or source[0] in (0, 127)
            or source[0] >= 224
            or not self.broadcasts.isdisjoint((source, target))
            or now_s - self.told[0] < 1
        ):
            return False
        self.told.append(now_s)
        return True


def new_reporter(broadcasts, most):
    return Reporter(broadcasts, most)

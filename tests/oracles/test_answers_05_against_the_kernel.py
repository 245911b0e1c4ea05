"""The model answers of unit 05 beside this machine's kernel: questions, echoes, and errors.

The kernel lives in namespaces that the test makes: see `kernel_comparison`. Its answers to
questions and its echo replies are compared octet by octet. So are its errors: each octet that
differs has its reason in `DIFFERS`, and what stands there is tested as well.
"""

import random

from course_lib.checksum import checksum
from course_lib.headers.ethernet import ARPPacket
from instructor.units.unit_05.answers import (
    answer_echo,
    answer_request,
    build_error,
    new_cache,
    new_waiting,
)
from networks.forwarding_scene import (
    BROADCAST,
    HARBOUR,
    ISLAND,
    NORTH_PIER,
    NORTH_PIER_AT_SEA,
    OFFICE,
    OFFICE_MAC,
    SEA,
    address,
    arp_frame,
    datagram,
    frame,
    station,
)
from networks.kernel_comparison import LANTERN, REED, SEA_MTU, Given, ask_kernel

HERE, AT_SEA = "192.0.2.1", "198.51.100.1"
ARP, IPV4 = b"\x08\x06", b"\x08\x00"
NOWHERE = address("10.9.9.9")
NEIGHBOUR, NEIGHBOUR_MAC = address("198.51.100.77"), station(0x77)

DIFFERS = {
    "identification": (range(4, 6), "RFC 6864, section 4: any value that is not repeated too soon"),
    "checksum of the header": (range(10, 12), "follows from the identification"),
}
DIFFERS_AFTER_WAITING = {
    "quoted time to live": (range(36, 37), "RFC 792 does not say as of when a packet is quoted; "
                                           "the kernel lets packets wait that it has rewritten"),
    "quoted checksum": (range(38, 40), "follows from the quoted time to live"),
}  # fmt: skip


def of_type(ether_type, sent):
    return [octets for _, _, octets in sent if octets[12:14] == ether_type]


def questions(rng):
    """Draw requests and replies, for the harbour's address and for others, padded or not."""
    drawn = []
    for number in range(1, 41):
        asker, opcode = (station(0x80 + number), NORTH_PIER + 1 + number), rng.choice((1, 1, 1, 2))
        target = rng.choice((NORTH_PIER, NORTH_PIER, NORTH_PIER + 100))
        packet = ARPPacket(opcode, *asker, rng.choice((bytes(6), HARBOUR)), target)
        to = rng.choice((BROADCAST, HARBOUR))
        drawn.append(arp_frame(to, asker[0], packet).ljust(rng.choice((42, 60)), b"\0"))
    return drawn


def test_the_kernel_and_the_answer_answer_the_same_questions_alike():
    """5.1 and RFC 826, "Packet Reception". What the kernel asks on its own behalf is left out."""
    frames = questions(random.Random(5))
    given = [Given(n, "harbour", octets) for n, octets in enumerate(frames, start=1)]
    by_kernel = [octets for octets in of_type(ARP, ask_kernel(given)) if octets[20:22] == b"\0\2"]
    ours = [answer_request(octets, HARBOUR, HERE) for octets in frames]
    assert by_kernel == [octets for octets in ours if octets is not None]
    assert 10 < len(by_kernel) < 35


def test_the_kernel_and_the_answer_merge_before_they_look_at_the_operation():
    """5.2: a neighbour that is known moves by a question; the next echo shows where to."""
    cache, moved = new_cache(HERE, 60), station(0x99)
    first = ARPPacket(1, station(0x88), OFFICE + 60, bytes(6), NORTH_PIER)
    second = ARPPacket(1, moved, OFFICE + 60, bytes(6), NORTH_PIER)
    frames = []
    for packet in (first, second):
        frames.append(arp_frame(BROADCAST, packet.sender_hardware_address, packet))
        cache.receive(0, 1, packet.sender_hardware_address, "192.0.2.67", HERE)
    echo = datagram(message(8, b"moved?"), protocol=1, source=OFFICE + 60, destination=NORTH_PIER)
    given = [Given(n, "harbour", octets) for n, octets in enumerate((*frames, frame(echo)))]
    (reply,) = of_type(IPV4, ask_kernel(given))
    assert address("192.0.2.67") == OFFICE + 60
    assert reply[:6] == cache.find(0, "192.0.2.67") == moved


def message(kind, data, rest=0x00050001):
    octets = bytes([kind, 0, 0, 0]) + rest.to_bytes(4, "big") + data
    return octets[:2] + checksum(octets).to_bytes(2, "big") + octets[4:]


def echoes(rng):
    drawn = []
    for number in range(1, 61):
        data = rng.randbytes(rng.choice((0, 1, 8, 57, 400)))
        content = message(rng.choice((8, 8, 8, 0)), data, rng.getrandbits(32))
        if number % 7 == 0:
            content = content[:-1] + bytes([content[-1] ^ 1])
        fields = {"time_to_live": rng.choice((1, 2, 64, 255)), "identification": 0, "flags": 2}
        drawn.append(datagram(content, protocol=1, destination=NORTH_PIER, **fields))
    return drawn


def test_the_kernel_and_the_answer_answer_the_same_echoes_alike():
    """5.4. A reply is a packet of its own, so its identification and flags are the kernel's."""
    packets = echoes(random.Random(5))
    given = [Given(n, "harbour", frame(octets)) for n, octets in enumerate(packets, start=1)]
    by_kernel = [octets[14:] for octets in of_type(IPV4, ask_kernel(given))]
    ours = [reply for reply in map(answer_echo, packets) if reply is not None]
    assert [octets[20:] for octets in by_kernel] == [octets[20:] for octets in ours]
    for kernels, mine in zip(by_kernel, ours, strict=True):
        assert kernels[8:10] + kernels[12:20] == mine[8:10] + mine[12:20]
    assert 20 < len(ours) < 55


ENDINGS = {
    "time exceeded": {"destination": ISLAND, "time_to_live": 1},
    "net unreachable": {"destination": NOWHERE},
    "fragmentation needed": {"destination": ISLAND, "flags": 2},
}
SIZES = [
    *((reason, octets) for reason in list(ENDINGS)[:2] for octets in (1, 8, 80, 528, 529, 1400)),
    *(("fragmentation needed", octets) for octets in (SEA_MTU - 19, 1399)),
]
SENDERS = (OFFICE, REED, LANTERN)  # a kernel tells one sender of a few missing routes only


def test_the_kernel_s_errors_are_those_of_the_answer_but_for_what_is_left_open():
    """5.5, octet by octet: RFC 792, RFC 1191, and RFC 1812, sections 4.3.2.3 to 4.3.2.5."""
    packets = [
        datagram((bytes(range(1, 201)) * 7)[:octets], identification=number,
                 source=SENDERS[number % 3], **ENDINGS[reason])
        for number, (reason, octets) in enumerate(SIZES)
    ]  # fmt: skip
    given = [
        Given(number, "harbour", frame(packet).ljust(60, b"\0"))
        for number, packet in enumerate(packets)
    ]
    by_kernel = [octets[14:] for octets in of_type(IPV4, ask_kernel(given))]
    for packet, (reason, octets), kernels in zip(packets, SIZES, by_kernel, strict=True):
        ours = build_error(packet, reason, HERE, SEA_MTU)
        assert differing(kernels, ours) <= left_open(DIFFERS), (reason, octets)
        assert checksum(kernels[:20]) == checksum(kernels[20:]) == 0


def differing(one, other):
    return {place for place, (a, b) in enumerate(zip(one, other, strict=True)) if a != b}


def left_open(differs):
    return {place for where, _ in differs.values() for place in where}


def test_both_ask_three_times_and_then_tell_all_who_wait():
    """5.3 and "host unreachable" of 5.5. The kernel's own defaults are used, and its clock."""
    packets = [datagram(bytes([n]) * 8, destination=NEIGHBOUR, identification=n) for n in (1, 2)]
    given = [Given(n, "harbour", frame(octets)) for n, octets in enumerate(packets, start=1)]
    kernels = ask_kernel(given, patience_s=4.5)
    waiting = new_waiting(3)
    for name in ("1", "2"):
        waiting.wait("198.51.100.77", name)
    told = [waiting.tick(now_s) for now_s in range(4)]
    assert [len(asked) for asked, _ in told] == [1, 1, 1, 0]
    asked = [octets for octets in of_type(ARP, kernels) if octets[38:42] == packets[0][16:20]]
    assert len(asked) == 3
    errors = [octets[14:] for octets in of_type(IPV4, kernels)]
    ours = [build_error(packets[int(name) - 1], "host unreachable", HERE) for name in told[3][1]]
    for error, mine in zip(errors, ours, strict=True):
        assert differing(error, mine) <= left_open(DIFFERS | DIFFERS_AFTER_WAITING)
        assert error[36] == mine[36] - 1
        assert checksum(error[28:48]) == 0


def test_the_scene_is_the_one_that_the_answers_are_told():
    assert (address(HERE), address(AT_SEA)) == (NORTH_PIER, NORTH_PIER_AT_SEA)
    assert len({SEA, HARBOUR, OFFICE_MAC, NEIGHBOUR_MAC}) == 4

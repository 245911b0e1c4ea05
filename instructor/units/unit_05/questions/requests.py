"""Questions about ARP packets (5.1).

Only "answers" has padding, and frames from another station than the one that asks; the frames that
are answered in "for whom" went to us alone.
"""

__all__ = ["ANSWER_REQUEST", "request_questions"]

import random

from course_lib.exercises.registry import Expected
from instructor.units.items import Question
from instructor.units.unit_05.case_parts import arp_frame, ask, other, printed, station

ANSWERS, WHOM, REFUSALS = "answers", "for whom", "refusals"
NOBODY = bytes(6)
ASKER, US = (station(1), "192.0.2.1"), (station(2), "192.0.2.2")
WANTED = (NOBODY, US[1])
LAYOUT = 'RFC 826, "Packet format"; the question as Scapy builds it'
RECEPTION = 'RFC 826, "Packet Reception"'
ANSWER = bytes.fromhex(
    "0000 5e00 5301 0000 5e00 5302 0806 0001 0800 0604 0002"
    "0000 5e00 5302 c000 0202 0000 5e00 5301 c000 0201"
)
NONE = Expected(value=None)


def _asked(aspect: str, frame: bytes, us: tuple[bytes, str] = US) -> Question:
    return ask(aspect, frame, *us)


def _refused(frame: bytes) -> Question:
    return printed(REFUSALS, RECEPTION, Expected(raises="ValueError"), frame, *US)


ANSWER_REQUEST = (
    printed(ANSWERS, LAYOUT, ANSWER, arp_frame(ASKER, WANTED), *US),
    _asked(ANSWERS, arp_frame(ASKER, WANTED, by=station(9), to=US[0], padded=18)),
    _asked(ANSWERS, arp_frame((station(7), "192.0.2.77"), WANTED, by=station(8), to=US[0])),
    _asked(ANSWERS, arp_frame((station(0x50), "192.0.2.200"), (station(6), US[1]), to=US[0],
                              padded=18)),
    _asked(ANSWERS, arp_frame((station(4), "192.0.2.4"), WANTED, to=US[0], padded=4)),
    _asked(ANSWERS, arp_frame(ASKER, WANTED, to=US[0], padded=1)),
    _asked(ANSWERS, arp_frame((station(0x11), "0.0.0.0"), WANTED)),
    _asked(ANSWERS, arp_frame((station(0x10), "198.51.100.9"), (NOBODY, "198.51.100.254")),
           (station(0xFE), "198.51.100.254")),
    _asked(WHOM, arp_frame(ASKER, WANTED, to=US[0])),
    _asked(WHOM, arp_frame((station(3), "192.0.2.3"), (US[0], US[1]), to=US[0])),
    printed(WHOM, "the contract's own example", None, arp_frame(ASKER, (NOBODY, "192.0.2.7")), *US),
    _asked(WHOM, arp_frame(ASKER, (NOBODY, "192.0.3.2"))),
    _asked(WHOM, arp_frame(ASKER, (NOBODY, "192.1.2.2"), to=US[0])),
    _asked(WHOM, arp_frame(ASKER, (NOBODY, "203.0.2.2"))),
    _asked(WHOM, arp_frame((station(5), "192.0.2.5"), (US[0], "192.0.2.5"))),
    printed(WHOM, RECEPTION, None, arp_frame(ASKER, US, operation=2, to=US[0]), *US),
    _asked(WHOM, arp_frame(ASKER, US, operation=2)),
    _asked(WHOM, arp_frame(ASKER, US, operation=0x0101)),
    _asked(WHOM, arp_frame(ASKER, WANTED, operation=3)),
    _asked(WHOM, arp_frame(ASKER, (NOBODY, "192.0.2.9"), operation=2)),
    _refused(arp_frame(ASKER, WANTED)[:41]),
    _refused(arp_frame(ASKER, WANTED)[:28]),
    _refused(arp_frame(ASKER, (NOBODY, "192.0.2.9"))[:40]),
    _refused(arp_frame(ASKER, WANTED)[:13]),
    _refused(b""),
    _refused(arp_frame(ASKER, WANTED, ether_type=0x0800)),
    _refused(arp_frame(ASKER, WANTED, ether_type=0x8035)),
    _refused(arp_frame(ASKER, WANTED, ether_type=0x0608)),
    _refused(arp_frame(ASKER, WANTED, kinds="0006 0800 0604")),
    _refused(arp_frame(ASKER, WANTED, kinds="0100 0800 0604")),
    _refused(arp_frame(ASKER, WANTED, kinds="0001 86dd 0604")),
    _refused(arp_frame(ASKER, WANTED, kinds="0001 0806 0604")),
    _refused(arp_frame(ASKER, WANTED, kinds="0001 0800 0804")),
    _refused(arp_frame(ASKER, WANTED, kinds="0001 0800 0610")),
    _refused(arp_frame(ASKER, (NOBODY, "192.0.2.9"), kinds="0006 86dd 0604")),
    _refused(arp_frame(ASKER, (NOBODY, "192.0.2.9"), kinds="0001 0800 0810", ether_type=0x8035)),
    _refused(arp_frame(ASKER, US, operation=2, kinds="0018 0800 0610")),
    _asked(REFUSALS, arp_frame(ASKER, (NOBODY, "192.0.2.9"))),
    _asked(REFUSALS, arp_frame(ASKER, WANTED)),
    _asked(REFUSALS, arp_frame(ASKER, US, operation=2)),
)  # fmt: skip


def request_questions(rng: random.Random) -> list[Question]:
    """Draw stations, and frames from one of them: to be answered, to be left alone, to refuse."""
    numbers = rng.sample(range(256), 4)
    network = rng.choice(("192.0.2.", "198.51.100.", "203.0.113."))
    addresses = [network + str(host) for host in rng.sample(range(1, 255), 3)]
    us, asker, third = ((station(numbers[place]), addresses[place]) for place in range(3))
    return [
        *_answered(rng, us, asker, station(numbers[3])),
        *_others(rng, us, asker, third),
        *_refusals(rng, us, asker, third),
    ]


def _answered(
    rng: random.Random, us: tuple[bytes, str], asker: tuple[bytes, str], by: bytes
) -> list[Question]:
    wanted = (NOBODY, us[1])
    frames = [
        arp_frame(asker, wanted),
        arp_frame(asker, wanted, by=by, to=us[0]),
        arp_frame(asker, wanted, by=by, to=us[0], padded=18),
        arp_frame(asker, (rng.randbytes(6), us[1]), to=us[0], padded=rng.randint(18, 40)),
        arp_frame(asker, wanted, to=us[0], padded=rng.randint(1, 17)),
        arp_frame((asker[0], "0.0.0.0"), (by, us[1])),
    ]
    return [_asked(ANSWERS, frame, us) for frame in frames]


def _others(
    rng: random.Random, us: tuple[bytes, str], asker: tuple[bytes, str], third: tuple[bytes, str]
) -> list[Question]:
    frames = [
        arp_frame(asker, (NOBODY, us[1]), to=us[0]),
        arp_frame(third, us, to=us[0]),
        *(arp_frame(asker, (NOBODY, other(rng, us[1], place))) for place in range(4)),
        arp_frame(asker, third),
        arp_frame(asker, us, operation=2, to=us[0]),
        arp_frame(third, (NOBODY, us[1]), operation=2),
        arp_frame(asker, us, operation=rng.randint(3, 9)),
        arp_frame(asker, us, operation=rng.randint(1, 9) << 8 | 1),
        arp_frame(asker, third, operation=2),
    ]
    return [_asked(WHOM, frame, us) for frame in frames]


def _refusals(
    rng: random.Random, us: tuple[bytes, str], asker: tuple[bytes, str], third: tuple[bytes, str]
) -> list[Question]:
    wanted, size = (NOBODY, us[1]), rng.randint(2, 254)
    hardware, protocol = rng.randint(2, 60), rng.choice((0x86DD, 0x0806, 0x0008))
    frames = [
        arp_frame(asker, wanted)[: rng.randint(38, 41)],
        arp_frame(asker, wanted)[: rng.randint(28, 37)],
        arp_frame(asker, third)[: rng.randint(28, 41)],
        arp_frame(asker, wanted)[: rng.randint(0, 19)],
        arp_frame(asker, wanted, ether_type=rng.choice((0x0800, 0x86DD, 0x8035, 0x0807))),
        arp_frame(asker, wanted, kinds=f"{hardware:04x} 0800 0604"),
        arp_frame(asker, wanted, kinds=f"0001 {protocol:04x} 0604"),
        arp_frame(asker, wanted, kinds=f"0001 0800 {size ^ 6 or 8:02x}04"),
        arp_frame(asker, wanted, kinds=f"0001 0800 06{size ^ 4 or 16:02x}"),
        arp_frame(asker, third, kinds=f"{hardware:04x} {protocol:04x} 0604"),
        arp_frame(asker, third, kinds=f"0001 {protocol:04x} 0610", operation=2),
        arp_frame(asker, third, kinds="0001 0800 0804", ether_type=0x0800),
        arp_frame(asker, third),
        arp_frame(asker, wanted),
        arp_frame(third, us, operation=2),
        arp_frame(third, wanted, to=us[0]),
    ]
    return [_asked(REFUSALS, frame, us) for frame in frames]

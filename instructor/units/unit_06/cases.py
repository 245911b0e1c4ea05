"""Questions of unit 06, the forwarding path: the public ones.

What RFC 1812 prints stands beside its clause; the rest is worked out by the model answers, which
`tests/oracles` holds against Scapy, this machine's kernel, and the library's router.
"""

__all__ = ["PUBLIC", "SECRET"]

import random
from collections.abc import Callable, Mapping, Sequence

from course_lib.exercises.registry import Expected
from instructor.units.items import Question
from instructor.units.unit_06.case_parts import (
    BOARD,
    aimed,
    ask,
    datagram,
    framed,
    printed,
    resummed,
    station,
    steps,
    with_field,
)
from instructor.units.unit_06.case_rules import MAY_PASS, WHY_SLOW
from instructor.units.unit_06.case_stages import CARRY, carry_questions, dropper_questions
from instructor.units.unit_06.secret_cases import fault_questions, frame_questions
from instructor.units.unit_06.secret_rules import filter_questions, path_questions

CHECKS = "RFC 1812, section 5.2.2"
LIFE = "RFC 1812, section 5.3.1"
SILENT = "RFC 1624, section 4: 0x0000, not 0xFFFF, is the updated checksum"

HEADER = datagram()
OPTIONS = bytes.fromhex("0707 0400 0000 0000")  # record route, with room for one address
NORTH, PLOVER = (station(0x10), bytes([192, 0, 2, 8])), (station(0x11), bytes([192, 0, 2, 9]))
REED = (station(0x21), bytes([192, 0, 2, 1]))
PLAIN = datagram(b"quay", destination=BOARD)
WITH_OPTIONS = datagram(b"quay", options=OPTIONS)
CUT_OFF_CARRY = with_field(HEADER, (0xFFFF - sum(
    int.from_bytes(HEADER[place : place + 2], "big") for place in range(0, 20, 2) if place != 10
)) & 0xFFFF)  # fmt: skip

PUBLIC: Mapping[str, tuple[Question, ...]] = {
    "6.1": (
        ask("one fault", HEADER),
        printed("one fault", f"{CHECKS} (1)", 1, HEADER[:19]),
        printed("one fault", f"{CHECKS} (2)", 2, HEADER[:8] + b"\x41" + HEADER[9:]),
        printed("one fault", f"{CHECKS} (3)", 3, datagram(version=6)),
        printed("one fault", f"{CHECKS} (4)", 4, datagram(words=4)),
        printed("one fault", f"{CHECKS} (5)", 5, datagram(total=19)),
        printed("one fault", f"{CHECKS}, last paragraph", 6, datagram(total=21)),
        ask("one fault", CUT_OFF_CARRY),
        ask("one fault", datagram(b"ferry")),
        printed("one fault", f"{CHECKS} (1)", 1, b""),
        ask("lengths", datagram(options=OPTIONS)),
        ask("lengths", datagram(b"quay", total=24) + bytes(6)),
        ask("lengths", resummed(datagram(b"ok", options=OPTIONS), 20)),
        ask("lengths", datagram(b"quay", options=OPTIONS, total=24)),
        ask("lengths", datagram(b"at 7:40", words=15, total=60)),
        ask("lengths", datagram(options=OPTIONS, total=28) + b"behind the end"),
        ask("several faults", with_field(datagram(version=6), 0x1234)),
        ask("several faults", with_field(datagram(words=4), 0x1234)),
        ask("several faults", with_field(datagram(total=64), 0x1234)),
        ask("several faults", datagram(version=5, words=4)),
        ask("several faults", datagram(version=6, total=19)),
        ask("several faults", datagram(words=4, total=12)),
        ask("several faults", datagram(words=4, total=64)),
        ask("several faults", datagram(words=8, total=30)),
        ask("several faults", datagram(version=6)[:12]),
        ask("several faults", datagram(b"in order", options=OPTIONS)),
    ),
    "6.2": (
        ask("hardware addresses", framed(HEADER), NORTH, PLOVER),
        ask("hardware addresses", framed(PLAIN, 7, 8), NORTH, REED),
        ask("hardware addresses", framed(PLAIN, 0x11, 8), PLOVER, NORTH),
        ask("time to live and checksum", framed(datagram(hops=255)), NORTH, PLOVER),
        printed("time to live and checksum", f"{LIFE}: a packet with more than 1 is forwarded",
                framed(datagram(hops=1), 0x11, 0x10), framed(datagram(hops=2)), NORTH, PLOVER),
        ask("time to live and checksum", framed(aimed(0xFFC3)), NORTH, PLOVER),
        ask("time to live and checksum", framed(aimed(0xFEFE)), NORTH, PLOVER),
        printed("time to live and checksum", SILENT,
                framed(with_field(aimed(0xFEFF)[:8] + b"\x3f" + aimed(0xFEFF)[9:], 0), 0x11, 0x10),
                framed(aimed(0xFEFF)), NORTH, PLOVER),
        ask("time to live and checksum", framed(datagram(b"ferry", hops=9)), NORTH, PLOVER),
        ask("options and padding", framed(HEADER, padded=24), NORTH, PLOVER),
        ask("options and padding", framed(WITH_OPTIONS), NORTH, PLOVER),
        ask("options and padding", framed(WITH_OPTIONS, padded=46), NORTH, PLOVER),
        ask("options and padding", framed(PLAIN, padded=46), NORTH, PLOVER),
        printed("refusals", LIFE, Expected(raises="ValueError"),
                framed(datagram(hops=1)), NORTH, PLOVER),
        printed("refusals", LIFE, Expected(raises="ValueError"),
                framed(datagram(b"ferry", hops=0)), NORTH, PLOVER),
        ask("refusals", framed(datagram(hops=2)), NORTH, REED),
        ask("refusals", framed(datagram(hops=3)), NORTH, PLOVER),
    ),
    "6.3": CARRY,
    "6.4": MAY_PASS,
    "6.5": (
        steps("one flow", 2, "A", "A", "A", "A"),
        steps("one flow", 3, "A", "A"),
        steps("one flow", 3, *"AAAAAAA"),
        steps("one flow", 4, *"BBBBBBBBB"),
        steps("several flows", 2, "A", "B", "A", "B"),
        steps("several flows", 2, "A", "A", "B", "A", "B"),
        steps("several flows", 3, *"ABABABA"),
        steps("several flows", 3, *"ABCABCBBA"),
        steps("several flows", 4, *"AAABAABBBA"),
        steps("counts and edges", 2, *"AAA", None),
        steps("counts and edges", 2, None),
        steps("counts and edges", 1, "A", "A", "B", None),
        steps("counts and edges", 0, "A", None),
        steps("counts and edges", -2, "A"),
        steps("counts and edges", 5, *"AB", None),
        steps("counts and edges", 2, *"ABAABBA", None),
    ),
    "6.6": WHY_SLOW,
}  # fmt: skip


SECRET: Mapping[str, Callable[[random.Random], Sequence[Question]]] = {
    "6.1": fault_questions,
    "6.2": frame_questions,
    "6.3": carry_questions,
    "6.4": filter_questions,
    "6.5": dropper_questions,
    "6.6": path_questions,
}

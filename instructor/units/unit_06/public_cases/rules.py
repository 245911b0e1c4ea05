"""Public questions about filters (6.4)."""

__all__ = ["MAY_PASS"]

from typing import Any

from course_lib.ferry.address_plan import ADDRESSES
from instructor.units.unit_06.case_parts import (
    BOARD,
    MAST,
    OFFICE,
    SCREEN,
    ask,
    datagram,
    ports,
    printed,
)

ORDER, PORTS, FRAGMENTS = "rules in order", "ports", "fragments"
EXAMPLE = "the contract's own example"
BOATS, ONE_BOAT, ALL = "203.0.113.0/24", "203.0.113.0/28", "0.0.0.0/0"
PIERS, BOARD_S_PIER = "198.51.100.0/24", "198.51.100.64/27"
CURLEW = ADDRESSES["Curlew Bridge Screen"]
NO_CURLEW = [("203.0.113.16/28", None, False)]
NO_BOATS = [(BOATS, None, False)]
WORKED = [(BOATS, 5004, True), (BOATS, None, False)]

# Where order is at stake, rules name no ports. Where ports are, exactly one rule fits, and packets
# go from boat to boat: neither order, nor what happens without a rule, nor the source matters.
STOPS_7 = [(BOATS, 7, False), (BOATS, 9, True)]
NOT_7 = [(BOATS, 7, False), (BOATS, None, True)]
NOT_0 = [(BOATS, 0, False), (BOATS, None, True)]
ONLY_7 = [(BOATS, 7, True), (BOATS, None, False)]
PASSES = [(BOATS, None, True)]


def _to(port: int, *, by: int = 5004, **fields: Any) -> bytes:
    return datagram(ports(by, port), **{"source": CURLEW} | fields)


TO_THE_SCREEN = datagram(ports(5004, 7))
TO_THE_BOARD = datagram(ports(5004, 7), destination=BOARD)
FROM_A_BOAT = datagram(ports(5004, 7), source=SCREEN, destination=BOARD)
TO_THE_MAST = datagram(ports(5004, 7), destination=MAST)
OPTIONS_LIKE_PORTS = bytes.fromhex("0101 0007")


def _fragment(word: int, protocol: int = 17) -> bytes:
    """Return what looks as if it were for port 7, and perhaps is none."""
    return _to(7, by=7, fragment=word, protocol=protocol)


MAY_PASS = (
    ask(ORDER, TO_THE_SCREEN, []),
    ask(ORDER, TO_THE_SCREEN, NO_BOATS),
    ask(ORDER, TO_THE_BOARD, NO_BOATS),
    ask(ORDER, FROM_A_BOAT, NO_BOATS),
    ask(ORDER, FROM_A_BOAT, [(ONE_BOAT, None, False), (ALL, None, True)]),
    ask(ORDER, FROM_A_BOAT, [(BOARD_S_PIER, None, False)]),
    ask(ORDER, TO_THE_SCREEN, [(ONE_BOAT, None, True), (BOATS, None, False)]),
    ask(ORDER, TO_THE_SCREEN, [(BOATS, None, False), (ONE_BOAT, None, True)]),
    ask(ORDER, TO_THE_SCREEN, [(BOATS, None, True), (ONE_BOAT, None, False)]),
    ask(ORDER, TO_THE_SCREEN, [(ALL, None, True), (BOATS, None, False)]),
    ask(ORDER, TO_THE_SCREEN, [(ALL, None, False)]),
    ask(ORDER, TO_THE_SCREEN, [(BOATS, None, True), (BOATS, 7, False)]),
    ask(ORDER, TO_THE_SCREEN, [(BOATS, None, False), (BOATS, 7, True)]),
    ask(ORDER, TO_THE_BOARD, [(ONE_BOAT, None, True), (ALL, None, False)]),
    ask(ORDER, TO_THE_BOARD, [(BOATS, None, False), (PIERS, None, True), (ALL, None, False)]),
    ask(ORDER, TO_THE_SCREEN, [("203.0.113.2/32", None, False), (ALL, None, True)]),
    ask(ORDER, TO_THE_SCREEN, [("203.0.113.3/32", None, False)]),
    ask(ORDER, TO_THE_SCREEN, [("203.0.113.16/28", None, False), (ONE_BOAT, None, True)]),
    *(
        ask(ORDER, datagram(ports(5004, 7), destination=f"203.0.113.{end}"), NO_CURLEW)
        for end in (15, 16, 31, 32)
    ),
    ask(ORDER, TO_THE_MAST, [(BOARD_S_PIER, None, False)]),
    ask(ORDER, TO_THE_MAST, [("128.0.0.0/1", None, False)]),
    printed(ORDER, "the workbook's worked case", True, _to(5004, by=5004), WORKED),
    printed(ORDER, "the workbook's worked case", True, TO_THE_BOARD, WORKED),
    printed(PORTS, "the workbook's worked case", False, _to(7), WORKED),
    printed(PORTS, EXAMPLE, False, _to(7), [(BOATS, 7, False)]),
    ask(PORTS, _to(7), STOPS_7),
    ask(PORTS, _to(7, protocol=6), STOPS_7),
    ask(PORTS, _to(7, by=7, protocol=6), STOPS_7),
    ask(PORTS, _to(5004, by=7), NOT_7),
    ask(PORTS, _to(5004, by=7, protocol=6), NOT_7),
    ask(PORTS, _to(9, by=7), ONLY_7),
    ask(PORTS, _to(9), [(BOATS, 7, False), (BOATS, None, False)]),
    ask(PORTS, _to(9), [(BOATS, 7, True), (BOATS, None, True)]),
    ask(PORTS, _to(7, protocol=1), NOT_7),
    ask(PORTS, _to(7, protocol=47), NOT_7),
    ask(PORTS, _to(7, protocol=132), ONLY_7),
    ask(PORTS, _to(7, options=b"\1\1\1\0"), STOPS_7),
    ask(PORTS, _to(7, options=b"\1" * 40, protocol=6), STOPS_7),
    ask(PORTS, _to(9, options=OPTIONS_LIKE_PORTS), NOT_7),
    ask(PORTS, _to(263), NOT_7),
    ask(PORTS, _to(0x0700), NOT_7),
    ask(PORTS, _to(65535), [(BOATS, 65535, False), (BOATS, 255, True)]),
    ask(PORTS, _to(0), [(BOATS, 0, False), (BOATS, 9, True)]),
    ask(PORTS, _to(7), NOT_0),
    ask(PORTS, _to(7, protocol=6), NOT_0),
    ask(PORTS, _to(7, protocol=1), NOT_0),
    ask(PORTS, _to(7, protocol=47), NOT_0),
    ask(PORTS, TO_THE_BOARD, [(BOATS, 7, False), (PIERS, None, True)]),
    ask(PORTS, datagram(ports(5004, 9), destination=MAST, source=OFFICE),
        [(BOATS, 9, True), (PIERS, None, False)]),
    ask(FRAGMENTS, _fragment(0x2000), STOPS_7),
    ask(FRAGMENTS, _fragment(0x2000), [(BOATS, 7, False)]),
    ask(FRAGMENTS, _fragment(0x4000), STOPS_7),
    ask(FRAGMENTS, _fragment(0x4000), [(BOATS, 7, False)]),
    ask(FRAGMENTS, _fragment(0), STOPS_7),
    ask(FRAGMENTS, _fragment(0x2001), NOT_7),
    ask(FRAGMENTS, _fragment(0x0001), NOT_7),
    ask(FRAGMENTS, _fragment(0x0100), NOT_7),
    ask(FRAGMENTS, _fragment(0x3F00), NOT_7),
    ask(FRAGMENTS, _fragment(0x1000), NOT_7),
    ask(FRAGMENTS, _to(9, by=9, fragment=0x2001), NOT_7),
    ask(FRAGMENTS, _to(9, by=9, fragment=0x0002), ONLY_7),
    ask(FRAGMENTS, _fragment(0x2001), NO_BOATS),
    ask(FRAGMENTS, _fragment(0x00B9), ONLY_7),
    ask(FRAGMENTS, _fragment(0x2001), PASSES),
)  # fmt: skip

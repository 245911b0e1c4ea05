"""Public questions about the two paths of a router (6.6).

Only where the way is at stake do prefixes overlap. Where time to live, options or size are, the
neighbours are known, the destination among them, so that it makes no difference for whom somebody
looks.
"""

__all__ = ["WHY_SLOW"]

from itertools import permutations
from typing import Any

from course_lib.exercises.registry import Expected
from course_lib.ferry.address_plan import ADDRESSES, NETS
from instructor.units.items import Question
from instructor.units.unit_06.case_parts import BOARD, MAST, OFFICE, SCREEN, ask, datagram

DECIDE, REWRITE, SEND = "decide", "rewrite", "send"
FIRST_THE_WAY = "RFC 1812, section 5.2.1.2: the way is looked up before the time to live"
OURS = "RFC 1812, section 4.2.2.9: only who forwards looks at the time to live"
LIFE = "RFC 1812, section 5.3.1"
WORKED = "the workbook's worked case"

OWN = [ADDRESSES["North Pier"], "192.0.2.0", "192.0.2.8"]
REED_HOP, BOAT_HOP, OTHER_HOP = "192.0.2.1", "192.0.2.9", "192.0.2.3"
REED_DESK, NOWHERE = ADDRESSES["Reed Pier Desk"], "192.0.2.200"
DESK = "198.51.100.7"  # on the quay, beside the ticket office
LANTERN_S_NET = NETS["Lantern Pier"]
LAST = "198.51.100.63"  # of the net behind Reed Pier
ROUTES = [
    ("198.51.100.0/27", None, "quay"),
    ("198.51.100.64/26", REED_HOP, "reed"),
    ("203.0.113.0/28", BOAT_HOP, "boat"),
]
MTUS = {"reed": 1500, "quay": 1500, "boat": 576}
ALL_KNOWN = [REED_HOP, BOAT_HOP, OFFICE, BOARD, MAST, SCREEN]
OPTIONS, MANY_OPTIONS = b"\1\1\1\0", b"\1" * 40
ROUTER_ALERT, RECORD_ROUTE = b"\x94\4\0\0", b"\7\7\4\0\0\0\0\0"  # RFC 2113, RFC 791

# Three prefixes cover what lies behind Reed Pier; only by the longest is there a known neighbour.
OVERLAP: list[tuple[str, str | None, str]] = [
    ("198.51.100.32/28", REED_HOP, "reed"),
    ("198.51.100.0/24", OTHER_HOP, "quay"),
    ("0.0.0.0/0", OTHER_HOP, "boat"),
]
WORKED_ROUTES = [("198.51.100.0/24", REED_HOP, "reed"), ROUTES[0]]
SAME_START: list[tuple[str, str | None, str]] = [  # as texts, both are as long
    ("198.51.100.0/24", OTHER_HOP, "reed"),
    ("198.51.100.0/26", REED_HOP, "reed"),
]
LONGEST_UNKNOWN: list[tuple[str, str | None, str]] = [
    ("198.51.100.32/28", OTHER_HOP, "quay"),
    ("0.0.0.0/0", REED_HOP, "reed"),
]
EVERYBODY, SOME_GROUP = "255.255.255.255", "233.252.0.1"  # RFC 919; RFC 5771, for examples
LAST_ON_THE_QUAY = "198.51.100.31"
OTHERS_KNOWN = [REED_DESK, LAST, NOWHERE, LAST_ON_THE_QUAY, EVERYBODY, SOME_GROUP]


def _decided(reason: str | None, routes: list[Any], source: str = "", **fields: Any) -> Question:
    """Ask about the way; whoever is asked for is a known neighbour, but for one."""
    asked = (datagram(**fields), OWN, routes, MTUS, [*ALL_KNOWN, *OTHERS_KNOWN])
    if not source:
        return ask(DECIDE, *asked)
    return Question(DECIDE, asked, source, Expected(value=reason))


def _rewritten(reason: str | None = None, source: str = "", **fields: Any) -> Question:
    asked = (datagram(**fields), OWN, ROUTES, MTUS, ALL_KNOWN)
    if not source:
        return ask(REWRITE, *asked)
    return Question(REWRITE, asked, source, Expected(value=reason))


def _large(known: list[str], **fields: Any) -> Question:
    return ask(REWRITE, datagram(**fields), OWN, ROUTES, MTUS, known)


def _sent(known: list[str], destination: str) -> Question:
    return ask(SEND, datagram(destination=destination), OWN, ROUTES, MTUS, known)


WHY_SLOW = (
    *(_decided(None, ROUTES, destination=one) for one in OWN),
    _decided("for the router", ROUTES, OURS, destination=OWN[0], hops=1),
    _decided(None, ROUTES, destination=OWN[1], hops=0),
    _decided(None, ROUTES, destination=OWN[0], options=OPTIONS),
    _decided(None, ROUTES, destination=OWN[2], total=9000),
    _decided(None, [], destination=OWN[0]),
    _decided(None, [("192.0.2.8/32", OTHER_HOP, "boat")], destination=OWN[2]),
    _decided(None, ROUTES, destination=NOWHERE),
    _decided("no route", ROUTES, FIRST_THE_WAY, destination=NOWHERE, hops=1),
    _decided(None, ROUTES, destination=NOWHERE, hops=0),
    _decided(None, ROUTES, destination=NOWHERE, options=OPTIONS),
    _decided(None, ROUTES, destination=NOWHERE, total=9000),
    _decided(None, ROUTES, destination=REED_DESK),
    _decided(None, [], destination=OFFICE),
    *(_decided(None, [*some], destination=REED_DESK) for some in permutations(OVERLAP)),
    _decided(None, [("0.0.0.0/0", REED_HOP, "reed")], destination=NOWHERE),
    _decided(
        None,
        [("203.0.113.0/28", OTHER_HOP, "boat"), ("0.0.0.0/0", REED_HOP, "reed")],
        destination=NOWHERE,
    ),
    _decided(
        None,
        [("0.0.0.0/0", OTHER_HOP, "reed"), ("198.51.100.34/32", REED_HOP, "reed")],
        destination=REED_DESK,
    ),
    _decided(None, [("198.51.100.32/27", REED_HOP, "reed")], destination="198.51.100.64"),
    _decided(None, WORKED_ROUTES, WORKED, destination=REED_DESK),
    _decided(None, WORKED_ROUTES[::-1], destination=REED_DESK),
    *(
        _decided(
            None, [(prefix, REED_HOP, "reed"), ("198.0.0.0/8", OTHER_HOP, "reed")], destination=LAST
        )
        for prefix in ("198.51.100.32/27", "198.48.0.0/12")
    ),
    _decided(
        None,
        [(LANTERN_S_NET, OTHER_HOP, "reed"), ("198.0.0.0/8", REED_HOP, "reed")],
        destination=LAST,
    ),
    *(_decided(None, [*some], destination=REED_DESK) for some in permutations(SAME_START)),
    _decided(None, [], destination=REED_DESK),
    _decided(None, LONGEST_UNKNOWN, destination="198.51.100.35"),
    _decided(None, [("198.51.100.0/27", REED_HOP, "quay")], destination=LAST_ON_THE_QUAY),
    *(
        _decided(None, [("0.0.0.0/0", REED_HOP, "reed")], destination=one)
        for one in (EVERYBODY, SOME_GROUP)
    ),
    _rewritten(),
    _rewritten("time to live exceeded", LIFE, hops=1),
    _rewritten(hops=0),
    _rewritten(hops=1, destination=OFFICE),
    _rewritten(None, LIFE, hops=2),
    _rewritten(hops=2, destination=BOARD),
    _rewritten(hops=255),
    _rewritten(options=OPTIONS),
    _rewritten(options=OPTIONS, destination=OFFICE),
    _rewritten(options=MANY_OPTIONS),
    _rewritten(options=ROUTER_ALERT),
    _rewritten(options=RECORD_ROUTE),
    _rewritten(service=0xB8),
    _rewritten(total=500, fragment=0x2040),
    _rewritten(total=40_000),
    _rewritten(total=577),
    _rewritten(total=576),
    _rewritten(total=600, fragment=0x4000),
    ask(REWRITE, datagram(total=200), OWN, ROUTES, MTUS | {"boat": 128}, ALL_KNOWN),
    _rewritten(total=570),
    _rewritten(total=563),
    _rewritten(total=590),
    _rewritten(total=1500, destination=BOARD),
    _rewritten(total=1400, destination=BOARD),
    _rewritten(total=1500, destination=MAST),
    _rewritten(total=1501, destination=OFFICE),
    _rewritten(total=9000, destination=MAST),
    _rewritten(hops=0, options=OPTIONS),
    _rewritten(hops=0, options=OPTIONS, total=600),
    _rewritten(hops=0, total=9000),
    _rewritten(options=OPTIONS, total=600),
    _rewritten(options=OPTIONS, total=65535, destination=OFFICE),
    _large([], total=600),
    _large([REED_HOP], total=9000, destination=OFFICE),
    _large([], hops=0),
    _large([], options=OPTIONS),
    _sent([REED_HOP, OFFICE], SCREEN),
    _sent([REED_HOP, SCREEN], SCREEN),
    _sent([BOAT_HOP], SCREEN),
    _sent([REED_HOP], BOARD),
    _sent([BOAT_HOP, BOARD], BOARD),
    _sent([REED_HOP, BOAT_HOP], OFFICE),
    _sent([OFFICE], OFFICE),
    _sent([BOAT_HOP, DESK, REED_HOP], DESK),
    _sent([], OFFICE),
    _sent([], MAST),
)

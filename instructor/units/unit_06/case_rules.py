"""Public questions about filters (6.4), and about the two paths (6.6)."""

__all__ = ["MAY_PASS", "WHY_SLOW"]

from instructor.units.unit_06.case_parts import (
    BOARD,
    MAST,
    SCREEN,
    TABLES,
    ask,
    datagram,
    ports,
    printed,
)

BOATS, ONE_BOAT, ALL = "203.0.113.0/24", "203.0.113.0/28", "0.0.0.0/0"
NO_BOATS = [(BOATS, None, False)]
NO_ECHO = [(BOATS, 7, False)]
ONLY_5004 = [(BOATS, 5004, True), (BOATS, None, False)]

# To port 7 of the screen, from port 5004, in all that can carry ports, and in some that cannot.
TO_7 = datagram(ports(5004, 7))
TO_5004 = datagram(ports(7, 5004))
TCP_TO_7 = datagram(ports(5004, 7), protocol=6)
ICMP = datagram(bytes.fromhex("0800 0007 0000 0000"), protocol=1)
WITH_OPTIONS = datagram(ports(5004, 7), options=b"\1\1\1\0")
OPTIONS_LIKE_PORTS = datagram(ports(5004, 9), options=bytes.fromhex("0101 0007"))
FIRST = datagram(ports(5004, 7), fragment=0x2000)
LATER = datagram(ports(5004, 7), fragment=0x2001)
LAST = datagram(ports(5004, 7), fragment=0x0001)
TO_THE_BOARD = datagram(ports(5004, 7), destination=BOARD)
FROM_A_BOAT = datagram(ports(5004, 7), source=SCREEN, destination=BOARD)

MAY_PASS = (
    ask("rules in order", TO_7, []),
    ask("rules in order", TO_7, NO_BOATS),
    ask("rules in order", TO_THE_BOARD, NO_BOATS),
    ask("rules in order", FROM_A_BOAT, NO_BOATS),
    ask("rules in order", TO_7, [(ONE_BOAT, None, True), (BOATS, None, False)]),
    ask("rules in order", TO_7, [(BOATS, None, False), (ONE_BOAT, None, True)]),
    ask("rules in order", TO_7, [(BOATS, None, True), (ONE_BOAT, None, False)]),
    ask("rules in order", TO_7, [(ALL, None, True), (BOATS, None, False)]),
    ask("rules in order", TO_7, [("203.0.113.2/32", None, False), (ALL, None, True)]),
    ask("rules in order", TO_7, [("203.0.113.16/28", None, False), (ONE_BOAT, None, True)]),
    ask("ports", TO_7, NO_ECHO),
    ask("ports", TO_5004, NO_ECHO),
    ask("ports", TCP_TO_7, NO_ECHO),
    ask("ports", ICMP, NO_ECHO),
    ask("ports", WITH_OPTIONS, NO_ECHO),
    ask("ports", OPTIONS_LIKE_PORTS, NO_ECHO),
    ask("ports", TO_THE_BOARD, NO_ECHO),
    ask("ports", TO_5004, ONLY_5004),
    ask("ports", TO_7, ONLY_5004),
    ask("ports", datagram(ports(5004, 263)), NO_ECHO),
    ask("ports", datagram(ports(5004, 7), protocol=47), NO_ECHO),
    ask("fragments", FIRST, NO_ECHO),
    ask("fragments", LATER, NO_ECHO),
    ask("fragments", LAST, NO_ECHO),
    ask("fragments", datagram(ports(5004, 9), fragment=0x2001), NO_ECHO),
    ask("fragments", LATER, NO_BOATS),
    ask("fragments", datagram(ports(7, 5004), fragment=0x2001), ONLY_5004),
    ask("fragments", datagram(ports(7, 5004), fragment=0x4000), ONLY_5004),
    ask("fragments", datagram(ports(5004, 7), fragment=0x0100), NO_ECHO),
)

# For 6.6. The tables: the router itself, routes, limits of the links, known neighbours.
OWN, ROUTES, LIMITS, KNOWN = TABLES
STEPS = "RFC 1812, section 5.2.1.2: the way is looked up before the time to live"
OURS = "RFC 1812, section 4.2.2.9: only who forwards looks at the time to live"
LIFE = "RFC 1812, section 5.3.1"
NOWHERE, ROUTER = "192.0.2.200", "192.0.2.0"
OPTIONS = b"\1\1\1\0"
FEWER = KNOWN[:1]

WHY_SLOW = (
    ask("decide", datagram(destination=BOARD), *TABLES),
    ask("decide", datagram(destination=ROUTER), *TABLES),
    ask("decide", datagram(destination=NOWHERE), *TABLES),
    printed("decide", OURS, "for the router", datagram(destination=ROUTER, hops=1), *TABLES),
    printed("decide", STEPS, "no route", datagram(destination=NOWHERE, hops=1), *TABLES),
    ask("decide", datagram(destination=ROUTER, options=OPTIONS), *TABLES),
    ask("decide", datagram(destination=NOWHERE, options=OPTIONS), *TABLES),
    ask("decide", datagram(destination="198.51.100.1", total=9000), *TABLES),
    ask("decide", datagram(destination="198.51.100.2"), OWN, ROUTES, LIMITS, KNOWN[2:]),
    ask("decide", datagram(destination="198.51.100.34"), *TABLES),
    ask("decide", datagram(destination=SCREEN), *TABLES),
    printed("rewrite", LIFE, "time to live exceeded", datagram(hops=1), *TABLES),
    ask("rewrite", datagram(hops=0), *TABLES),
    printed("rewrite", LIFE, None, datagram(hops=2), *TABLES),
    ask("rewrite", datagram(options=OPTIONS), *TABLES),
    ask("rewrite", datagram(total=577), *TABLES),
    ask("rewrite", datagram(total=576), *TABLES),
    ask("rewrite", datagram(total=570), *TABLES),
    ask("rewrite", datagram(total=1500, destination=BOARD), *TABLES),
    ask("rewrite", datagram(hops=1, options=OPTIONS, total=600), *TABLES),
    ask("rewrite", datagram(options=OPTIONS, total=600), *TABLES),
    ask("rewrite", datagram(total=600, hops=1), OWN, ROUTES, LIMITS, []),
    ask("rewrite", datagram(total=600), OWN, ROUTES, LIMITS, []),
    ask("send", datagram(destination=BOARD), OWN, ROUTES, LIMITS, FEWER),
    ask("send", datagram(), OWN, ROUTES, LIMITS, FEWER),
    ask("send", datagram(destination="198.51.100.2"), OWN, ROUTES, LIMITS, FEWER),
    ask("send", datagram(destination="198.51.100.2"), *TABLES),
    ask("send", datagram(destination=MAST), OWN, ROUTES, LIMITS, [MAST]),
)

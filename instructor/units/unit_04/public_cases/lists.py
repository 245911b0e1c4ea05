"""Public questions of unit 04 about covering an address and about a list of routes: 4.1 and 4.2."""

__all__ = ["COVERS", "LOOK_UP"]

from itertools import permutations

from instructor.units.unit_04.case_parts import BACKBONE, NESTED, THREE, ask, printed

RFC_4632_6_1 = "RFC 4632, section 6.1 (the range of the provider's block)"
RFC_4632_6_2 = "RFC 4632, section 6.2 (the metrics are ours)"
RFC_1812 = "RFC 1812, section 5.2.4.3 (the metrics are ours)"

DEFAULT = ("0.0.0.0/0", "Lantern", 1)
MANY = [(f"192.0.2.{16 * number}/28", f"Berth {number}", number) for number in range(16)]
ELSEWHERE = [("203.0.113.0/24", "Reed", 1), ("192.0.2.64/26", "Gull", 2)]

COVERS = (
    ask("whole octets", "203.0.113.0/24", "203.0.113.7"),
    ask("whole octets", "203.0.113.0/24", "203.0.114.7"),
    ask("whole octets", "203.0.113.0/24", "198.51.113.7"),
    ask("whole octets", "10.2.0.0/16", "10.20.0.1"),
    ask("whole octets", "10.2.0.0/16", "10.2.200.9"),
    ask("whole octets", "198.51.0.0/16", "198.5.100.9"),
    ask("whole octets", "10.0.0.0/8", "12.0.0.0"),
    ask("whole octets", "192.0.2.0/24", "192.0.2.254"),
    ask("whole octets", "172.16.0.0/16", "172.18.0.0"),
    ask("whole octets", "192.1.0.0/16", "192.10.1.1"),
    ask("whole octets", "192.0.2.0/24", "192.9.2.1"),
    ask("inside an octet", "203.0.113.77/26", "203.0.113.13"),
    ask("inside an octet", "203.0.113.64/26", "203.0.113.100"),
    ask("inside an octet", "203.0.113.64/26", "203.0.113.128"),
    ask("inside an octet", "203.0.113.64/26", "203.0.113.63"),
    ask("inside an octet", "203.0.113.64/26", "203.0.112.100"),
    printed("inside an octet", RFC_4632_6_1, True, "10.24.0.0/13", "10.31.255.255"),
    printed("inside an octet", RFC_4632_6_1, False, "10.24.0.0/13", "10.32.0.0"),
    ask("inside an octet", "10.24.0.0/13", "10.25.32.0"),
    ask("inside an octet", "172.16.0.0/12", "172.31.9.1"),
    ask("inside an octet", "192.0.2.160/27", "192.0.2.129"),
    ask("inside an octet", "192.0.2.6/31", "192.0.2.7"),
    ask("inside an octet", "192.0.2.6/31", "192.0.2.4"),
    ask("inside an octet", "10.96.0.0/11", "10.96.0.0"),
    ask("inside an octet", "10.24.0.0/13", "10.16.0.1"),
    ask("inside an octet", "10.128.0.0/9", "10.64.0.1"),
    ask("inside an octet", "10.0.0.0/12", "10.9.1.1"),
    ask("inside an octet", "10.1.2.0/23", "10.1.2.255"),
    ask("inside an octet", "10.1.2.0/23", "10.1.4.0"),
    ask("inside an octet", "10.1.2.0/23", "10.1.3.255"),
    ask("edges", "0.0.0.0/0", "198.51.100.9"),
    ask("edges", "0.0.0.0/0", "10.255.255.255"),
    ask("edges", "198.51.100.9/32", "198.51.100.9"),
    ask("edges", "198.51.100.9/32", "198.51.100.8"),
    ask("edges", "198.51.100.9/32", "198.51.100.41"),
    ask("edges", "203.0.113.77/26", "203.0.113.100"),
    ask("edges", "10.31.7.9/13", "10.24.0.1"),
    ask("edges", "198.51.100.34/24", "198.51.100.1"),
    ask("edges", "198.51.100.34/24", "198.51.100.34"),
    ask("edges", "10.1.2.3/8", "10.200.0.9"),
    ask("edges", "10.1.2.3/8", "10.1.2.30"),
    ask("edges", "192.0.2.200/8", "192.1.2.3"),
    ask("edges", "198.51.100.9/0", "10.1.2.3"),
)

LOOK_UP = (
    ask("longest prefix", [("10.0.0.0/8", "Reed", 1), ("10.1.0.0/16", "Gull", 2)], "10.1.2.3"),
    ask(
        "longest prefix",
        [("10.0.0.0/8", "Reed", 1), ("10.1.0.0/16", "Gull", 2), ("10.1.0.0/16", "North", 5)],
        "10.1.2.3",
    ),
    ask("longest prefix", [("10.1.0.0/16", "Gull", 1), ("10.0.0.0/8", "Reed", 2)], "10.1.2.3"),
    ask("longest prefix", [("10.1.0.0/16", "Gull", 1), ("10.0.0.0/8", "Reed", 2)], "10.9.2.3"),
    ask("longest prefix", [("10.16.0.0/12", "Gull", 9), ("10.0.0.0/8", "Reed", 3)], "10.17.2.3"),
    ask(
        "longest prefix",
        [("0.0.0.0/0", "North", 1), ("198.51.100.0/24", "Reed", 2)],
        "198.51.100.9",
    ),
    ask(
        "longest prefix",
        [("198.51.100.0/24", "Reed", 40), ("0.0.0.0/0", "North", 0)],
        "198.51.100.9",
    ),
    ask(
        "longest prefix",
        [("192.0.2.32/27", "Reed", 7), ("192.0.2.33/32", "Gull", 8), ("192.0.2.0/24", "North", 3)],
        "192.0.2.33",
    ),
    ask("longest prefix", [("192.0.2.33/32", "Gull", 8)], "192.0.2.33"),
    *(
        ask("longest prefix", [*some], "10.77.1.1")
        for some in permutations([("10.64.0.0/10", "Reed", 4), ("10.77.0.0/16", "Gull", 4)])
    ),
    ask("longest prefix", [("10.64.0.0/10", "Reed", 4), ("10.100.0.0/14", "Gull", 30)],
        "10.101.0.9"),
    ask("longest prefix", [("10.64.0.0/10", "Reed", 4), ("10.112.0.0/14", "Gull", 2)],
        "10.113.0.9"),
    ask("longest prefix", [("192.0.2.0/24", "Reed", 0), *MANY], "192.0.2.237"),
    ask("longest prefix", [("192.0.2.0/25", "Gull", 1_000_000), ("192.0.2.0/24", "Reed", 0)],
        "192.0.2.9"),
    ask("longest prefix", [("198.51.96.0/20", "Reed", 1), ("198.51.100.0/24", "Gull", 2)],
        "198.51.100.9"),
    ask("longest prefix", [("10.2.0.0/16", "Reed", 1), ("10.0.0.0/8", "Gull", 2)], "10.20.0.1"),
    ask("longest prefix", [("203.0.113.64/26", "Reed", 1), ("203.0.113.0/24", "Gull", 2)],
        "203.0.113.200"),
    ask("longest prefix", [("10.64.0.0/12", "Reed", 3), ("10.0.0.0/9", "Gull", 6)], "10.100.2.7"),
    ask("longest prefix", [("192.0.0.0/9", "Gull", 6), ("192.1.0.0/16", "Reed", 1)], "192.100.2.7"),
    printed("longest prefix", RFC_1812, ("10.144.2.0/24", "Reed"), NESTED, "10.144.2.5"),
    printed("longest prefix", RFC_1812, ("10.144.2.0/24", "Pier 2"), THREE, "10.144.2.5"),
    printed("longest prefix", RFC_4632_6_2, ("10.24.32.0/23", "PB"), BACKBONE, "10.24.33.9"),
    printed("longest prefix", RFC_4632_6_2, ("10.32.0.0/20", "PA"), BACKBONE, "10.32.15.255"),
    printed("longest prefix", RFC_4632_6_2, ("10.32.0.0/13", "PB"), BACKBONE, "10.32.16.0"),
    ask("default and no route", [DEFAULT], "198.51.100.9"),
    ask("default and no route", [*ELSEWHERE, DEFAULT], "198.51.100.9"),
    ask("default and no route", ELSEWHERE, "198.51.100.9"),
    ask("default and no route", [], "203.0.113.9"),
    ask("default and no route", BACKBONE, "203.0.113.9"),
    ask(
        "equal prefixes",
        [("203.0.113.0/24", "Reed", 20), ("203.0.113.0/24", "Gull", 10)],
        "203.0.113.9",
    ),
    ask(
        "equal prefixes",
        [("203.0.113.0/24", "Reed", 2), ("203.0.113.0/24", "Gull", 10), *ELSEWHERE[1:]],
        "203.0.113.9",
    ),
    ask(
        "equal prefixes",
        [("203.0.113.0/24", "Reed", 10), ("203.0.113.0/24", "Gull", 9)],
        "203.0.113.9",
    ),
    ask(
        "equal prefixes",
        [("203.0.113.0/24", "Reed", 20), ("203.0.113.0/24", "Lantern", 30),
         ("203.0.113.0/24", "Gull", 10)],
        "203.0.113.9",
    ),
    ask(
        "equal prefixes",
        [("192.0.2.0/24", "Reed", 3), ("192.0.2.0/24", "Gull", 0), ("192.0.2.0/24", "North", 1)],
        "192.0.2.9",
    ),
    ask("equal prefixes", [("192.0.2.0/24", "Gull", 10), ("192.0.2.0/24", "Reed", 20),
                           ("192.0.2.0/24", "North", 30)], "192.0.2.9"),
    ask("equal prefixes", [("10.0.0.0/10", "Reed", 1), ("10.1.0.0/16", "North", 15),
                           ("10.1.0.0/16", "Gull", 13)], "10.1.2.3"),
    ask("equal prefixes", [("192.0.2.0/24", "Gull", 9), ("192.0.2.0/24", "Reed", 10)], "192.0.2.9"),
    ask("equal prefixes", [("10.0.0.0/8", "Gull", 0), ("10.0.0.0/8", "Reed", 5)], "10.1.2.9"),
)  # fmt: skip

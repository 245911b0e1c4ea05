"""Public questions of unit 04 about ready answers and about routes to spare: 4.5 and 4.6.

In 4.5 the first aspect has no prefix of more than three bits, the second no other ones. In 4.6
routes of one aspect either have a next hop in common, or use one of them up, or both.
"""

__all__ = ["LEVELS", "SPARE"]

from instructor.units.unit_04.case_parts import ask

EIGHT = ["Reed", "Gull", "North", "Bell", "Curlew", "Lantern", "Mast", "Plover"]
DOWN_TO_ONE = [
    ("192.0.2.0/24", "Bank"), ("192.0.2.0/25", "Reed"), ("192.0.2.128/26", "Gull"),
    ("192.0.2.192/27", "North"), ("192.0.2.224/28", "Bell"), ("192.0.2.240/29", "Curlew"),
    ("192.0.2.248/30", "Lantern"), ("192.0.2.252/31", "Mast"), ("192.0.2.255/32", "Plover"),
]  # fmt: skip
ALL_THREE_BITS = [(f"{number:03b}", EIGHT[number]) for number in (5, 0, 7, 2, 1, 6, 3, 4)]

LEVELS = (
    ask("first level", [("0", "Reed")]),
    ask("first level", [("0", "Reed"), ("1", "Gull")]),
    ask("first level", [("000", "Reed"), ("111", "Gull")]),
    ask("first level", ALL_THREE_BITS),
    ask("first level", [("01", "Gull"), ("0", "Reed")]),
    ask("first level", [("0", "Reed"), ("01", "Gull"), ("", "North")]),
    ask("first level", [("1", "Reed"), ("", "North"), ("101", "Gull")]),
    ask("first level", [("011", "Gull"), ("111", "North"), ("0", "Reed"), ("1", "Curlew")]),
    ask("first level", [("0", "Reed"), ("011", "Gull"), ("1", "Curlew"), ("111", "North")]),
    ask("first level", [("", "Reed"), ("111", "Gull")]),
    ask("first level", [("10", "Gull"), ("001", "Reed")]),
    ask("first level", []),
    ask("blocks", [("0101", "Gull")]),
    ask("blocks", [("010111", "Gull")]),
    ask("blocks", [("111000", "Reed"), ("000111", "Gull")]),
    ask("blocks", [("0010", "Gull"), ("1001", "Reed")]),
    ask("blocks", [("010000", "Reed"), ("010111", "Gull")]),
    ask("blocks", [("1010", "Gull"), ("1011", "Reed")]),
    ask("blocks", [("0100", "Reed"), ("0101", "Reed"), ("010011", "Reed"), ("010111", "Reed")]),
    ask("blocks", [("1000", "Gull"), ("1001", "Gull"), ("01111", "Reed")]),
    ask("blocks", [("0010", "Gull"), ("1010", "Gull")]),
    ask("blocks", [("11100", "Reed"), ("00000", "Reed"), ("011011", "Gull")]),
    ask("blocks", [("1100", "North"), ("11001", "Reed"), ("0110", "Gull")]),
    ask("both levels", [("0", "Reed"), ("0011", "Gull")]),
    ask("both levels", [("010", "Reed"), ("010111", "Gull")]),
    ask("both levels", [("0", "Reed"), ("0011", "Gull"), ("00110", "North")]),
    ask("both levels", [("00110", "North"), ("0011", "Gull"), ("0", "Reed")]),
    ask("both levels", [("001011", "North"), ("00101", "Gull"), ("110", "Reed")]),
    ask("both levels", [("11100", "Gull"), ("001111", "North"), ("", "Reed")]),
    ask("both levels", [("1011", "Reed"), ("10100", "Gull"), ("10", "North")]),
    ask("both levels", [("0011", "Reed"), ("0", "Reed")]),
)

SPARE = (
    ask("same next hop", [("10.0.0.0/8", "Reed"), ("10.1.0.0/16", "Reed")]),
    ask("same next hop", [("10.1.0.0/16", "Gull"), ("10.0.0.0/8", "Gull")]),
    ask("same next hop", [("10.1.0.0/16", "Reed"), ("10.2.0.0/16", "Reed")]),
    ask(
        "same next hop",
        [("10.0.0.0/8", "Reed"), ("10.1.0.0/16", "Gull"), ("10.1.2.0/24", "Reed")],
    ),
    ask(
        "same next hop",
        [("10.0.0.0/8", "Reed"), ("10.1.0.0/16", "Gull"), ("192.0.2.0/24", "Reed")],
    ),
    ask(
        "same next hop",
        [("10.1.0.0/16", "Gull"), ("10.1.2.0/24", "Reed"), ("10.0.0.0/8", "Reed")],
    ),
    ask("same next hop", [("0.0.0.0/0", "North"), ("10.2.0.0/16", "North")]),
    ask("same next hop", [("192.0.2.0/24", "Reed"), ("192.0.2.129/32", "Reed")]),
    ask(
        "same next hop",
        [
            ("0.0.0.0/0", "North"),
            ("10.1.2.0/24", "Gull"),
            ("10.1.0.0/16", "Gull"),
            ("10.2.0.0/16", "North"),
            ("10.1.2.128/25", "North"),
        ],
    ),
    ask(
        "same next hop",
        [
            ("203.0.113.64/26", "Reed"),
            ("192.0.2.0/24", "Gull"),
            ("203.0.113.0/24", "Reed"),
            ("192.0.2.128/25", "Gull"),
        ],
    ),
    ask(
        "same next hop",
        [
            ("10.2.0.0/16", "Reed"),
            ("10.20.4.0/24", "Reed"),
            ("10.0.0.0/8", "Gull"),
            ("192.0.2.0/23", "Bell"),
        ],
    ),
    ask("same next hop", [("10.0.0.0/9", "Gull"), ("10.200.0.0/16", "Gull")]),
    ask(
        "same next hop",
        [("192.0.0.0/16", "Gull"), ("192.0.2.0/23", "Reed"), ("192.0.2.0/24", "Reed")],
    ),
    ask("never used", []),
    ask("never used", [("10.0.0.0/8", "Reed"), ("10.0.0.0/9", "Gull")]),
    ask("never used", DOWN_TO_ONE),
    ask(
        "never used",
        [("198.51.100.0/24", "Reed"), ("198.51.100.0/26", "Gull"), ("198.51.100.128/25", "North")],
    ),
    ask(
        "never used",
        [("203.0.113.0/24", "Reed"), ("203.0.113.0/25", "Gull"), ("203.0.113.128/25", "North")],
    ),
    ask(
        "never used",
        [("203.0.113.0/24", "Reed"), ("203.0.113.0/25", "Gull"), ("203.0.113.128/26", "North")],
    ),
    ask(
        "never used",
        [
            ("203.0.113.0/25", "Gull"),
            ("203.0.113.192/26", "Reed"),
            ("203.0.113.0/24", "North"),
            ("203.0.113.128/26", "Plover"),
        ],
    ),
    ask(
        "never used",
        [
            ("192.0.2.0/24", "North"),
            ("192.0.2.0/25", "Gull"),
            ("192.0.2.0/26", "Reed"),
            ("192.0.2.64/26", "Plover"),
        ],
    ),
    ask(
        "never used",
        [
            ("10.0.0.0/14", "North"),
            ("10.0.0.0/15", "Gull"),
            ("10.0.0.0/16", "Reed"),
            ("10.2.0.0/16", "Plover"),
        ],
    ),
    ask(
        "never used",
        [("203.0.113.0/24", "Reed"), ("203.0.113.0/26", "Gull"), ("203.0.113.192/26", "North")],
    ),
    ask(
        "never used",
        [
            ("192.0.2.0/24", "North"),
            ("192.0.2.0/25", "Gull"),
            ("192.0.2.0/26", "Reed"),
            ("192.0.2.0/28", "Bell"),
            ("192.0.2.16/28", "Curlew"),
            ("192.0.2.64/27", "Mast"),
        ],
    ),
    ask(
        "never used",
        [("128.0.0.0/2", "Gull"), ("0.0.0.0/0", "Reed"), ("0.0.0.0/1", "Bell"),
         ("192.0.0.0/2", "North")],
    ),
    ask(
        "both at once",
        [("203.0.113.0/24", "Reed"), ("203.0.113.0/25", "Reed"), ("203.0.113.128/25", "North")],
    ),
    ask(
        "both at once",
        [
            ("10.0.0.0/8", "Reed"),
            ("10.0.0.0/10", "Gull"),
            ("10.64.0.0/10", "Reed"),
            ("10.128.0.0/9", "North"),
            ("10.128.0.0/16", "North"),
        ],
    ),
    ask(
        "both at once",
        [
            ("10.0.0.0/8", "Reed"),
            ("10.0.0.0/9", "Gull"),
            ("10.128.0.0/10", "North"),
            ("10.192.0.0/10", "Gull"),
        ],
    ),
    ask(
        "both at once",
        [("192.0.2.0/25", "Reed"), ("192.0.2.128/25", "Reed"), ("192.0.2.0/24", "Reed")],
    ),
    ask(
        "both at once",
        [("0.0.0.0/0", "Reed"), ("128.0.0.0/1", "Gull"), ("0.0.0.0/1", "Gull")],
    ),
    ask(
        "both at once",
        [
            ("192.0.2.0/24", "Reed"),
            ("192.0.2.0/25", "Reed"),
            ("192.0.2.0/26", "Gull"),
            ("192.0.2.64/26", "North"),
            ("192.0.2.128/25", "Curlew"),
        ],
    ),
    ask(
        "both at once",
        [("10.128.0.0/9", "North"), ("10.0.0.0/9", "Gull"), ("10.0.0.0/8", "Gull")],
    ),
)  # fmt: skip

"""Public questions of unit 04 about a walk down a trie and a table that changes: 4.3 and 4.4.

Each aspect leaves alone what another one asks. Walks "on the way" use all the bits, "dead ends"
have one next hop, below the root. Tables get the longest prefix first, but where order is asked;
host bits stand only where a prefix comes again; withdrawals leave a route around.
"""

__all__ = ["TABLE", "WALK"]

from collections.abc import Sequence

from course_lib.exercises.registry import Expected
from instructor.units.items import Question
from instructor.units.unit_04.case_parts import NESTED, steps, trie_of

RFC_4632_WITHDRAWN = "RFC 4632, section 6.2: PA withdraws 10.32.0.0/20"
RFC_1812 = "RFC 1812, section 5.2.4.3 (next hops are ours)"

SPREAD = {"": "North", "01": "Reed", "0110": "Gull", "011010": "Lantern", "1": "Curlew"}


def _walk(aspect: str, hops: dict[str, str], bits: str, *circles: str) -> Question:
    """Ask for a walk; `circles` are nodes without a next hop at which the trie ends."""
    return Question(aspect, (trie_of(hops, circles), bits))


def _steps(aspect: str, calls: str, **about: str | Expected) -> Question:
    """Put calls of a table's methods, written as words with commas between them.

    "0:insert" is for the first table, "new" makes another one.
    """
    return steps(aspect, *(tuple(call.split(" ")) for call in calls.split(", ")), **about)


def _inserted(routes: Sequence[tuple[str, str, int]]) -> str:
    return ", ".join(f"insert {prefix} {hop}" for prefix, hop, _ in routes)


WALK = (
    _walk("on the way", {"0": "Reed", "0110": "Gull"}, "0110"),
    _walk("on the way", {"0": "Reed"}, "0110", "01100"),
    _walk("on the way", {"01": "Reed", "010": "Gull", "1": "North"}, "0101", "0101"),
    _walk("on the way", {"0110": "Gull"}, "0110"),
    _walk("on the way", {"": "North", "0": "Reed", "01": "Gull"}, "01"),
    _walk("on the way", {"1": "North", "10": "Gull", "1011": "Reed"}, "1011"),
    _walk("on the way", {"": "North", "00": "Reed", "0010": "Gull"}, "001", "110"),
    _walk("on the way", {"1": "Reed", "0": "Gull"}, "1"),
    _walk("on the way", SPREAD, "01101"),
    _walk("on the way", {"0": "Reed", "011011011": "Gull"}, "011011011"),
    _walk(
        "on the way", {"011": "Reed", "0110111": "Gull", "1101": "North"}, "01101100", "01101100"
    ),
    _walk("dead ends", {"0": "Reed"}, "0110"),
    _walk("dead ends", {"0": "Reed"}, "0110", "010"),
    _walk("dead ends", {"01": "Reed", "1": "Gull"}, "01100000"),
    _walk("dead ends", {"0": "Reed", "0111": "Gull"}, "0110"),
    _walk("dead ends", {"01": "Reed", "011011": "Gull"}, "01100000"),
    _walk("dead ends", {"": "North", "011": "Gull"}, "0101"),
    _walk("dead ends", {"110": "Reed", "0": "Gull"}, "110100", "1101"),
    _walk("dead ends", {"110": "Reed", "001": "Gull"}, "1100", "11010"),
    _walk("default and no route", {}, "0110"),
    _walk("default and no route", {"": "North"}, "0110"),
    _walk("default and no route", {"": "North", "1": "Gull"}, "0101"),
    _walk("default and no route", {"": "Reed", "01": "Gull", "001": "North"}, "11110000"),
    _walk("default and no route", {"11": "Reed"}, "0110"),
    _walk("default and no route", {"11": "Reed"}, "0110", "0110"),
    _walk("default and no route", {"11": "Reed", "0100": "Gull"}, "0110"),
)

TABLE = (
    _steps("insert and look up", "insert 203.0.113.0/24 Reed, look_up 203.0.113.9"),
    _steps("insert and look up",
           "insert 203.0.113.0/24 Reed, insert 203.0.113.64/26 Gull, look_up 203.0.113.9, "
           "look_up 203.0.113.100"),
    _steps("insert and look up",
           "insert 203.0.113.64/26 Gull, insert 203.0.113.0/24 Reed, look_up 203.0.113.9, "
           "look_up 203.0.113.100, look_up 203.0.113.128, look_up 203.0.113.63"),
    _steps("insert and look up",
           f"{_inserted(NESTED)}, look_up 10.144.2.5, look_up 10.144.3.5, look_up 10.145.0.1, "
           "look_up 192.0.2.1"),
    _steps("insert and look up",
           "insert 203.0.113.0/24 Reed, look_up 203.0.113.100, insert 203.0.113.64/26 Gull, "
           "look_up 203.0.113.100, look_up 203.0.113.9"),
    _steps("insert and look up",
           "insert 10.0.0.0/8 North, look_up 10.1.2.3, insert 10.1.0.0/16 Reed, look_up 10.1.2.3"),
    _steps("insert and look up", "insert 0.0.0.0/0 North, look_up 198.51.100.9"),
    _steps("insert and look up",
           "insert 192.0.2.0/24 Gull, insert 0.0.0.0/0 North, look_up 192.0.2.9, look_up 10.0.0.1"),
    _steps("insert and look up", "insert 198.51.100.9/32 Gull, look_up 198.51.100.9"),
    _steps("insert and look up",
           "insert 198.51.100.9/32 Gull, insert 198.51.100.8/31 Reed, look_up 198.51.100.8, "
           "look_up 198.51.100.9"),
    _steps("insert and look up",
           "insert 10.32.0.0/12 Gull, insert 10.0.0.0/8 Reed, insert 10.40.0.0/20 North, "
           "look_up 10.47.1.1, look_up 10.40.1.1, look_up 10.50.1.1"),
    _steps("insert and look up",
           "new, 0:insert 203.0.113.0/24 Reed, 1:insert 203.0.0.0/16 Gull, "
           "1:look_up 203.0.113.9, 0:look_up 203.0.113.9"),
    _steps("insert and look up",
           "new, 0:insert 203.0.113.0/24 Reed, 1:insert 203.0.113.0/24 Gull, "
           "0:look_up 203.0.113.9, 1:look_up 203.0.113.9"),
    _steps("the same prefix again",
           "insert 203.0.113.0/24 Reed, insert 203.0.113.0/24 Gull, look_up 203.0.113.9"),
    _steps("the same prefix again",
           "insert 192.0.2.0/24 Gull, insert 192.0.2.0/24 North, insert 192.0.2.0/24 Reed, "
           "look_up 192.0.2.77"),
    _steps("the same prefix again",
           "insert 192.0.2.0/24 Gull, look_up 192.0.2.77, insert 192.0.2.0/24 North, "
           "look_up 192.0.2.77"),
    _steps("the same prefix again", "insert 203.0.113.77/26 Gull, look_up 203.0.113.100"),
    _steps("the same prefix again",
           "insert 10.9.2.3/13 Gull, insert 10.0.0.0/8 Reed, look_up 10.15.0.1, look_up 10.16.0.1"),
    _steps("the same prefix again",
           "insert 203.0.113.64/26 Gull, withdraw 203.0.113.77/26, look_up 203.0.113.100"),
    _steps("the same prefix again",
           "insert 192.0.2.0/24 Reed, insert 192.0.2.9/24 North, withdraw 192.0.2.9/24, "
           "look_up 192.0.2.9"),
    _steps("withdraw",
           "insert 203.0.113.64/26 Gull, insert 203.0.113.0/24 Reed, withdraw 203.0.113.64/26, "
           "look_up 203.0.113.100, look_up 203.0.113.9"),
    _steps("withdraw",
           "insert 203.0.113.64/26 Gull, insert 203.0.113.0/24 Reed, insert 203.0.0.0/16 North, "
           "withdraw 203.0.113.0/24, look_up 203.0.113.100, look_up 203.0.113.9"),
    _steps("withdraw",
           "insert 10.32.0.0/20 PA, insert 10.24.0.0/13 PA, insert 10.32.0.0/13 PB, "
           "look_up 10.32.1.1, withdraw 10.32.0.0/20, look_up 10.32.1.1",
           source=RFC_4632_WITHDRAWN,
           published=Expected(value=[None, None, None, "PA", None, "PB"])),
    _steps("withdraw",
           "insert 192.0.2.0/26 Gull, insert 192.0.2.0/24 Reed, withdraw 192.0.2.0/24, "
           "look_up 192.0.2.9"),
    _steps("withdraw",
           "insert 203.0.113.0/24 Reed, insert 203.0.113.0/24 Gull, insert 203.0.0.0/16 North, "
           "withdraw 203.0.113.0/24, look_up 203.0.113.9"),
    _steps("withdraw",
           "insert 192.0.2.64/27 Reed, insert 192.0.2.64/27 Gull, insert 192.0.2.0/24 North, "
           "withdraw 192.0.2.64/27, look_up 192.0.2.70"),
    _steps("withdraw",
           "insert 203.0.113.0/25 Reed, withdraw 203.0.113.0/25, insert 203.0.113.0/25 Gull, "
           "insert 203.0.0.0/16 North, look_up 203.0.113.9"),
    _steps("withdraw",
           "insert 203.0.113.0/24 Gull, insert 192.0.2.0/24 Reed, withdraw 192.0.2.0/24, "
           "insert 192.0.2.0/24 Reed, "
           "look_up 192.0.2.1"),
    _steps("withdraw", "insert 192.0.2.0/24 Reed, withdraw 192.0.2.0/24"),
    _steps("withdraw",
           "insert 192.0.2.0/24 Reed, insert 0.0.0.0/0 North, withdraw 0.0.0.0/0, "
           "look_up 10.0.0.1, look_up 192.0.2.9"),
    _steps("withdraw",
           "insert 192.0.2.64/26 Reed, insert 203.0.113.0/24 Reed, withdraw 203.0.113.0/24, "
           "look_up 192.0.2.70"),
    _steps("withdraw",
           "insert 10.0.0.0/8 Reed, insert 10.64.0.0/12 Reed, withdraw 10.0.0.0/8, "
           "look_up 10.64.0.1"),
    _steps("withdraw",
           "insert 10.0.0.0/8 Reed, insert 10.64.0.0/12 Reed, withdraw 10.64.0.0/12, "
           "look_up 10.1.0.1"),
    _steps("withdraw",
           "insert 10.64.0.0/12 Reed, insert 10.0.0.0/8 Reed, withdraw 10.64.0.0/12, "
           "look_up 10.64.0.1"),
    _steps("withdraw",
           "insert 192.0.2.0/26 Gull, insert 192.0.2.0/25 Reed, withdraw 192.0.2.0/26, "
           "look_up 192.0.2.9"),
    _steps("not there", "look_up 203.0.113.9"),
    _steps("not there", "insert 203.0.113.0/24 Reed, look_up 198.51.100.9"),
    _steps("not there", "withdraw 203.0.113.0/24"),
    _steps("not there", "insert 203.0.113.0/24 Reed, withdraw 203.0.112.0/24"),
    _steps("not there", "insert 203.0.113.0/24 Reed, withdraw 203.0.113.0/25"),
    _steps("not there", "insert 192.0.2.0/24 Reed, withdraw 192.0.2.77/32"),
    _steps("not there", "insert 203.0.113.0/25 Gull, withdraw 203.0.113.0/24"),
    _steps("not there",
           "insert 203.0.113.0/27 Gull, insert 203.0.113.0/25 Reed, withdraw 203.0.113.0/26"),
    _steps("not there",
           "insert 203.0.113.0/24 Reed, withdraw 203.0.113.0/24, withdraw 203.0.113.0/24"),
    _steps("not there",
           "insert 203.0.113.0/24 Reed, insert 203.0.113.77/26 Gull, look_up 203.0.113.100, "
           "withdraw 203.0.113.64/26, look_up 203.0.113.100, withdraw 203.0.113.64/26"),
)  # fmt: skip

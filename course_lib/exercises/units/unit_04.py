"""The exercises of unit 04, longest prefix match."""

__all__ = ["EXERCISES"]

from course_lib.exercises.registry import Aspect, Exercise

UNIT = "04-longest-prefix-match"

EXERCISES = (
    Exercise(
        id="4.1",
        unit=UNIT,
        function="covers",
        title="Does the prefix cover the address?",
        aspects=(Aspect("whole octets", 1), Aspect("inside an octet", 1), Aspect("edges", 1)),
        apart="variation",
        differs="The library compares numbers and refuses host bits; here two texts come in, and "
        "the prefix may be written with any address inside it.",
    ),
    Exercise(
        id="4.2",
        unit=UNIT,
        function="look_up",
        title="Look up in a list",
        aspects=(
            Aspect("longest prefix", 2),
            Aspect("default and no route", 1),
            Aspect("equal prefixes", 1),
        ),
        apart="variation",
        differs="The library keeps its list in order and knows no metrics; here the routes stand "
        "in any order, a prefix may come twice, and the answer names the prefix.",
    ),
    Exercise(
        id="4.3",
        unit=UNIT,
        function="walk_trie",
        title="Walk down a trie",
        aspects=(
            Aspect("on the way", 2),
            Aspect("dead ends", 1),
            Aspect("default and no route", 1),
        ),
        apart="variation",
        differs="The library keeps its nodes to itself; here the trie is plain data, and the nodes "
        "that were looked at are counted.",
    ),
    Exercise(
        id="4.4",
        unit=UNIT,
        function="new_table",
        title="A table that changes",
        aspects=(
            Aspect("insert and look up", 1),
            Aspect("the same prefix again", 1),
            Aspect("withdraw", 2),
            Aspect("not there", 1),
        ),
        apart="variation",
        differs="The library's tables take numbers, refuse host bits and return numbers; here "
        "texts come in, host bits are cleared, and next hops have names.",
        driver="operate",
    ),
    Exercise(
        id="4.5",
        unit=UNIT,
        function="build_tables",
        title="Write all answers down",
        aspects=(Aspect("first level", 1), Aspect("blocks", 2), Aspect("both levels", 1)),
        apart="variation",
        differs="The library packs lengths and numbers into entries for 32 bits; here two small "
        "levels for 6 bits hold names, and the blocks are numbered in order.",
    ),
    Exercise(
        id="4.6",
        unit=UNIT,
        function="spare_routes",
        title="Which routes can go?",
        aspects=(Aspect("same next hop", 2), Aspect("never used", 1), Aspect("both at once", 1)),
        apart="variation",
        differs="The library joins prefixes and never looks at next hops; here a route is spare if "
        "no address gets another next hop without it.",
    ),
)

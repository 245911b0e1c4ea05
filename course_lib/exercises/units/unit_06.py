"""The exercises of unit 06, the forwarding path."""

__all__ = ["EXERCISES"]

from course_lib.exercises.registry import Aspect, Exercise

UNIT = "06-the-forwarding-path"

EXERCISES = (
    Exercise(
        id="6.1",
        unit=UNIT,
        function="first_fault",
        title="The first check that fails",
        aspects=(
            Aspect("the sum", 2),
            Aspect("version and header length", 1),
            Aspect("lengths", 1),
        ),
        apart="variation",
        differs="The library checks in the order of its parser and gives a reason; here the order "
        "is that of RFC 1812, and the answer is the number of the check.",
    ),
    Exercise(
        id="6.2",
        unit=UNIT,
        function="rewrite_frame",
        title="One hop, the whole frame",
        aspects=(
            Aspect("addresses", 1),
            Aspect("time to live and checksum", 1),
            Aspect("options and padding", 1),
            Aspect("refusals", 1, refusals=True),
        ),
        apart="variation",
        differs="The library does this in two stages, on a header that has been taken apart; here "
        "one frame becomes another, octet by octet.",
    ),
    Exercise(
        id="6.3",
        unit=UNIT,
        function="carry",
        title="Carry packets through stages",
        aspects=(Aspect("the way through", 2), Aspect("drops", 1), Aspect("faulty stages", 1)),
        apart="variation",
        differs="The library's fast path carries one packet, knows verdicts for a slow path, and "
        "counts by reason; here packets are dictionaries, and drops are counted by stage too.",
        driver="with_stages",
    ),
    Exercise(
        id="6.4",
        unit=UNIT,
        function="may_pass",
        title="A filter",
        aspects=(Aspect("rules in order", 1), Aspect("ports", 2), Aspect("fragments", 1)),
        apart="variation",
        differs="The library has no filter with rules: it is for a stage of one's own.",
    ),
    Exercise(
        id="6.5",
        unit=UNIT,
        function="new_dropper",
        title="A stage that remembers",
        aspects=(
            Aspect("one flow", 1),
            Aspect("several flows", 1),
            Aspect("counts and refusals", 1),
        ),
        apart="variation",
        differs="The library has no stage that drops packets on purpose.",
        driver="operate",
    ),
    Exercise(
        id="6.6",
        unit=UNIT,
        function="why_slow",
        title="Fast path or slow path",
        aspects=(Aspect("decide", 2), Aspect("rewrite", 2), Aspect("send", 1)),
        apart="variation",
        differs="The library finds this out by carrying the packet, stage by stage; here one "
        "function tells it in advance, from raw octets and plain tables.",
    ),
)

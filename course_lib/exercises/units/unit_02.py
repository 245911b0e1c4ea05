"""The exercises of unit 02, checksums."""

__all__ = ["EXERCISES"]

from course_lib.exercises.registry import Aspect, Exercise

UNIT = "02-checksums"

EXERCISES = (
    Exercise(
        id="2.1",
        unit=UNIT,
        function="fold",
        title="Bring the carries back in",
        aspects=(Aspect("one carry", 1), Aspect("more carries", 1)),
        apart="variation",
        differs="The library never folds: it takes a remainder.",
        hex="both",
        whole=True,
    ),
    Exercise(
        id="2.2",
        unit=UNIT,
        function="header_checksum",
        title="The checksum of a header",
        aspects=(
            Aspect("plain headers", 1),
            Aspect("corners of the sum", 1),
            Aspect("old field", 1),
            Aspect("the header alone", 1),
        ),
        apart="variation",
        differs="The library sums the octets it is given; here a whole packet comes in, its "
        "checksum field filled.",
        hex="results",
        whole=True,
    ),
    Exercise(
        id="2.3",
        unit=UNIT,
        function="is_header_intact",
        title="Check a header",
        aspects=(
            Aspect("plain headers", 1),
            Aspect("both zeros", 1),
            Aspect("the header alone", 1),
        ),
        apart="variation",
        differs="The library checks the octets it is given; here a whole packet comes in.",
    ),
    Exercise(
        id="2.4",
        unit=UNIT,
        function="udp_checksum",
        title="The checksum of UDP",
        aspects=(
            Aspect("even lengths", 1),
            Aspect("odd lengths", 1),
            Aspect("fields", 1),
            Aspect("corners of the sum", 1),
        ),
        apart="variation",
        differs="The library makes whole datagrams from ports and data "
        "(`course_lib.ip.datagrams`), and keeps its pseudo header to itself; here a datagram comes "
        "in, its fields filled anyhow, and only the checksum is asked for.",
        hex="results",
        whole=True,
    ),
    Exercise(
        id="2.5",
        unit=UNIT,
        function="lower_time_to_live",
        title="Lower the time to live",
        aspects=(
            Aspect("ordinary headers", 1),
            Aspect("corners of the sum", 1),
            Aspect("options", 1),
            Aspect("refusals", 1, refusals=True),
        ),
        apart="variation",
        differs="The library updates one checksum; here the header changes with it, and may be "
        "refused.",
    ),
    Exercise(
        id="2.6",
        unit=UNIT,
        function="missed_pairs",
        title="Count the errors that slip through",
        aspects=(Aspect("short data", 2), Aspect("longer data", 2)),
        apart="variation",
        differs="The library draws errors at random, with the expected share as a line in a "
        "figure; here every pair is counted, exactly and in plain Python.",
        time_limit_s=10.0,
    ),
)

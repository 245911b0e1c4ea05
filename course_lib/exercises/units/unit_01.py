"""The exercises of unit 01, frames and headers."""

__all__ = ["EXERCISES"]

from course_lib.exercises.registry import Aspect, Exercise

UNIT = "01-frames-and-headers"

EXERCISES = (
    Exercise(
        id="1.1",
        unit=UNIT,
        function="read_word",
        title="Read a 16-bit word",
        aspects=(Aspect("words", 1), Aspect("refusals", 1, refusals=True)),
        apart="variation",
        differs="The library unpacks whole headers; it has no function for a single word.",
        hex="results",
    ),
    Exercise(
        id="1.2",
        unit=UNIT,
        function="parse_frame",
        title="Parse an Ethernet frame",
        aspects=(
            Aspect("plain frames", 2),
            Aspect("tagged frames", 1),
            Aspect("refusals", 1, refusals=True),
        ),
        apart="variation",
        differs="The library knows no VLAN tags and keeps addresses as octets.",
        hex="results",
    ),
    Exercise(
        id="1.3",
        unit=UNIT,
        function="fragment_fields",
        title="Flags and fragment offset",
        aspects=(Aspect("flags", 1), Aspect("first octet", 2)),
        apart="variation",
        differs="The library keeps flags and offset as they stand on the wire.",
        hex="arguments",
    ),
    Exercise(
        id="1.4",
        unit=UNIT,
        function="parse_packet",
        title="Parse an IPv4 packet",
        aspects=(
            Aspect("fields", 2),
            Aspect("options and lengths", 2),
            Aspect("refusals", 2, refusals=True),
        ),
        apart="variation",
        differs="The library keeps numbers in wire units; here addresses become texts, and header, "
        "options and payload are cut apart by hand.",
    ),
    Exercise(
        id="1.5",
        unit=UNIT,
        function="list_options",
        title="Walk the options",
        aspects=(
            Aspect("options", 2),
            Aspect("ends and padding", 1),
            Aspect("refusals", 1, refusals=True),
        ),
        apart="variation",
        differs="The library leaves options as raw octets.",
    ),
    Exercise(
        id="1.6",
        unit=UNIT,
        function="build_packet",
        title="Build a UDP packet",
        aspects=(Aspect("addresses and ports", 1), Aspect("payloads", 2), Aspect("options", 2)),
        apart="variation",
        differs="The library packs fields that are given; here lengths and padding are worked out.",
    ),
)

"""The exercises of unit 12, your own router."""

__all__ = ["EXERCISES"]

from course_lib.exercises.registry import Aspect, Exercise

UNIT = "12-your-own-router"

EXERCISES = (
    Exercise(
        id="12.1",
        unit=UNIT,
        function="new_router",
        title="Put the router together",
        aspects=(
            Aspect("the order", 2),
            Aspect("neighbours", 1),
            Aspect("errors", 1),
            Aspect("counters", 1),
        ),
        apart="variation",
        differs="The library's router is a list of stages that hand on verdicts; here one object "
        "calls parts that come as an argument, and only the order of these calls is asked for.",
        driver="with_parts",
    ),
    Exercise(
        id="12.2",
        unit=UNIT,
        function="new_filter",
        title="A filter with a memory",
        aspects=(Aspect("rules", 1), Aspect("ports", 1), Aspect("fragments", 2)),
        apart="variation",
        differs="The library has no filter with rules, and keeps nothing of datagrams that pass.",
        driver="operate",
    ),
    Exercise(
        id="12.3",
        unit=UNIT,
        function="new_monitor",
        title="An alarm that spares the honest",
        aspects=(Aspect("spoofed sources", 1), Aspect("sweeps", 2), Aspect("memory", 1)),
        apart="variation",
        differs="The library watches nobody: its router does not ask where a source lies, nor "
        "who asks for which ports.",
        driver="operate",
    ),
    Exercise(
        id="12.4",
        unit=UNIT,
        function="new_translator",
        title="One address for all",
        aspects=(
            Aspect("out and back", 1),
            Aspect("checksums", 2),
            Aspect("time and room", 1),
            Aspect("errors", 1),
        ),
        apart="variation",
        differs="The library has no address translation; its router forwards with addresses as "
        "they are, and of checksums it has only the update of one word.",
        driver="operate",
    ),
    Exercise(
        id="12.5",
        unit=UNIT,
        function="new_limiter",
        title="Nobody starves",
        aspects=(
            Aspect("one block", 1),
            Aspect("many blocks", 1),
            Aspect("mark or drop", 1),
            Aspect("bounded", 1),
        ),
        apart="variation",
        differs="The library limits only its own errors, by one bucket for all; here there are "
        "many, by blocks of sources, and never more than a given number.",
        driver="operate",
    ),
    Exercise(
        id="12.6",
        unit=UNIT,
        function="new_greeter",
        title="Not IP at all",
        aspects=(
            Aspect("three messages", 1),
            Aspect("lost and doubled", 2),
            Aspect("refusals", 1),
        ),
        apart="variation",
        differs="The library has no protocol with a handshake over frames of its own type; its "
        "address resolution asks and answers without numbers.",
        driver="operate",
    ),
)

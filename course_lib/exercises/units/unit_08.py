"""The exercises of unit 08, queues and schedulers."""

__all__ = ["EXERCISES"]

from course_lib.exercises.registry import Aspect, Exercise

UNIT = "08-queues-and-schedulers"

EXERCISES = (
    Exercise(
        id="8.1",
        unit=UNIT,
        function="waits_in_line",
        title="Who waits, and who is turned away?",
        aspects=(
            Aspect("who waits how long", 2),
            Aspect("no room", 1),
            Aspect("at the same moment", 1),
        ),
        apart="variation",
        differs="The library goes from event to event, with octets, a rate and times in float "
        "seconds; here sending times are given, and whole waits are asked for, packet by packet.",
    ),
    Exercise(
        id="8.2",
        unit=UNIT,
        function="three_means",
        title="Little's law, read off a record",
        aspects=(
            Aspect("a whole run", 2),
            Aspect("a window", 1),
            Aspect("dropped packets", 1),
        ),
        apart="variation",
        differs="The library measures waiting and use of the line inside a run of its own; here "
        "number, rate and time are read off a bare record, whole times beyond the window's end.",
    ),
    Exercise(
        id="8.3",
        unit=UNIT,
        function="new_meter",
        title="Two buckets, three colours",
        aspects=(
            Aspect("one bucket", 2),
            Aspect("two buckets", 2),
            Aspect("what is left", 1),
        ),
        apart="variation",
        differs="The library colours a whole list of packets in one loop of floats; here a meter "
        "is an object, asked packet by packet and between them, in whole numbers and kbit/s.",
        driver="operate",
    ),
    Exercise(
        id="8.4",
        unit=UNIT,
        function="new_round_robin",
        title="Fair in octets",
        aspects=(
            Aspect("fair in octets", 1),
            Aspect("what is kept", 1),
            Aspect("what lapses", 1),
            Aspect("the order of the list", 1),
        ),
        apart="variation",
        differs="The library's rule looks at all queues in the order of their numbers; here the "
        "list of the paper is kept, which queues join at its end when a packet comes.",
        driver="operate",
    ),
    Exercise(
        id="8.5",
        unit=UNIT,
        function="new_urgent_first",
        title="Urgent first, but not for ever",
        aspects=(
            Aspect("urgent first", 1),
            Aspect("the limit", 2),
            Aspect("more than two levels", 1),
        ),
        apart="variation",
        differs="The library's strict priority has no limit, and lets who comes last starve; here "
        "each level counts how often it was passed over.",
        driver="operate",
    ),
    Exercise(
        id="8.6",
        unit=UNIT,
        function="compare_with_theory",
        title="Does the measurement agree?",
        aspects=(
            Aspect("warm-up", 1),
            Aspect("batches", 2),
            Aspect("verdict", 1),
        ),
        apart="variation",
        differs="The library makes a band of results that are independent already; here one run is "
        "cut into batches after its warm-up, and a verdict on theory is asked for.",
    ),
)

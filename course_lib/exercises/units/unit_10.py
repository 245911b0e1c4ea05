"""The exercises of unit 10, buffers and TCP."""

__all__ = ["EXERCISES"]

from course_lib.exercises.registry import Aspect, Exercise

UNIT = "10-buffers-and-tcp"

EXERCISES = (
    Exercise(
        id="10.1",
        unit=UNIT,
        function="fill_path",
        title="Fill the path",
        aspects=(
            Aspect("there and back", 1),
            Aspect("whole octets", 1),
            Aspect("whole packets", 1),
        ),
        apart="variation",
        differs="The library gives bits for one round-trip time; here the delays there and back "
        "differ, and whole octets and packets are asked for.",
    ),
    Exercise(
        id="10.2",
        unit=UNIT,
        function="one_tooth",
        title="One tooth of the saw",
        aspects=(
            Aspect("line idle at times", 2),
            Aspect("line always busy", 1),
            Aspect("half of an odd window", 1),
        ),
        apart="variation",
        differs="The library's formula treats the saw-tooth as a fluid; here windows are whole "
        "packets, and the lowest and the highest one are asked for too.",
    ),
    Exercise(
        id="10.3",
        unit=UNIT,
        function="new_sender",
        title="A sender's window, event by event",
        aspects=(
            Aspect("slow start", 1),
            Aspect("congestion avoidance", 2),
            Aspect("duplicates", 2),
            Aspect("time-out", 1),
        ),
        apart="variation",
        differs="The library's senders count packets and carry a whole transfer inside a loop; "
        "here octets are counted, and each event is a call.",
        driver="operate",
    ),
    Exercise(
        id="10.4",
        unit=UNIT,
        function="smallest_buffer",
        title="The smallest buffer that will do",
        aspects=(
            Aspect("not in step", 1),
            Aspect("in step", 1),
            Aspect("part of a packet", 1),
        ),
        apart="variation",
        differs="The library's rule gives bits and trusts that flows are not in step; here whole "
        "packets are asked for, and flows in step are told apart.",
    ),
    Exercise(
        id="10.5",
        unit=UNIT,
        function="wait_ms",
        title="How long do nearly all wait at most?",
        aspects=(
            Aspect("nearly all", 2),
            Aspect("just the percentage", 1),
            Aspect("all of them", 1),
        ),
        apart="variation",
        differs="The library reads quantiles from a finished run; here counts of what packets "
        "found before them come in, and milliseconds go out.",
    ),
    Exercise(
        id="10.6",
        unit=UNIT,
        function="new_watch",
        title="Drop before it is full",
        aspects=(Aspect("patience", 2), Aspect("pace", 1), Aspect("relief", 1)),
        apart="variation",
        differs="The library follows RFC 8289 with its memory of the last pace and its rule for "
        "a nearly empty queue; here each bout begins anew, in milliseconds, packet by packet.",
        driver="operate",
    ),
)

"""The exercises of unit 05, neighbours and errors."""

__all__ = ["EXERCISES"]

from course_lib.exercises.registry import Aspect, Exercise

UNIT = "05-neighbours-and-errors"

EXERCISES = (
    Exercise(
        id="5.1",
        unit=UNIT,
        function="answer_request",
        title="Answer a question",
        aspects=(
            Aspect("answers", 2),
            Aspect("for whom", 1),
            Aspect("refusals", 1, refusals=True),
        ),
        apart="variation",
        differs="The library answers as one step of its table of neighbours, from a packet without "
        "its frame; here one frame becomes another, octet by octet, and nothing is learnt.",
    ),
    Exercise(
        id="5.2",
        unit=UNIT,
        function="new_cache",
        title="A table of neighbours",
        aspects=(
            Aspect("learn", 2),
            Aspect("whom to answer", 1),
            Aspect("age", 1),
            Aspect("group addresses", 1),
        ),
        apart="variation",
        differs="The library's table takes octets, keeps packets that wait beside what it knows, "
        "and goes on believing an entry that is too old until somebody asks; here fields come in, "
        "and what is too old is gone.",
        driver="operate",
    ),
    Exercise(
        id="5.3",
        unit=UNIT,
        function="new_waiting",
        title="Packets that wait",
        aspects=(Aspect("who waits", 2), Aspect("questions", 2), Aspect("giving up", 1)),
        apart="variation",
        differs="The library asks as soon as the first packet waits, and says so in frames; here "
        "packets and questions are apart, and addresses and packets come out as lists.",
        driver="operate",
    ),
    Exercise(
        id="5.4",
        unit=UNIT,
        function="answer_echo",
        title="Answer an echo",
        aspects=(
            Aspect("replies", 1),
            Aspect("corners of the sums", 1),
            Aspect("options and data", 1),
            Aspect("no reply", 1),
        ),
        apart="variation",
        differs="The library turns one ICMP message into another, and its router puts a new header "
        "in front; here a whole packet is turned round, and keeps all that need not change.",
    ),
    Exercise(
        id="5.5",
        unit=UNIT,
        function="build_error",
        title="Say why it ended",
        aspects=(Aspect("header", 1), Aspect("type and code", 1), Aspect("quote", 2)),
        apart="variation",
        differs="The library builds the message for a reason of its own, and its router the packet "
        "around it, in parts; here one function makes one packet of another, octet by octet.",
    ),
    Exercise(
        id="5.6",
        unit=UNIT,
        function="new_reporter",
        title="When to keep silent",
        aspects=(
            Aspect("errors and fragments", 1),
            Aspect("addresses", 2),
            Aspect("rate", 1),
        ),
        apart="variation",
        differs="The library gives a reason, for a packet that has been taken apart, and limits "
        "the rate by tokens; here octets come in, and the second before is looked at as a whole.",
        driver="operate",
    ),
)

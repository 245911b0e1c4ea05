"""The exercises of unit 11, loss and TCP."""

__all__ = ["EXERCISES"]

from course_lib.exercises.registry import Aspect, Exercise

UNIT = "11-loss-and-tcp"

EXERCISES = (
    Exercise(
        id="11.1",
        unit=UNIT,
        function="new_loss",
        title="Lose on purpose",
        aspects=(
            Aspect("each flow by itself", 2),
            Aspect("only data", 1),
            Aspect("what else passes", 1),
        ),
        apart="variation",
        differs="The library loses packets by chance or by their places in a list, behind a link; "
        "here a stage reads octets and counts the segments with data of each flow.",
        driver="operate",
    ),
    Exercise(
        id="11.2",
        unit=UNIT,
        function="new_receiver",
        title="Which octet is missing?",
        aspects=(
            Aspect("before or after", 1),
            Aspect("what is acknowledged", 2),
            Aspect("behind a gap", 1),
            Aspect("what is held", 1),
        ),
        apart="variation",
        differs="The library's receivers number whole packets from 0 without end; here octets are "
        "numbered, numbers wrap, and segments may overlap.",
        driver="operate",
    ),
    Exercise(
        id="11.3",
        unit=UNIT,
        function="new_timer",
        title="How long to wait?",
        aspects=(
            Aspect("round trips", 2),
            Aspect("least and most", 1),
            Aspect("sent twice", 1),
            Aspect("when it runs out", 1),
        ),
        apart="variation",
        differs="The library measures one packet in a round trip, chosen inside its loop, in whole "
        "nanoseconds; here every packet is measured, in ms, and the timer is an object.",
        driver="operate",
    ),
    Exercise(
        id="11.4",
        unit=UNIT,
        function="sent_each_round",
        title="Round trip by round trip",
        aspects=(
            Aspect("growth", 1),
            Aspect("three duplicates", 1),
            Aspect("time-outs", 1),
            Aspect("two windows", 1),
        ),
        apart="variation",
        differs="The library goes from packet to packet in time; here whole round trips are "
        "counted, and what shows a loss follows from how many packets arrive behind it.",
    ),
    Exercise(
        id="11.5",
        unit=UNIT,
        function="rate_with_losses",
        title="From losses to a rate",
        aspects=(
            Aspect("the tooth", 2),
            Aspect("delayed acknowledgements", 1),
            Aspect("time-outs", 1),
        ),
        apart="variation",
        differs="The library has the printed law with its constant; here a tooth of whole windows "
        "is summed, and the constant comes out of it.",
    ),
    Exercise(
        id="11.6",
        unit=UNIT,
        function="fit_exponent",
        title="Which exponent, and how sure?",
        aspects=(
            Aspect("which runs count", 1),
            Aspect("the exponent", 2),
            Aspect("the interval", 1),
        ),
        apart="variation",
        differs="The library draws measured points beside its formulas; here runs are sorted by "
        "rules, and a line is fitted to logarithms, with an interval for its slope.",
    ),
)

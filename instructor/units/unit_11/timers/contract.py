"""The contract of exercise 11.3, clause by clause."""

__all__ = ["NEW_TIMER"]

from instructor.units.clauses import Clause, Contract
from instructor.units.unit_11.misconceptions import timers_running
from instructor.units.unit_11.timers import broken

TRIPS, LIMITS, TWICE, RUNS = "round trips", "least and most", "sent twice", "when it runs out"

NEW_TIMER = Contract(
    clauses=(
        Clause("its time-out is 1000 at first", RUNS, broken.StartsWithThreeSeconds),
        Clause("It starts the timer if that stands still", RUNS, broken.EachPacketStarts),
        Clause("and returns None", "", broken.SentTellsTheTimeout),
        Clause("its round trip counts", "", broken.CountsNoTrip),
        Clause("half of it the variation", TRIPS, broken.FirstInFull),
        Clause(
            "0.75 of itself and 0.25 of the distance between mean and round trip",
            TRIPS,
            broken.VariationFollowsFaster,
        ),
        Clause("after that the mean becomes", TRIPS, broken.MeanGoesFirst),
        Clause("0.875 of itself and 0.125 of the round trip", TRIPS, broken.MeanFollowsFaster),
        Clause("the mean and 4 variations", TRIPS, broken.ThreeVariations),
        Clause("the mean and `tick_ms` if that is more", TRIPS, broken.IgnoresTheTick),
        Clause("at least `least_ms`", LIMITS, broken.AtLeastNothing),
        Clause("and at most 60000", LIMITS, broken.GrowsBeyond),
        Clause(
            "sent more than once, the time-out stays as it is",
            TWICE,
            broken.FirstSending,
            also=(broken.LastSending, broken.Recovers),
        ),
        Clause("The timer starts anew, or", RUNS, broken.RunsOnAfterAcknowledgement),
        Clause("stands still if nothing is under way any more", RUNS, broken.NeverStops),
        Clause("time-out is doubled", RUNS, broken.NeverDoubles),
        Clause("to 60000 at most", RUNS, broken.DoublesBeyond),
        Clause("and the timer starts anew", RUNS, broken.RunsOnWhenExpired),
        Clause("Both return the time-out", "", broken.ReturnsNothing),
        Clause("None if it stands still", RUNS, broken.StandsStillAtZero),
        Clause("runs for the time-out as it is then", RUNS, broken.OldTimeout),
        Clause("Timers know nothing of each other", TRIPS, timers_running.TimerForAll),
    ),
    says_only=(
        "Return a sender's retransmission timer",
        "the time since it was sent",
        "sent(now_ms, number) is called when",
        "acknowledged(now_ms, number) is called when",
        "expired(now_ms) is called when",
        "nothing runs out by itself",
        "due() returns when the timer runs out",
        "For each further one",
        "All times are in ms and never go back",
        "No number is used again",
        "Example: 300 after",
    ),
)

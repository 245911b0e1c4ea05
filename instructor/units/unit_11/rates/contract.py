"""The contract of exercise 11.5, clause by clause."""

__all__ = ["RATE_WITH_LOSSES"]

from instructor.units.clauses import Clause, Contract
from instructor.units.unit_11.rates import broken
from instructor.units.unit_11.rates.questions import DELAYED, TIMEOUTS, TOOTH

RATE_WITH_LOSSES = Contract(
    clauses=(
        Clause("the constant of its law, and its rate: a tuple", "", broken.ListForTuple),
        Clause("starts at half of the highest, rounded down", TOOTH, broken.HalfRoundedUp),
        Clause("but at 1 at least", TIMEOUTS, broken.FromNothing),
        Clause("grows by 1", TOOTH, broken.GrowsByTwo),
        Clause("until it has been the highest", TOOTH, broken.HighestLeftOut),
        Clause(
            "At each value it stays for `packets_per_ack` round trips",
            DELAYED,
            broken.WithoutStay,
            also=(broken.UngrownFour,),
        ),
        Clause(
            "in each of them so many packets are sent as the window says",
            DELAYED,
            broken.SentOnce,
        ),
        Clause(
            "the largest one whose tooth has no more than `every` packets",
            TOOTH,
            broken.OneBelow,
            also=(broken.TooHigh,),
        ),
        Clause("the mean window of the tooth's round trips", TOOTH, broken.MeanOfTheHighest),
        Clause("times the square root of the loss", TOOTH, broken.LinearLoss),
        Clause("1 / the number of the tooth's packets", TOOTH, broken.CountsEvery),
        Clause("packets of `packet_octets`", TOOTH, broken.SquareOctets),
        Clause("in bit/s", TOOTH, broken.InOctets),
        Clause("`round_trip_ms` for each round trip", TOOTH, broken.TripLeftOut),
        Clause(
            "if the highest window is below 4",
            TIMEOUTS,
            broken.NoTimeoutForThree,
            also=(broken.TimeoutForFour,),
        ),
        Clause("it takes `timeout_ms` more", TIMEOUTS, broken.TimeoutInstead),
        Clause("Nothing is rounded", TOOTH, broken.RoundedRate, also=(broken.RoundedConstant,)),
    ),
    says_only=(
        "One packet in `every` is lost, tooth after tooth.",
        "All numbers are whole, 1 or more; `every` is from `packets_per_ack` to 1,000,000.",
        "Example: (4, 1.0, 360000.0)",
    ),
)

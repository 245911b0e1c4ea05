"""The contract of exercise 8.3, clause by clause."""

__all__ = ["NEW_METER"]

from instructor.units.clauses import Clause, Contract
from instructor.units.unit_08.meters import broken
from instructor.units.unit_08.misconceptions import meters

NEW_METER = Contract(
    clauses=(
        Clause(
            "Each bucket has a rate and a depth", "two buckets", broken.MeterWithADeepPeakBucket
        ),
        Clause("It is full at time 0", "", meters.MeterThatStartsEmpty),
        Clause("fills steadily", "", meters.MeterOfWholeSeconds),
        Clause(
            "never holds more than its depth", "one bucket", broken.MeterWithADeepCommittedBucket
        ),
        Clause("Meters have nothing in common", "one bucket", meters.MeterForAll),
        Clause(
            "If the peak bucket holds fewer tokens",
            "two buckets",
            broken.MeterThatWantsMorePeak,
            also=(meters.MeterOfTheCommittedFirst,),
        ),
        Clause('it is "red"', "two buckets", broken.MeterThatDropsTheLargest),
        Clause("and takes none", "two buckets", meters.MeterWhereRedCosts),
        Clause(
            "Else it takes them there",
            "two buckets",
            broken.MeterWhereGreenIsFreeAfterYellow,
            also=(meters.MeterWhereYellowIsFree,),
        ),
        Clause(
            "if the committed bucket holds fewer", "one bucket", broken.MeterThatWantsMoreCommitted
        ),
        Clause(
            '"yellow" and takes none of those', "one bucket", broken.MeterWhereYellowCostsIfFull
        ),
        Clause('"green" and takes them there, too', "", broken.MeterWhereGreenIsFree),
        Clause(
            "the tuple (peak, committed)",
            "what is left",
            meters.MeterThatTellsTheCommittedFirst,
            also=(broken.MeterThatTellsAList,),
        ),
        Clause("what they hold at that time", "what is left", meters.MeterThatTellsTheLastLevel),
        Clause("a look takes nothing", "what is left", broken.MeterThatTakesForALook),
        Clause("a kbit has 1000 bits", "", meters.MeterOfBits),
    ),
    says_only=(
        "Return a meter with two buckets of tokens, each token good for one octet.",
        "colour(now_ms, octets): a packet comes",
        "All numbers are whole; rates are multiples of 8 kbit/s",
        "times are 0 or later, may stay the same and never go back; the peak rate is at least "
        "the committed one.",
        "tokens(now_ms):",
        "Example: new_meter(16, 4000, 8, 2000)",
    ),
)

"""The contract of exercise 8.6, clause by clause."""

__all__ = ["COMPARE_WITH_THEORY"]

from instructor.units.clauses import Clause, Contract
from instructor.units.unit_08.agreement import broken
from instructor.units.unit_08.agreement.questions import BATCHES, VERDICT, WARM_UP

COMPARE_WITH_THEORY = Contract(
    clauses=(
        Clause("and whether theory agrees: a tuple", "", broken.ListForTuple),
        Clause("The first `warm_up` waits stay out", WARM_UP, broken.WarmUpCounts),
        Clause("Nothing is rounded", VERDICT, broken.RoundedMean),
        Clause("in their order", BATCHES, broken.WithoutTurns),
        Clause("of one length, as long as can be", BATCHES, broken.UnevenBatches),
        Clause(
            "what is left over at the end stays out, too",
            BATCHES,
            broken.WithTheRest,
            also=(broken.WithTheRestInFront,),
        ),
        Clause("The mean is that of all waits in the batches", BATCHES, broken.MeanOfAll),
        Clause("to each side", BATCHES, broken.WholeWidthOfNine),
        Clause("t * s / root of `batches`", BATCHES, broken.WithoutRoot),
        Clause("standard deviation of the batches' means", BATCHES, broken.SpreadOfWaits),
        Clause("with `batches` - 1 in its denominator", BATCHES, broken.WholeDivision),
        Clause(
            "is not farther from the mean than that",
            VERDICT,
            broken.AboveIsFine,
            also=(broken.BelowIsFine, broken.OnTheEndIsOut),
        ),
    ),
    says_only=(
        "`t` is Student's number, 0 or more",
        "`theory_ms` is never so near to an end that a float's last digits decide",
        "Waits are whole, 0 or more; there are 2 batches or more, and a wait for each.",
        "Example: (4.0, 2.0, True)",
    ),
)

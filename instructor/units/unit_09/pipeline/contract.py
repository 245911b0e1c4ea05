"""The contract of exercise 9.5, clause by clause."""

__all__ = ["PIPELINE_LIMITS"]

from instructor.units.clauses import Clause, Contract
from instructor.units.unit_09.pipeline import broken
from instructor.units.unit_09.pipeline.questions import HOST, STAGES

PIPELINE_LIMITS = Contract(
    clauses=(
        Clause("and the most for the host: a tuple", "", broken.ListForTuple),
        Clause(
            "the stage that handles the fewest packets a second",
            STAGES,
            broken.MostCyclesInTheChoice,
        ),
        Clause("on how many packets it works at once", STAGES, broken.OneUnitInTheRate),
        Clause("the first of several", STAGES, broken.LastOfSeveral),
        Clause("A rate is rounded down", STAGES, broken.RoundedRate),
        Clause("that never waits", STAGES, broken.LatencyDivided),
        Clause("0 without a host", STAGES, broken.MillionWithoutHost),
        Clause(
            'or "host", if that handles fewer',
            HOST,
            broken.NeverTheHost,
            also=(broken.EverythingFromTheHost,),
        ),
        Clause(
            "all packets together, as many as what limits can handle",
            HOST,
            broken.RateOfTheStages,
            also=(broken.RoundedUpRate,),
        ),
        Clause("and is not diverted", HOST, broken.HostInTheLatency),
        Clause("how many of a million may be diverted", HOST, broken.MostOfAThousand),
        Clause("while a stage still limits", HOST, broken.DivertedAnyway),
        Clause(
            "The most is rounded down",
            HOST,
            broken.MostRoundedUp,
            also=(broken.MostRounded,),
        ),
        Clause("a million at most", HOST, broken.WithoutTop),
    ),
    says_only=(
        "The latency is in cycles",
        "Each packet goes through all stages in order",
        "`host` says for how many cycles of the same clock the host processor is busy with a "
        "packet, one at a time, and how many of a million packets are diverted to it behind the "
        "last stage; None: there is no host.",
        "Host and stages never handle exactly the same.",
        'Example: ("look up", 50000000, 22, 5000)',
    ),
)

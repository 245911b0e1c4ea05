"""The contract of exercise 7.1, clause by clause."""

__all__ = ["HEAR_UPDATE"]

from instructor.units.clauses import Clause, Contract
from instructor.units.unit_07.broken_clauses import updates as broken
from instructor.units.unit_07.questions.updates import INFINITY, NEWS, NOTHING

HEAR_UPDATE = Contract(
    clauses=(
        Clause("Return the table of routes after an update", "", broken.Pairs),
        Clause("its metric is below 1", NOTHING, broken.BelowOne),
        Clause("or above 16", NOTHING, broken.AboveSixteen),
        Clause(
            "about a network of our own",
            NOTHING,
            broken.OwnIsReplacedAlways,
            also=(broken.OwnIsReplaced,),
        ),
        Clause("For all others", NOTHING, broken.RestIgnored),
        Clause(
            "the entry's metric plus `cost`",
            NEWS,
            broken.LineLeftOutOfTheSame,
            also=(broken.LineLeftOut,),
        ),
        Clause("if that is more than 16", INFINITY, broken.Uncapped),
        Clause("A destination that is not in the table is added", NEWS, broken.NotAdded),
        Clause("unless the offer is 16", INFINITY, broken.AddsTheLost),
        Clause(
            "gets the offer, better or worse",
            NEWS,
            broken.WorseIgnored,
            also=(broken.BetterIgnored,),
        ),
        Clause("stays in the table even if that is 16", INFINITY, broken.LostAndGone),
        Clause(
            "A route through another neighbour is replaced",
            NEWS,
            broken.NeverReplaces,
            also=(broken.HopKept,),
        ),
        Clause(
            "if the offer is smaller than its metric",
            NEWS,
            broken.EqualReplaces,
            also=(broken.AlwaysReplaces,),
        ),
        Clause(
            'which says "unreachable"',
            INFINITY,
            broken.LossByAnother,
            also=(broken.NeverFound,),
        ),
        Clause("Everything else stays as it is", NEWS, broken.ForgetsTheSilent),
    ),
    says_only=(
        "`table` maps each destination to a pair",
        "the metric, and the neighbour through which the route goes",
        "`update` is what the neighbour says:",
        "pairs of a destination and a metric, each destination once",
        "`cost` is that of the line to it",
        'Example: {"Reed Pier": (10, "Gull")} from',
        '(5, "Gull")}, if "Gull" says',
    ),
)

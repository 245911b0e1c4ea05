"""The contract of exercise 7.2, clause by clause."""

__all__ = ["TELL_NEIGHBOURS"]

from instructor.units.clauses import Clause, Contract
from instructor.units.unit_07.broken_clauses import horizons as broken
from instructor.units.unit_07.questions.horizons import CHANGED, MESSAGES, POISONED, SPLIT

TELL_NEIGHBOURS = Contract(
    clauses=(
        Clause("each a pair: a neighbour, and a list of entries", "", broken.Dictionary),
        Clause("a destination, and its metric in the table", MESSAGES, broken.LineAdded),
        Clause("come in the order of `neighbours`", MESSAGES, broken.SortedNeighbours),
        Clause("in the order of their destinations, as `sorted`", MESSAGES, broken.AsTabled),
        Clause(
            "it has all destinations of the table",
            MESSAGES,
            broken.OwnLeftOut,
            also=(broken.LostLeftOut,),
        ),
        Clause("lists, in any order", CHANGED, broken.AsListed),
        Clause(
            "of a triggered update, which has no others",
            CHANGED,
            broken.AllTriggered,
            also=(broken.EverythingForNothing,),
        ),
        Clause("what a neighbour hears of routes that go through itself", CHANGED,
               broken.TriggeredAlike),
        Clause('with "off", the same as everybody', MESSAGES, broken.NeverOff),
        Clause(
            'with "split horizon", nothing', SPLIT, broken.NoSilence,
            also=(broken.SilenceButForLosses,),
        ),
        Clause(
            'with "poisoned reverse", 16 as the metric', POISONED, broken.NoPoison,
            also=(broken.OwnPoisoned,),
        ),
        Clause("A message has `most` entries at most", MESSAGES, broken.OneTooMany),
        Clause("What one message cannot hold goes on", MESSAGES, broken.RestLost),
        Clause("each as full as can be", MESSAGES, broken.Balanced, also=(broken.BeginsWithFew,)),
        Clause(
            "No message is empty", MESSAGES, broken.EmptyForNothing, also=(broken.EmptyAtTheEnd,)
        ),
    ),
    says_only=(
        "`table` is as in exercise 7.1",
        "An entry is a pair:",
        "`changed` is None for a regular update:",
        "`horizon` is",
        'Example: [("Gull", [("Reed Pier", 16)])',
        'with "poisoned reverse", all in one message',
    ),
)  # fmt: skip

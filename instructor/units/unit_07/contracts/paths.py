"""The contract of exercise 7.3, clause by clause."""

__all__ = ["FIRST_HOPS"]

from instructor.units.clauses import Clause, Contract
from instructor.units.unit_07.broken_clauses import paths as broken
from instructor.units.unit_07.questions.paths import CHEAPEST, EQUAL, FREE

FIRST_HOPS = Contract(
    clauses=(
        Clause("to a pair", "", broken.CostsOnly),
        Clause("It leads one way only", CHEAPEST, broken.BackForNothing),
        Clause("Several links may join the same two places", CHEAPEST, broken.LastCounts,
               also=(broken.FirstCounts,)),
        Clause("A way costs what its links cost together", CHEAPEST, broken.FewestFirst,
               also=(broken.OwnLink,)),
        Clause("each place that can be reached", CHEAPEST, broken.AllTakePart),
        Clause("without `root` itself", CHEAPEST, broken.RootWhereItLeadsBack),
        Clause("the first hops of all ways that cost no more", EQUAL, broken.OneOfTwo,
               also=(broken.TwoWhereTheyMeet,)),
        Clause("The first hop is the place right behind `root`", CHEAPEST, broken.LastPlace),
        Clause("the list has each one once", EQUAL, broken.Twice),
        Clause("in the order of `sorted`", EQUAL, broken.ThreeTurned),
        Clause("Costs are whole, 0 or more", FREE, broken.FreeIsNone,
               also=(broken.FreeIsDear, broken.SettledEarly)),
    ),
    says_only=(
        "Return for each place its cost from `root`",
        "A link is a tuple",
        "where it begins, where it ends, and what it costs",
        "the link back may cost something else",
        "No link ends where it begins",
        'Example: {"Reed": (1, ["Reed"])',
        '("Reed", "Gull", 3)]',
    ),
)  # fmt: skip

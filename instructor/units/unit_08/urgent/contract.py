"""The contract of exercise 8.5, clause by clause."""

__all__ = ["NEW_URGENT_FIRST"]

from instructor.units.clauses import Clause, Contract
from instructor.units.unit_08.misconceptions.urgent import UrgentForAll
from instructor.units.unit_08.urgent import broken
from instructor.units.unit_08.urgent.questions import FIRST, LIMIT, MORE

NEW_URGENT_FIRST = Contract(
    clauses=(
        Clause("Schedulers have nothing in common", FIRST, UrgentForAll),
        Clause("behind those of its level", FIRST, broken.NewestUnderALargeLimit),
        Clause("Returns None", "", broken.JoinThatTells),
        Clause("None if no packet waits", FIRST, broken.NothingAsText),
        Clause(
            "the most urgent level in which one waits",
            FIRST,
            broken.FirstComeUnderALargeLimit,
        ),
        Clause("Whenever a level sends, by either rule", MORE, broken.QuietDue),
        Clause("the count of every less urgent level", MORE, broken.TwoAtMostArePassedOver),
        Clause("in which a packet waits grows by 1", LIMIT, broken.WhoIsAwayOfTwo),
        Clause("its own count becomes 0", LIMIT, broken.StaysDueOfTwo),
        Clause("has reached `limit`", LIMIT, broken.LimitPassedOfTwo),
        Clause("there are levels whose count has reached", MORE, broken.OnlyAtTheLimit),
        Clause(
            "the most urgent of these sends",
            MORE,
            broken.LastOfTheDue,
            also=(broken.AnyDueLevel,),
        ),
    ),
    says_only=(
        "Return a scheduler for packets of `levels` levels, of which 0 is the most urgent.",
        "at first nothing waits, and every count is 0",
        "join(level, name):",
        "send(): one packet goes out;",
        "But each level counts how often it was passed over.",
        "Names are text, and may come more than once.",
        "`levels` and `limit` are whole, 1 or more; levels run from 0 to `levels` - 1.",
        'Example: "a", "b", "x", "c"',
    ),
)

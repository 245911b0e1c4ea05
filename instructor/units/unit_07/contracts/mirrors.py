"""The contract of exercise 7.5, clause by clause."""

__all__ = ["PLAN_CHANGES"]

from instructor.units.clauses import Clause, Contract
from instructor.units.unit_07.broken_clauses import mirrors as broken
from instructor.units.unit_07.questions.mirrors import FEWEST, HOLE, WRONG

PLAN_CHANGES = Contract(
    clauses=(
        Clause("A change is a pair", "", broken.Triples),
        Clause("or None if its route is removed", FEWEST, broken.EmptyForNone),
        Clause("as few changes as can be", FEWEST, broken.Unchanged, also=(broken.TwoSteps,)),
        Clause("one for each prefix with another next hop in `new`", FEWEST, broken.Replaced),
        Clause("one for each that only one of the tables has", FEWEST, broken.AddsNothing,
               also=(broken.Removed,)),
        Clause("The longest prefix around an address decides", FEWEST, broken.ShortestDecides),
        Clause("every address has the next hop that `old` gives it, or the one that `new` gives "
               "it", WRONG, broken.ThirdIsFine, also=(broken.OneAddress,)),
        Clause("it has none only if one of the two gives it none", HOLE, broken.HolesAreFine),
        Clause("the first is made", FEWEST, broken.LastOfThose, also=(broken.KindsWhereMixed,)),
        Clause("in the order of their first addresses as numbers", FEWEST, broken.TextsInOrder),
        Clause("and then from the shorter prefix to the longer", FEWEST, broken.LongerFirst),
    ),
    says_only=(
        "Return the changes that turn the old forwarding table into the new one, in order",
        'Both map prefixes such as "192.0.2.0/24" to next hops',
        "if there is none, they are dropped",
        "After each change",
        "There always is one",
        "All prefixes are IPv4, from /0 to /32",
        'Example: [("192.0.2.0/25", "Reed"), ("192.0.2.128/25", "Plover"), ("192.0.2.0/24", None)] '
        'from {"192.0.2.0/24": "Gull"} to {"192.0.2.0/25": "Reed", "192.0.2.128/25": "Plover"}.',
    ),
)  # fmt: skip

"""The contract of exercise 11.2, clause by clause."""

__all__ = ["NEW_RECEIVER"]

from instructor.units.clauses import Clause, Contract
from instructor.units.unit_11.misconceptions import receivers
from instructor.units.unit_11.receivers import broken

BEFORE, ACK = "before or after", "what is acknowledged"
GAP, HELD = "behind a gap", "what is held"

NEW_RECEIVER = Contract(
    clauses=(
        Clause(
            "returns True if number `one` stands before `other`",
            BEFORE,
            receivers.ReceiverWithExchangedNumbers,
        ),
        Clause(
            "by counting on 1 to 2**31 - 1 times",
            BEFORE,
            receivers.ReceiverWithASign,
            also=(
                receivers.ReceiverWhereEqualIsBefore,
                receivers.ReceiverWhereAllIsAhead,
                receivers.ReceiverThatComparesNumbers,
            ),
        ),
        Clause(
            "the number of the first octet that is missing",
            ACK,
            broken.AcknowledgesTheLastOctet,
            also=(broken.LeavesOffTheLast,),
        ),
        Clause("What comes behind a gap is held", GAP, broken.ForgetsTheFar),
        Clause(
            "counts as soon as the gap is filled",
            GAP,
            receivers.ReceiverOfOneStep,
            also=(broken.LeavesGapsOpen,),
        ),
        Clause("Octets may come twice", ACK, broken.CountsTwice),
        Clause("in part too", ACK, broken.IgnoresParts),
        Clause("as a list of tuples (first, end)", HELD, broken.ListsLengths, (broken.ListsLists,)),
        Clause("`end` is the number behind the last octet", HELD, broken.ListsLastOctets),
        Clause("What joins or overlaps is one tuple", HELD, receivers.ReceiverThatListsSegments),
        Clause(
            "The tuple nearest to the missing octet stands first",
            HELD,
            receivers.ReceiverThatListsTheFarthest,
            also=(receivers.ReceiverThatListsAsTheyCame, receivers.ReceiverThatSortsNumbers),
        ),
        Clause("All numbers are from 0 to 2**32 - 1, results too", ACK, broken.WithoutAnEnd),
        Clause("Receivers know nothing of each other", GAP, receivers.ReceiverForAll),
    ),
    says_only=(
        "Return the receiving end of a flow whose octet number `wanted` is to come next.",
        "that is so if",
        "receive(first, octets) is called for each segment",
        "so many octets (1 or more) came, numbered from `first` on",
        "held() returns what lies behind gaps",
        "No octet that comes is 2**31 or more away",
        "Example: new_receiver(1000)",
    ),
)

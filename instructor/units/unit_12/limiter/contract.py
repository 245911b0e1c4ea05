"""The contract of exercise 12.5, clause by clause."""

__all__ = ["NEW_LIMITER"]

from instructor.units.clauses import Clause, Contract
from instructor.units.unit_12.limiter import broken
from instructor.units.unit_12.limiter.questions import BLOCKS, BOUNDED, MARKS, ONE

NEW_LIMITER = Contract(
    clauses=(
        Clause("At first it is full", "", broken.FirstIsEmpty),
        Clause("it takes them", "", broken.TakesNothing),
        Clause("It fills by `rate_bits_per_s`", ONE, broken.BitsPerOctet,
               also=(broken.WholeSeconds,)),
        Clause("and never holds more", ONE, broken.NoDepth),
        Clause("Nothing is rounded", ONE, broken.RoundedDown,
               also=(broken.RoundedRate, broken.AddedAsFloats)),
        Clause("holds as many tokens as it has octets", ONE, broken.BurstNotLarger),
        Clause("If not, it takes none", ONE, broken.RefusedCosts),
        Clause("a bucket of tokens for each block", BLOCKS, broken.OneBucket),
        Clause("whose first `length` bits are the same", BLOCKS, broken.LengthInOctets),
        Clause("the blocks whose buckets are not full", BLOCKS, broken.UsedAreTold),
        Clause('as texts such as "192.0.2.16/28"', BLOCKS, broken.HostIsTold),
        Clause("in the order of their addresses", BLOCKS, broken.TextsInOrder),
        Clause("Limiters know nothing of each other", BLOCKS, broken.Shared),
        Clause('"pass"', MARKS, broken.MarkedNotPassed),
        Clause('"mark" if `ecn`', MARKS, broken.NoFirstBit, also=(broken.MarkCosts,)),
        Clause("is 1, 2 or 3", MARKS, broken.NoSecondBit),
        Clause('"drop" if it is 0', MARKS, broken.MarksAll),
        Clause("Only buckets that are not full are kept", BOUNDED, broken.FullForgottenLate,
               also=(broken.LargeTakesRoom,)),
        Clause("`most` (1 or more) at most", BOUNDED, broken.OneMore),
        Clause("A packet that would take tokens from one more", BOUNDED, broken.LargeNeedsRoom),
        Clause('takes none: "no room"', BOUNDED, broken.NoRoomIsDrop,
               also=(broken.NoRoomCosts,)),
        Clause("whatever its `ecn`", BOUNDED, broken.NoRoomIsMarked),
        Clause("nobody's bucket makes room for it", BOUNDED, broken.IdlestForgotten),
    ),
    says_only=(
        "Return a limiter: a bucket of tokens for each block of sources",
        "take(now_ms, source, octets, ecn):",
        "a packet of 1 octet or more comes",
        "Its bucket has room for `burst_octets` tokens, each good for one octet",
        "waiting(now_ms) returns a list",
        "All numbers are whole",
        "Times are in ms and never go back",
        "Example:",
    ),
)  # fmt: skip

"""How far a share may lie from what was counted: Wilson's score interval.

It never leaves 0 to 1, and does not shrink to nothing when all or none did a thing,
as the textbook's interval does, which matters in a class of twenty.

For a share of points, too, the same formula is used. A score between 0 and 1 with a
given mean varies most when it is always 0 or 1, the case that Wilson's formula is
for. With partial points the interval is therefore wider than it need be, never
narrower.

Sources: E. B. Wilson, J. Am. Stat. Assoc. 22 (1927) 209; R. G. Newcombe, Statistics
in Medicine 17 (1998) 857, method 3, and 873, method 10, for the difference of two.
"""

__all__ = ["Estimate", "difference", "wilson"]

from math import hypot
from typing import NamedTuple

from course_lib.experiments.intervals import wilson_interval


class Estimate(NamedTuple):
    """A share between 0 and 1, and the interval that holds the true one 95 times in 100."""

    share: float
    low: float
    high: float


def wilson(successes: float, of: int) -> Estimate:
    """Return the share `successes / of` with its 95 % interval; raise `ValueError` if there is none.

    >>> [round(x, 4) for x in wilson(81, 263)]
    [0.308, 0.2553, 0.3662]
    """  # noqa: E501 - the first line says it all
    low, high = wilson_interval(successes, of)
    return Estimate(successes / of, low, high)


def difference(one: Estimate, other: Estimate) -> Estimate:
    """Return `one - other` with its 95 % interval; a share may be negative here.

    For two separate groups. Where the same students did both, the true interval is
    narrower if those who did well in one did well in the other.
    """
    share = one.share - other.share
    below = hypot(one.share - one.low, other.high - other.share)
    above = hypot(one.high - one.share, other.share - other.low)
    return Estimate(share, share - below, share + above)

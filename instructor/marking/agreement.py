"""How far two markers agree who read the same answers, neither knowing what the other gave.

The exact share counts how often both gave the same. Weighted kappa (J. Cohen, Weighted kappa:
nominal scale agreement with provision for scaled disagreement or partial credit, Psychological
Bulletin 70, 1968) says how much less they differ, by squared points, than two would who give as
many of each at random: 1 is agreement everywhere, 0 what chance gives.
"""

__all__ = ["Agreement", "agreement"]

from collections.abc import Sequence
from typing import NamedTuple


class Agreement(NamedTuple):
    """Of `answers` read by both; `kappa` is None where both gave one and the same throughout."""

    answers: int
    exact: float
    kappa: float | None


def agreement(pairs: Sequence[tuple[float, float]]) -> Agreement | None:
    """Return how far the points in each pair agree; None without any pair."""
    if not pairs:
        return None
    size = len(pairs)
    exact = sum(one == other for one, other in pairs) / size
    seen = sum((one - other) ** 2 for one, other in pairs) / size
    by_chance = sum((one - other) ** 2 for one, _ in pairs for _, other in pairs) / size**2
    return Agreement(size, exact, 1 - seen / by_chance if by_chance else None)

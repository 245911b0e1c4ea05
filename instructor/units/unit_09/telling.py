"""Draw inputs that tell a right answer from one that breaks a clause.

An input that only one broken clause gets wrong is what a clause needs, and a thing that one can
look for: draw until there is one.
"""

__all__ = ["telling"]

from collections.abc import Callable, Sequence
from typing import Any, TypeVar

Input = TypeVar("Input")

_TRIES = 20_000


def telling(
    draw: Callable[[], Input],
    right: Callable[[Input], Any],
    wrong: Callable[[Input], Any],
    others: Sequence[Callable[[Input], Any]] = (),
) -> Input:
    """Return the first input drawn on which `wrong` is wrong, and all the `others` are right."""
    for _ in range(_TRIES):
        one = draw()
        wanted = right(one)
        if wrong(one) != wanted and all(other(one) == wanted for other in others):
            return one
    raise RuntimeError(f"no input tells what breaks a clause: {wrong} beside {others}")

"""Refuse numbers that no queue can have, in words that say which one and what to do.

A formula given a negative rate, or a loop given "not a number", answers with nonsense and no
complaint. So every public function of this package asks here first.
"""

__all__ = ["at_least", "chance", "positive", "stable_load", "whole"]

import math
from numbers import Real
from typing import Any

import numpy as np


def at_least(least: float, name: str, value: float) -> float:
    """Return `value` as a float if it is a finite number, `least` or more.

    >>> at_least(0, "load", 0.5)
    0.5
    """
    number = _finite(name, value)
    if number < least:
        raise ValueError(f"{name} must be {least:g} or more, not {number:g}")
    return number


def positive(name: str, value: float) -> float:
    """Return `value` as a float if it is a finite number above 0."""
    number = _finite(name, value)
    if number <= 0:
        raise ValueError(f"{name} must be above 0, not {number:g}")
    return number


def chance(name: str, value: float, *, least: float = 0.0) -> float:
    """Return `value` as a float if it is a probability: `least` to 1."""
    number = _finite(name, value)
    if not least <= number <= 1:
        raise ValueError(f"{name} must lie between {least:g} and 1, not {number:g}")
    return number


def whole(least: int, name: str, value: int) -> int:
    """Return `value` as an int if it is a whole number, `least` or more; 3.0 passes for 3."""
    if not _finite(name, value).is_integer():
        raise ValueError(f"{name} must be a whole number, not {value}")
    number = int(value)
    if number < least:
        raise ValueError(f"{name} must be {least} or more, not {number}")
    return number


def stable_load(load: float, servers: int = 1) -> float:
    """Return the load if a queue without limit can carry it: below 1 for each server."""
    if load >= servers:
        raise ValueError(
            f"at a load of {load:g} the queue has no steady state: it grows without end. "
            f"Take a load below {servers}, or a finite buffer"
        )
    return load


def _finite(name: str, value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, (Real, np.number)):
        raise TypeError(f"{name} must be a number, not {value!r}")
    if not math.isfinite(value):
        raise ValueError(f"{name} must be a finite number, not {float(value)}")
    return float(value)

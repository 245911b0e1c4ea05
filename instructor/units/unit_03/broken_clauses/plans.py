"""Answers to 3.6 that break one clause of the contract and keep all others."""

__all__: list[str] = []

from instructor.units.unit_03.misconceptions.plans import (
    Needs,
    Plan,
    plan_all_is_free,
    plan_always_too_few,
    plan_in_order_given,
    plan_in_order_of_sizes,
    planned,
)
from instructor.units.unit_03.misconceptions.right_parts import right_range


def plan_beside_something(block: str, kept: list[str], needs: Needs) -> Plan:
    """Look into what is kept, there or not."""
    kept[0]
    return planned(block, kept, needs)


def plan_many_beside_something(block: str, kept: list[str], needs: Needs) -> Plan:
    """Look into what is kept, there or not, for a pier with many hosts."""
    return (plan_beside_something if needs[0][1] > 511 else planned)(block, kept, needs)


def plan_only_one_kept(block: str, kept: list[str], needs: Needs) -> Plan:
    """Overlook what is kept, if it is one prefix."""
    return (plan_all_is_free if len(kept) == 1 else planned)(block, kept, needs)


def plan_kept_in_order(block: str, kept: list[str], needs: Needs) -> Plan:
    """Overlook what is kept in front of what was looked at before."""
    seen: list[str] = []
    for prefix in kept:
        if not seen or right_range(prefix) > right_range(seen[-1]):
            seen.append(prefix)
    return planned(block, seen, needs)


def plan_three_in_order_given(block: str, kept: list[str], needs: Needs) -> Plan:
    """Place three and more in the order of the needs."""
    return (plan_in_order_given if len(needs) > 2 else planned)(block, kept, needs)


def plan_rest_of_two_is_lost(block: str, kept: list[str], needs: Needs) -> Plan:
    """Use a hole up as a whole, for two piers."""
    return planned(block, kept, needs, rest_is_free=len(needs) != 2)


def plan_too_few_for_one(block: str, kept: list[str], needs: Needs) -> Plan:
    """Say that addresses are too few, where one pier alone finds no hole."""
    return (plan_always_too_few if len(needs) == 1 else planned)(block, kept, needs)


def plan_two_in_order_of_sizes(block: str, kept: list[str], needs: Needs) -> Plan:
    """Write two piers down in the order in which they are placed."""
    return (plan_in_order_of_sizes if len(needs) == 2 else planned)(block, kept, needs)

"""Misconceptions about address plans: exercise 3.6.

Nearly all of them bend one of the rules in `planned`.
"""

__all__ = ["MAKE_PLAN"]

from collections.abc import Callable, Iterable, Sequence
from typing import Any

from instructor.units.unit_03.misconceptions.holes import Piece, pieces, right_holes, written
from instructor.units.unit_03.misconceptions.right_parts import right_range, right_text

Needs = list[tuple[str, int]]
Plan = tuple[list[tuple[str, str]], str]
Sizes = dict[str, int]
TOO_FEW = "too few addresses"


def right_free_in(block: str, taken: list[str]) -> list[Piece]:
    """Return what is free in a block: each piece by its first address and size."""
    first, behind = right_range(block)
    return pieces(right_holes(right_text(first), right_text(behind - 1), taken))


def right_size_for(hosts: int) -> int:
    """Return how many addresses the smallest prefix for so many hosts has."""
    return hosts if hosts < 3 else 1 << (hosts + 1).bit_length()


def right_order(sizes: Sizes) -> list[str]:
    """Put the largest first."""
    return sorted(sizes, key=lambda pier: -sizes[pier])


def right_hole(fitting: list[Piece]) -> Piece:
    """Choose the smallest hole, of equals the lowest."""
    return min(fitting, key=lambda hole: (hole[1], hole[0]))


def places_of(
    block: str,
    kept: list[str],
    sizes: Sizes,
    order: Iterable[str],
    choose: Callable[[list[Piece]], Piece],
    start: Callable[[Piece, int], int],
    rest_is_free: bool,
) -> tuple[dict[str, Piece], list[str]]:
    """Place one pier after the other; return places, and those who found none."""
    places: dict[str, Piece] = {}
    used: list[Piece] = []
    missing = []
    for pier in order:
        free = right_free_in(block, [*kept, *written(used)])
        fitting = [hole for hole in free if hole[1] >= sizes[pier]]
        if fitting:
            hole = choose(fitting)
            places[pier] = (start(hole, sizes[pier]), sizes[pier])
            used.append(places[pier] if rest_is_free else hole)
        else:
            missing.append(pier)
    return places, missing


def planned(
    block: str,
    kept: list[str],
    needs: Needs,
    *,
    size_for: Callable[[int], int] = right_size_for,
    order: Callable[[Sizes], Sequence[str]] = right_order,
    choose: Callable[[list[Piece]], Piece] = right_hole,
    start: Callable[[Piece, int], int] = lambda hole, _: hole[0],
    rest_is_free: bool = True,
    is_too_much: Callable[[int, int], bool] = lambda needed, free: needed > free,
    reason: Callable[[list[str]], str] = lambda missing: f"no hole for {missing[0]}",
) -> Plan:
    """Make a plan; every rule of the contract may be exchanged for another one."""
    sizes = {pier: size_for(hosts) for pier, hosts in needs}
    if is_too_much(sum(sizes.values()), sum(size for _, size in right_free_in(block, kept))):
        return [], TOO_FEW
    places, missing = places_of(block, kept, sizes, order(sizes), choose, start, rest_is_free)
    if missing:
        return [], reason(missing)
    return [(pier, written([places[pier]])[0]) for pier, _ in needs], ""


# Sizes


def plan_all_for_hosts(block: str, kept: list[str], needs: Needs) -> Plan:
    """Believe that every address is for a host."""
    return planned(block, kept, needs, size_for=lambda hosts: 1 << (hosts - 1).bit_length())


def plan_always_two_more(block: str, kept: list[str], needs: Needs) -> Plan:
    """Believe that two addresses more are needed on the shortest links, too."""
    return planned(block, kept, needs, size_for=lambda hosts: 1 << (hosts + 1).bit_length())


def plan_without_rfc_3021(block: str, kept: list[str], needs: Needs) -> Plan:
    """Believe that two hosts need four addresses."""
    return planned(
        block, kept, needs, size_for=lambda hosts: 4 if hosts == 2 else right_size_for(hosts)
    )


def plan_without_32(block: str, kept: list[str], needs: Needs) -> Plan:
    """Believe that one host needs a link of two."""
    return planned(block, kept, needs, size_for=lambda hosts: max(2, right_size_for(hosts)))


def plan_router_more(block: str, kept: list[str], needs: Needs) -> Plan:
    """Believe that the router must be added to the hosts."""
    return planned(block, kept, needs, size_for=lambda hosts: right_size_for(hosts + 1))


def plan_more_than_enough(block: str, kept: list[str], needs: Needs) -> Plan:
    """Believe that one address at least must be left over."""
    return planned(
        block, kept, needs,
        size_for=lambda hosts: right_size_for(hosts + 1 if hosts > 2 else hosts),
    )  # fmt: skip


def plan_in_whole_octets(block: str, kept: list[str], needs: Needs) -> Plan:
    """Believe that a pier gets a /24, or more of them than one."""
    return planned(block, kept, needs, size_for=lambda hosts: max(256, right_size_for(hosts)))


def plan_all_alike(block: str, kept: list[str], needs: Needs) -> Plan:
    """Believe that all piers get prefixes of one size."""
    most = max(hosts for _, hosts in needs)
    return planned(block, kept, needs, size_for=lambda _: right_size_for(most))


# Places


def plan_in_order_given(block: str, kept: list[str], needs: Needs) -> Plan:
    """Believe that the order of the needs is that of the places."""
    return planned(block, kept, needs, order=list)


def plan_smallest_first(block: str, kept: list[str], needs: Needs) -> Plan:
    """Believe that the smallest prefixes are placed first."""
    return planned(block, kept, needs, order=lambda sizes: sorted(sizes, key=lambda p: sizes[p]))


def plan_equals_turned_round(block: str, kept: list[str], needs: Needs) -> Plan:
    """Believe that of equals the last one comes first."""
    return planned(
        block, kept, needs, order=lambda sizes: right_order(dict(reversed(sizes.items())))
    )


def plan_equals_by_name(block: str, kept: list[str], needs: Needs) -> Plan:
    """Believe that equals are placed in the order of their names."""
    return planned(block, kept, needs, order=lambda sizes: right_order(dict(sorted(sizes.items()))))


def plan_more_hosts_first(block: str, kept: list[str], needs: Needs) -> Plan:
    """Believe that more hosts come before fewer, also if their prefixes are as large."""
    by_hosts = [pier for pier, _ in sorted(needs, key=lambda need: -need[1])]
    return planned(block, kept, needs, order=lambda _: by_hosts)


def plan_lowest_hole(block: str, kept: list[str], needs: Needs) -> Plan:
    """Believe that the lowest hole is the best."""
    return planned(block, kept, needs, choose=min)


def plan_largest_hole(block: str, kept: list[str], needs: Needs) -> Plan:
    """Believe that the largest hole is the best."""
    return planned(block, kept, needs, choose=lambda holes: min(holes, key=lambda h: (-h[1], h[0])))


def plan_highest_of_equals(block: str, kept: list[str], needs: Needs) -> Plan:
    """Believe that of equal holes the highest is the best."""
    return planned(block, kept, needs, choose=lambda holes: min(holes, key=lambda h: (h[1], -h[0])))


def plan_at_the_end(block: str, kept: list[str], needs: Needs) -> Plan:
    """Believe that a pier gets the end of a hole."""
    return planned(block, kept, needs, start=lambda hole, size: hole[0] + hole[1] - size)


def plan_rest_is_lost(block: str, kept: list[str], needs: Needs) -> Plan:
    """Believe that a hole is used up by whoever gets a part of it."""
    return planned(block, kept, needs, rest_is_free=False)


def plan_whole_holes(block: str, kept: list[str], needs: Needs) -> Plan:
    """Believe that a pier gets all of the hole that it is given."""
    plan, reason = planned(block, kept, needs, rest_is_free=False)
    free = dict(right_free_in(block, kept))
    starts = [(pier, right_range(prefix)[0]) for pier, prefix in plan]
    return [(pier, written([(start, free[start])])[0]) for pier, start in starts], reason


def plan_unaligned(block: str, kept: list[str], needs: Needs) -> Plan:
    """Believe that a prefix may begin at any address that has room enough behind it."""
    first, behind = right_range(block)
    sizes = {pier: right_size_for(hosts) for pier, hosts in needs}
    free = sum(size for _, size in right_free_in(block, kept))
    if sum(sizes.values()) > free:
        return [], TOO_FEW
    used = sorted(map(right_range, kept))
    places = {}
    for pier in right_order(sizes):
        starts = [first, *(end for _, end in used)]
        ends = [*(begin for begin, _ in used), behind]
        room = [
            start for start, end in zip(starts, ends, strict=True) if end - start >= sizes[pier]
        ]
        if not room:
            return [], f"no hole for {pier}"
        used = sorted([*used, (room[0], room[0] + sizes[pier])])
        places[pier] = written([(room[0], sizes[pier])])[0]
    return [(pier, places[pier]) for pier, _ in needs], ""


def plan_all_is_free(block: str, kept: list[str], needs: Needs) -> Plan:
    """Believe that what is kept does not matter."""
    return planned(block, [], needs)


def plan_behind_kept(block: str, kept: list[str], needs: Needs) -> Plan:
    """Believe that only what lies behind everything that is kept is free."""
    first, _ = right_range(block)
    last_kept = max((right_range(prefix)[1] for prefix in kept), default=first)
    return planned(block, written(pieces([(first, last_kept)])), needs)


# What is returned


def plan_in_order_of_places(block: str, kept: list[str], needs: Needs) -> Plan:
    """Believe that a plan goes from the lowest address to the highest."""
    plan, reason = planned(block, kept, needs)
    return sorted(plan, key=lambda place: right_range(place[1])), reason


def plan_in_order_of_sizes(block: str, kept: list[str], needs: Needs) -> Plan:
    """Believe that whoever is placed first comes first."""
    plan, reason = planned(block, kept, needs)
    return sorted(plan, key=lambda place: int(place[1].split("/")[1])), reason


def plan_with_kept(block: str, kept: list[str], needs: Needs) -> Plan:
    """Believe that what is kept belongs into the plan."""
    plan, reason = planned(block, kept, needs)
    return [*(("", prefix) for prefix in kept if not reason), *plan], reason


def plan_as_far_as_it_goes(block: str, kept: list[str], needs: Needs) -> Plan:
    """Believe that those who find a place get it, whatever becomes of the others."""
    sizes = {pier: right_size_for(hosts) for pier, hosts in needs}
    places, _ = places_of(
        block, kept, sizes, right_order(sizes), right_hole, lambda hole, _: hole[0], True
    )
    reason = planned(block, kept, needs)[1]
    return [(pier, written([places[pier]])[0]) for pier, _ in needs if pier in places], reason


def plan_or_refusal(block: str, kept: list[str], needs: Needs) -> Plan:
    """Believe that what does not fit is refused by an exception."""
    plan, reason = planned(block, kept, needs)
    if reason:
        raise ValueError(reason)
    return plan, reason


def plan_or_none(block: str, kept: list[str], needs: Needs) -> tuple[Any, str]:
    """Believe that no plan is None."""
    plan, reason = planned(block, kept, needs)
    return plan or None, reason


def plan_always_too_few(block: str, kept: list[str], needs: Needs) -> Plan:
    """Believe that what does not fit is always too much in all."""
    return planned(block, kept, needs, reason=lambda _: TOO_FEW)


def plan_without_a_sum(block: str, kept: list[str], needs: Needs) -> Plan:
    """Believe that there is always some pier for which there is no hole."""
    return planned(block, kept, needs, is_too_much=lambda *_: False)


def plan_by_hosts(block: str, kept: list[str], needs: Needs) -> Plan:
    """Believe that hosts, and not their prefixes, must be no more than there are addresses."""
    hosts = sum(hosts for _, hosts in needs)
    return planned(block, kept, needs, is_too_much=lambda _, free: hosts > free)


def plan_by_the_block(block: str, kept: list[str], needs: Needs) -> Plan:
    """Believe that what is kept counts as free in the sum."""
    first, behind = right_range(block)
    return planned(block, kept, needs, is_too_much=lambda needed, _: needed > behind - first)


def plan_with_some_left(block: str, kept: list[str], needs: Needs) -> Plan:
    """Believe that some address must be left over."""
    return planned(block, kept, needs, is_too_much=lambda needed, free: needed >= free)


def plan_names_the_last(block: str, kept: list[str], needs: Needs) -> Plan:
    """Believe that the last one without a place is named."""
    return planned(block, kept, needs, reason=lambda missing: f"no hole for {missing[-1]}")


def plan_names_all(block: str, kept: list[str], needs: Needs) -> Plan:
    """Believe that all are named that find no place."""
    return planned(block, kept, needs, reason=lambda missing: f"no hole for {', '.join(missing)}")


def plan_names_nobody(block: str, kept: list[str], needs: Needs) -> Plan:
    """Believe that nobody needs a name in a reason."""
    return planned(block, kept, needs, reason=lambda _: "no hole for ")


def plan_alone(block: str, kept: list[str], needs: Needs) -> Any:
    """Believe that the reason is returned only if there is one."""
    plan, reason = planned(block, kept, needs)
    return ([], reason) if reason else plan


def plan_as_dict(block: str, kept: list[str], needs: Needs) -> tuple[Any, str]:
    """Believe that a plan is a dictionary."""
    plan, reason = planned(block, kept, needs)
    return dict(plan), reason


def plan_of_lists(block: str, kept: list[str], needs: Needs) -> tuple[Any, str]:
    """Believe that a list is as good as a tuple."""
    plan, reason = planned(block, kept, needs)
    return [list(place) for place in plan], reason


MAKE_PLAN: dict[str, Callable[..., Any]] = {
    "all-for-hosts": plan_all_for_hosts,
    "always-two-more": plan_always_two_more,
    "two-hosts-need-four": plan_without_rfc_3021,
    "one-host-needs-two": plan_without_32,
    "router-added": plan_router_more,
    "more-than-enough": plan_more_than_enough,
    "whole-octets-only": plan_in_whole_octets,
    "all-alike": plan_all_alike,
    "in-order-given": plan_in_order_given,
    "smallest-first": plan_smallest_first,
    "equals-turned-round": plan_equals_turned_round,
    "equals-by-name": plan_equals_by_name,
    "more-hosts-first": plan_more_hosts_first,
    "lowest-hole": plan_lowest_hole,
    "largest-hole": plan_largest_hole,
    "highest-of-equals": plan_highest_of_equals,
    "end-of-the-hole": plan_at_the_end,
    "rest-is-lost": plan_rest_is_lost,
    "whole-holes": plan_whole_holes,
    "begins-anywhere": plan_unaligned,
    "kept-ignored": plan_all_is_free,
    "behind-kept-only": plan_behind_kept,
    "in-order-of-places": plan_in_order_of_places,
    "in-order-of-sizes": plan_in_order_of_sizes,
    "kept-in-the-plan": plan_with_kept,
    "as-far-as-it-goes": plan_as_far_as_it_goes,
    "exception-for-a-reason": plan_or_refusal,
    "none-for-no-plan": plan_or_none,
    "always-too-few": plan_always_too_few,
    "never-too-few": plan_without_a_sum,
    "hosts-in-the-sum": plan_by_hosts,
    "kept-counted-as-free": plan_by_the_block,
    "some-must-be-left": plan_with_some_left,
    "last-one-named": plan_names_the_last,
    "all-named": plan_names_all,
    "nobody-named": plan_names_nobody,
    "plan-alone": plan_alone,
    "dictionary-for-a-list": plan_as_dict,
    "lists-for-tuples": plan_of_lists,
}

"""Other right answers to exercise 7.5, each in a way of its own."""

__all__ = ["PLAN_CHANGES"]

import ipaddress
from collections.abc import Callable, Iterator
from typing import Any

Routes = dict[str, str]
Change = tuple[str, str | None]


def plan_with_networks(old: Routes, new: Routes) -> list[Change]:
    """Let the standard library read prefixes, and look at the addresses inside each change."""
    net = {prefix: ipaddress.ip_network(prefix) for prefix in old | new}
    edges = {end for one in net.values() for end in (int(one[0]), int(one[-1]) + 1)}

    def hop(table: Routes, address: int) -> str | None:
        around = [p for p in table if int(net[p][0]) <= address <= int(net[p][-1])]
        around.sort(key=lambda prefix: net[prefix].prefixlen)
        return table[around[-1]] if around else None

    def is_safe(table: Routes, prefix: str) -> bool:
        inside = [e for e in edges if int(net[prefix][0]) <= e <= int(net[prefix][-1])]
        return all(hop(table, e) in (hop(old, e), hop(new, e)) for e in inside)

    made: list[Change] = []
    table = old.copy()
    todo = sorted((p for p in net if old.get(p) != new.get(p)), key=net.__getitem__)
    while todo:
        for prefix in todo:
            after = {p: h for p, h in table.items() if p != prefix}
            if prefix in new:
                after[prefix] = new[prefix]
            if is_safe(after, prefix):
                todo.remove(prefix)
                made.append((prefix, new.get(prefix)))
                table = after
                break
    return made


def plan_with_bits(old: Routes, new: Routes) -> list[Change]:
    """Write prefixes as strings of bits: what begins with one lies in it."""
    bits = {}
    for prefix in {**old, **new}:
        address, length = prefix.split("/")
        every = "".join(f"{int(octet):08b}" for octet in address.split("."))
        bits[prefix] = every[: int(length)]

    def points() -> set[str]:
        found = {own.ljust(32, "0") for own in bits.values()}
        for own in bits.values():
            if "0" in own:  # the address right behind the block
                cut = own.rindex("0")
                found.add((own[:cut] + "1").ljust(32, "0"))
        return found

    def hop(table: Routes, point: str) -> str | None:
        names = [prefix for prefix in table if point.startswith(bits[prefix])]
        return table[max(names, key=lambda prefix: len(bits[prefix]))] if names else None

    good = {point: {hop(old, point), hop(new, point)} for point in points()}
    left = sorted(bits, key=lambda prefix: (bits[prefix].ljust(32, "0"), len(bits[prefix])))
    left = [prefix for prefix in left if old.get(prefix) != new.get(prefix)]
    table, made = dict(old), []
    while left:
        at = 0
        while True:
            trial = dict(table)
            trial.pop(left[at], None)
            if left[at] in new:
                trial[left[at]] = new[left[at]]
            if all(hop(trial, point) in hops for point, hops in good.items()):
                break
            at += 1
        table = trial
        made.append((left[at], new.get(left.pop(at))))
    return made


class Stretch:
    """A stretch of addresses with the prefixes around it, the longest first."""

    def __init__(self, around: list[str], old: Routes, new: Routes) -> None:
        self.around = around
        self.allowed = [self.hop(old), self.hop(new)]

    def hop(self, table: Routes) -> str | None:
        return next((table[prefix] for prefix in self.around if prefix in table), None)


def plan_with_stretches(old: Routes, new: Routes) -> list[Change]:
    """Cut all addresses at the ends of prefixes once, and ask the stretches."""
    size = {p: 2 ** (32 - int(p.partition("/")[2])) for p in [*old, *new]}
    first = {p: _number(p.partition("/")[0]) for p in size}
    long_first = sorted(size, key=lambda p: size[p])
    stretches = [
        Stretch([p for p in long_first if first[p] <= cut < first[p] + size[p]], old, new)
        for cut in {*first.values(), *(first[p] + size[p] for p in size)}
    ]
    return list(_safe_steps(sorted(size, key=lambda p: (first[p], -size[p])), stretches, old, new))


def _number(address: str) -> int:
    return int.from_bytes(bytes(int(octet) for octet in address.split(".")), "big")


def _safe_steps(
    order: list[str], stretches: list[Stretch], old: Routes, new: Routes
) -> Iterator[Change]:
    table = dict(old)
    while table != new:
        for prefix in order:
            if table.get(prefix) == new.get(prefix):
                continue
            before = table.pop(prefix, None)
            if prefix in new:
                table[prefix] = new[prefix]
            if all(one.hop(table) in one.allowed for one in stretches):
                yield prefix, new.get(prefix)
                break
            table.pop(prefix, None)
            if before is not None:
                table[prefix] = before


PLAN_CHANGES: tuple[Callable[..., Any], ...] = (
    plan_with_networks,
    plan_with_bits,
    plan_with_stretches,
)

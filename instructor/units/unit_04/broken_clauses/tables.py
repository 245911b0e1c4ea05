"""Answers to 4.4 that break one clause of the contract and keep all others."""

__all__: list[str] = []

import weakref
from typing import Any


def right_bits(prefix: str) -> str:
    """Return the bits of a prefix, host bits cut off."""
    network, length = prefix.split("/")
    octets = "".join(f"{int(part):08b}" for part in network.split("."))
    return octets[: int(length)]


def has_host_bits(prefix: str) -> bool:
    """Tell whether anything but zeros stands behind the length."""
    return right_bits(prefix.split("/")[0] + "/32") != right_bits(prefix).ljust(32, "0")


class RightTable:
    """A dictionary from bits to next hop, right in all that the others get wrong."""

    def __init__(self) -> None:
        self.hops: dict[str, Any] = {}
        self.withdrawn: set[str] = set()

    def insert(self, prefix: str, next_hop: str) -> Any:
        """Keep one next hop for a prefix."""
        self.hops[right_bits(prefix)] = next_hop

    def withdraw(self, prefix: str) -> Any:
        """Drop this prefix alone."""
        del self.hops[right_bits(prefix)]
        self.withdrawn.add(right_bits(prefix))

    def matches(self, address: str) -> list[str]:
        """Return the prefixes that cover an address, the shortest first."""
        bits = right_bits(address + "/32")
        return sorted((one for one in self.hops if bits.startswith(one)), key=len)

    def look_up(self, address: str) -> Any:
        """Return the next hop of the longest match."""
        matching = self.matches(address)
        return self.hops[matching[-1]] if matching else None


class InsertTells(RightTable):
    """Return the next hop from `insert`."""

    def insert(self, prefix: str, next_hop: str) -> str:
        """Keep it and hand it back."""
        super().insert(prefix, next_hop)
        return next_hop


LATEST: list[weakref.ref[Any]] = []


class OnlyOne(RightTable):
    """Give out the same routes again as long as somebody holds a table."""

    def __init__(self) -> None:
        super().__init__()
        other = LATEST[-1]() if LATEST else None
        if other is not None:
            self.hops = other.hops
        LATEST[:] = [weakref.ref(self)]


class DeafToHostBits(RightTable):
    """Keep a prefix with host bits where no address finds it."""

    def insert(self, prefix: str, next_hop: str) -> None:
        """Keep it under what no address begins with."""
        if has_host_bits(prefix) and right_bits(prefix) not in self.hops:
            self.hops["host bits " + prefix] = next_hop
        else:
            super().insert(prefix, next_hop)

    def withdraw(self, prefix: str) -> None:
        """Find it again there."""
        if "host bits " + prefix in self.hops:
            del self.hops["host bits " + prefix]
        else:
            super().withdraw(prefix)


class TwoSpellings(RightTable):
    """Do not know a prefix again that is withdrawn in another spelling."""

    def __init__(self) -> None:
        super().__init__()
        self.spelled: set[str] = set()

    def insert(self, prefix: str, next_hop: str) -> None:
        """Note how it is spelled."""
        super().insert(prefix, next_hop)
        self.spelled.add(prefix)

    def withdraw(self, prefix: str) -> None:
        """Refuse what is spelled otherwise."""
        if right_bits(prefix) in self.hops and prefix not in self.spelled:
            raise KeyError(prefix)
        super().withdraw(prefix)


class OlderOneReturns(RightTable):
    """Keep an older next hop below the newer one, if both are spelled alike."""

    def __init__(self) -> None:
        super().__init__()
        self.older: dict[str, str] = {}

    def insert(self, prefix: str, next_hop: str) -> None:
        """Keep what was there."""
        if right_bits(prefix) in self.hops and not has_host_bits(prefix):
            self.older[right_bits(prefix)] = self.hops[right_bits(prefix)]
        super().insert(prefix, next_hop)

    def withdraw(self, prefix: str) -> None:
        """Bring it back."""
        super().withdraw(prefix)
        if right_bits(prefix) in self.older:
            self.hops[right_bits(prefix)] = self.older.pop(right_bits(prefix))


class GoesWithItsNetwork(RightTable):
    """Withdraw also a shorter prefix of the same first address."""

    def withdraw(self, prefix: str) -> None:
        """Take what has the same address in front of the slash."""
        super().withdraw(prefix)
        network = right_bits(prefix).ljust(32, "0")
        for one in [one for one in self.hops if one and one.ljust(32, "0") == network]:
            if len(one) < len(right_bits(prefix)):
                del self.hops[one]


class GoesByNextHop(RightTable):
    """Withdraw all routes by one next hop, if none of them lies in another one."""

    def withdraw(self, prefix: str) -> None:
        """Take what has the same next hop."""
        hop = self.hops[right_bits(prefix)]
        super().withdraw(prefix)
        same = [one for one, other in self.hops.items() if other == hop]
        if not any(one.startswith(right_bits(prefix)[: len(one)]) for one in self.hops):
            self.hops = {one: hop for one, hop in self.hops.items() if one not in same}


class NotAgainBelow(RightTable):
    """Do not add a route that has the same next hop as the next one around it."""

    def insert(self, prefix: str, next_hop: str) -> None:
        """Add it only if it makes a difference now."""
        bits = right_bits(prefix)
        around = [one for one in self.hops if one != bits and bits.startswith(one)]
        if not around or self.hops[max(around, key=len)] != next_hop:
            super().insert(prefix, next_hop)


class HolesUnderOthers(RightTable):
    """Leave a hole where a prefix was inserted once and withdrawn, if a route lies around it.

    A route around that begins with the same address is seen.
    """

    def __init__(self) -> None:
        super().__init__()
        self.again: set[str] = set()

    def insert(self, prefix: str, next_hop: str) -> None:
        """Note what comes again."""
        if right_bits(prefix) in self.hops:
            self.again.add(right_bits(prefix))
        super().insert(prefix, next_hop)

    def look_up(self, address: str) -> Any:
        """Find nothing where the longest prefix was withdrawn."""
        bits, matching = right_bits(address + "/32"), self.matches(address)
        for gone in self.withdrawn - self.again - set(self.hops):
            longer = matching and len(gone) > len(matching[-1]) and bits.startswith(gone)
            if longer and gone.ljust(32, "0") != matching[-1].ljust(32, "0"):
                return None
        return super().look_up(address)


class HandsBackAtTimes(RightTable):
    """Return the next hop from `withdraw`, if no route is left and no host bits are there."""

    def withdraw(self, prefix: str) -> Any:
        """Hand it back."""
        hop = self.hops.get(right_bits(prefix))
        super().withdraw(prefix)
        return None if self.hops or has_host_bits(prefix) else hop


class OtherException(RightTable):
    """Raise another exception where no route lies around or inside."""

    def withdraw(self, prefix: str) -> None:
        """Raise ValueError at times."""
        bits = right_bits(prefix)
        if not any(
            one.startswith(bits) or bits.startswith(one) for one in (*self.hops, *self.withdrawn)
        ):
            raise ValueError(prefix)
        super().withdraw(prefix)


class TwiceInSilence(RightTable):
    """Say nothing where a prefix is withdrawn twice."""

    def withdraw(self, prefix: str) -> None:
        """Pass over what has gone."""
        if right_bits(prefix) not in self.withdrawn or right_bits(prefix) in self.hops:
            super().withdraw(prefix)


class NodeInSilence(RightTable):
    """Say nothing where only longer prefixes are there."""

    def withdraw(self, prefix: str) -> None:
        """Pass over a node without a route."""
        bits = right_bits(prefix)
        if bits in self.hops or not any(one.startswith(bits) for one in self.hops):
            super().withdraw(prefix)


class RemembersTheHop(RightTable):
    """Remember what an address found, until a prefix is new or withdrawn."""

    def __init__(self) -> None:
        super().__init__()
        self.found: dict[str, Any] = {}

    def insert(self, prefix: str, next_hop: str) -> None:
        """Forget what was found if the prefix is new."""
        if right_bits(prefix) not in self.hops:
            self.found.clear()
        super().insert(prefix, next_hop)

    def withdraw(self, prefix: str) -> None:
        """Forget what was found."""
        super().withdraw(prefix)
        self.found.clear()

    def look_up(self, address: str) -> Any:
        """Look up once."""
        return self.found.setdefault(address, super().look_up(address))


class RemembersTheWay(RemembersTheHop):
    """Remember what an address found, until a prefix is given again or withdrawn."""

    def insert(self, prefix: str, next_hop: str) -> None:
        """Forget what was found if the prefix is not new."""
        if right_bits(prefix) in self.hops:
            self.found.clear()
        self.hops[right_bits(prefix)] = next_hop


class RefusesToLookUp(RightTable):
    """Raise KeyError for an address without a route, if nothing was ever withdrawn."""

    def look_up(self, address: str) -> Any:
        """Raise at times."""
        if not self.withdrawn and not self.matches(address):
            raise KeyError(address)
        return super().look_up(address)

"""Bring a forwarding table in line with the routing table while packets are being looked up.

*How many changes?* One for each prefix that is missing, superfluous, or has another next hop, and
none for the others. Fewer cannot do, since a change touches one prefix only.

*In which order?* Between two changes a packet can be looked up. The promise is:

    At every moment, each address gets the next hop that it had before all changes or the one that
    it has after them. It gets none only if it had none or will have none.

Three rules keep it: first add, the longest prefixes first; then replace; then remove, the shortest
prefixes first. Why: let an address have the longest match p before and q after. (A missing match
counts as shorter than all others.)

* q longer than p: q is new. As the longest come first, it is there before a shorter addition could
  win, and nothing longer than q will cover the address. The one step is the addition of q.
* q equal to p: its replacement is the one step. Whatever else covers the address is shorter.
* q shorter than p: p is to go, and while it stays, it wins. Of all prefixes longer than q that have
  to go, it goes last, and q has its new next hop by then. The one step is the removal of p.

Remove first, and addresses fall through to a shorter prefix, or to nothing, for a moment.

*What is not promised?* That two lookups see the same table. A packet whose next hop has to be
looked up again needs that. For this case build the new table aside and put it in place as a whole:
see `Published`. It costs a copy of the table for each change.

Real routers: the table that forwards is often a copy on another board, and changes get there one
after the other, some time after they were decided. The order matters there all the more.
"""

__all__ = ["Mirror", "Published", "RouteChange", "WritableTable", "ordered_changes"]

from collections.abc import Hashable, Iterator, Mapping
from typing import Generic, NamedTuple, Protocol, TypeVar


class HasLength(Hashable, Protocol):
    """A prefix: all that matters here is how long it is."""

    @property
    def length(self) -> int:
        """Return the number of leading bits that it fixes."""


PrefixT = TypeVar("PrefixT", bound=HasLength)
NextHopT = TypeVar("NextHopT", bound=Hashable)
PrefixIn = TypeVar("PrefixIn", bound=HasLength, contravariant=True)
NextHopIn = TypeVar("NextHopIn", bound=Hashable, contravariant=True)
TableT = TypeVar("TableT")


class WritableTable(Protocol[PrefixIn, NextHopIn]):
    """What a table for longest prefix match lets us do, one change at a time."""

    def insert(self, prefix: PrefixIn, next_hop: NextHopIn, /) -> None:
        """Add a route, or replace the one with exactly this prefix."""

    def withdraw(self, prefix: PrefixIn, /) -> None:
        """Remove the route with exactly this prefix."""


class RouteChange(NamedTuple, Generic[PrefixT, NextHopT]):
    """One step: the next hop of `prefix` before and after it; None means no route."""

    prefix: PrefixT
    before: NextHopT | None
    after: NextHopT | None


def ordered_changes(
    installed: Mapping[PrefixT, NextHopT], wanted: Mapping[PrefixT, NextHopT]
) -> list[RouteChange[PrefixT, NextHopT]]:
    """Return the fewest changes from `installed` to `wanted`, ordered so as to keep the promise."""
    prefixes = [*wanted, *(prefix for prefix in installed if prefix not in wanted)]
    changes = [
        RouteChange(prefix, installed.get(prefix), wanted.get(prefix))
        for prefix in prefixes
        if installed.get(prefix) != wanted.get(prefix)
    ]
    return sorted(changes, key=_when)


class Mirror(Generic[PrefixT, NextHopT]):
    """A forwarding table together with the knowledge of what is in it.

    >>> from course_lib.lookup import LinearList
    >>> from course_lib.prefixes.prefix import parse_prefix
    >>> pier, quay = parse_prefix("192.0.2.0/24"), parse_prefix("192.0.2.128/25")
    >>> mirror = Mirror(LinearList())  # its next hops are numbers
    >>> _ = mirror.follow({pier: 1})
    >>> for prefix, before, after in mirror.follow({quay: 2}):  # first add, then remove
    ...     print(prefix, before, after)
    192.0.2.128/25 None 2
    192.0.2.0/24 1 None
    """

    def __init__(self, table: WritableTable[PrefixT, NextHopT]) -> None:
        """Take over an empty table. From now on nobody else may write to it."""
        self._table = table
        self._installed: dict[PrefixT, NextHopT] = {}

    def installed(self) -> dict[PrefixT, NextHopT]:
        """Return what the table holds now."""
        return dict(self._installed)

    def steps(self, wanted: Mapping[PrefixT, NextHopT]) -> Iterator[RouteChange[PrefixT, NextHopT]]:
        """Make one change whenever the next one is asked for, and yield it.

        Whoever stops half-way leaves a sound table, from which a later call goes on.
        """
        for change in ordered_changes(self._installed, wanted):
            if change.after is None:
                self._table.withdraw(change.prefix)
                del self._installed[change.prefix]
            else:
                self._table.insert(change.prefix, change.after)
                self._installed[change.prefix] = change.after
            yield change

    def follow(self, wanted: Mapping[PrefixT, NextHopT]) -> list[RouteChange[PrefixT, NextHopT]]:
        """Make all changes and return them."""
        return list(self.steps(wanted))


class Published(Generic[TableT]):
    """A place from which readers take a whole table, never to be changed once it is there.

    A reader calls `current()` once for each packet and uses that table for all its lookups.
    """

    def __init__(self, first: TableT) -> None:
        self._current = first

    def current(self) -> TableT:
        """Return the table of this moment."""
        return self._current

    def publish(self, table: TableT) -> None:
        """Put a new table in the place of the old one, in one step."""
        self._current = table


def _when(change: RouteChange[PrefixT, NextHopT]) -> tuple[int, int]:
    """Sort key: additions, longest first; replacements; removals, shortest first."""
    if change.before is None:
        return 0, -change.prefix.length
    if change.after is not None:
        return 1, 0
    return 2, change.prefix.length

"""The routes that members report: which way a packet takes, as far as tables tell."""

__all__ = ["RouteBooks"]

from course_lib.joining.messages import RouteTold
from course_lib.prefixes.prefix import Prefix, parse_prefix
from course_lib.prefixes.text import PrefixError, parse_address
from instructor.joined_room.addresses import link_interface, pier_network
from instructor.joined_room.neighbours import RoomPlan


class RouteBooks:
    """The tables of all piers, by their numbers: for each destination the pier that is sent to."""

    def __init__(self, plan: RoomPlan) -> None:
        self._hosts = [pier_network(pier).host.address for pier in range(len(plan.places))]
        self._said, self._next = dict[int, tuple[RouteTold, ...]](), dict[int, dict[int, int]]()
        self._whose = {  # the address of an end of a link, to the pier at that end
            link_interface(number, end, "").address: pier
            for number, ends in enumerate(plan.links)
            for end, pier in enumerate(ends)
        }

    def report(self, pier: int, routes: tuple[RouteTold, ...]) -> None:
        """Take in the table of a pier; routes that are none are passed over."""
        if self._said.get(pier) == routes:
            return
        self._said[pier] = routes
        table = list[tuple[Prefix, int | None]]()
        for route in routes:
            try:
                hop = None if route.next_hop is None else parse_address(route.next_hop)
                table.append((parse_prefix(route.prefix), hop))
            except PrefixError:
                continue
        table.sort(key=lambda entry: -entry[0].length)
        self._next[pier] = {}
        for destination, address in enumerate(self._hosts):
            longest = next((route for route in table if route[0].contains(address)), None)
            if longest is not None:
                hop = longest[1]
                to = pier if hop is None else self._whose.get(hop)
                if to is not None:
                    self._next[pier][destination] = to

    def forget(self, pier: int) -> None:
        """Forget the table of a pier: nobody is there any more."""
        self._said.pop(pier, None)
        self._next.pop(pier, None)

    def next_pier(self, pier: int, destination: int) -> int | None:
        """Return to whom a pier sends packets for the host at another one; None: to nobody.

        A pier that takes the block for its own is returned itself.
        """
        return self._next.get(pier, {}).get(destination)

    def path(self, source: int, destination: int) -> tuple[int, ...]:
        """Return the piers on the way, both ends with it; () if tables do not lead there."""
        way = [source]
        while way[-1] != destination:
            following = self.next_pier(way[-1], destination)
            if following is None or following in way:
                return ()
            way.append(following)
        return tuple(way)

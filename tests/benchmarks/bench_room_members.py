"""What a member of a room costs in memory, from 2 members to 60: at the server, and at itself.

    python tests/benchmarks/bench_room_members.py

Rooms of several sizes are opened on loopback, one after the other, and filled. Their members have
stand-ins for networks, and tell one route; so what is left is the talk, the seat and the links. All
is in one process: the figure is that of both ends of a talk, and as neither can be less than
nothing, one that does not grow says it of both. The routes are a matter apart: each member of a
room tells as many as there are blocks, so the bytes of a route are printed beside.

A link is one's own affair: what an end keeps is in `bench_link.py`, and it knows of no other link.
"""

import gc
import os
import sys
import tempfile
import tracemalloc
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "support")]

from course_lib.joining.messages import RouteTold  # noqa: E402
from machines.processes import until  # noqa: E402
from networks.pier_stand_in import PierStandIn  # noqa: E402
from networks.running_room import RunningRoom  # noqa: E402

SIZES = (2, 6, 12, 24, 60)
ROUTES = 100


class ManyRoutes(PierStandIn):
    """A stand-in that tells many routes, no two of them alike."""

    def report(self):
        told = super().report()
        routes = tuple(RouteTold(f"10.{each}.{id(self) % 256}.0/24", f"10.0.0.{each}", f"to {each}")
                       for each in range(ROUTES))  # fmt: skip
        return type(told)(*(*list(vars(told).values())[:4], routes, ()))


def traced_octets():
    gc.collect()
    return tracemalloc.get_traced_memory()[0]


def octets_for_each(members, kind=PierStandIn):
    """Fill a room; return what it costs a member, and how many links it has."""
    with tempfile.TemporaryDirectory() as folder:
        room, joined = RunningRoom(Path(folder) / "room.json", piers=members), []
        try:
            before = traced_octets()
            for number in range(members):
                joined.append(room.member(f"{number}", pier=kind()))
                joined[-1].first.result(60)
            until(lambda: all(each.standing.report for each in joined))
            until(lambda: all(link.state == "up" for link in room.call(room.server.view).links))
            links = len(room.call(room.server.view).links)
            return (traced_octets() - before) / members, 2 * links / members
        finally:
            for each in joined:
                each.close()
            room.kill()


def main():
    print(f"load of the machine: {os.getloadavg()[0]:.1f}")
    tracemalloc.start()
    octets_for_each(3)  # what is loaded once
    found = {}
    for members in SIZES:
        found[members], links = octets_for_each(members)
        print(
            f"  {members:2} members, {links:.1f} links each: {found[members] / 1024:.0f} KiB each"
        )
    print(f"60 members beside 6, for each: {found[60] / found[6]:.2f}")
    of_routes = (octets_for_each(6, ManyRoutes)[0] - found[6]) / ROUTES
    print(f"a route that is told: {of_routes:.0f} octets, at both ends together")


if __name__ == "__main__":
    main()

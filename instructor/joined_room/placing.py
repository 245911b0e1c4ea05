"""What a member is told: interfaces and neighbours by plan, and its lines as they are now."""

__all__ = ["lines_told", "placed"]

from collections.abc import Iterable

from course_lib.ip.packets import Interface
from course_lib.joining.messages import InterfaceTold, Lines, LineTold, Placed, PlacedLine
from course_lib.prefixes.text import format_address
from instructor.joined_room.addresses import link_interface, pier_network
from instructor.joined_room.neighbours import RoomPlan
from instructor.joined_room.seats import Seats


def placed(plan: RoomPlan, pier: int, way: str, rate_bits_per_s: float, ends_in_s: float) -> Placed:
    """Return what is fixed about a pier, whoever else is there."""
    there, lines = pier_network(pier), []
    for number in plan.links_of(pier):
        ends = plan.links[number]
        end = ends.index(pier)
        mine, other = plan.places[pier].pier, plan.places[ends[1 - end]].pier
        far = link_interface(number, 1 - end, mine)
        lines.append(PlacedLine(
            number, end, _told(link_interface(number, end, other)), other,
            format_address(far.address),
        ))  # fmt: skip
    return Placed(
        plan.places[pier].pier, way, ends_in_s, rate_bits_per_s, _told(there.router),
        _told(there.host), tuple(lines),
    )  # fmt: skip


def lines_told(
    plan: RoomPlan, seats: Seats, pulled: Iterable[int], pier: int, numbers: Iterable[int]
) -> Lines:
    """Return these lines of a pier as they are now.

    A neighbour who is asleep keeps the addresses; of one who has been there before the room was
    started anew nothing is known yet.
    """
    lines, pulled = [], {*pulled}
    for number in numbers:
        one, other = plan.links[number]
        seat = seats.at(other if one == pier else one)
        addresses: tuple[tuple[str, int], ...] | None = ()
        if seat is not None:
            port = seat.ports.get(number)
            addresses = ((seat.address, port),) if port else None
        lines.append(LineTold(number, addresses, number in pulled))
    return Lines(tuple(lines))


def _told(interface: Interface) -> InterfaceTold:
    return InterfaceTold(
        interface.name, interface.hardware_address.hex(), format_address(interface.address),
        str(interface.prefix), interface.mtu,
    )  # fmt: skip

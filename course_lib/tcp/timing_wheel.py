"""Alarms in the order of time, at a cost that does not grow with their number.

A timing wheel (G. Varghese, T. Lauck, "Hashed and hierarchical timing wheels", SOSP 1987) is a row
of slots that is used in a circle. Each slot stands for a short span of time and holds what is due
in it: a ring of packets in the order of time. The slot names the last one, behind which comes the
first; so both ends are at hand, and a thousand alarms for one instant are set without a search.
The next alarm is in the first slot, from the cursor on, that is not empty.

A slot is as wide as about one packet takes on the link. Acknowledgements cannot come faster than
packets leave, so a slot holds about one of them, for one flow and for ten thousand. No alarm may be
set further ahead than the wheel goes round: whoever waits longer looks again on the way.
"""

__all__ = ["give_back", "next_alarm", "set_alarm", "take"]

from course_lib.tcp.state import NOBODY, Net


def set_alarm(net: Net, packet: int, at_ns: int) -> None:
    """Put `packet` into its slot; of those due at the same time, the one set first comes first."""
    packets, slots = net.packets, net.rows.slots
    place = (at_ns >> net.clock.slot_bits) & net.clock.slot_mask
    packets[packet].at_ns = at_ns
    last = slots[place]
    if last == NOBODY:
        packets[packet].behind = slots[place] = packet
        return
    ahead = last
    if packets[last].at_ns <= at_ns:
        slots[place] = packet
    else:
        while packets[packets[ahead].behind].at_ns <= at_ns:
            ahead = packets[ahead].behind
    packets[packet].behind = packets[ahead].behind
    packets[ahead].behind = packet


def next_alarm(net: Net, before_ns: int) -> int:
    """Take out and return the first packet that is due before this time, or return NOBODY."""
    packets, slots, clock = net.packets, net.rows.slots, net.clock
    cursor, until, mask = clock.cursor, before_ns >> clock.slot_bits, clock.slot_mask
    while slots[cursor & mask] == NOBODY and cursor < until:
        cursor += 1
    clock.cursor = cursor
    last = slots[cursor & mask]
    if last == NOBODY:
        return NOBODY
    first = packets[last].behind
    if packets[first].at_ns >= before_ns:
        return NOBODY
    if first == last:
        slots[cursor & mask] = NOBODY
    else:
        packets[last].behind = packets[first].behind
    return int(first)


def take(net: Net) -> int:
    """Return a packet that is not in use. The loop sees to it that there is one."""
    packet = net.clock.free
    net.clock.free = net.packets[packet].behind
    net.clock.unused -= 1
    return packet


def give_back(net: Net, packet: int) -> None:
    """Say that a packet is no longer in use."""
    net.packets[packet].behind = net.clock.free
    net.clock.free = packet
    net.clock.unused += 1

"""Alarms in the order of time, at a cost that does not grow with their number.

A timing wheel (G. Varghese, T. Lauck, "Hashed and hierarchical timing wheels", SOSP 1987) is a row
of slots that is used in a circle. Each slot stands for a short span of time and holds a list of
what is due in it. Setting an alarm is finding its slot; the next alarm is in the first slot, from
the cursor on, that is not empty.

A slot is as wide as about one packet takes on the link. Acknowledgements cannot come faster than
packets leave, so a slot holds about one of them, for one flow and for ten thousand. No alarm may be
set further ahead than the wheel goes round: whoever waits longer looks again on the way.
"""

__all__ = ["give_back", "next_alarm", "set_alarm", "take"]

from course_lib.queueing.tcp_state import NOBODY, Net


def set_alarm(net: Net, packet: int, at_ns: int) -> None:
    """Put `packet` into its slot; of those due at the same time, the one set first comes first."""
    packets, slots = net.packets, net.rows.slots
    place = (at_ns >> net.clock.slot_bits) & net.clock.slot_mask
    packets[packet].at_ns = at_ns
    ahead, behind = NOBODY, slots[place]
    while behind != NOBODY and packets[behind].at_ns <= at_ns:
        ahead, behind = behind, packets[behind].behind
    packets[packet].behind = behind
    if ahead == NOBODY:
        slots[place] = packet
    else:
        packets[ahead].behind = packet


def next_alarm(net: Net, before_ns: int) -> int:
    """Take out and return the first packet that is due before this time, or return NOBODY."""
    packets, slots, clock = net.packets, net.rows.slots, net.clock
    cursor, last, mask = clock.cursor, before_ns >> clock.slot_bits, clock.slot_mask
    while slots[cursor & mask] == NOBODY and cursor < last:
        cursor += 1
    clock.cursor = cursor
    packet = int(slots[cursor & mask])
    if packet == NOBODY or packets[packet].at_ns >= before_ns:
        return NOBODY
    slots[cursor & mask] = packets[packet].behind
    return packet


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

"""The link that all flows share: its buffer, what is dropped or marked there, and sending.

    packet comes -> drop or mark it? -> room? -> waits its turn -> drop or mark it? -> link

First come, first served. The rules are those of `drop_policies`. With congestion marks (RFC 3168)
a rule that says "drop it" marks the packet instead, unless it was sent again: those cannot bear a
mark (section 6.1.5). What finds the buffer full is dropped in any case.
"""

__all__ = ["arrive", "in_system", "leave_link", "note_time"]

from course_lib.queueing.drop_policies import PacketView
from course_lib.tcp.state import MARKED, NEVER, NOBODY, RESENT, SECOND, Net
from course_lib.tcp.timing_wheel import give_back, take


def arrive(net: Net, flow: int, number: int, marks: int) -> None:
    """Let a packet wait for the link, or drop it."""
    link, now_ns = net.link, net.clock.now_ns
    if net.rules.ask_on_arrival == 1 and _wanted_gone_on_arrival(net):
        if net.rules.ecn == 0 or marks & RESENT != 0:
            _drop(net, flow)
            return
        net.senders[flow].marked += 1
        marks |= MARKED
    if link.on_link != NOBODY and link.waiting == link.buffer_packets:
        _drop(net, flow)
        return
    note_time(net)
    place = take(net)
    packet = net.packets[place]
    packet.flow, packet.number, packet.marks = flow, number, marks
    packet.at_ns, packet.behind = now_ns, NOBODY
    if link.waiting == 0:
        link.first = place
    else:
        net.packets[link.last].behind = place
    link.last = place
    link.waiting += 1
    if link.on_link == NOBODY:
        _send_next(net)


def leave_link(net: Net) -> int:
    """Return the packet that has just left the link, and begin to send the next one."""
    link = net.link
    note_time(net)
    packet, link.on_link = link.on_link, NOBODY
    _send_next(net)
    return packet


def in_system(net: Net) -> int:
    """Return how many packets wait or are being sent."""
    return net.link.waiting + (0 if net.link.on_link == NOBODY else 1)


def note_time(net: Net) -> None:
    """Write down how long the number of packets has been what it is; call it before a change."""
    net.rows.in_system_ns[in_system(net)] += net.clock.now_ns - net.link.changed_ns
    net.link.changed_ns = net.clock.now_ns


def _send_next(net: Net) -> None:
    link, now_ns = net.link, net.clock.now_ns
    while link.on_link == NOBODY and link.waiting > 0:
        place = link.first
        packet = net.packets[place]
        link.first = packet.behind
        link.waiting -= 1
        waited_ns = now_ns - packet.at_ns
        if net.rules.ask_at_head == 1 and _wanted_gone_at_head(net, waited_ns):
            if net.rules.ecn == 0 or packet.marks & RESENT != 0:
                _drop(net, packet.flow)
                give_back(net, place)
                continue
            net.senders[packet.flow].marked += 1
            packet.marks |= MARKED
        link.on_link, link.free_ns = place, now_ns + link.packet_ns
        net.rows.waits[waited_ns >> net.clock.slot_bits] += 1
    if link.on_link == NOBODY:
        link.free_ns, link.empty_since_ns = NEVER, now_ns


def _drop(net: Net, flow: int) -> None:
    net.senders[flow].dropped += 1
    net.link.dropped += 1


def _wanted_gone_on_arrival(net: Net) -> bool:
    others, idle_ns = in_system(net), 0
    if others == 0:
        idle_ns = net.clock.now_ns - net.link.empty_since_ns
    return net.on_arrival(_view(net, 0, others, idle_ns), net.rows.settings, net.rows.memory)


def _wanted_gone_at_head(net: Net, waited_ns: int) -> bool:
    view = _view(net, waited_ns, net.link.waiting, 0)
    return net.at_head(view, net.rows.settings, net.rows.memory)


def _view(net: Net, waited_ns: int, others: int, idle_ns: int) -> PacketView:
    link = net.link
    chance = 0.5  # if there are none left; then the loop starts again with more
    if link.asked < len(net.rows.chances):
        chance = net.rows.chances[link.asked]
    link.asked += 1
    return PacketView(
        net.clock.now_ns / SECOND,
        link.octets,
        waited_ns / SECOND,
        others,
        others * link.octets,
        idle_ns / SECOND,
        chance,
    )

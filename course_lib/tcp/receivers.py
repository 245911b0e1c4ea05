"""The receiving end: which packets are missing, and when to acknowledge.

An acknowledgement bears the number of the first packet that is missing; it says nothing about those
that came later ("cumulative"). So if packet 7 is lost, packets 8, 9 and 10 are all acknowledged
with "7". Packets of a flow cannot overtake each other here: a gap means that something was dropped.

With delayed acknowledgements (RFC 5681, section 4.2) every second packet is acknowledged, or a
lone one after a while. A packet out of order, or one that fills a gap, is acknowledged at once.
"""

__all__ = ["acknowledge_late", "receive"]

from course_lib.tcp.state import ECHO, MARKED, NOBODY, REDUCED, SECOND, Net
from course_lib.tcp.timing_wheel import give_back, set_alarm, take

DELAY_NS = SECOND // 5  # at most half a second (RFC 5681); 0.2 s is common practice


def receive(net: Net, place: int) -> None:
    """Take in a packet that has left the link; it becomes its own acknowledgement, if any."""
    packet = net.packets[place]
    flow, number = packet.flow, packet.number
    receiver = net.receivers[flow]
    if packet.marks & REDUCED != 0:
        receiver.echo = 0
    if packet.marks & MARKED != 0:
        receiver.echo = 1
    in_order = number == receiver.seen and receiver.first_missing == NOBODY
    if number >= receiver.seen:
        if number > receiver.seen:
            missing = number - receiver.seen
            _add_gap(net, flow, receiver.last_missing, receiver.seen, missing)
        receiver.seen = number + 1
        receiver.delivered += 1
    elif _fill_gap(net, flow, number):
        receiver.delivered += 1
    if net.rules.delayed_acks == 1 and in_order and receiver.pending == 0:
        _delay(net, flow)
        give_back(net, place)
    else:
        _acknowledge(net, flow, place)


def acknowledge_late(net: Net, flow: int) -> None:
    """Answer the receiver's alarm: acknowledge the lone packet if it has waited long enough."""
    receiver = net.receivers[flow]
    receiver.clock_set = 0
    if receiver.pending == 0:
        return
    if net.clock.now_ns >= receiver.due_ns:
        _acknowledge(net, flow, take(net))
    else:
        _set_clock(net, flow)


def _acknowledge(net: Net, flow: int, place: int) -> None:
    receiver, packet = net.receivers[flow], net.packets[place]
    receiver.pending = 0
    packet.flow = flow
    packet.number = receiver.seen
    if receiver.first_missing != NOBODY:
        packet.number = net.packets[receiver.first_missing].number
    packet.marks = ECHO if receiver.echo == 1 else 0
    # The whole delay of the path lies behind the link. Where it lies makes no difference.
    set_alarm(net, place, net.clock.now_ns + receiver.round_trip_ns)


def _delay(net: Net, flow: int) -> None:
    receiver = net.receivers[flow]
    receiver.pending = 1
    receiver.due_ns = net.clock.now_ns + DELAY_NS
    if receiver.clock_set == 0:
        _set_clock(net, flow)


def _set_clock(net: Net, flow: int) -> None:
    net.receivers[flow].clock_set = 1
    set_alarm(net, len(net.senders) + flow, net.receivers[flow].due_ns)


def _fill_gap(net: Net, flow: int, number: int) -> bool:
    """Cross a packet off the list of missing ones; False if it is not there: it came before."""
    packets, receiver = net.packets, net.receivers[flow]
    ahead, place = NOBODY, receiver.first_missing
    while place != NOBODY and packets[place].number + packets[place].missing <= number:
        ahead, place = place, packets[place].behind
    if place == NOBODY or number < packets[place].number:
        return False
    gap = packets[place]
    before, after = number - gap.number, gap.number + gap.missing - number - 1
    if before == 0 and after == 0:
        _unlink(net, flow, ahead, place)
    elif before == 0:
        gap.number, gap.missing = number + 1, after
    else:
        gap.missing = before
        if after > 0:
            _add_gap(net, flow, place, number + 1, after)
    return True


def _add_gap(net: Net, flow: int, ahead: int, number: int, missing: int) -> None:
    """Note that so many packets are missing, behind the gap `ahead` if there is one."""
    packets, receiver, place = net.packets, net.receivers[flow], take(net)
    gap = packets[place]
    gap.number, gap.missing = number, missing
    if ahead == NOBODY:
        gap.behind, receiver.first_missing = NOBODY, place
    else:
        gap.behind, packets[ahead].behind = packets[ahead].behind, place
    if gap.behind == NOBODY:
        receiver.last_missing = place


def _unlink(net: Net, flow: int, ahead: int, place: int) -> None:
    """Take a gap that is filled out of the list; `ahead` is the one before it, if any."""
    receiver, behind = net.receivers[flow], net.packets[place].behind
    if ahead == NOBODY:
        receiver.first_missing = behind
    else:
        net.packets[ahead].behind = behind
    if behind == NOBODY:
        receiver.last_missing = ahead
    give_back(net, place)

"""The receiving end: which packets are missing, and when to acknowledge.

An acknowledgement bears the number of the first packet that is missing ("cumulative"). So if packet
7 is lost, packets 8, 9 and 10 are all acknowledged with "7". It also says which packet it is for:
with selective acknowledgements (RFC 2018) the sender looks at that, without them it does not. Since
none gets lost here, one packet in each tells as much as all the blocks of a real one. Packets of a
flow cannot overtake each other: a gap means that something was dropped.

With delayed acknowledgements (RFC 5681, section 4.2) every second packet is acknowledged, or a
lone one after a while. A packet out of order, or one that fills a gap, is acknowledged at once.

A sender takes a moment to notice an acknowledgement: by chance, but less than a packet takes on the
link. Without that a few flows fall into a rhythm with the link, and it is always the same one whose
packets find the buffer full (S. Floyd, V. Jacobson, "On traffic phase effects in packet-switched
gateways", Internetworking: Research and Experience 3, 1992). As packets follow each other on the
link, a flow's acknowledgements stay in order.
"""

__all__ = ["acknowledge_late", "receive"]

from course_lib.tcp.gaps import came
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
    is_new = came(net, receiver, number)
    receiver.delivered += 1 if is_new else 0
    if net.rules.delayed_acks == 1 and in_order and receiver.pending == 0:
        _delay(net, flow)
        give_back(net, place)
    else:
        told = number if is_new and net.rules.sack == 1 else 0
        _acknowledge(net, flow, place, told, _noticing_ns(net))


def acknowledge_late(net: Net, flow: int) -> None:
    """Answer the receiver's alarm: acknowledge the lone packet if it has waited long enough."""
    receiver = net.receivers[flow]
    receiver.clock_set = 0
    if receiver.pending == 0:
        return
    if net.clock.now_ns >= receiver.due_ns:
        _acknowledge(net, flow, take(net), 0, 0)
    else:
        _set_clock(net, flow)


def _acknowledge(net: Net, flow: int, place: int, arrived: int, noticing_ns: int) -> None:
    receiver, packet = net.receivers[flow], net.packets[place]
    receiver.pending = 0
    packet.flow = flow
    packet.number = receiver.seen
    if receiver.first_missing != NOBODY:
        packet.number = net.packets[receiver.first_missing].number
    packet.missing = max(arrived - packet.number, 0)  # how far behind the gap the packet lies
    packet.marks = ECHO if receiver.echo == 1 else 0
    # The whole delay of the path lies behind the link. Where it lies makes no difference.
    set_alarm(net, place, net.clock.now_ns + receiver.round_trip_ns + noticing_ns)


def _noticing_ns(net: Net) -> int:
    """Return how long the sender will take to notice: by chance, evenly up to the longest.

    Linear congruences (D. Lehmer 1951), with the numbers that the C standard prints as an example
    (ISO/IEC 9899, rand): whole numbers, the same on every machine. The high digits count.
    """
    net.clock.dice = (net.clock.dice * 1_103_515_245 + 12_345) & 0x7FFF_FFFF
    return net.clock.dice * net.rules.noticing_ns >> 31


def _delay(net: Net, flow: int) -> None:
    receiver = net.receivers[flow]
    receiver.pending = 1
    receiver.due_ns = net.clock.now_ns + DELAY_NS
    if receiver.clock_set == 0:
        _set_clock(net, flow)


def _set_clock(net: Net, flow: int) -> None:
    net.receivers[flow].clock_set = 1
    set_alarm(net, len(net.senders) + flow, net.receivers[flow].due_ns)

"""The loop of TCP flows through one link: from event to event.

There are four kinds of events:

* a packet leaves the link: its receiver takes it in, and the next one begins to be sent;
* an acknowledgement reaches its sender, who may send packets, which are at the buffer at once;
* a sender's alarm rings; a receiver's alarm rings.

Two rules make a run the same everywhere: a packet that leaves the link at the time of another event
leaves first, so its room is free; of alarms at one time, the one that was set first rings first.
"""

__all__ = ["Samples", "advance"]

from typing import NamedTuple

from course_lib.engine.machine_types import Counts, Numbers
from course_lib.queueing.drop_policies import DropRule
from course_lib.tcp.bottleneck import in_system, leave_link, note_time
from course_lib.tcp.receivers import acknowledge_late, receive
from course_lib.tcp.senders import acknowledged, look_at_timer
from course_lib.tcp.state import ECHO, NOBODY, Net, State
from course_lib.tcp.timing_wheel import give_back, next_alarm, set_alarm

_SPARE = 8  # packets that one event may need, besides those that fill the buffer


class Samples(NamedTuple):
    """The rows that the loop fills in; windows and thresholds of one sample after the other."""

    waiting: Counts
    windows: Numbers
    thresholds: Numbers
    window_sum: Numbers
    left: Counts
    dropped: Counts


def advance(
    state: State, on_arrival: DropRule, at_head: DropRule, samples: Samples, until_ns: int
) -> bool:
    """Go on to this time. False if packets, chances or losses ran out: start again with more."""
    senders, receivers, packets, link, clock, rules, rows = state
    net = Net(senders, receivers, packets, link, clock, rules, rows, on_arrival, at_head)
    flows = len(senders)
    if clock.started == 0:
        _start(net)
    while clock.unused > link.buffer_packets - link.waiting + _SPARE and link.next_lost < len(
        rows.lost
    ):
        place = next_alarm(net, min(link.free_ns, until_ns))
        if place == NOBODY and link.free_ns >= until_ns:
            _sample_until(net, samples, until_ns)
            clock.now_ns = until_ns
            note_time(net)
            return link.asked <= len(rows.chances)
        now_ns = link.free_ns if place == NOBODY else packets[place].at_ns
        if clock.next_sample_ns <= now_ns:
            _sample_until(net, samples, now_ns)
        clock.now_ns = now_ns
        if place == NOBODY:
            _arrive_behind_the_link(net, leave_link(net))
        elif place < flows:
            look_at_timer(net, place)
        elif place < 2 * flows:
            acknowledge_late(net, place - flows)
        else:
            packet = net.packets[place]
            give_back(net, place)
            echo = packet.marks & ECHO != 0
            acknowledged(net, packet.flow, packet.number, packet.missing, echo)
    return False


def _arrive_behind_the_link(net: Net, place: int) -> None:
    """Lose the packet, or hand it to its receiver."""
    link, flow = net.link, net.packets[place].flow
    net.receivers[flow].carried += 1
    link.left += 1
    if link.next_lost == len(net.rows.lost):
        give_back(net, place)  # no more are drawn; the run starts again with more
    elif net.rows.lost[link.next_lost] == link.left - 1:
        link.next_lost += 1
        net.senders[flow].lost += 1
        give_back(net, place)
    else:
        receive(net, place)


def _sample_until(net: Net, samples: Samples, until_ns: int) -> None:
    """Fill in the samples up to this time; nothing has changed since the last event."""
    clock, watched = net.clock, net.rules.watched
    while clock.next_sample_ns <= until_ns and clock.samples < len(samples.waiting):
        total = 0.0
        for flow in range(len(net.senders)):
            sender = net.senders[flow]
            total += sender.window
            if flow < watched:
                samples.windows[clock.samples * watched + flow] = sender.window
                samples.thresholds[clock.samples * watched + flow] = sender.threshold
        samples.waiting[clock.samples] = max(in_system(net) - 1, 0)
        samples.window_sum[clock.samples] = total
        samples.left[clock.samples] = net.link.left
        samples.dropped[clock.samples] = net.link.dropped
        clock.samples += 1
        clock.next_sample_ns += net.rules.sample_ns


def _start(net: Net) -> None:
    """Chain up the unused packets, and set each sender's first alarm."""
    net.clock.started = 1
    for place in range(2 * len(net.senders), len(net.packets)):
        give_back(net, place)
    for flow in range(len(net.senders)):
        set_alarm(net, flow, min(net.senders[flow].due_ns, net.rules.shortest_timeout_ns))

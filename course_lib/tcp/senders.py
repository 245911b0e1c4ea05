"""The sending end: what an acknowledgement, its absence, and a congestion mark make a sender do.

* New data acknowledged: the window grows, and the window's next packets go out.
* The third packet that comes behind a gap: one must be lost, since others come through. It is sent
  again at once (*fast retransmit*). If acknowledgements are selective, all that is missing follows:
  RFC 6675, see `selective`. If not, the third acknowledgement of the same number is the sign, and
  until all is repaired each one still lets one packet go: RFC 5681, section 3.2, and RFC 6582.
* Nothing for too long (*time-out*): the window falls to 1, and all that is not acknowledged is sent
  again, in slow start: RFC 5681, section 3.1, and RFC 6298.
* How long is too long follows from the round trips: their smoothed mean, plus four times how much
  they vary. A packet that was sent twice is never measured, since nobody can tell which of the two
  was acknowledged (P. Karn, C. Partridge, SIGCOMM 1987).
* A mark: shrink as if there were a loss, once in a round trip (RFC 3168, section 6.1.2).

Senders have always something to send. There is no handshake.

Real hosts also find repairs that got lost, by time (RFC 8985), and leave slow start before they
lose packets (RFC 9406); some space packets out. These do not.
"""

__all__ = ["acknowledged", "back_off", "look_at_timer", "measured"]

from course_lib.tcp.bottleneck import arrive
from course_lib.tcp.selective import (
    give_all_up,
    learn,
    next_repair,
    start_repair,
    under_way,
)
from course_lib.tcp.state import NEVER, NOBODY, REDUCED, RESENT, SECOND, Net, Sender
from course_lib.tcp.timing_wheel import set_alarm
from course_lib.tcp.windows import grow, shrink

_GRANULARITY_NS = 1e6  # G, of the sender's clock: RFC 6298, rule 2.3
_LONGEST_NS = 60 * SECOND  # RFC 6298, rule 2.5
_THIRD = 3  # duplicates (RFC 5681, section 3.2)


def acknowledged(net: Net, flow: int, number: int, beyond: int, echo: bool) -> None:
    """React to an acknowledgement of all packets before `number`, for one so many beyond it."""
    sender = net.senders[flow]
    sender.acks += 1
    marked = echo and net.rules.ecn == 1
    if marked and sender.recovering == 0 and number > sender.reacted:
        sender.ecn_reductions += 1
        _shrink(net, sender)
        sender.window = sender.threshold
    if beyond > 0 or sender.books == 1:
        learn(net, sender, number, beyond)
    if number > sender.unacked:
        _new_data(net, flow, number, marked)
    elif net.rules.sack == 0 and sender.to_send > sender.unacked:
        _duplicate(net, flow)
    _send(net, flow)


def look_at_timer(net: Net, flow: int) -> None:
    """Answer the sender's alarm: start, or react to a time-out, or do nothing; set the next one.

    The time at which the timer is due moves with each acknowledgement. Moving the alarm as often
    would be slow: it rings once in each shortest time-out, which is never too late.
    """
    sender, now_ns = net.senders[flow], net.clock.now_ns
    if now_ns >= sender.due_ns:
        if sender.window == 0.0:
            sender.window = float(min(net.rules.initial_window, net.rules.largest_window))
            sender.due_ns = NEVER
        else:
            _timed_out(net, sender)
        _send(net, flow)
    set_alarm(net, flow, min(sender.due_ns, now_ns + net.rules.shortest_timeout_ns))


def _new_data(net: Net, flow: int, number: int, marked: bool) -> None:
    sender, now_ns = net.senders[flow], net.clock.now_ns
    acked = number - sender.unacked
    sender.unacked = number
    sender.to_send = max(sender.to_send, number)
    if sender.timed != NOBODY and number > sender.timed:
        measured(sender, now_ns - sender.timed_ns, net.rules.shortest_timeout_ns)
        sender.timed = NOBODY
    sender.expiries = 0
    if sender.recovering == 1 and number < sender.recover:
        if net.rules.sack == 1:
            sender.due_ns = now_ns + sender.timeout_ns
        else:
            _partly_repaired(net, flow, acked)
        return
    if sender.recovering == 1 and net.rules.sack == 1:
        sender.recovering = 0
    elif sender.recovering == 1:
        in_flight = sender.to_send - number
        sender.window = min(sender.threshold, float(max(in_flight, 1) + 1))  # RFC 6582, (1)
        sender.recovering = 0
    elif not marked:
        grow(sender, net.rules, acked, now_ns)
    sender.duplicates = sender.extra = 0
    sender.due_ns = now_ns + sender.timeout_ns  # rule 5.3


def _duplicate(net: Net, flow: int) -> None:
    """Count packets that arrived behind a gap; at the third, repair it."""
    sender = net.senders[flow]
    sender.duplicates += 1
    if sender.recovering == 1:
        sender.window += 1.0  # one packet has left the network
    elif sender.duplicates == _THIRD and sender.unacked > sender.recover:
        _recover(net, sender)
        sender.window = sender.threshold + _THIRD
        _transmit(net, flow, sender.unacked)


def _begin_repair(net: Net, flow: int) -> None:
    """Repair what is known to be lost: RFC 6675, section 5, step 4."""
    sender = net.senders[flow]
    _recover(net, sender)
    sender.window = sender.threshold
    start_repair(sender)
    _transmit(net, flow, next_repair(net, sender))  # whatever the window says


def _recover(net: Net, sender: Sender) -> None:
    sender.fast_retransmits += 1
    if sender.unacked > sender.reacted:  # else a mark in this round trip has shrunk it already
        _shrink(net, sender)
    sender.recovering, sender.partials, sender.recover = 1, 0, sender.top


def _partly_repaired(net: Net, flow: int, acked: int) -> None:
    """Another packet of the same window is missing: repair it as well (RFC 6582, section 3.2)."""
    sender = net.senders[flow]
    sender.window = max(sender.window - acked + 1.0, 1.0)
    if sender.partials == 0:  # with many losses a time-out is quicker than one repair a round trip
        sender.due_ns = net.clock.now_ns + sender.timeout_ns
    sender.partials += 1
    _transmit(net, flow, sender.unacked)


def _timed_out(net: Net, sender: Sender) -> None:
    sender.timeouts += 1
    if sender.expiries == 0 and sender.recovering == 0:  # not once more for the same loss
        _shrink(net, sender)
    sender.peak, sender.epoch_ns = 0.0, NOBODY  # CUBIC: nothing to climb back to (RFC 9438, 4.8)
    sender.expiries += 1
    back_off(sender)
    sender.window = 1.0
    sender.recovering, sender.recover, sender.duplicates, sender.extra = 0, sender.top, 0, 0
    if net.rules.sack == 1:
        give_all_up(sender)
    else:
        sender.to_send = sender.unacked
    sender.timed = NOBODY
    sender.due_ns = net.clock.now_ns + sender.timeout_ns


def _shrink(net: Net, sender: Sender) -> None:
    shrink(sender, sender.to_send - sender.unacked - sender.extra)
    sender.reacted = sender.top
    sender.announce = net.rules.ecn


def _send(net: Net, flow: int) -> None:
    """Send what the window allows; on the first two duplicates one packet more (RFC 3042)."""
    sender = net.senders[flow]
    if sender.books == 1:
        _send_by_the_books(net, flow)
        return
    limited = 0 < sender.duplicates < _THIRD and sender.unacked > sender.recover
    allowed = int(sender.window) + (sender.duplicates if limited else 0)
    allowed = min(allowed, net.rules.largest_window)
    while sender.to_send - sender.unacked < allowed:
        sender.to_send += 1
        sender.extra += 1 if limited else 0
        _transmit(net, flow, sender.to_send - 1)


def _send_by_the_books(net: Net, flow: int) -> None:
    """Send as long as less is under way than the window allows: RFC 6675, steps 3.3 and C."""
    sender = net.senders[flow]
    if sender.given_up > 0 and sender.recovering == 0 and sender.unacked >= sender.recover:
        _begin_repair(net, flow)
    allowed = min(int(sender.window), net.rules.largest_window)
    while under_way(sender) < allowed:
        number = next_repair(net, sender)
        if number == NOBODY:
            if sender.top - sender.unacked >= net.rules.largest_window:
                return
            number = sender.top
            sender.to_send = number + 1
            sender.extra += 1 if sender.recovering == 0 and sender.given_up == 0 else 0
        _transmit(net, flow, number)


def _transmit(net: Net, flow: int, number: int) -> None:
    sender, marks = net.senders[flow], 0
    sender.sent += 1
    if number < sender.top:
        sender.resent += 1
        sender.timed = NOBODY  # Karn's rule; and a gap would be measured with the round trip
        marks = RESENT
    else:
        sender.top = number + 1
        if sender.timed == NOBODY:
            sender.timed, sender.timed_ns = number, net.clock.now_ns
        if sender.announce == 1:
            sender.announce, marks = 0, REDUCED
    if sender.due_ns == NEVER:
        sender.due_ns = net.clock.now_ns + sender.timeout_ns  # rule 5.1
    arrive(net, flow, number, marks)


def measured(sender: Sender, round_trip_ns: int, shortest_ns: int) -> None:
    """Learn from a round trip (RFC 6298, rules 2.2 to 2.5): first the variation, then the mean."""
    if sender.smoothed_ns == 0.0:
        sender.smoothed_ns = float(round_trip_ns)
        sender.variation_ns = round_trip_ns / 2
    else:
        error_ns = abs(sender.smoothed_ns - round_trip_ns)
        sender.variation_ns = 0.75 * sender.variation_ns + 0.25 * error_ns
        sender.smoothed_ns = 0.875 * sender.smoothed_ns + 0.125 * round_trip_ns
    margin_ns = max(_GRANULARITY_NS, 4 * sender.variation_ns)
    timeout_ns = int(sender.smoothed_ns + margin_ns)
    sender.timeout_ns = min(max(timeout_ns, shortest_ns), _LONGEST_NS)


def back_off(sender: Sender) -> None:
    """Double the wait after it was in vain (RFC 6298, rule 5.5)."""
    sender.timeout_ns = min(2 * sender.timeout_ns, _LONGEST_NS)

"""Which packets are missing: a list of runs in rising order, chained through unused packets.

A receiver keeps one of what has not come. A sender that gets selective acknowledgements keeps one
of what it knows to be missing at the receiver: the same list, half a round trip later. `holder` is
the record of either: it bears the first run and the last one, and `seen`, one past the highest
packet that came.
"""

__all__ = ["came", "first_from", "forget_below"]

from course_lib.tcp.state import NOBODY, Net, Receiver, Sender
from course_lib.tcp.timing_wheel import give_back, take

Holder = Receiver | Sender


def came(net: Net, holder: Holder, number: int) -> bool:
    """Note that a packet came; False if it had come before."""
    if number < holder.seen:
        return _fill(net, holder, number)
    if number > holder.seen:
        _add(net, holder, holder.last_missing, holder.seen, number - holder.seen)
    holder.seen = number + 1
    return True


def forget_below(net: Net, holder: Holder, number: int) -> int:
    """Drop what is below this number, all of which came now; return how many were missing."""
    gone = 0
    while holder.first_missing != NOBODY:
        gap = net.packets[holder.first_missing]
        if gap.number >= number:
            break
        count = min(gap.missing, number - gap.number)
        gone += count
        if count < gap.missing:
            gap.number, gap.missing = number, gap.missing - count
            break
        _unlink(net, holder, NOBODY, holder.first_missing)
    if holder.seen < number:
        gone += number - holder.seen
        holder.seen = number
    return gone


def first_from(net: Net, holder: Holder, number: int) -> int:
    """Return the first packet from this number on that is missing or was not seen yet."""
    place = holder.first_missing
    while place != NOBODY:
        gap = net.packets[place]
        if number < gap.number + gap.missing:
            return max(number, gap.number)
        place = gap.behind
    return max(number, holder.seen)


def _fill(net: Net, holder: Holder, number: int) -> bool:
    """Cross a packet off the list of missing ones; False if it is not there: it came before."""
    packets = net.packets
    ahead, place = NOBODY, holder.first_missing
    while place != NOBODY and packets[place].number + packets[place].missing <= number:
        ahead, place = place, packets[place].behind
    if place == NOBODY or number < packets[place].number:
        return False
    gap = packets[place]
    before, after = number - gap.number, gap.number + gap.missing - number - 1
    if before == 0 and after == 0:
        _unlink(net, holder, ahead, place)
    elif before == 0:
        gap.number, gap.missing = number + 1, after
    else:
        gap.missing = before
        if after > 0:
            _add(net, holder, place, number + 1, after)
    return True


def _add(net: Net, holder: Holder, ahead: int, number: int, missing: int) -> None:
    """Note that so many packets are missing, behind the gap `ahead` if there is one."""
    packets, place = net.packets, take(net)
    gap = packets[place]
    gap.number, gap.missing = number, missing
    if ahead == NOBODY:
        gap.behind, holder.first_missing = NOBODY, place
    else:
        gap.behind, packets[ahead].behind = packets[ahead].behind, place
    if gap.behind == NOBODY:
        holder.last_missing = place


def _unlink(net: Net, holder: Holder, ahead: int, place: int) -> None:
    """Take a gap that is filled out of the list; `ahead` is the one before it, if any."""
    behind = net.packets[place].behind
    if ahead == NOBODY:
        holder.first_missing = behind
    else:
        net.packets[ahead].behind = behind
    if behind == NOBODY:
        holder.last_missing = ahead
    give_back(net, place)

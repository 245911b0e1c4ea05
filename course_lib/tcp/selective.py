"""Repair that knows what is missing: selective acknowledgements (RFC 2018) by RFC 6675.

With cumulative acknowledgements a sender learns of one lost packet in a round trip. Here it knows
of all, so it can count what is *under way*: sent, less what the receiver holds, less what must be
lost, and what was sent again counts once more (`SetPipe`). As long as that is less than the window
it sends: first what is lost, in rising order, then new packets (`NextSeg`, rules 1 and 2; rules 3
and 4 are for senders that run out of packets, and these never do). A packet is lost if the receiver
holds three that were sent later (`IsLost`).

The window is not enlarged on the way, and no repair waits for another one. What gets lost a second
time is a matter for the timer. After that all that is missing counts as lost; what the receiver
holds is not sent again (section 5.1).
"""

__all__ = ["give_all_up", "learn", "next_repair", "start_repair", "under_way"]

from course_lib.tcp.gaps import came, first_from, forget_below
from course_lib.tcp.state import NOBODY, Net, Sender

_LATER = 3  # DupThresh


def learn(net: Net, sender: Sender, number: int, beyond: int) -> None:
    """Note an acknowledgement of all before `number`, and of the packet so many `beyond` it."""
    if sender.books == 0:
        _open(sender, number)
    elif number > sender.unacked:
        gone = forget_below(net, sender, number)
        sender.held -= number - sender.unacked - gone
        sender.given_up = 0 if number >= sender.lost_below else sender.given_up - gone
        sender.again = 0 if number >= sender.repair else sender.again - gone
        sender.lost_below = max(sender.lost_below, number)
    highest = sender.seen - 1
    if beyond > 0 and came(net, sender, number + beyond):
        _hold(sender, number + beyond, highest, number)
    elif sender.held == 0 and sender.given_up == 0:
        sender.books = 0  # nothing is missing any more


def under_way(sender: Sender) -> int:
    """Return how many packets are in the network, as far as the sender knows: `pipe`."""
    known = sender.held + sender.given_up
    return sender.top - sender.unacked - known + sender.again


def start_repair(sender: Sender) -> None:
    """Begin with the first missing packet: section 5, step 4.3."""
    sender.repair, sender.again = sender.unacked, 0


def next_repair(net: Net, sender: Sender) -> int:
    """Return the next lost packet to be sent again, or NOBODY: `NextSeg`, rule 1.

    After a time-out only what was sent before it: what is lost later is a new loss.
    """
    if sender.given_up == sender.again:
        return NOBODY
    end = sender.lost_below if sender.recovering == 1 else min(sender.lost_below, sender.recover)
    number = first_from(net, sender, max(sender.repair, sender.unacked))
    if number >= end:
        return NOBODY
    sender.repair = number + 1
    sender.again += 1
    return number


def give_all_up(sender: Sender) -> None:
    """Take all that is missing for lost: the timer has expired."""
    if sender.books == 0:
        _open(sender, sender.unacked)
    sender.lost_below = sender.top
    sender.given_up = sender.top - sender.unacked - sender.held
    start_repair(sender)


def _open(sender: Sender, number: int) -> None:
    """Begin to keep the books: all before `number` is acknowledged, and nothing behind it."""
    sender.books = 1
    sender.seen = sender.lost_below = sender.repair = number
    sender.second = sender.third = 0
    sender.held = sender.given_up = sender.again = 0


def _hold(sender: Sender, number: int, highest: int, unacked: int) -> None:
    """Note that the receiver holds this packet, and what must therefore be lost."""
    sender.held += 1
    if number < sender.lost_below:
        sender.given_up -= 1
    if number < sender.repair:
        sender.again -= 1
    below = highest - number
    if below < 0:
        sender.second, sender.third = -below, sender.second - below
    elif below < sender.second:
        sender.second, sender.third = below, sender.second
    elif below < sender.third:
        sender.third = below
    third = sender.seen - 1 - sender.third
    if third > sender.lost_below:
        sender.lost_below = third
        sender.given_up = third - unacked - sender.held + _LATER

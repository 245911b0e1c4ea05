"""What selective acknowledgements promise: the books are those of RFC 6675, and repairs are few."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from course_lib.tcp import selective, senders
from course_lib.tcp.memory import Tcp
from course_lib.tcp.simulation import simulate_tcp
from course_lib.tcp.state import NOBODY
from course_lib.tcp.traffic import flows, random_loss, traced_loss

WITH, WITHOUT = Tcp(noticing_packets=0), Tcp(sack=False, noticing_packets=0)


def one_flow(lost, tcp=WITH, to_s=4.0, **options):
    """Run one flow of 100 ms on a link on which hardly a packet waits."""
    return simulate_tcp(
        *(flows(1, 0.1), 1e9, 10_000), to_s=to_s, tcp=tcp, loss=traced_loss(lost), **options
    )


def counts(run):
    names = ("lost", "resent", "fast_retransmits", "timeouts")
    return tuple(int(getattr(run.per_flow, name)[0]) for name in names)


def test_twenty_losses_of_one_window_are_repaired_together():
    """RFC 6582 repairs one in a round trip, so its timer is quicker; RFC 6675 knows them all."""
    lost = range(100, 140, 2)
    assert counts(one_flow(lost)) == (20, 20, 1, 0)
    assert counts(one_flow(lost, WITHOUT))[3] == 1


def test_the_window_counts_no_duplicates_in():
    before, after = (one_flow([100], tcp, sample_s=0.01).trace for tcp in (WITHOUT, WITH))
    assert before.windows.max() > before.thresholds[-1, 0] + 3
    fallen = np.isfinite(after.thresholds[:, 0])
    assert after.windows[fallen, 0][0] == after.thresholds[-1, 0]


def test_a_repair_that_gets_lost_waits_for_the_timer_and_nothing_held_is_sent_again():
    """The window is 50, so the repair of packet 100 is the 151st to leave the link, or so."""
    small = Tcp(largest_window=50, noticing_packets=0)
    results = {counts(one_flow([100, place], small)) for place in range(140, 160)}
    assert (2, 2, 1, 1) in results  # the repair was lost: sent a third time, after a time-out
    assert results <= {(2, 2, 1, 1), (2, 2, 1, 0), (2, 2, 2, 0)}


class Rfc6675:
    """The procedures of RFC 6675, section 4, packet by packet, beside the sender's own books."""

    def __init__(self):
        self.held, self.given_up, self.high_rxt = set(), 0, -1
        self.checked = 0

    def is_lost(self, number):
        return number < self.given_up or sum(one > number for one in self.held) >= 3

    def set_pipe(self, unacked, top):
        missing = [number for number in range(unacked, top) if number not in self.held]
        return sum((not self.is_lost(n)) + (n <= self.high_rxt) for n in missing)

    def next_seg(self, unacked, top):
        for number in range(max(unacked, self.high_rxt + 1), top):
            if number not in self.held:
                return number if self.is_lost(number) else NOBODY
        return NOBODY


@pytest.fixture
def beside(monkeypatch):
    """Let the RFC's procedures look over the shoulder of the only sender of a plain run."""
    rfc = Rfc6675()

    def learn(net, sender, number, beyond):
        selective.learn(net, sender, number, beyond)
        if beyond > 0:
            rfc.held.add(number + beyond)

    def under_way(sender):
        pipe = selective.under_way(sender)
        assert pipe == rfc.set_pipe(sender.unacked, sender.top)
        rfc.checked += 1
        return pipe

    def start_repair(sender):
        selective.start_repair(sender)
        rfc.high_rxt = sender.unacked - 1

    def give_all_up(sender):
        selective.give_all_up(sender)
        rfc.given_up, rfc.high_rxt = sender.top, sender.unacked - 1

    def next_repair(net, sender):
        chosen = selective.next_repair(net, sender)
        expected = rfc.next_seg(sender.unacked, sender.top)
        if sender.recovering == 0 and expected >= sender.recover:
            expected = NOBODY  # after a time-out the choice is the sender's: section 5.1
        assert chosen == expected
        rfc.high_rxt = max(rfc.high_rxt, chosen)
        return chosen

    for mine in (learn, under_way, start_repair, give_all_up, next_repair):
        monkeypatch.setattr(senders, mine.__name__, mine)
    return rfc


@pytest.mark.parametrize("delayed", [False, True])
@pytest.mark.parametrize(("share", "room"), [(0.02, 40), (0.1, 40), (0.3, 40), (0.0, 3), (0.05, 3)])
def test_the_books_are_those_of_the_rfc(beside, share, room, delayed):
    loss = random_loss(share) if share else traced_loss([])
    tcp = Tcp(delayed_acks=delayed)
    simulate_tcp(flows(1, 0.1), 1e6, room, to_s=20, loss=loss, tcp=tcp, compiled=False)
    assert beside.checked > 50


@settings(deadline=None, max_examples=40)
@given(st.sets(st.integers(0, 400), max_size=120))
def test_whatever_gets_lost_all_arrives_and_only_what_was_lost_is_sent_again(lost):
    run = one_flow(lost, to_s=300.0, tcp=Tcp(largest_window=30))
    assert run.per_flow.delivered[0] > 400
    assert run.per_flow.resent[0] >= run.per_flow.lost[0] == len(lost)

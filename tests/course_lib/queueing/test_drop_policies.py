"""What the drop policies promise, asked about one packet at a time or through the loop."""

import numpy as np
import pytest

from course_lib.queueing.drop_policies import (
    PacketView,
    codel_at_head,
    controlled_delay,
    random_early,
    red_on_arrival,
)
from course_lib.queueing.measures import measure
from course_lib.queueing.one_queue import FATES, Buffer, simulate
from course_lib.queueing.packets import constant_times, exponential_sizes, poisson_times, trace
from networks.queue_statistics import assert_mean


def arrays(policy):
    return np.array(policy.settings, float), np.array(policy.memory, float)


def red_gaps(seed, packets=4000):
    """Return the distances between drops when the queue stays at 10, halfway to `high`."""
    settings, memory = arrays(random_early(5, 15, 1.0, weight=1.0, top_chance=0.1))
    chances = np.random.default_rng(seed).random(packets)
    views = [PacketView(0, 1, 0, 10, 10, 0, chance) for chance in chances]
    dropped = [i for i, v in enumerate(views) if red_on_arrival(v, settings, memory)]
    return np.diff(dropped)


def test_early_drops_are_spread_evenly_and_not_in_clumps():
    """A chance of 1/20: all distances from 1 to 19 equally often (Floyd & Jacobson 1993, V).

    The paper's text counts from 1 to 20; its figure 2, as here, counts the packet after a drop as
    the second.
    """
    gaps = [red_gaps(seed) for seed in range(20)]
    assert min(map(min, gaps)) == 1
    assert max(map(max, gaps)) == 19
    assert_mean([gap.mean() for gap in gaps], 10.0, within=0.06)
    assert_mean([(gap <= 5).mean() for gap in gaps], 5 / 19, within=0.2)


def test_the_first_packet_between_the_thresholds_has_the_lowest_chance():
    """1/20 at first, then 1/19 (figure 2 of the paper): 0.051 lies between the two."""
    settings, memory = arrays(random_early(5, 15, 1.0, weight=1.0, top_chance=0.1))
    views = [PacketView(0, 1, 0, others, others, 0, 0.051) for others in (4, 10, 10)]
    assert [red_on_arrival(view, settings, memory) for view in views] == [False, False, True]


@pytest.mark.parametrize(("others", "dropped"), [(4, False), (15, True), (99, True)])
def test_early_drops_nothing_below_and_everything_above(others, dropped):
    settings, memory = arrays(random_early(5, 15, 1.0, weight=1.0))
    views = [PacketView(0, 1, 0, others, others, 0, chance) for chance in (0.0, 0.5, 0.999)]
    assert {red_on_arrival(view, settings, memory) for view in views} == {dropped}


@pytest.mark.parametrize("idle_s", [0.0, 0.4, 3.0, 1000.0, 1e30])
def test_the_average_falls_while_the_link_is_idle(idle_s):
    """As if a small packet had found an empty queue every 0.5 s."""
    settings, memory = arrays(random_early(5, 15, 0.5, weight=0.01))
    memory[0] = 12.0
    red_on_arrival(PacketView(0, 1, 0, 0, 0, idle_s, 0.5), settings, memory)
    assert memory[0] == pytest.approx(12.0 * 0.99 ** (idle_s // 0.5))


def test_early_drop_keeps_the_average_queue_between_its_thresholds():
    random = np.random.default_rng(4)
    times, octets = poisson_times(1.03, 50_000, random), exponential_sizes(1.0, 50_000, random)
    policy = random_early(5, 50, 1.0, top_chance=0.2)
    run = simulate(trace(times, octets), 8.0, buffer=Buffer(500), drop=policy)
    means = measure(run, from_s=5000)
    assert 5 < means.waiting < 50
    assert not (run.fate == FATES.index("no room")).any()


class RFC8289:
    """The algorithm as the RFC writes it: one call takes packets until one may be sent.

    All packets have one octet and take a second; at least two must wait behind for a drop.
    """

    def __init__(self, target_s, interval_s):
        self.target_s, self.interval_s = target_s, interval_s
        self.line, self.dropped = [], []
        self.first_above_s = self.drop_next_s = 0.0
        self.count = self.last_count = 0
        self.dropping = False

    def take(self, now_s):
        if not self.line:
            self.first_above_s = 0.0
            return None, False
        number, came_s = self.line.pop(0)
        if now_s - came_s < self.target_s or len(self.line) <= 1:
            self.first_above_s = 0.0
        elif self.first_above_s == 0.0:
            self.first_above_s = now_s + self.interval_s
        elif now_s >= self.first_above_s:
            return number, True
        return number, False

    def next_to_send(self, now_s):
        number, droppable = self.take(now_s)
        if self.dropping:
            self.dropping = droppable
            while self.dropping and now_s >= self.drop_next_s:
                self.dropped.append(number)
                self.count += 1
                number, self.dropping = self.take(now_s)
                if self.dropping:
                    self.drop_next_s += self.interval_s / self.count**0.5
        elif droppable:
            self.dropped.append(number)
            number, _ = self.take(now_s)
            self.dropping = True
            delta, self.count = self.count - self.last_count, 1
            if delta > 1 and now_s - self.drop_next_s < 16 * self.interval_s:
                self.count = delta
            self.drop_next_s = now_s + self.interval_s / self.count**0.5
            self.last_count = self.count
        return number


def dropped_by_rfc_8289(came_s, target_s, interval_s):
    """Return the numbers of the packets that the RFC's algorithm drops on a link of its own."""
    queue, now_s, coming = RFC8289(target_s, interval_s), 0.0, 0
    while coming < len(came_s) or queue.line:
        if queue.next_to_send(now_s) is not None:
            now_s += 1
            arrived = int(np.searchsorted(came_s, now_s, side="right"))
        else:  # idle until the next one comes
            now_s, arrived = came_s[coming], coming + 1
        queue.line += [(number, came_s[number]) for number in range(coming, arrived)]
        coming = max(coming, arrived)
    return queue.dropped


@pytest.mark.parametrize("interval_s", [0.5, 4.0, 20.0])
@pytest.mark.parametrize("seed", range(4))
def test_one_packet_a_call_drops_what_the_loop_of_rfc_8289_drops(seed, interval_s):
    """A standing queue with lulls, in which the delay falls below the target and rises again."""
    random = np.random.default_rng(seed)
    bursts = [random.uniform(start, start + 40, 60) for start in (0, 90, 130, 260)]
    came_s = np.sort(np.concatenate([*bursts, random.uniform(0, 400, 250)]))
    drop = controlled_delay(3.0, interval_s, largest_octets=1)
    run = simulate(trace(came_s, 1.0), 8.0, drop=drop)
    dropped = np.flatnonzero(run.fate == FATES.index("dropped at the head")).tolist()
    assert dropped == dropped_by_rfc_8289(came_s, 3.0, interval_s)
    assert dropped


def test_controlled_delay_brings_a_standing_queue_down_to_its_target():
    """200 packets of 1 ms stand there at the start; then exactly as many come as can leave."""
    packets = trace(np.concatenate([np.zeros(200), constant_times(1000, 60_000)]), 1000)
    kept = measure(simulate(packets, 8e6), from_s=50)
    tamed = measure(simulate(packets, 8e6, drop=controlled_delay()), from_s=50)
    assert kept.wait_s == pytest.approx(0.2, rel=0.01)
    assert tamed.wait_s < 0.01
    assert tamed.utilisation > 0.99


def test_controlled_delay_leaves_a_short_burst_alone():
    packets = trace(np.repeat(np.arange(100.0), 50), 1000)  # 50 ms of work each second
    run = simulate(packets, 8e6, drop=controlled_delay())
    assert (run.fate == FATES.index("sent")).all()


def test_controlled_delay_never_drops_the_last_packet():
    settings, memory = arrays(controlled_delay(largest_octets=1500))
    views = [PacketView(i * 0.01, 1500, 9.0, 1, 1500, 0, 0.5) for i in range(1000)]
    assert not any(codel_at_head(view, settings, memory) for view in views)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: random_early(10, 5, 1.0), r"high \(5\) must be above low \(10\)"),
        (lambda: random_early(-1, 5, 1.0), "low must be 0 or more"),
        (lambda: random_early(1, 5, 0), "packet_s must be above 0"),
        (lambda: random_early(1, 5, 1, weight=2), "weight must lie between 0 and 1, not 2"),
        (lambda: random_early(1, 5, 1, top_chance=0), "top_chance must be above 0"),
        (lambda: controlled_delay(0), "target_s must be above 0"),
        (lambda: controlled_delay(0.005, float("nan")), "interval_s must be a finite number"),
    ],
)
def test_settings_that_cannot_be_are_refused_in_words(call, message):
    with pytest.raises(ValueError, match=message):
        call()

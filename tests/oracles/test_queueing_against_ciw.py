"""The queue's loop against Ciw, a general simulator of queueing networks, on the same models.

Fed with the same times and sizes, both must agree on every single packet. With random numbers of
their own, their means must agree as far as the runs can tell.
"""

import ciw
import numpy as np
import pytest

from course_lib.queueing.measures import measure
from course_lib.queueing.one_queue import Buffer, simulate
from course_lib.queueing.packets import exponential_sizes, merged, poisson_times, trace
from course_lib.queueing.schedulers import FIRST_COME, strict_priority
from networks.queue_statistics import assert_same_mean

LINK = 8.0  # bit/s: a packet takes as many seconds as it has octets
PACKETS = 3000


class ByNumber(ciw.dists.Distribution):
    """Give the n-th customer to come the n-th service time."""

    def __init__(self, times):
        self.times = times

    def sample(self, t=None, ind=None):
        return self.times[ind.id_number - 1]


def gaps(came_s):
    """Return the times between arrivals, and then none."""
    return ciw.dists.Sequential([*np.diff(came_s, prepend=0.0).tolist(), float("inf")])


def records_of(network, until_s):
    """Run Ciw; return its records in the order in which customers came."""
    simulation = ciw.Simulation(network)
    simulation.simulate_until_max_time(until_s)
    return sorted(simulation.get_all_records(), key=lambda record: record.id_number)


def poisson_packets(load, seed, flow=0, count=PACKETS):
    """Return packets with exponential sizes of one octet on average."""
    random = np.random.default_rng(seed)
    times = poisson_times(load, count, random)
    return trace(times, exponential_sizes(1.0, count, random), flow)


@pytest.mark.parametrize("places", [1, 2, 5, 20, 10**6])
@pytest.mark.parametrize("load", [0.5, 0.95, 1.3])
def test_every_packet_fares_alike_in_a_finite_buffer(load, places):
    packets = poisson_packets(load, seed=places)
    network = ciw.create_network(
        arrival_distributions=[gaps(packets.came_s)],
        service_distributions=[ByNumber(packets.octets.tolist())],
        number_of_servers=[1],
        queue_capacities=[places - 1],
    )
    theirs = records_of(network, packets.came_s[-1] * 10)
    ours = simulate(packets, LINK, buffer=Buffer(places))
    sent = [record.record_type == "service" for record in theirs]
    assert (ours.fate == 0).tolist() == sent
    left_s = [record.service_end_date for record in theirs if record.record_type == "service"]
    assert ours.left_s[sent] == pytest.approx(left_s, rel=1e-12)


@pytest.mark.parametrize("scheduler", [FIRST_COME, strict_priority(2)])
def test_every_packet_fares_alike_in_two_classes(scheduler):
    packets = merged(poisson_packets(0.4, 1, flow=0), poisson_packets(0.5, 2, flow=1))
    per_class = {f"{flow}": packets.came_s[packets.flow == flow] for flow in (0, 1)}
    network = ciw.create_network(
        arrival_distributions={name: [gaps(came_s)] for name, came_s in per_class.items()},
        service_distributions={name: [ByNumber(packets.octets.tolist())] for name in per_class},
        number_of_servers=[1],
        priority_classes={"0": 0, "1": scheduler.queues - 1},
    )
    theirs = records_of(network, packets.came_s[-1] * 10)
    began_s = simulate(packets, LINK, scheduler=scheduler).began_s
    assert began_s == pytest.approx([record.service_start_date for record in theirs], rel=1e-12)


def ciw_means(service, places, load, seed):
    """Return loss and mean wait of a run of Ciw with its own random numbers."""
    network = ciw.create_network(
        arrival_distributions=[ciw.dists.Exponential(load)],
        service_distributions=[service],
        number_of_servers=[1],
        queue_capacities=[places - 1],
    )
    ciw.seed(seed)
    records = [r for r in records_of(network, 4000) if r.arrival_date > 200]
    waits = [r.waiting_time for r in records if r.record_type == "service"]
    return 1 - len(waits) / len(records), np.mean(waits)


def our_means(exponential, places, load, seed):
    """Return the same of a run of ours."""
    packets = poisson_packets(load, seed, count=40_000)
    packets = packets if exponential else trace(packets.came_s, 1.0)
    means = measure(simulate(packets, LINK, buffer=Buffer(places)), from_s=200)
    return means.loss, means.wait_s


@pytest.mark.parametrize(
    ("service", "exponential", "places"),
    [(ciw.dists.Exponential(1.0), True, 10), (ciw.dists.Deterministic(1.0), False, 10)],
    ids=["M/M/1/10", "M/D/1/10"],
)
def test_loss_and_wait_agree_with_random_numbers_of_their_own(service, exponential, places):
    theirs = np.array([ciw_means(service, places, 1.0, seed) for seed in range(16)])
    ours = np.array([our_means(exponential, places, 1.0, seed) for seed in range(16)])
    assert_same_mean(ours[:, 1], theirs[:, 1], within=0.15)
    assert_same_mean(ours[:, 0], theirs[:, 0], within=0.25)

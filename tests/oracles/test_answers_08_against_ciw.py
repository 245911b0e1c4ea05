"""The model answers of unit 08 agree with Ciw, a general simulator of queueing networks.

Times are large whole numbers drawn at random, so that no two of them meet: what happens where they
do is for the contract to say.
"""

import random
from itertools import accumulate, pairwise

import ciw
import pytest

from instructor.units.unit_08.answers import three_means, waits_in_line

PACKETS = 400


class ByNumber(ciw.dists.Distribution):
    """Give the n-th customer to come the n-th service time."""

    def __init__(self, times):
        self.times = times

    def sample(self, t=None, ind=None):
        return self.times[ind.id_number - 1]


def drawn(load, seed):
    """Draw arrivals and sending times, of a million on average."""
    rng = random.Random(seed)
    takes = [rng.randint(1, 2_000_000) for _ in range(PACKETS)]
    gaps = [rng.randint(1, round(2_000_000 / load)) for _ in range(PACKETS)]
    return list(accumulate(gaps)), takes


def records_of(came, takes, room):
    """Run Ciw; return its records in the order in which customers came."""
    gaps = [came[0], *(later - one for one, later in pairwise(came)), float("inf")]
    network = ciw.create_network(
        arrival_distributions=[ciw.dists.Sequential(gaps)],
        service_distributions=[ByNumber(takes)],
        number_of_servers=[1],
        queue_capacities=[room - 1],
    )
    simulation = ciw.Simulation(network)
    simulation.simulate_until_max_time(came[-1] + sum(takes) + 1)
    return sorted(simulation.get_all_records(), key=lambda record: record.id_number)


@pytest.mark.parametrize("room", [1, 3, 10_000])
@pytest.mark.parametrize("load", [0.6, 0.95, 1.4])
def test_every_packet_waits_as_long_or_is_dropped(load, room):
    came, takes = drawn(load, room)
    theirs = records_of(came, takes, room)
    waits = [
        record.service_start_date - record.arrival_date if record.record_type == "service" else None
        for record in theirs
    ]
    assert waits_in_line(came, takes, room) == waits
    assert (None in waits) == (room < 10_000)


@pytest.mark.parametrize("room", [2, 6])
def test_the_three_means_are_those_of_the_records(room):
    came, takes = drawn(1.1, room)
    theirs = records_of(came, takes, room)
    left = [
        record.service_end_date if record.record_type == "service" else None for record in theirs
    ]
    end = max(one for one in left if one is not None) + 5
    number, rate, time = three_means(came, left, 0, end)
    sent = [record for record in theirs if record.record_type == "service"]
    assert rate == len(sent) / end
    mean = sum(record.exit_date - record.arrival_date for record in sent) / len(sent)
    assert time == pytest.approx(mean, rel=1e-12)
    assert number == pytest.approx(rate * time, rel=1e-12)

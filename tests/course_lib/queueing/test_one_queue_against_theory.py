"""Simulated means against closed forms, inside confidence intervals from independent runs."""

import numpy as np
import pytest

from course_lib.queueing import theory
from course_lib.queueing.measures import measure
from course_lib.queueing.one_queue import Buffer, simulate
from course_lib.queueing.packets import (
    exponential_sizes,
    merged,
    mixed_sizes,
    on_off_times,
    poisson_times,
    trace,
)
from course_lib.queueing.schedulers import strict_priority
from networks.queue_statistics import assert_mean

SEEDS = range(20)
PACKETS = 150_000
LINK = 8000.0  # bit/s: 1000 octets take a second
WARM_UP_S = 3000.0  # of 100,000 and more: the slowest queue here forgets its start in about 400


def random_of(*seed):
    return np.random.default_rng(list(seed))


def means(sizes, load, **options):
    """Return the measures of runs with Poisson arrivals and a mean service time of a second."""
    runs = []
    for seed in SEEDS:
        random = random_of(seed, int(load * 100))
        packets = trace(poisson_times(load, PACKETS, random), sizes(random))
        runs.append(measure(simulate(packets, LINK, **options), from_s=WARM_UP_S))
    return runs


def exponential(random):
    return exponential_sizes(1000, PACKETS, random)


def constant(random):
    return np.full(PACKETS, 1000.0)


def mixed(random):
    """Sizes of 40 and 2200 octets: mean 1000, variation 1.15."""
    return mixed_sizes([40, 2200], [5, 4], PACKETS, random)


def column(runs, name):
    return [getattr(run, name) for run in runs]


@pytest.mark.parametrize(
    ("sizes", "variation"),
    [(exponential, 1.0), (constant, 0.0), (mixed, (5 * 40**2 + 4 * 2200**2) / 9 / 1000**2 - 1)],
    ids=["M/M/1", "M/D/1", "M/G/1"],
)
@pytest.mark.parametrize("load", [0.5, 0.8])
def test_waits_and_numbers_without_a_limit(sizes, variation, load):
    runs, expected = means(sizes, load), theory.mg1(load, 1.0, variation)
    assert_mean(column(runs, "wait_s"), expected.wait_s, within=0.05)
    assert_mean(column(runs, "delay_s"), expected.delay_s, within=0.04)
    assert_mean(column(runs, "waiting"), expected.waiting, within=0.06)
    assert_mean(column(runs, "in_system"), expected.in_system, within=0.05)
    assert_mean(column(runs, "utilisation"), expected.utilisation, within=0.01)


@pytest.mark.parametrize(("load", "places"), [(0.5, 5), (0.8, 10), (0.9, 10), (1.0, 10), (1.2, 10)])
def test_loss_and_delay_of_a_finite_buffer(load, places):
    runs = means(exponential, load, buffer=Buffer(places))
    expected = theory.mm1_finite(load, 1.0, places)
    assert_mean(column(runs, "loss"), expected.loss, within=0.08)
    assert_mean(column(runs, "delay_s"), expected.delay_s, within=0.02)
    assert_mean(column(runs, "wait_s"), expected.wait_s, within=0.03)
    assert_mean(column(runs, "in_system"), expected.in_system, within=0.03)
    assert_mean(column(runs, "utilisation"), expected.utilisation, within=0.01)


def test_one_place_is_erlangs_loss_formula_for_one_server():
    """M/G/1/1 loses A / (1 + A) whatever the sizes are (Erlang's insensitivity)."""
    for sizes in (exponential, constant, mixed):
        lost = column(means(sizes, 0.8, buffer=Buffer(1)), "loss")
        assert_mean(lost, theory.erlang_b(0.8, 1), within=0.02)


def test_waits_of_three_priorities():
    """Cobham's formula for each class."""
    rates, waits = [0.2, 0.3, 0.35], []
    for seed in SEEDS:
        random = random_of(seed)
        flows = [
            trace(poisson_times(rate, count, random), exponential_sizes(1000, count, random), flow)
            for flow, rate in enumerate(rates)
            for count in [int(60_000 * rate)]
        ]
        run = simulate(merged(*flows), LINK, scheduler=strict_priority(3))
        to_s = min(flow.came_s[-1] for flow in flows)
        waits.append([measure(run, WARM_UP_S, to_s, flow=flow).wait_s for flow in range(3)])
    for simulated, expected in zip(
        np.transpose(waits), theory.priority_waits_s(rates, 1.0, 1.0), strict=True
    ):
        assert_mean(simulated, expected, within=0.1)


def test_littles_law_holds_exactly_from_empty_to_empty():
    """The area under the ledger's count is the sum of the delays (Little 1961)."""
    random = random_of(3)
    run = simulate(trace(poisson_times(0.9, 5000, random), 1000.0), LINK, books=True)
    inside = run.ledger.counts[:, 3] + run.ledger.counts[:, 4]
    area = (inside[:-1] * np.diff(run.ledger.at_s)).sum()
    assert area == pytest.approx((run.left_s - run.packets.came_s).sum(), rel=1e-9)


def test_bursts_make_the_wait_longer_at_the_same_load():
    """On half of the time: the load is 0.6, and while a burst lasts it is 1.2."""
    waits = []
    for seed in range(5):
        times = on_off_times(1.2, 50, 50, PACKETS, random_of(seed))
        run = measure(simulate(trace(times, 1000.0), LINK), from_s=WARM_UP_S)
        waits.append(run.wait_s)
    assert min(waits) > 5 * theory.md1(0.6, 1.0).wait_s

"""A line is cut: the routers find another way, in simulated time and between real kernels."""

from pathlib import Path

import pytest

import instructor.units.unit_07.answers
from course_lib.forwarding import Router
from course_lib.live import PrivateNetwork
from course_lib.live.ferry_plans import fleet_network
from course_lib.live.speaking_routers.cut_story import (
    CutStory,
    _all_is_known,
    _link_in_use,
    simulated_cut,
    speaking_plan,
)
from course_lib.live.speaking_routers.link_watch import DEAD_S, INTERVAL_S, LinkWatch
from course_lib.live.speaking_routers.speaking_router import DISTANCE_VECTOR, LINK_STATE, OWN, PACE
from course_lib.network import build_network, links_for_documentation
from machines.processes import until

OFFICE, MAST, CUT = "Ticket Office", "Weather Mast", "Gull Rock - North Pier"
PROCESS = Path(instructor.units.unit_07.answers.__file__).read_text(encoding="utf-8")
REGULAR_S = 35.0 / PACE  # updates are 30 s apart, give or take 5 s (RFC 2453, section 3.8)


@pytest.mark.parametrize("way", [DISTANCE_VECTOR, LINK_STATE, OWN])
def test_ten_routers_find_another_way_in_simulated_time(way):
    plan = speaking_plan(fleet_network(), way, PROCESS)
    assert len(plan.routers) == 10
    story = simulated_cut(plan)
    assert story.link == CUT
    assert story.came_back
    # Nobody knows of a cut before signs of life stay away, and then it has to be told.
    assert DEAD_S - INTERVAL_S <= story.stalled_s <= DEAD_S + REGULAR_S
    assert story.lost > 0


@pytest.mark.usefixtures("live")
def test_three_routers_between_kernels_find_another_way():
    pairs = [
        ("North Pier", "Reed Pier"), ("Reed Pier", "Gull Rock"), ("Gull Rock", "North Pier"),
        ("North Pier", OFFICE), ("Gull Rock", MAST),
    ]  # fmt: skip
    ring = build_network(links_for_documentation(pairs), Router, hosts=(OFFICE, MAST))
    plan = speaking_plan(ring, LINK_STATE)
    with PrivateNetwork(plan) as network:
        until(lambda: _all_is_known(network, plan))
        until(lambda: _link_in_use(network, plan, OFFICE, MAST) == CUT)
        until(lambda: "echo reply" in echoes(network))
        network.cut(CUT)
        until(lambda: _link_in_use(network, plan, OFFICE, MAST) != CUT)
        until(lambda: "echo reply" in echoes(network))


def echoes(network):
    to = network.plan.host(MAST).interface.address
    rows = network.measure(OFFICE, "echo", destination=to, count=3, interval_s=0.02, wait_s=0.5)
    return [row["what"] for row in rows]


def test_a_story_counts_the_longest_silence():
    story = CutStory("live", CUT, 1.0, 10, (1, 2, 3, 7, 8, 9, 10), 0.5)
    assert (story.lost, story.stalled_s, story.came_back) == (3, 1.5, True)
    assert "came back after 1.50 s; 3 of 10" in str(story)
    silent = story._replace(arrived=(1, 2))
    assert not silent.came_back
    assert silent.stalled_s == 4.0


def test_a_link_works_once_it_is_heard_and_until_it_is_silent():
    watch = LinkWatch(["east", "west"])
    assert watch.silent(100.0) == []
    assert watch.heard(100.0, "east")
    assert not watch.heard(100.5, "east")
    assert watch.silent(100.5 + DEAD_S) == ["east"]
    assert watch.silent(200.0) == []
    assert watch.heard(201.0, "east")

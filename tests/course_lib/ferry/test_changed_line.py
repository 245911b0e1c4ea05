"""A line of the ferry network changes: what both protocols make of it, against what must be so."""

from itertools import pairwise

import pytest

from course_lib.ferry.changed_line import (
    DESTINATIONS,
    DISTANCE_VECTOR,
    LINES,
    LINK_STATE,
    OWNERS,
    TOLD_BACK,
    WAYS,
    Change,
    follow_change,
)
from course_lib.routing.loops import find_loop
from course_lib.routing.shortest_path_tree import shortest_paths

RING = Change("Gull Rock - Lantern Pier")
GONE = Change("North Pier - Plover", destination="Plover Bridge Screen")
COUNTING = GONE._replace(told_back="the metric, nothing at once")


def costs_to(host, cut):
    """Return how far each router is from a host, by all lines but those that are cut."""
    graph = {place: {} for place in OWNERS.values()} | {"Reed Pier": {}}
    for line, (one, other) in LINES.items():
        if line not in cut:
            graph[one][other] = graph[other][one] = 1
    return {place: path.cost + 1 for place, path in shortest_paths(graph, OWNERS[host]).items()}


def metrics(tables, host):
    lines = {place: table.get(DESTINATIONS[host]) for place, table in tables.items()}
    return {place: line.metric for place, line in lines.items() if line and line.metric < 16}


@pytest.mark.parametrize("change", [RING, GONE, Change(RING.line, frozenset({RING.line}))])
@pytest.mark.parametrize("way", WAYS)
def test_before_and_afterwards_all_are_as_far_as_the_map_says(change, way):
    talk = follow_change(change, way).talk
    for host in DESTINATIONS:
        assert metrics(talk.before, host) == costs_to(host, change.cut_before)
        assert metrics(talk.tables_at(1e9), host) == costs_to(host, change.cut_after)


def test_bad_news_is_fast_and_good_news_waits_for_a_regular_update():
    vector, state = (follow_change(RING, way) for way in WAYS)
    assert max(state.lost_s) < 0.06  # flooded in milliseconds, written into tables 50 ms later
    assert 1 < max(vector.lost_s) <= 35  # 30 s, and 5 s at most for chance: RFC 2453, section 3.8
    assert len(state.lost_s) < len(vector.lost_s) < vector.sent


def test_without_remedies_routers_count_to_sixteen_and_packets_go_round():
    talk = follow_change(COUNTING, DISTANCE_VECTOR).talk
    net = DESTINATIONS[GONE.destination]
    counted = [one.table[net].metric for one in talk.learned
               if one.place == "North Pier" and net in one.table]  # fmt: skip
    assert counted[0] == 16  # it has seen the cut, and then it hears a rumour
    assert counted[1:] == sorted(counted[1:])
    assert len(counted) > 5
    assert counted[-1] == 16
    next_hops = [
        {place: table[net].next_hops for place, table in talk.tables_at(at).items()
         if net in table and table[net].metric < 16}
        for at in talk.moments_s
    ]  # fmt: skip
    assert sum(find_loop(hops) is not None for hops in next_hops) > len(next_hops) / 2
    remedied = follow_change(GONE, DISTANCE_VECTOR)
    assert remedied.right_s < 1 < follow_change(COUNTING, DISTANCE_VECTOR).right_s


@pytest.mark.parametrize("way", WAYS)
def test_nothing_is_lost_where_a_line_is_cut_that_nobody_used(way):
    unused = Change("North Pier - Reed Pier", destination="Weather Mast")
    story = follow_change(unused, way)
    goal, net = OWNERS[unused.destination], DESTINATIONS[unused.destination]
    for place in {*OWNERS.values()} - {goal}:
        way_there = [place]
        while way_there[-1] != goal:
            way_there.append(min(story.talk.before[way_there[-1]][net].next_hops))
        assert {*LINES[unused.line]} not in [{*pair} for pair in pairwise(way_there)]
    assert story.lost_s == ()
    assert story.sent > 100


def test_each_message_leaves_one_end_of_its_line_and_comes_to_the_other():
    for way in WAYS:
        story = follow_change(RING, way)
        for travel in story.talk.travels:
            assert {travel.origin, travel.target} in [{*ends} for ends in LINES.values()]
            assert {travel.origin, travel.target} != {*LINES[RING.line]}
            assert travel.leaves_s < travel.arrives_s < travel.leaves_s + 0.002
        assert list(story.talk.moments_s) == sorted(story.talk.moments_s)


def test_the_same_change_gives_the_same_story():
    again = follow_change.__wrapped__(RING, LINK_STATE)
    assert again == follow_change(RING, LINK_STATE)


@pytest.mark.parametrize("told_back", TOLD_BACK)
def test_each_way_to_tell_back_finds_all_routes_in_the_end(told_back):
    story = follow_change(RING._replace(told_back=told_back), DISTANCE_VECTOR)
    assert metrics(story.talk.tables_at(1e9), RING.destination) == costs_to(
        RING.destination, RING.cut_after
    )

"""What a link-state router promises as a whole: one map for all, said rarely, never out of date."""

import pytest

from course_lib.routing.advertisements import (
    FIRST_SEQUENCE,
    LAST_SEQUENCE,
    MAX_AGE_S,
    make_advertisement,
)
from course_lib.routing.flooding import Acknowledgement, LinkStateUpdate
from course_lib.routing.link_state import MIN_INTERVAL_S, REFRESH_S, LinkState, topology
from course_lib.routing.loops import find_loop
from course_lib.routing.neighbour_discovery import Hello, NeighbourState, Timers
from course_lib.routing.protocol import NextHop, Outgoing, Route, link_between
from networks.talking_routers import Talk, talk

# Two ways of equal cost from North Pier to Gull Rock, a dearer third, and a boat at the end.
BAY = {
    "North Pier": {"Plover": 1, "Curlew": 2, "Reed Pier": 5},
    "Plover": {"North Pier": 1, "Gull Rock": 2},
    "Curlew": {"North Pier": 2, "Gull Rock": 1},
    "Reed Pier": {"North Pier": 5, "Gull Rock": 5},
    "Gull Rock": {"Plover": 2, "Curlew": 1, "Reed Pier": 5, "Sandpiper": 1},
    "Sandpiper": {"Gull Rock": 1},
}


def make_router(name: str, links: dict[str, int]) -> LinkState[str]:
    return LinkState(name, links, {f"{name} quay": 1})


def bay(until_s: float = 60) -> Talk[LinkState[str]]:
    ferries = talk(BAY, make_router)
    ferries.run_until(until_s)
    return ferries


def bodies(ferries: Talk[LinkState[str]], name: str) -> set[tuple[object, ...]]:
    """Return what the map of one router consists of, ages left out."""
    return {
        (a.header.router, a.header.sequence, a.neighbours, a.networks)
        for a in ferries.routers[name].database.alive()
    }


def sequence_of(ferries: Talk[LinkState[str]], name: str, seen_by: str = "Sandpiper") -> int:
    return ferries.routers[seen_by].database.get(ferries.now_s, name).header.sequence


# --- routes ---------------------------------------------------------------------------------------


def test_both_ways_of_equal_cost_are_used():
    routes = bay().routers["North Pier"].routes()
    assert routes["Sandpiper quay"] == Route(
        5, {NextHop("North Pier - Plover", "Plover"), NextHop("Curlew - North Pier", "Curlew")}
    )
    assert routes["North Pier quay"] == Route(1, frozenset())
    assert len(routes) == 6


def test_all_routers_hold_the_same_map():
    ferries = bay()
    assert len({frozenset(bodies(ferries, name)) for name in BAY}) == 1
    assert len(bodies(ferries, "Sandpiper")) == 6


def test_a_network_with_two_owners_is_reached_at_the_nearer_one_or_at_both():
    ferries = bay()
    for name, cost in (("Plover", 4), ("Curlew", 3)):
        ferries.do(name, "attach", "buoy", cost)
    ferries.run_until(80)
    both = ferries.routers["North Pier"].routes()["buoy"]
    assert both == Route(
        5, {NextHop("North Pier - Plover", "Plover"), NextHop("Curlew - North Pier", "Curlew")}
    )
    ferries.do("Plover", "detach", "buoy")
    ferries.run_until(100)
    nearer = ferries.routers["North Pier"].routes()["buoy"]
    assert nearer == Route(5, {NextHop("Curlew - North Pier", "Curlew")})


def test_a_changed_cost_moves_the_traffic():
    ferries = bay()
    ferries.do("North Pier", "set_cost", "Curlew - North Pier", 1)
    ferries.run_until(70)
    assert ferries.next_hops("Sandpiper quay")["North Pier"] == {"Curlew"}
    assert ferries.next_hops("North Pier quay")["Curlew"] == {"North Pier"}


def test_of_parallel_links_the_cheapest_are_used():
    links = {"ferry": 2, "cable": 2, "raft": 3}
    one, other = (LinkState(n, links, {n: 0}) for n in ("Plover", "Curlew"))
    for now_s in (0, 10, 20, 30):
        for sender, receiver in ((one, other), (other, one)):
            pending = sender.tick(now_s)
            for link, message in pending:
                receiver.receive(now_s, message, link)
    assert one.routes()["Curlew"].metric == 2
    assert {hop.link for hop in one.routes()["Curlew"].next_hops} == {"ferry", "cable"}


def test_an_arc_counts_only_if_both_ends_announce_it():
    """RFC 2328, section 16.1, step 2b."""
    told = [
        make_advertisement("Plover", 1, (("Curlew", 1), ("Gull Rock", 1)), ()),
        make_advertisement("Curlew", 1, (("Plover", 4),), ()),
        make_advertisement("Gull Rock", 1, (), ()),
    ]
    assert topology(told) == {"Plover": {"Curlew": 1}, "Curlew": {"Plover": 4}, "Gull Rock": {}}


def test_a_neighbour_that_does_not_announce_us_is_not_sent_through():
    router = met()
    silent = make_advertisement("Curlew", 1, (("Gull Rock", 1),), (("quay", 1),))
    router.receive(2, LinkStateUpdate("Curlew", (silent,)), "east")
    assert router.routes() == {}


# --- speaking about oneself -----------------------------------------------------------------------


def test_nothing_is_said_while_nothing_changes_until_half_an_hour_is_over():
    """RFC 2328, section 12.4, event 1."""
    ferries = bay()
    before = {name: sequence_of(ferries, name) for name in BAY}
    ferries.run_until(REFRESH_S)
    assert {name: sequence_of(ferries, name) for name in BAY} == before
    ferries.run_until(REFRESH_S + 60)
    assert {name: sequence_of(ferries, name) for name in BAY} == {
        name: sequence + 1 for name, sequence in before.items()
    }


def test_a_map_that_is_refreshed_never_dies():
    ferries = bay(3 * MAX_AGE_S)
    assert len(ferries.routers["Sandpiper"].routes()) == 6
    assert not any(router.complaints for router in ferries.routers.values())


def test_changes_in_quick_succession_are_said_together_5_s_later():
    """RFC 2328, section 12.4: MinLSInterval."""
    ferries = bay()
    before = sequence_of(ferries, "North Pier")
    for cost in (3, 4, 6, 7):
        ferries.do("North Pier", "set_cost", "Curlew - North Pier", cost)
        ferries.run_until(ferries.now_s + 0.5)
    assert sequence_of(ferries, "North Pier") == before + 1
    ferries.run_until(60 + MIN_INTERVAL_S + 1)
    assert sequence_of(ferries, "North Pier") == before + 2
    assert ("Curlew", 7) in ferries.routers["Sandpiper"].database.get(66, "North Pier").neighbours


def test_a_router_that_forgot_its_number_goes_past_the_one_that_others_remember():
    """RFC 2328, section 13.4."""
    ferries = bay()
    for cost in range(2, 9):
        ferries.do("Sandpiper", "attach", "buoy", cost)
        ferries.run_until(ferries.now_s + 10)
    before = sequence_of(ferries, "Sandpiper", "North Pier")
    ferries.stop("Sandpiper")
    ferries.run_until(ferries.now_s + 20)
    ferries.start("Sandpiper", make_router("Sandpiper", {"Gull Rock - Sandpiper": 1}))
    ferries.run_until(ferries.now_s + 60)
    assert sequence_of(ferries, "Sandpiper", "North Pier") > before > FIRST_SEQUENCE
    assert "buoy" not in ferries.routers["North Pier"].routes()
    assert "Sandpiper quay" in ferries.routers["North Pier"].routes()


def test_it_does_so_even_if_it_says_the_same_as_before():
    ferries = bay(REFRESH_S + 60)  # so that its number is higher than a restart gets to by itself
    before = sequence_of(ferries, "Sandpiper", "North Pier")
    ferries.stop("Sandpiper")
    ferries.start("Sandpiper", make_router("Sandpiper", {"Gull Rock - Sandpiper": 1}))
    ferries.run_until(ferries.now_s + 100)
    sandpiper = ferries.routers["Sandpiper"]
    assert sequence_of(ferries, "Sandpiper", "North Pier") > before
    assert sequence_of(ferries, "Sandpiper") == sequence_of(ferries, "Sandpiper", "Curlew")
    assert sandpiper.routes()["North Pier quay"].metric == 5


def test_who_is_declared_dead_by_others_speaks_up():
    """An old copy of ours, withdrawn somewhere, must not silence us (section 13.4)."""
    router = met()
    router.receive(1, Hello("Sandpiper", Timers(), ("Plover",)), "west")
    router.tick(10)
    own = router.database.get(10, "Plover")
    dead = LinkStateUpdate("Curlew", (own.at_age(MAX_AGE_S),))
    out = router.receive(20, dead, "east")
    said = [a.header for _, m in out if isinstance(m, LinkStateUpdate) for a in m.advertisements]
    assert (said[-1].sequence, said[-1].age_s) == (own.header.sequence + 1, 1)


def test_what_has_died_of_age_is_no_longer_used():
    """Curlew stays in touch by hellos but never refreshes what it said."""
    router = met()
    router.receive(2, LinkStateUpdate("Curlew", (GOOD,)), "east")
    for now_s in range(10, 2 + MAX_AGE_S, 10):
        router.tick(now_s)
        router.receive(now_s, Hello("Curlew", Timers(), ("Plover",)), "east")
    assert "quay" in router.routes()
    router.tick(2 + MAX_AGE_S)
    assert router.discovery.two_way() == {"east": "Curlew"}
    assert "quay" not in router.routes()


@pytest.mark.parametrize("others", [["Gull Rock"], []], ids=["with a neighbour", "alone"])
def test_after_the_last_number_the_count_begins_again(others):
    """RFC 2328, section 12.1.6: the last instance is withdrawn before a first one is sent."""
    names = ["Sandpiper", *others]
    graph = {name: {other: 1 for other in names if other != name} for name in names}
    ferries = talk(
        graph,
        lambda name, links: LinkState(
            name, links, {f"{name} quay": 1}, first_sequence=LAST_SEQUENCE - 2
        ),
    )
    seen, served = [], []
    for cost in range(2, 12):
        ferries.do("Sandpiper", "attach", "buoy", cost)
        ferries.run_until(ferries.now_s + 20)
        seen.append(sequence_of(ferries, "Sandpiper", names[-1]))
        served.append(ferries.routers[names[-1]].routes()["buoy"].metric)
    assert LAST_SEQUENCE in seen
    assert FIRST_SEQUENCE in seen
    assert seen[-1] < FIRST_SEQUENCE + 10
    assert served[-1] == 11 + len(others)


def test_while_the_last_number_is_withdrawn_nothing_new_is_said():
    router = LinkState("Plover", {"east": 1}, {"quay": 1}, first_sequence=LAST_SEQUENCE)
    router.start(0)
    router.receive(1, Hello("Curlew", Timers(), ("Plover",)), "east")
    out = router.tick(10)
    dead = next(m.advertisements[-1] for _, m in out if isinstance(m, LinkStateUpdate))
    assert (dead.header.sequence, dead.header.age_s) == (LAST_SEQUENCE, MAX_AGE_S)
    assert not any(isinstance(m, LinkStateUpdate) for _, m in router.tick(10.5))
    router.receive(11, Acknowledgement("Curlew", (dead.header,)), "east")
    (update,) = (m for _, m in router.tick(15) if isinstance(m, LinkStateUpdate))
    assert update.advertisements[0].header.sequence == FIRST_SEQUENCE


# --- neighbours come and go -----------------------------------------------------------------------


def test_a_dead_neighbour_is_noticed_within_the_dead_interval():
    ferries = bay(65)
    ferries.stop("Plover", noticed=False)
    ferries.run_until(65 + 41)
    assert ferries.next_hops("Sandpiper quay")["North Pier"] == {"Curlew"}


def test_a_link_that_works_in_one_direction_only_is_not_used():
    router = LinkState("Plover", {"east": 1}, {})
    router.start(0)
    router.receive(1, Hello("Curlew", Timers(), ()), "east")
    assert router.discovery.state("east") is NeighbourState.INIT
    assert not any(isinstance(m, LinkStateUpdate) for _, m in router.tick(10))


def test_an_update_from_a_neighbour_that_has_not_heard_us_yet_waits():
    """It is not acknowledged, and so will be sent again. That is no reason to complain."""
    router = LinkState("Plover", {"east": 1}, {})
    router.start(0)
    router.receive(1, Hello("Curlew", Timers(), ()), "east")
    early = LinkStateUpdate("Curlew", (make_advertisement("Curlew", 1, (), ()),))
    assert router.receive(2, early, "east") == []
    assert not router.complaints


def test_two_halves_live_on_alone_and_agree_again_after_they_meet():
    ferries = bay()
    between = [link_between("Gull Rock", other) for other in ("Plover", "Curlew", "Reed Pier")]
    for link in between:
        ferries.cut(link)
    ferries.run_until(80)
    assert set(ferries.routers["Sandpiper"].routes()) == {"Sandpiper quay", "Gull Rock quay"}
    ferries.do("North Pier", "attach", "buoy", 1)
    ferries.do("Gull Rock", "detach", "Gull Rock quay")
    ferries.run_until(100)
    ferries.mend(between[2])
    ferries.run_until(140)
    assert len({frozenset(bodies(ferries, name)) for name in BAY}) == 1
    assert "Gull Rock quay" not in ferries.routers["North Pier"].routes()
    assert ferries.routers["Sandpiper"].routes()["buoy"].metric == 12


def test_after_an_hour_apart_each_half_has_forgotten_the_other():
    """RFC 2328, section 14: nobody refreshes what lies on the other side."""
    ferries = bay()
    ferries.cut("Gull Rock - Sandpiper")
    ferries.run_until(61 + 2 * MAX_AGE_S)
    assert [a.header.router for a in ferries.routers["Sandpiper"].database.alive()] == ["Sandpiper"]
    assert not ferries.routers["North Pier"].database.holds("Sandpiper")
    ferries.mend("Gull Rock - Sandpiper")
    ferries.run_until(ferries.now_s + 40)
    assert len(ferries.routers["Sandpiper"].routes()) == 6


def test_while_the_news_spreads_packets_may_circle_but_not_for_long():
    """Routers near the cut know it earlier than others: both loops and their end are seen."""
    graph = {
        "Plover": {"Curlew": 1, "Gull Rock": 1},
        "Curlew": {"Plover": 1, "Gull Rock": 5},
        "Gull Rock": {"Plover": 1, "Curlew": 5},
    }
    ferries = talk(graph, make_router, delay_s=0.5)
    ferries.run_until(60)
    ferries.cut("Gull Rock - Plover")
    assert find_loop(ferries.next_hops("Gull Rock quay")) == ("Plover", "Curlew")
    ferries.run_until(60.6)
    assert find_loop(ferries.next_hops("Gull Rock quay")) is None
    assert ferries.next_hops("Gull Rock quay")["Plover"] == {"Curlew"}


# --- nonsense -------------------------------------------------------------------------------------


def met() -> LinkState[str]:
    """Return Plover, with Curlew as its neighbour on the link `east`."""
    router = LinkState("Plover", {"east": 1, "west": 1}, {})
    router.start(0)
    router.receive(1, Hello("Curlew", Timers(), ("Plover",)), "east")
    return router


GOOD = make_advertisement("Curlew", 5, (("Plover", 1),), (("quay", 1),))
BAD = GOOD._replace(networks=(("quay", -4),))


@pytest.mark.parametrize(
    ("message", "complaint"),
    [
        ("hello", "malformed message 'hello'"),
        (LinkStateUpdate("Curlew", [GOOD]), "malformed message"),
        (Acknowledgement("Curlew", (GOOD,)), "malformed message"),
        (Acknowledgement("Curlew", 5), "malformed message"),
        (LinkStateUpdate("Sandpiper", (GOOD,)), "'Sandpiper' is not a known neighbour"),
        (Acknowledgement("Sandpiper", (GOOD.header,)), "'Sandpiper' is not a known neighbour"),
        (Hello("Plover", Timers(), ()), "leads back to this router"),
        (Hello("Curlew", Timers(7, 9), ()), "hello_interval_s=7"),
    ],
)
def test_a_bad_message_changes_nothing_and_is_reported(message, complaint):
    router = met()
    before = router.database.version, router.discovery.two_way()
    assert router.receive(2, message, "east") == []
    assert (router.database.version, router.discovery.two_way()) == before
    assert complaint in router.complaints[0]
    assert router.complaints[0].startswith("Plover on link 'east': ")


def test_a_bad_advertisement_is_skipped_and_the_others_count():
    router = met()
    router.receive(2, LinkStateUpdate("Curlew", (BAD, GOOD)), "east")
    assert router.routes()["quay"] == Route(2, {NextHop("east", "Curlew")})
    assert "update from 'Curlew', item 1: advertisement of 'Curlew'" in router.complaints[0]
    assert "network 1 ('quay'): cost -4" in router.complaints[0]


def test_an_old_number_does_not_bring_back_an_old_map():
    router = met()
    router.receive(2, LinkStateUpdate("Curlew", (GOOD,)), "east")
    router.tick(6)
    stale = make_advertisement("Curlew", 4, (("Plover", 1),), (("wreck", 1),))
    (answer,) = router.receive(10, LinkStateUpdate("Curlew", (stale,)), "east")
    assert answer.message.advertisements[0].header.sequence == 5
    assert "wreck" not in router.routes()


def test_a_message_on_a_dead_link_is_not_believed():
    router = met()
    router.link_down(2, "east")
    assert router.receive(3, LinkStateUpdate("Curlew", (GOOD,)), "east") == []
    assert "link is down" in router.complaints[0]
    assert router.discovery.two_way() == {}


@pytest.mark.parametrize("cost", [0, -3, 65536, 1.5, True])
def test_a_link_of_impossible_cost_is_refused(cost):
    """RFC 2328, appendix C.3: the cost must always be greater than 0."""
    with pytest.raises(ValueError, match=r"link 'east' has cost .* from 1 to 65535"):
        LinkState("Plover", {"east": cost}, {})
    with pytest.raises(ValueError, match=r"link 'east' has cost"):
        met().set_cost(5, "east", cost)


def test_a_link_that_does_not_exist_is_the_callers_fault():
    calls = (
        lambda router: router.receive(5, Hello("Curlew", Timers(), ()), "south"),
        lambda router: router.link_down(5, "south"),
        lambda router: router.link_up(5, "south"),
        lambda router: router.set_cost(5, "south", 1),
    )
    for call in calls:
        with pytest.raises(ValueError, match="'Plover' has no link 'south'"):
            call(met())


def test_only_an_own_network_can_be_given_up():
    with pytest.raises(ValueError, match="'quay' is not a network of 'Plover'"):
        met().detach(5, "quay")


def test_hellos_are_not_sent_on_a_dead_link():
    router = met()
    router.link_down(2, "east")
    assert [out.link for out in router.tick(10) if isinstance(out, Outgoing)] == ["west"]

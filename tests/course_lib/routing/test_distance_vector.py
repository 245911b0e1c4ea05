"""What a distance-vector router promises: timers, remedies, and calm in the face of nonsense.

The update rule of RFC 2453 and its count-up example are in tests/standards, whole networks are
compared with networkx in tests/oracles.
"""

from itertools import pairwise

import pytest

from course_lib.routing.distance_vector import (
    GARBAGE_COLLECTION_S,
    TIMEOUT_S,
    DistanceVector,
    Settings,
    SplitHorizon,
)
from course_lib.routing.distance_vector_messages import Request, RouteEntry, Update
from course_lib.routing.loops import find_loop
from course_lib.routing.protocol import Outgoing
from networks.talking_routers import Talk, talk

QUIET = Settings(triggered_updates=False, jitter_s=0)
PLAIN = Settings(SplitHorizon.OFF, triggered_updates=False, jitter_s=0)


def lantern_pier(settings: Settings = QUIET) -> DistanceVector[str]:
    router = DistanceVector("Lantern Pier", {"east": 1, "west": 2}, {"Lantern": 1}, settings)
    router.start(0)
    return router


def hear(router: DistanceVector[str], now_s: float, link: str, **metrics: int) -> list[Outgoing]:
    """Let the neighbour at the end of `link` announce these metrics."""
    entries = tuple(RouteEntry(name, metric) for name, metric in metrics.items())
    return router.receive(now_s, Update(f"{link} boat", entries), link)


def metrics(router: DistanceVector[str]) -> dict[str, int]:
    return {destination: entry.metric for destination, entry in router.table().items()}


# --- timers ---------------------------------------------------------------------------------------


def test_a_silent_route_is_lost_after_180_s_and_forgotten_120_s_later():
    """RFC 2453, section 3.8."""
    router = lantern_pier()
    hear(router, 10, "east", Gull=1)
    router.tick(10 + TIMEOUT_S - 0.001)
    assert metrics(router)["Gull"] == 2
    router.tick(10 + TIMEOUT_S)
    assert metrics(router)["Gull"] == 16
    assert "Gull" not in router.routes()
    router.tick(10 + TIMEOUT_S + GARBAGE_COLLECTION_S - 0.001)
    assert metrics(router)["Gull"] == 16
    router.tick(10 + TIMEOUT_S + GARBAGE_COLLECTION_S)
    assert "Gull" not in router.table()


def test_a_route_that_is_confirmed_does_not_expire():
    router = lantern_pier()
    for now_s in range(0, 2000, 100):
        hear(router, now_s, "east", Gull=1)
        router.tick(now_s + 99)
        assert metrics(router)["Gull"] == 2


def test_only_its_own_source_confirms_a_route():
    router = lantern_pier()
    hear(router, 0, "east", Gull=1)
    hear(router, 80, "west", Gull=1)
    router.tick(TIMEOUT_S)
    assert metrics(router)["Gull"] == 16


def test_an_unreachable_route_is_announced_until_it_is_forgotten():
    router = lantern_pier()
    hear(router, 0, "east", Gull=1)
    hear(router, 5, "east", Gull=16)
    out = router.tick(30)
    assert RouteEntry("Gull", 16) in out[1].message.entries
    hear(router, 40, "east", Gull=16)  # said again: the clock does not start anew
    router.tick(5 + GARBAGE_COLLECTION_S)
    assert "Gull" not in router.table()


def test_a_new_route_replaces_the_one_that_is_about_to_be_forgotten():
    router = lantern_pier()
    hear(router, 0, "east", Gull=1)
    hear(router, 5, "east", Gull=16)
    hear(router, 50, "west", Gull=5)
    router.tick(5 + GARBAGE_COLLECTION_S)
    assert metrics(router)["Gull"] == 7


def test_updates_come_every_30_s_give_or_take_5():
    router = lantern_pier(Settings(seed=1))
    times = [router.next_tick_s()]
    for _ in range(200):
        assert router.tick(times[-1] - 0.001) == []
        assert router.tick(times[-1]) != []
        times.append(router.next_tick_s())
    gaps = [later - earlier for earlier, later in pairwise(times)]
    assert 25 <= min(gaps) < 26
    assert 34 < max(gaps) <= 35


def test_two_routers_do_not_fall_into_step():
    one = DistanceVector("Plover", {"east": 1}, {"Plover": 1})
    other = DistanceVector("Curlew", {"east": 1}, {"Curlew": 1})
    one.start(0)
    other.start(0)
    assert one.next_tick_s() != other.next_tick_s()


# --- what is sent ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("split_horizon", "said_to_east"),
    [
        (SplitHorizon.OFF, (RouteEntry("Lantern", 1), RouteEntry("Gull", 2))),
        (SplitHorizon.SIMPLE, (RouteEntry("Lantern", 1),)),
        (SplitHorizon.POISONED_REVERSE, (RouteEntry("Lantern", 1), RouteEntry("Gull", 16))),
    ],
)
def test_what_is_said_about_a_route_to_the_one_it_came_from(split_horizon, said_to_east):
    router = lantern_pier(QUIET._replace(split_horizon=split_horizon))
    hear(router, 0, "east", Gull=1)
    east, west = router.tick(30)
    assert east == ("east", Update("Lantern Pier", said_to_east))
    assert west.message.entries == (RouteEntry("Lantern", 1), RouteEntry("Gull", 2))


def test_a_long_table_takes_several_messages_of_25_entries():
    networks = {f"pier {i}": 1 for i in range(60)}
    router = DistanceVector("Lantern Pier", {"east": 1}, networks, QUIET)
    router.start(0)
    assert [len(out.message.entries) for out in router.tick(30)] == [25, 25, 10]


def test_a_request_is_answered_with_the_whole_table_and_only_there():
    router = lantern_pier()
    hear(router, 0, "east", Gull=1)
    (answer,) = router.receive(1, Request("Curlew"), "west")
    assert answer.link == "west"
    assert [entry.destination for entry in answer.message.entries] == ["Lantern", "Gull"]


def test_a_starting_router_asks_everybody():
    out = DistanceVector("Plover", {"east": 1, "west": 1}, {"Plover": 1}, QUIET).start(0)
    assert out == [("east", Request("Plover")), ("west", Request("Plover"))]


def test_a_change_is_sent_at_once_and_nothing_else_with_it():
    """RFC 2453, section 3.10.1."""
    router = lantern_pier(Settings(SplitHorizon.SIMPLE))
    router.tick(30)
    (out,) = hear(router, 40, "east", Gull=1)
    assert out == ("west", Update("Lantern Pier", (RouteEntry("Gull", 2),)))
    assert hear(router, 41, "east", Gull=1) == []


def test_further_changes_wait_until_a_random_pause_is_over():
    """RFC 2453, section 3.10.1: 1 to 5 s, then one update for all of them."""
    router = lantern_pier(Settings(SplitHorizon.SIMPLE, jitter_s=0))
    hear(router, 6, "east", Gull=1)
    assert hear(router, 6.2, "east", Reed=1) == hear(router, 6.4, "east", North=1) == []
    due_s = router.next_tick_s()
    assert 7 <= due_s <= 11
    (out,) = router.tick(due_s)
    assert [entry.destination for entry in out.message.entries] == ["Reed", "North"]


def test_a_regular_update_makes_the_waiting_one_superfluous():
    router = lantern_pier(Settings(SplitHorizon.SIMPLE, jitter_s=0))
    hear(router, 29.5, "east", Gull=1)
    hear(router, 29.6, "east", Reed=1)
    assert router.next_tick_s() == 30
    router.tick(30)
    assert router.next_tick_s() == 60
    assert router.tick(36) == []


# --- the remedies, seen from outside --------------------------------------------------------------


def two_piers(settings: Settings) -> Talk[DistanceVector[str]]:
    """Gull Rock has a network; Plover reaches it through Gull Rock. Then the network is lost."""
    bay = talk(
        {"Gull Rock": {"Plover": 1}, "Plover": {"Gull Rock": 1}},
        lambda name, links: DistanceVector(
            name, links, {"quay": 1} if name == "Gull Rock" else {}, settings
        ),
    )
    bay.run_until(60)
    bay.do("Gull Rock", "detach", "quay")
    return bay


def watch(bay: Talk[DistanceVector[str]], until_s: float) -> tuple[list[int], set[bool]]:
    """Return the metrics of Plover in the order of appearance, and whether packets ever circled."""
    seen, circled = [], set()
    while bay.now_s < until_s:
        bay.run_until(bay.now_s + 1)
        seen.append(metrics(bay.routers["Plover"]).get("quay"))
        circled.add(find_loop(bay.next_hops("quay")) is not None)
    return [m for i, m in enumerate(seen) if i == 0 or m != seen[i - 1]], circled


def test_two_routers_without_remedy_count_to_infinity_while_packets_circle():
    """RFC 2453, section 3.4.2. The loop is a passing one: at 16 it ends."""
    bay = two_piers(PLAIN)
    assert watch(bay, 1000) == ([2, 4, 6, 8, 10, 12, 14, 16, None], {True, False})
    assert bay.next_hops("quay") == {}


@pytest.mark.parametrize("split_horizon", [SplitHorizon.SIMPLE, SplitHorizon.POISONED_REVERSE])
def test_split_horizon_cures_two_routers(split_horizon):
    """RFC 2453, section 3.4.3."""
    bay = two_piers(PLAIN._replace(split_horizon=split_horizon))
    assert watch(bay, 1000) == ([2, 16, None], {False})


def test_poisoned_reverse_breaks_a_loop_at_once_that_the_simple_kind_leaves_to_the_timeout():
    """RFC 2453, section 3.4.3: if two routers already point at each other."""
    lasted = {}
    for kind in (SplitHorizon.SIMPLE, SplitHorizon.POISONED_REVERSE):
        bay = two_piers(PLAIN._replace(split_horizon=kind))
        bay.run_until(100)
        hear_from = {"Plover": "Gull Rock", "Gull Rock": "Plover"}
        for name, other in hear_from.items():
            rumour = Update(other, (RouteEntry("rumour", 3),))
            bay.routers[name].receive(100, rumour, "Gull Rock - Plover")
        while find_loop(bay.next_hops("rumour")) is not None:
            bay.run_until(bay.now_s + 1)
        lasted[kind] = bay.now_s - 100
    assert lasted[SplitHorizon.POISONED_REVERSE] <= 30
    assert lasted[SplitHorizon.SIMPLE] >= TIMEOUT_S


# --- own networks, links --------------------------------------------------------------------------


def test_our_own_network_is_not_given_up_for_a_neighbours_word():
    router = DistanceVector("Lantern Pier", {"east": 1}, {"Lantern": 9}, QUIET)
    hear(router, 0, "east", Lantern=1)
    assert metrics(router) == {"Lantern": 9}
    router.detach(1, "Lantern")
    hear(router, 2, "east", Lantern=1)
    assert metrics(router) == {"Lantern": 2}


def test_a_link_that_goes_down_takes_its_routes_with_it_and_no_others():
    router = lantern_pier()
    hear(router, 0, "east", Gull=1)
    hear(router, 0, "west", Reed=1)
    router.link_down(5, "east")
    assert metrics(router) == {"Lantern": 1, "Gull": 16, "Reed": 3}
    assert [out.link for out in router.tick(30)] == ["west"]


def test_the_same_calls_give_the_same_run():
    def run() -> list[object]:
        bay = two_piers(Settings(seed=5))
        bay.run_until(500)
        return [bay.network.records, *(r.table() for r in bay.routers.values())]

    assert run() == run()


# --- nonsense -------------------------------------------------------------------------------------


@pytest.mark.parametrize("cost", [0, -1, 16, 1.5, True, "1"])
def test_a_link_or_network_of_impossible_cost_is_refused(cost):
    with pytest.raises(ValueError, match=r"link 'east' has cost .* from 1 to 15"):
        DistanceVector("Plover", {"east": cost}, {})
    with pytest.raises(ValueError, match=r"network 'quay' has cost .* from 1 to 15"):
        DistanceVector("Plover", {}, {"quay": cost})


@pytest.mark.parametrize(
    "call",
    [
        lambda router: router.receive(0, Request("Curlew"), "south"),
        lambda router: router.link_down(0, "south"),
        lambda router: router.link_up(0, "south"),
    ],
)
def test_a_link_that_does_not_exist_is_the_callers_fault(call):
    with pytest.raises(ValueError, match=r"'Lantern Pier' has no link 'south'"):
        call(lantern_pier())


def test_only_an_own_network_can_be_given_up():
    with pytest.raises(ValueError, match="'quay' is not a network of 'Lantern Pier'"):
        lantern_pier().detach(0, "quay")


GOOD = RouteEntry("Gull", 3)


@pytest.mark.parametrize(
    ("message", "complaint"),
    [
        ("hello", "malformed message 'hello'"),
        (Update(7, (GOOD,)), "malformed message"),
        (Update("Curlew", [GOOD]), "malformed entries"),
        (Update("Curlew", ()), "has 0 entries, not 1 to 25"),
        (Update("Curlew", (GOOD,) * 26), "has 26 entries, not 1 to 25"),
        (Update("Lantern Pier", (GOOD,)), "leads to this router itself"),
        (Request("Lantern Pier"), "leads to this router itself"),
    ],
)
def test_a_bad_message_changes_nothing_and_is_reported(message, complaint):
    router = lantern_pier()
    before = router.table()
    assert router.receive(1, message, "east") == []
    assert router.table() == before
    assert complaint in router.complaints[0]
    assert router.complaints[0].startswith("Lantern Pier on link 'east': ")


@pytest.mark.parametrize(
    ("entry", "complaint"),
    [
        (RouteEntry("Reed", 0), "entry 2 ('Reed'): metric 0 is not a whole number from 1 to 16"),
        (RouteEntry("Reed", 17), "entry 2 ('Reed'): metric 17"),
        (RouteEntry("Reed", "3"), "entry 2 ('Reed'): metric '3'"),
        (RouteEntry("Reed", True), "entry 2 ('Reed'): metric True"),
        (RouteEntry(["Reed"], 3), "entry 2: malformed"),
        (("Reed", 3), "entry 2: malformed"),
    ],
)
def test_a_bad_entry_is_skipped_and_the_others_count(entry, complaint):
    """RFC 2453, section 3.9.2: ignore that entry and proceed to the next."""
    router = lantern_pier()
    router.receive(1, Update("Curlew", (GOOD, entry, RouteEntry("North", 4))), "east")
    assert metrics(router) == {"Lantern": 1, "Gull": 4, "North": 5}
    assert complaint in router.complaints[0]
    assert "'Curlew'" in router.complaints[0]


def test_a_message_on_a_dead_link_is_not_believed():
    router = lantern_pier()
    router.link_down(0, "east")
    hear(router, 1, "east", Gull=1)
    assert "Gull" not in router.table()
    assert "link is down" in router.complaints[0]

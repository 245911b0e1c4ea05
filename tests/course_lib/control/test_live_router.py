"""The page of a router that carries real packets between kernels, in a private network."""

import os

import pytest

from course_lib.control import (
    ControlPage,
    LiveRouterWithTraffic,
    SimulatedRouter,
    live_or_simulated_router,
)
from course_lib.live import Ability, SourceRecipe
from machines.processes import until
from pages.touched_figure import said

PLOVER, BEHIND, PLACE = "to Plover", "203.0.113.0/28", "North Pier"
SOURCES = {"no_boats": "def no_boats(packet):\n    raise ValueError('no boats')"}
OWN = """
from course_lib.forwarding.router import Router
def make_router(interfaces, routes):
    router = Router("mine", interfaces)
    for route in routes:
        router.add_route(*route)
    router.add_route(interfaces[0].prefix, None, interfaces[0].name)
    return router
"""


@pytest.fixture
def shown(live):
    """Return the page of a live router with traffic, and the router."""
    router = LiveRouterWithTraffic(SourceRecipe(OWN))
    page = ControlPage(router, ["no_boats"], SOURCES.__getitem__)
    yield page, router
    page.close()
    until(lambda: not router.network.is_there)


def line(page, name=PLOVER):
    return next(each for each in page.state.interfaces if each.name == name)


def until_more(page, number):
    """Wait until a number of the state is larger than it is now."""
    before = number()
    until(lambda: number() > before)


def sent(page):
    return lambda: line(page).sent_frames


def test_everything_is_changed_while_real_packets_flow(shown):
    page, _ = shown
    until_more(page, sent(page))
    until(lambda: page._record.rates()[PLOVER] and max(page._record.rates()[PLOVER]) > 0)
    assert "between real kernels, for" in page.picture.scenes[-1].words.text
    assert len(page.state.neighbours) == len(page.state.interfaces)
    page.act("line", PLOVER)
    page.act("set queue_packets", "4")
    page.act("set rate_bits_per_s", "0.05")
    until_more(page, lambda: line(page).dropped_packets)
    until(lambda: line(page).waiting_packets == 4)
    page.act("set rate_bits_per_s", "none")
    page.act("set loss_period", "3")
    until_more(page, lambda: line(page).lost_packets)
    page.act("set loss_period", "none")
    page.act("cut", PLOVER)
    until_more(page, lambda: line(page).lost_packets)
    held = line(page).sent_frames
    until_more(page, lambda: page.state.counters["received"])
    assert line(page).sent_frames == held
    page.act("cut", PLOVER)
    until_more(page, sent(page))
    page.act("route", BEHIND)
    page.act("withdraw route")
    until_more(page, lambda: page.state.counters.get("dropped: no route", 0))
    page.act("add route")
    until_more(page, sent(page))
    page.act("stage", "rewrite")
    page.act("place", "before")
    page.act("put in")
    until(lambda: any("no boats" in each for each in page.state.complaints))
    page.act("stage", "no_boats")
    page.act("take out")
    until_more(page, sent(page))
    page.act("stage", "decide")
    page.act("take out")
    assert "was there from the beginning" in page.view["problem"]  # the router's own words
    assert page.state.counters["frames dropped by the kernel"] == 0


def test_what_is_lost_is_said_and_starts_again(shown):
    page, router = shown
    until_more(page, sent(page))
    network = router.network
    supervisor = network._supervised.process
    assert os.getpgid(supervisor.pid) != os.getpgid(0)  # an interrupt of a cell goes to the group
    network._talks[PLACE].process.kill()
    until(lambda: "ended by the signal SIGKILL" in said(page))
    page.act("start again")
    assert "was started again" in said(page)
    until_more(page, sent(page))
    assert network._supervised.process is supervisor  # the others went on
    supervisor.kill()
    until(lambda: "has ended" in said(page))
    page.act("start again")
    assert network._supervised.process is not supervisor
    until_more(page, sent(page))
    page.left()
    until(lambda: not network.is_there)


def test_where_nothing_is_live_the_router_is_simulated():
    assert isinstance(live_or_simulated_router(Ability(False)), SimulatedRouter)
    assert isinstance(live_or_simulated_router(Ability(True)), LiveRouterWithTraffic)

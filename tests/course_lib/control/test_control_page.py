"""The page shows a running router, makes changes while packets flow, and says what is wrong."""

import pytest

from course_lib.control import ControlPage
from course_lib.control.control_page import MOST_UNSEEN
from course_lib.figures.steering.router_view import Kind
from course_lib.widgets.touch.touch_figure import Written
from machines.processes import until
from networks.steered_stand_in import SteeredStandIn
from pages.touched_figure import controls, said

PLOVER, ROUTE = "to Plover", "203.0.113.0/28"
SOURCES = {"no_boats": "def no_boats(packet):\n    return None"}


@pytest.fixture(autouse=True)
def strict(monkeypatch):
    monkeypatch.setenv("HOP_BY_HOP_STRICT", "1")


@pytest.fixture
def router():
    return SteeredStandIn()


@pytest.fixture
def page(router):
    shown = ControlPage(router, ["no_boats"], SOURCES.__getitem__)
    yield shown
    shown.close()


def line(page, name=PLOVER):
    return next(each for each in page.state.interfaces if each.name == name)


def refusal(page):
    return page.view["problem"]


def text(page):
    return page.picture.scenes[-1].words.text


def test_it_goes_on_by_itself_and_says_nothing_of_that(page):
    first, words = page.state.now_s, page.picture.words
    until(lambda: page.state.now_s > first + 1)
    assert page.picture.words == words
    assert f"for {page.state.now_s:.0f} s" in text(page)


def test_a_page_that_nobody_sees_is_not_drawn_for_ever(page):
    page._seen = -MOST_UNSEEN
    until(lambda: page.unseen >= MOST_UNSEEN)
    asked = page.state.now_s
    page._told(None, {"seen": page._unasked}, None)
    until(lambda: page.state.now_s > asked)


def test_a_line_is_cut_and_mended(page):
    page.act("cut", PLOVER)
    assert not line(page).is_up
    assert said(page) == f"The line {PLOVER} is cut."
    page.act("cut", PLOVER)
    assert line(page).is_up


def test_a_line_is_set_by_its_fields(page):
    page.act("line", PLOVER)
    page.act("set rate_bits_per_s", "0.5")
    page.act("set queue_packets", "7")
    page.act("set loss_period", "100")
    state = line(page)
    assert (state.rate_bits_per_s, state.queue_packets, state.loss_period) == (5e5, 7, 100)
    assert controls(page)["set queue_packets"] == "7"
    assert "500 kbit/s, 1 ms, 1 in 100 lost" in text(page)


def test_what_cannot_be_stays_in_its_field_which_is_marked(page):
    page.act("line", PLOVER)
    page.act("set queue_packets", "0")
    assert "Queue, packets: 0 is not from 1" in refusal(page)
    fields = {one.action: one for one in page.picture.controls if isinstance(one, Written)}
    assert (fields["set queue_packets"].now, fields["set queue_packets"].is_refused) == ("0", True)
    assert not fields["set delay_s"].is_refused
    drawn = page._unasked
    until(lambda: page._unasked > drawn)
    assert "Queue, packets" in refusal(page)  # a new picture does not take it away
    page.act("set queue_packets", "9")
    assert refusal(page) == ""
    assert not any(one.is_refused for one in page.picture.controls)


def test_a_route_is_withdrawn_and_added(page):
    page.act("route", ROUTE)
    assert controls(page)["next hop"] == "192.0.2.9"
    page.act("withdraw route")
    assert ROUTE not in [str(each.prefix) for each in page.state.routes]
    page.act("add route")
    assert ROUTE in [str(each.prefix) for each in page.state.routes]
    assert said(page) == f"There is a route to {ROUTE} now, {PLOVER}."


@pytest.mark.parametrize(
    ("field", "typed", "words"),
    [
        ("next hop", "192.0.2.77", "Next hop: 192.0.2.77 is on none of the lines"),
        ("prefix", "203.0.113.1/28", "Prefix: "),
    ],
)
def test_a_route_that_cannot_be_is_refused_beside_its_field(page, field, typed, words):
    page.act("route", ROUTE)
    page.act(field, typed)
    page.act("add route")
    assert words in refusal(page)
    assert [one.action for one in page.picture.controls if getattr(one, "is_refused", 0)] == [field]


def test_a_stage_is_swapped_in_fails_and_is_taken_out(page):
    page.act("stage", "rewrite")
    page.act("place", "before")
    page.act("put in")
    assert page.state.stages[3:5] == ("no_boats", "rewrite")
    until(lambda: page.state.complaints)
    assert "no_boats" in text(page)
    page.act("stage", "no_boats")
    page.act("take out")
    assert "no_boats" not in page.state.stages
    assert page.chosen.kind is Kind.LINE  # what was chosen is gone


def test_our_own_stage_cannot_be_taken_out(page):
    page.act("stage", "decide")
    page.act("take out")
    assert "was there from the beginning" in refusal(page)


def test_a_held_picture_stands_still_while_the_router_goes_on(page, router):
    page.act("hold", "")
    held = page.state.now_s
    until(lambda: router.paced.state().now_s > held + 1)
    assert page.state.now_s == held
    page.act("hold", "")
    until(lambda: page.state.now_s > held)


def test_a_lost_router_is_told_once_and_started_again(page, router):
    router.is_lost = True
    until(lambda: "The stand-in has gone." in said(page))
    assert page.picture.scenes[-1].words.title == "North Pier has stopped"
    page.act("cut", PLOVER)
    assert "The stand-in has gone." in refusal(page)
    page.act("start again", "")
    assert router.starts == 2
    assert "was started again" in said(page)
    now = page.state.now_s
    until(lambda: page.state.now_s > now)
    assert page.picture.scenes[-1].words.title == "North Pier is running"


def test_a_page_that_is_gone_lets_its_router_go(page, router):
    page._told(None, {"left": True}, None)
    until(lambda: router.is_lost)


def test_a_page_may_be_closed_twice_as_when_nobody_holds_it_any_more(page):
    page.close()
    page.close()


def test_a_router_that_never_starts_is_told(monkeypatch):
    router = SteeredStandIn()
    monkeypatch.setattr(router, "start", router.close)
    page = ControlPage(router)
    assert "The stand-in has gone." in said(page)
    page.close()


def test_the_still_picture_is_there_without_a_page(page):
    bundle, _ = page._repr_mimebundle_()
    assert "North Pier is running" in bundle["text/html"]
    assert PLOVER in bundle["text/plain"]

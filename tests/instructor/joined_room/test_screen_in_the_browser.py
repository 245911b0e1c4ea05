"""The screen as a projector shows it, in a real browser: one page for all tests here."""

from dataclasses import replace

import pytest

from instructor.joined_room.screen.screen_server import ADDRESS
from instructor.joined_room.screen.screen_wishes import Wish
from pages.axe import find_axe
from pages.room_screen import FITS, POINT, WORDS, picture, violations
from pages.shown_rooms import room_of, troubled, way, with_story, with_stream


class Shown:
    """The page, and what a test does with it."""

    def __init__(self, page, room):
        self.page, self._room, self._moment_s = page, room, 100.0

    def show(self, view):
        """Put a view on the screen, and wait until it is there."""
        self._moment_s += 1
        self._room.shown = replace(view, at_s=self._moment_s)
        place = f"html[data-shown='{self._moment_s:g}']"
        self.page.locator(place).wait_for(state="attached")

    def wished(self, count=1):
        """Wait for wishes, and return them."""
        while len(self._room.wishes) < count:
            self.page.evaluate("new Promise(requestAnimationFrame)")
        found = list(self._room.wishes)
        self._room.wishes.clear()
        return found

    def turn_to(self, name):
        self.page.get_by_role("button", name=name, exact=True).click()

    def words(self, place):
        return self.page.locator(f"#{place}").inner_text()


@pytest.fixture(scope="module")
def shown(browser, screen):
    page = browser.new_page(viewport={"width": 1920, "height": 1080}, reduced_motion="reduce")
    complaints, asked = [], []
    page.on("console", lambda message: complaints.append(message.text))
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.on("request", lambda request: asked.append(request.url))
    screen.shown, screen.refuses = room_of(), None
    page.goto(f"http://{screen.address}{ADDRESS}")
    yield Shown(page, screen)
    page.close()
    assert complaints == []
    assert [url for url in asked if screen.address not in url and not url.startswith("data:")] == []


ROOMS = {
    "5 piers": room_of(piers=5),
    "10 on the map": room_of("map", None),
    "24 in a ring": room_of(),
    "60 in a ring": room_of(piers=60),
    "60 in a tree": room_of("tree", 60),
}


@pytest.mark.parametrize("name", ROOMS)
def test_all_words_are_large_and_none_lie_on_others(shown, name):
    view = ROOMS[name]
    for n, seen in enumerate([view, troubled(view)]):
        shown.turn_to("A stream")
        shown.show(with_story(with_stream(seen, quiet_s=4.2 if n else None, path=way(view))))
        found = shown.page.evaluate(WORDS)
        assert len(found["names"]) >= len(view.members)
        assert found["small"] == []
        assert found["overlaps"] == []
        assert found["outside"] == []
        assert shown.page.evaluate(FITS)
        picture(shown.page, f"room-screen-{name}-{n}")
        shown.turn_to("One packet")
        assert shown.page.evaluate(WORDS)["small"] == []


def test_with_numbers_that_change_nothing_moves(shown):
    shown.turn_to("A stream")
    view = with_stream(troubled(room_of()), path=way(room_of()))
    shown.show(view)
    before = shown.page.evaluate(PLACES)
    few = tuple(replace(one, bits_per_s=(1.9e6, 1e4), lost_share=(0.0, 0.0)) if one.state == "up"
                else one for one in view.links)  # fmt: skip
    stream = replace(view.stream, sent=7, received=6, late=1, lost=0, strip=("late",) * 150,
                     quiet_s=123.4)  # fmt: skip
    shown.show(replace(view, links=few, stream=stream))
    assert shown.page.evaluate(PLACES) == before
    assert len(before) > 60


def test_axe_finds_nothing_in_light_and_dark(shown, need):
    axe = find_axe(need)
    view = with_story(with_stream(troubled(room_of()), quiet_s=1.0, path=way(room_of())))
    shown.show(view)
    for scheme in ("light", "dark"):
        shown.page.emulate_media(color_scheme=scheme)
        for name in ("A stream", "One packet"):
            shown.turn_to(name)
            assert violations(shown.page, axe) == []
            picture(shown.page, f"room-screen-{name}-{scheme}")
    assert shown.page.locator("[aria-live], [role=status], [role=alert], [role=log]").count() == 1


def test_a_line_is_pulled_by_click_and_mended_by_key(shown):
    shown.turn_to("A stream")
    view = room_of()
    shown.show(view)
    shown.wished(0)
    link = view.links[7]
    name = f"Pull the link {link.ends[0]} – {link.ends[1]}"
    line = shown.page.get_by_role("button", name=name, exact=True)
    shown.page.mouse.click(*line.evaluate(POINT))
    assert shown.wished() == [Wish("pull", link=7)]
    links = tuple(replace(one, state="pulled") if one.number == 7 else one for one in view.links)
    shown.show(replace(view, links=links))
    ends = f"{link.ends[0]} – {link.ends[1]}"
    assert f"{ends} is pulled" in shown.words("said")
    assert f"{ends}: pulled at this screen" in shown.words("troubles")
    # By keys: the map is one stop of Tab, arrows go on from line to line.
    first = shown.page.locator("#map [tabindex='0']")
    assert first.count() == 1
    first.focus()
    shown.page.keyboard.press("Home")
    for _ in range(7):
        shown.page.keyboard.press("ArrowRight")
    assert ends in shown.words("chosen")
    shown.page.keyboard.press("Enter")
    assert shown.wished() == [Wish("mend", link=7)]


def test_the_time_runs_until_packets_flow_again_and_then_stands(shown):
    shown.turn_to("A stream")
    view = room_of()
    shown.show(with_stream(view, quiet_s=3.0))
    clock = shown.page.locator("#seconds")
    assert shown.words("flow") == "No packet arrives."
    while float(clock.inner_text().removesuffix(" s")) <= 3.1:
        shown.page.evaluate("new Promise(requestAnimationFrame)")
    shown.show(with_stream(view, back_after_s=4.07))
    assert (clock.inner_text(), shown.words("flow")) == ("4.1 s", "Packets flow again.")
    assert "after 4.1 s" in shown.words("said")
    path = view.links and way(view)
    assert shown.page.locator("#map .way").count() == len(path) - 1
    told = shown.page.locator("#strip").get_attribute("aria-label")
    assert told.endswith("120 played, 12 late, 18 lost")
    shown.page.get_by_label("From", exact=True).select_option("Gull Pier")
    shown.page.get_by_label("To", exact=True).select_option("Reed Pier")
    shown.page.get_by_role("button", name="Send a stream").press("Enter")
    shown.page.get_by_role("button", name="End it").press("Enter")
    assert shown.wished(2) == [Wish("stream", None, "Gull Pier", "Reed Pier"), Wish("stream")]


def test_a_packet_is_followed_hop_by_hop(shown):
    view = with_story(room_of())
    shown.turn_to("One packet")
    shown.show(view)
    shown.page.get_by_role("button", name="Follow a packet").click()
    assert shown.wished()[0].kind == "follow"
    hops = shown.page.locator("#steps")
    hops.focus()
    shown.page.keyboard.press("Home")
    for place, step in enumerate(view.story.steps):
        now = hops.locator("[aria-current=step]")
        assert f"{place + 1}. {step.pier}" in now.inner_text()
        assert step.verdict in now.inner_text()
        changed = shown.page.locator("#octets .changed").all_inner_texts()
        life, before = 64 - place, 65 - place
        assert (f"{life:02x}" in changed) == (place > 0)
        assert (f"time to live {before} → {life}" in shown.words("changes")) == (place > 0)
        shown.page.keyboard.press("ArrowDown")
    assert shown.page.locator("#map .way").count() == len(view.story.steps) - 1
    *before, last = view.story.steps
    gone = replace(last, verdict="discarded: no route", lives=(59, None))
    shown.show(replace(view, story=replace(view.story, steps=(*before, gone))))
    assert shown.page.locator("#map .kept").count() == 1
    assert hops.locator("[data-kept=on]").inner_text().split()[-4:] == [
        "59", "discarded:", "no", "route",
    ]  # fmt: skip
    assert f"As it came to {last.pier}" in shown.words("octets-head")


# Where everything is: of words on lines only the middle, as they may be longer or shorter.
PLACES = """() => [...document.querySelectorAll('body *')].filter(one => one.checkVisibility()
    && !one.closest('#troubles, #strip, .slot')
    && (!one.closest('#map') || one.matches('#map, text, .body'))).map(one => {
  const {x, y, width, height} = one.getBoundingClientRect();
  return [one.localName, one.id, ...[x, y, width, height].map(Math.round)].join(' ');
})"""

"""The page that `hopbyhop open` lands on: what is next, what is done, a way to each workbook."""

import json
import re
import urllib.request
from itertools import product

import pytest
from playwright.sync_api import expect

from course_lib.commands.start_page import start_page
from course_lib.exercises.progress import BUNDLE_MARK
from course_lib.exercises.registry import all_exercises
from instructor.release.workbook_files import ROOT, unit_names
from machines.lab_on_loopback import TOKEN, lab_on
from pages.page_reader import contrast
from pages.words_in_figures import covered

UNITS = unit_names()
OPEN = "course_lib.cli", "open"


def entry(best, outcome="right"):
    return {"best": best, "outcome": outcome, "attempts": 1, "hints": 0}


ALL = f"{sum(one.points for one in all_exercises()):g}"
ALL_RIGHT = {one.id: entry(one.points) for one in all_exercises()}


@pytest.fixture
def home(tmp_path):
    return a_bundle_in(tmp_path)


def a_bundle_in(folder):
    (folder / BUNDLE_MARK).touch()
    for unit in UNITS:
        place = folder / "workbooks" / unit / f"{unit}.ipynb"
        place.parent.mkdir(parents=True)
        place.write_bytes((ROOT / "workbooks" / unit / place.name).read_bytes())
    return folder


def words_of(page):
    """Return what is read on a page, without its styles."""
    text = re.sub(r"<style>.*?</style>|<svg.*?</svg>|<[^>]*>", " ", page, flags=re.DOTALL)
    return " ".join(text.split())


@pytest.mark.parametrize(
    ("done", "following", "points"),
    [
        pytest.param({}, "Next, in workbook 01, Frames and headers: 1.1 Read", "0", id="new"),
        pytest.param({"1.1": entry(2)}, "Frames and headers: 1.2 Parse", "2", id="one-right"),
        pytest.param({"1.1": entry(1, "wrong"), "1.2": entry(4)}, "headers: 1.1", "5", id="partly"),
        pytest.param(
            {**ALL_RIGHT, "6.2": entry(0, "error")}, "workbook 06, The forwarding path: 6.2",
            f"{int(ALL) - 4}", id="one-gap",
        ),
        pytest.param(ALL_RIGHT, "All exercises are right.", ALL, id="all"),
    ],
)  # fmt: skip
def test_it_says_what_is_next_and_what_is_done(home, done, following, points):
    (home / "progress.json").write_text(json.dumps(done))
    words = words_of(start_page(home))
    assert following in words
    assert f"{points} of {ALL} points so far" in words
    assert ("All exercises are right." in words) == (done == ALL_RIGHT)
    for one in all_exercises():
        best = f"{done[one.id]['best']:g} of {one.points:g}" if one.id in done else "not tried"
        assert f"{one.id} {one.title} {best}" in words.replace("&#39;", "'")


def test_each_workbook_that_is_there_has_a_link_into_jupyterlab(home):
    gone, *there = UNITS
    (home / "workbooks" / gone / f"{gone}.ipynb").unlink()
    page = start_page(home, "/user/alder/")
    links = re.findall(r'<h2><a href="([^"]*)"', page)
    assert links == [f"/user/alder/lab/tree/workbooks/{unit}/{unit}.ipynb" for unit in there]
    assert "Frames and headers" not in page


@pytest.mark.parametrize("octets", [b"{", b"", b"[]", b'{"cells": []}', b"\xff", b'{"cells": [7]}'])
def test_a_workbook_that_cannot_be_read_is_still_linked_by_its_name(home, octets):
    unit = UNITS[0]
    (home / "workbooks" / unit / f"{unit}.ipynb").write_bytes(octets)
    assert f"01 {unit}" in words_of(start_page(home))


def test_a_heading_is_text_on_the_page(home):
    unit = UNITS[0]
    cells = [{"cell_type": "markdown", "source": "# <script>alert(1)</script>"}]
    path = home / "workbooks" / unit / f"{unit}.ipynb"
    path.write_text(json.dumps({"cells": cells}))
    assert "<script" not in start_page(home)


def test_an_empty_folder_is_not_taken_for_a_finished_course(tmp_path):
    words = words_of(start_page(tmp_path))
    assert "There is no workbook of the course in this folder." in words
    assert "All exercises" not in words


def test_damaged_progress_is_put_aside_and_said(home):
    (home / "progress.json").write_text("{not json")
    assert "now lies in progress.damaged.json" in words_of(start_page(home))


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    """Run `hopbyhop open` as it is, and give the address and the folder."""
    folder = a_bundle_in(tmp_path_factory.mktemp("student"))
    command = (*OPEN, str(folder), "--no-browser")
    with lab_on(folder, tmp_path_factory.mktemp("settings"), command) as address:
        yield address, folder


def test_the_server_s_front_door_leads_there_and_it_counts_anew_each_time(served):
    address, folder = served
    for done, points in (({}, "0"), ({"1.1": entry(2)}, "2")):
        (folder / "progress.json").write_text(json.dumps(done))
        with urllib.request.urlopen(f"{address}/?token={TOKEN}") as answer:
            assert answer.url.split("?")[0] == f"{address}/hop-by-hop"
            assert f"{points} of {ALL} points" in words_of(answer.read().decode())


def test_without_the_token_nothing_is_told(served):
    with urllib.request.urlopen(f"{served[0]}/hop-by-hop") as answer:
        assert "/login" in answer.url
        assert "Frames and headers" not in answer.read().decode()


COLOURS = "element => [getComputedStyle(element).color, getComputedStyle(document.body)" \
          ".backgroundColor]"  # fmt: skip


def test_it_is_read_in_a_browser_and_leads_into_the_workbook(browser, served):
    """The page that JupyterLab shows there is looked at with the workbooks."""
    address, folder = served
    page = browser.new_page()
    page.goto(f"{address}/?token={TOKEN}")
    for scheme, width in product(("light", "dark"), (1366, 900)):
        page.emulate_media(color_scheme=scheme)
        page.set_viewport_size({"width": width, "height": 768})
        _can_be_read(page, width)
    following = page.get_by_role("link", name=re.compile("Next, in workbook 01"))
    place = "workbooks/{0}/{0}.ipynb".format(UNITS[0])
    with page.expect_response(f"{address}/lab/tree/{place}", timeout=0) as answer:
        following.click(no_wait_after=True)
    assert answer.value.ok
    assert (folder / place).exists()
    page.close()


def _can_be_read(page, width):
    following = page.get_by_role("link", name=re.compile("Next, in workbook 01"))
    expect(following).to_be_in_viewport(ratio=1)
    for look in (".quiet", "h2 a", ".next strong"):
        text, ground = page.locator(look).first.evaluate(COLOURS)
        assert contrast(_hex(text), _hex(ground)) >= 4.5, look
    wide = page.evaluate("document.documentElement.scrollWidth")
    assert wide <= width
    steps = page.locator(".step > span").evaluate_all(BOXES)
    assert covered(steps) == []


BOXES = """spans => spans.map(span => {
  const box = span.getBoundingClientRect();
  return {words: span.textContent, x: box.x, y: box.y, right: box.right, bottom: box.bottom};
})"""


def _hex(colour):
    """Return "rgb(1, 2, 3)" as "#010203"."""
    return "#" + "".join(f"{int(one):02x}" for one in re.findall(r"\d+", colour)[:3])

"""A class is marked in a real browser with the keys alone, and nothing that was written runs."""

import asyncio
import os
import threading
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from nbgrader.api import Gradebook

from classes.gradebook_dump import book_of
from hand_ins.hand_in_files import UNIT
from instructor.marking.marks import open_marks
from instructor.marking.page_server import serve
from instructor.marking.reading import Reading
from instructor.release.course_folder import named_course
from instructor.release.workbook_files import ROOT
from machines.open_sockets import sockets_at
from pages.axe import find_axe

SCREENSHOTS = Path(os.environ.get("HOP_BY_HOP_SCREENSHOTS", ROOT / ".output" / "screenshots"))


@pytest.fixture
def address(course, monkeypatch):
    """Serve the pages from a thread of their own until the test is done."""
    told, ready, ended = [], threading.Event(), []

    class Stop(asyncio.Event):
        async def wait(self):
            ended.append((asyncio.get_running_loop(), self))
            ready.set()
            return await super().wait()

    monkeypatch.setattr("instructor.marking.page_server.asyncio.Event", Stop)

    def run():
        with open_marks(course) as store:
            reading = Reading(named_course(course), book_of(course), "rowan", store)
            serve(reading, told.append)

    thread = threading.Thread(target=run)
    thread.start()
    ready.wait()
    yield told[0]
    loop, event = ended[0]
    loop.call_soon_threadsafe(event.set)
    thread.join()
    assert sockets_at(urlsplit(told[0]).port) == []


def test_all_texts_are_marked_with_keys_alone_and_nothing_runs(course, address, browser, need):
    axe = find_axe(need)
    page = browser.new_page(viewport={"width": 1366, "height": 768}, bypass_csp=False)
    asked, dialogs = [], []
    page.on("request", lambda request: asked.append(request.url))
    page.on("dialog", lambda dialog: (dialogs.append(dialog.message), dialog.dismiss()))
    page.goto(address)
    assert "key=" not in page.url
    assert broken_rules(page, axe) == []
    SCREENSHOTS.mkdir(parents=True, exist_ok=True)
    page.screenshot(path=SCREENSHOTS / "marking-overview.png")
    page.get_by_role("link", name="frames and headers").focus()
    page.keyboard.press("Enter")
    page.wait_for_url("**/read/**")
    for place in range(1, 5):
        page.get_by_role("heading", name=f"Text {place} of 4").wait_for()
        assert page.title() == f"Text {place} of 4"
        assert page.evaluate("document.documentElement.scrollHeight <= innerHeight")
        assert broken_rules(page, axe) == []
        page.screenshot(path=SCREENSHOTS / f"marking-{place}.png")
        if place == 2:  # look back, and come again
            page.keyboard.press("ArrowLeft")
            page.get_by_role("heading", name="Text 1 of 4").wait_for()
            assert page.get_by_role("radio", name="1.5").is_checked()
            page.keyboard.press("ArrowRight")
            page.get_by_role("heading", name="Text 2 of 4").wait_for()
        page.keyboard.press("1")
        page.keyboard.press("+")
        page.keyboard.press("c")
        page.keyboard.type("12 + more")  # in the comment keys are letters
        page.keyboard.press("Control+Enter")
    page.get_by_role("heading", name="Answers in words").wait_for()
    origin = address.partition("/?")[0]
    assert [url for url in asked if not url.startswith(origin)] == []
    assert dialogs == []
    page.close()
    with Gradebook(book_of(course)) as book:
        for student in ("alder", "bracken", "clover", "dill", "elder"):
            assert book.find_grade("explain-1", UNIT, UNIT, student).manual_score == 1.5
            found = book.find_comment("explain-1", UNIT, UNIT, student).manual_comment
            assert found == "12 + more"


def broken_rules(page, axe):
    """Return what axe-core finds on a page; its script comes by the browser's own tool."""
    watch = page.context.new_cdp_session(page)
    watch.send("Runtime.evaluate", {"expression": axe})
    found = watch.send(
        "Runtime.evaluate",
        {"expression": "axe.run(document, {resultTypes: ['violations']})",
         "awaitPromise": True, "returnByValue": True},
    )["result"]["value"]  # fmt: skip
    assert len(found["passes"]) > 5, "axe-core has looked at nothing"
    return [f"{one['id']}: {node['html'][:200]}" for one in found["violations"]
            for node in one["nodes"]]  # fmt: skip

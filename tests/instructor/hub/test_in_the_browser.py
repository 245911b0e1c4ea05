"""A student logs in at the hub's page, opens the workbook in JupyterLab, and marks an answer."""

import os
import uuid
from pathlib import Path

import nbformat
import pytest
from playwright.sync_api import TimeoutError as PlaywrightTimeoutError

from course_lib.widgets.trie_explorer import explore_trie
from instructor.release.workbook_files import ROOT
from machines.class_on_hub import WORKBOOK

SCREENSHOTS = Path(os.environ.get("HOP_BY_HOP_SCREENSHOTS", ROOT / ".output" / "screenshots"))
pytestmark = pytest.mark.xdist_group("hub")  # one hub is enough
WAIT_MS, MARK_MS, TRIES = 300_000, 100_000, 3


@pytest.fixture(scope="module")
def page(story, hub, browser):
    """Return a page of a student who has logged in."""
    page = logged_in(browser, hub)
    yield page
    page.close()


def test_an_answer_is_marked_in_jupyterlab_behind_the_hub(hub, page):
    assert any(marked(page, f"{hub.address}/user/alder/lab/workspaces") for _ in range(TRIES))
    SCREENSHOTS.mkdir(parents=True, exist_ok=True)
    page.screenshot(path=SCREENSHOTS / "hub-marked.png")


def test_a_figure_that_was_saved_elsewhere_is_a_text_behind_the_hub(hub, page):
    figure = explore_trie({"0": "Reed", "01": "Gull"}, at_first=["0"])
    data, _ = figure._repr_mimebundle_()
    shown = nbformat.v4.new_output("display_data", data)
    cell = nbformat.v4.new_code_cell("explore_trie(routes)", outputs=[shown])
    workbook = nbformat.v4.new_notebook(cells=[cell])
    nbformat.write(workbook, hub.machine.home("alder") / "saved.ipynb")
    page.goto(f"{hub.address}/user/alder/lab/workspaces/{uuid.uuid4().hex}/tree/saved.ipynb")
    output = page.locator(".jp-OutputArea")
    output.get_by_text("To touch this figure, run the cell.").wait_for(timeout=WAIT_MS)
    text = figure.picture.scenes[-1].words.text
    assert output.locator("pre:visible").inner_text() == text
    assert page.get_by_text("Error displaying widget").count() == 0


def logged_in(browser, hub):
    page = browser.new_page(viewport={"width": 1250, "height": 1000})
    page.goto(f"{hub.address}/hub/login")
    page.get_by_label("Username").fill("alder")
    page.get_by_label("Password").fill(hub.machine.passwords["alder"])
    page.get_by_role("button", name="Sign in").click()
    return page


def marked(page, address):
    """Open the workbook anew and mark the first answer; tell whether that worked.

    On a busy machine JupyterLab may lose a click, or begin before it knows its kernels: then a
    person opens the page again.
    """
    page.goto(f"{address}/{uuid.uuid4().hex}/tree/{WORKBOOK}")
    page.wait_for_selector(".jp-Notebook-ExecutionIndicator[data-status=idle]", timeout=WAIT_MS)
    check = page.locator(".jp-CodeCell:has-text('mark(\"1.1\")')").first
    try:
        check.locator(".cm-content").click(timeout=MARK_MS)
        page.get_by_role("menuitem", name="Run", exact=True).click(timeout=MARK_MS)
        page.get_by_text("Run All Above Selected Cell", exact=True).click(timeout=MARK_MS)
        check.locator(".cm-content").click(timeout=MARK_MS)
        page.keyboard.press("Shift+Enter")
        check.get_by_text("right · 2 of 2 points").wait_for(timeout=MARK_MS)
    except PlaywrightTimeoutError:
        return False
    check.scroll_into_view_if_needed()
    return True

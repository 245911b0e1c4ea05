"""A student logs in at the hub's page, opens the workbook in JupyterLab, and marks an answer."""

import os
import uuid
from pathlib import Path

import pytest
from playwright.sync_api import TimeoutError as PlaywrightTimeoutError

from instructor.release.workbook_files import ROOT
from machines.class_on_hub import WORKBOOK

SCREENSHOTS = Path(os.environ.get("HOP_BY_HOP_SCREENSHOTS", ROOT / ".output" / "screenshots"))
pytestmark = pytest.mark.xdist_group("hub")  # one hub is enough
WAIT_MS, MARK_MS, TRIES = 300_000, 100_000, 3


def test_an_answer_is_marked_in_jupyterlab_behind_the_hub(story, hub, browser):
    page = browser.new_page(viewport={"width": 1250, "height": 1000})
    page.goto(f"{hub.address}/hub/login")
    page.get_by_label("Username").fill("alder")
    page.get_by_label("Password").fill(hub.machine.passwords["alder"])
    page.get_by_role("button", name="Sign in").click()
    assert any(marked(page, f"{hub.address}/user/alder/lab/workspaces") for _ in range(TRIES))
    SCREENSHOTS.mkdir(parents=True, exist_ok=True)
    page.screenshot(path=SCREENSHOTS / "hub-marked.png")
    page.close()


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

"""A workbook that is saved, opened again, exported or printed shows pictures, and no error.

JupyterLab prints the page that nbconvert makes of a workbook, so that page is what is tried here.
"""

import nbformat
import pytest
from playwright.sync_api import expect

from course_lib.figures.drawing.palette import LIGHT
from machines.lab_on_loopback import TOKEN
from machines.processes import until
from pages.live_figures import LINES
from pages.open_workbook import START_S, USUAL, OpenWorkbook

pytestmark = pytest.mark.xdist_group("live figures")

SAVED, STRANGE = "saved.ipynb", "strange.ipynb"
HINT = "To touch this figure, run the cell."
A4_PX = {"width": 718, "height": 1047}  # 210 x 297 mm at 96 pixels an inch, less margins of 1 cm
PICTURES = """() => [...document.querySelectorAll('.hop-still')].map(still => {
  const svg = still.querySelector('svg.hop-figure'), box = svg.getBoundingClientRect();
  return {
    seen: svg.checkVisibility() && box.width > 100 && box.height > 50,
    right: box.right,
    hint: still.querySelector('small').checkVisibility() && still.textContent.trim().slice(-40),
    paper: getComputedStyle(svg.querySelector('.paper')).fill,
    live: still.querySelectorAll('.hop-touch').length,
  };
})"""
BROKEN = "text=/Error displaying widget|model not found|Traceback/"


@pytest.fixture(scope="module")
def saved(workbook, folder):
    """Return a copy of the workbook as it was saved after its run: no Python knows its figures."""
    page = workbook.page
    page.evaluate("jupyterapp.commands.execute('docmanager:save')")
    whole = folder / workbook.name
    until(lambda: whole.read_text().count("hop-still") >= len(LINES))
    (folder / SAVED).write_text(whole.read_text())
    return folder / SAVED


@pytest.fixture(scope="module")
def elsewhere(browser):
    """Lend a page in which workbooks are opened anew, one after the other."""
    page = browser.new_page(viewport=USUAL)
    yield page
    page.close()


def looks_like_pictures(found):
    assert len(found) == len(LINES)
    for one in found:
        assert one["seen"]
        assert one["hint"].endswith(HINT)
        assert one["live"] == 0


def test_what_is_saved_needs_no_widget(saved):
    cells = nbformat.read(saved, as_version=4).cells[1 : 1 + len(LINES)]
    for cell in cells:
        shown = [output for output in cell.outputs if output.output_type != "stream"]
        kinds = [set(output.get("data", {"error": ""})) for output in shown]
        assert kinds == [{"text/html", "text/plain"}]


def test_opened_again_it_shows_pictures(saved, browser, lab, elsewhere):
    opened = OpenWorkbook(browser, lab, saved.name, page=elsewhere)
    looks_like_pictures(opened.page.evaluate(PICTURES))
    expect(opened.page.locator(BROKEN)).to_have_count(0)
    opened.picture("reopened-without-its-python")
    assert opened.errors == []
    opened.close()


def test_from_somebody_else_it_shows_texts(saved, browser, lab, elsewhere):
    """Jupyter does not trust what ran elsewhere, and takes the drawings out."""
    strange = nbformat.read(saved, as_version=4)
    strange.cells[-1].source += "  # elsewhere"
    nbformat.write(strange, saved.with_name(STRANGE))
    opened = OpenWorkbook(browser, lab, STRANGE, page=elsewhere)
    outputs = opened.page.locator(".jp-RenderedHTML")
    expect(outputs.locator("pre:visible").first).to_be_visible()
    assert outputs.locator("small:visible").all_inner_texts() == [HINT] * len(LINES)
    texts = outputs.locator("pre:visible").all_inner_texts()
    assert [text for text in texts if len(text) > 100] == texts
    assert len(texts) >= len(LINES)
    expect(opened.page.locator(BROKEN)).to_have_count(0)
    opened.close()


def test_exported_and_printed_it_shows_pictures_that_paper_can_hold(saved, browser, lab):
    page = browser.new_page(viewport=A4_PX)
    page.set_default_timeout(START_S * 1000)
    page.goto(f"{lab}/nbconvert/html/{saved.name}?download=false&token={TOKEN}")
    looks_like_pictures(page.evaluate(PICTURES))
    expect(page.locator(BROKEN)).to_have_count(0)
    page.emulate_media(media="print")
    printed = page.evaluate(PICTURES)
    looks_like_pictures(printed)
    assert [one["right"] for one in printed if one["right"] > A4_PX["width"]] == []
    assert {one["paper"] for one in printed} == {_as_browsers_say(LIGHT.paper)}
    assert page.pdf(format="A4").startswith(b"%PDF")
    page.close()


def _as_browsers_say(colour):
    red, green, blue = (int(colour[place : place + 2], 16) for place in (1, 3, 5))
    return f"rgb({red}, {green}, {blue})"

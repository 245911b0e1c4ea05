"""The workbooks in real JupyterLab in a real browser: run all cells, move each control, look.

Screenshots are kept in `.output/screenshots`; set HOP_BY_HOP_SCREENSHOTS to put
them elsewhere.
"""

import json
import os
import re
import socket
import statistics
import subprocess
import sys
import time
import urllib.request
import uuid
from pathlib import Path

import nbformat
import pytest
from playwright.sync_api import TimeoutError as PlaywrightTimeoutError
from playwright.sync_api import expect

from course_lib.exercises.progress import BUNDLE_MARK
from course_lib.widgets.buffer_explorer import explore_buffers
from instructor.release.workbook_files import (
    ROOT,
    model_answers,
    read_workbook,
    unit_names,
    with_answers,
)
from machines.processes import until

SCREENSHOTS = Path(os.environ.get("HOP_BY_HOP_SCREENSHOTS", ROOT / ".output" / "screenshots"))
UNITS = unit_names()
TOKEN = "for-this-test-alone"
START_S, BEGIN_S, LOOK_S, RUN_S = 600, 30, 30, 900
TRIES = 5


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """Return a folder as a student has it, with one workbook blank and one answered."""
    home = tmp_path_factory.mktemp("student")
    (home / BUNDLE_MARK).touch()
    for unit in UNITS:
        workbook = read_workbook(unit)
        (home / f"{unit}.ipynb").write_text(json.dumps(workbook))
        answered = with_answers(workbook, model_answers(unit))
        (home / f"{unit}-answered.ipynb").write_text(json.dumps(answered))
    (home / "figures.ipynb").write_text(json.dumps(_small_workbook()))
    return home


def _small_workbook():
    """Return a workbook with a figure and little else, for what needs no whole unit."""
    lines = """
        from course_lib.widgets import explore_trie
        routes = {"": "North", "01": "Reed", "0110": "Gull", "1": "Curlew", "11001": "Gull"}
        at_first = ("", "01", "0110", "1")
        address = "01101111"
        explore_trie(routes, at_first=at_first, address=address)
        print("the end")
    """
    cells = [nbformat.v4.new_code_cell(line.strip()) for line in lines.strip().splitlines()]
    return nbformat.v4.new_notebook(cells=cells, metadata={"kernelspec": read_workbook(UNITS[0])
                                    .metadata["kernelspec"]})  # fmt: skip


@pytest.fixture(scope="module")
def lab(folder, tmp_path_factory):
    """Start JupyterLab on a free port of the loopback; end it when the tests are done."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    settings = tmp_path_factory.mktemp("settings")
    # All cells are kept in the page, also those out of sight, so that they can be looked for.
    _set(settings, "notebook-extension/tracker", {"windowingMode": "none"})
    _set(settings, "apputils-extension/notification", {"fetchNews": "false"})
    log = (settings / "log.txt").open("w")
    server = subprocess.Popen(
        [
            sys.executable, "-m", "jupyterlab", "--no-browser", "--allow-root", "--ip=127.0.0.1",
            f"--port={port}", f"--IdentityProvider.token={TOKEN}",
            f"--ServerApp.root_dir={folder}", "--LabApp.news_url=",
            "--LabApp.check_for_updates_class=jupyterlab.NeverCheckForUpdate",
        ],
        env={**os.environ, "HOP_BY_HOP_STRICT": "1", "JUPYTER_CONFIG_DIR": str(settings),
             "JUPYTERLAB_SETTINGS_DIR": str(settings / "lab"),
             "JUPYTERLAB_WORKSPACES_DIR": str(settings / "spaces")},
        stdout=log, stderr=subprocess.STDOUT,
    )  # fmt: skip
    address = f"http://127.0.0.1:{port}"
    _wait_until_up(address, server)
    yield address
    server.terminate()
    server.wait(timeout=20)
    log.close()


def _set(settings, name, values):
    path = settings / "lab" / "@jupyterlab" / f"{name}.jupyterlab-settings"
    path.parent.mkdir(parents=True)
    path.write_text(json.dumps(values))


def _wait_until_up(address, server):
    deadline = time.monotonic() + START_S
    while time.monotonic() < deadline:
        assert server.poll() is None, "JupyterLab ended before it was up"
        try:
            urllib.request.urlopen(f"{address}/api?token={TOKEN}", timeout=2).close()
        except OSError:
            time.sleep(0.2)
        else:
            return
    pytest.fail(f"JupyterLab was not up within {START_S} s")


class Page:
    """One workbook, open in JupyterLab, with the few things that a person does to it."""

    def __init__(self, browser, address, name):
        self._browser, self._address, self._name = browser, address, name
        self._open()

    def _open(self):
        """Open the workbook in a workspace of its own: nothing stands open beside it."""
        self.page = self._browser.new_page(viewport={"width": 1250, "height": 1000})
        self.errors = []
        self.page.on("pageerror", lambda error: self.errors.append(str(error)))
        self.page.on("console", self._note)
        place = f"lab/workspaces/{uuid.uuid4().hex}/tree/{self._name}"
        self.page.goto(f"{self._address}/{place}?token={TOKEN}")
        self.page.wait_for_selector(".jp-Notebook .jp-Cell", timeout=START_S * 1000)
        self.page.wait_for_selector(
            ".jp-Notebook-ExecutionIndicator[data-status=idle]", timeout=START_S * 1000
        )

    def _note(self, message):
        if message.type == "error":
            self.errors.append(message.text)

    def run_all(self):
        """Run all cells through the menu and wait until the last one has its number."""
        ended = any(self._begins_to_run() and self._goes_to_the_end() for _ in range(TRIES))
        assert ended, self.page.evaluate(STATE)
        failed = self.page.locator(ERROR).all_inner_texts()
        assert not failed, f"a cell failed: {failed}"

    def _begins_to_run(self):
        """Choose "Run All Cells"; if nothing comes of it, do what a person does: open it anew.

        On a busy machine JupyterLab may lose a click while the page is still settling, or
        begin before it knows its kernels, and then ask for one.
        """
        try:
            self.page.get_by_role("menuitem", name="Run", exact=True).click(timeout=5000)
            self.page.get_by_text("Run All Cells", exact=True).click(timeout=5000)
        except PlaywrightTimeoutError:
            print("JupyterLab was not ready:", self.page.evaluate(STATE))
        if self._comes_true(BEGUN, BEGIN_S) and not self.page.locator(".jp-Dialog").count():
            return True
        self._open_anew()
        return False

    def _goes_to_the_end(self):
        """Wait as long as cells get their numbers; where that stops and nothing runs, open anew.

        Seen on busy machines: the first cell has its number, the others were never asked for.
        """
        before = None
        while not self._comes_true(ENDED, LOOK_S):
            now = self.page.evaluate(STATE)
            if now == before and now["kernel"] == "idle" and "*" not in now["prompts"]:
                print("JupyterLab stopped before the end:", now)
                self._open_anew()
                return False
            before = now
        return True

    def _open_anew(self):
        self.page.close()
        self._open()

    def _comes_true(self, condition, within_s):
        try:
            self.page.wait_for_function(condition, timeout=within_s * 1000)
        except PlaywrightTimeoutError:
            return False
        return True

    def outputs(self, kind):
        """Return what cells show that match a selector, scrolled into view."""
        found = self.page.locator(kind)
        found.first.scroll_into_view_if_needed()
        return found

    def picture(self, name):
        """Keep a screenshot."""
        SCREENSHOTS.mkdir(parents=True, exist_ok=True)
        self.page.screenshot(path=SCREENSHOTS / f"{name}.png")


# A cell that fails stops the run: the cells behind it never get a number.
ERROR = "[data-mime-type='application/vnd.jupyter.error']"
BEGUN = """() => [...document.querySelectorAll('.jp-Notebook .jp-CodeCell .jp-InputPrompt')]
  .some(prompt => /\\[(\\*|\\d+)\\]/.test(prompt.textContent))"""
ENDED = """() => {
  const cells = [...document.querySelectorAll('.jp-Notebook .jp-CodeCell .jp-InputPrompt')];
  const idle = document.querySelector('.jp-Notebook-ExecutionIndicator[data-status=idle]');
  const all = cells.length > 5 && cells.every(cell => /\\[\\d+\\]/.test(cell.textContent));
  const failed = document.querySelector("[data-mime-type='application/vnd.jupyter.error']");
  return idle && (all || failed);
}"""
STATE = """() => ({
  prompts: [...document.querySelectorAll('.jp-Notebook .jp-CodeCell .jp-InputPrompt')]
    .map(prompt => prompt.textContent).join(' '),
  kernel: document.querySelector('.jp-Notebook-ExecutionIndicator')?.dataset.status,
  dialog: document.querySelector('.jp-Dialog')?.textContent,
  menu: document.querySelector('.lm-Menu')?.textContent,
})"""


@pytest.fixture
def opened(browser, lab):
    pages = []

    def open_workbook(name):
        pages.append(Page(browser, lab, name))
        return pages[-1]

    yield open_workbook
    for page in pages:
        page.page.close()


@pytest.mark.parametrize("unit", UNITS)
def test_a_blank_workbook_runs_and_says_no_answer(opened, unit):
    page = opened(f"{unit}.ipynb")
    page.run_all()
    shown = page.outputs("text=no answer")
    assert shown.count() >= 6
    page.picture(f"{unit}-blank")
    assert page.errors == []


def test_marking_an_answered_workbook_earns_every_point(opened):
    page = opened("01-frames-and-headers-answered.ipynb")
    page.run_all()
    assert page.outputs("text=/Exercise 1.\\d · .* · right/").count() == 6
    page.picture("01-marked-right")
    assert page.errors == []


def test_every_bit_of_the_live_header_is_a_key(opened):
    page = opened("01-frames-and-headers.ipynb")
    page.run_all()
    live = page.outputs(".hop-touch").first
    words = live.get_by_role("status")
    page.picture("01-live-header-before")
    live.get_by_role("button", name="Bit 64:").click()
    expect(words).to_contain_text("Time to live: 123 → 251")
    expect(words).to_contain_text("does not agree")
    page.page.keyboard.press("ArrowRight")
    page.page.keyboard.press("Space")
    expect(words).to_contain_text("Bit 65 is number 2 of the 8 bits of time to live")
    live.get_by_label("Field", exact=True).select_option(label="fragment offset")
    typed = live.get_by_role("textbox", name="Value, 0 to 8191")
    expect(typed).to_have_value("185")
    for text in ("9999", "0x172"):
        _type(page.page, typed, text)
    expect(words).to_contain_text("Fragment offset: 185 → 370")
    live.get_by_role("button", name="Mend the checksum").click()
    expect(words).to_contain_text("the checksum agrees")
    live.scroll_into_view_if_needed()
    page.picture("01-live-header")
    live.get_by_role("button", name="Start again").click()
    expect(words).to_contain_text("Press any bit to flip it")
    assert page.errors == []


def test_the_error_counts_follow_their_controls(opened):
    page = opened("02-checksums.ipynb")
    page.run_all()
    live = page.outputs(".jp-OutputArea:has(button:text('Draw again'))").first
    words = live.get_by_role("status")
    live.get_by_label("Kind of error").select_option(label="two words swapped")
    expect(words).to_contain_text("two words swapped")
    swapped = words.inner_text()
    page.picture("02-live-errors-swapped")
    live.get_by_label("Kind of error").select_option(label="one flipped bit")
    expect(words).not_to_have_text(swapped)
    once = words.inner_text()
    live.get_by_label("Kind of error").select_option(label="two flipped bits")
    expect(words).not_to_have_text(once)
    drawn = words.inner_text()
    live.get_by_role("button", name="Draw again").click()
    expect(words).not_to_have_text(drawn)
    page.picture("02-live-errors")
    assert page.errors == []


def test_the_live_trie_is_touched_and_answers(opened):
    page = opened("04-longest-prefix-match.ipynb")
    page.run_all()
    live = page.outputs(".hop-touch").first
    words = live.get_by_role("status")
    address = live.get_by_role("slider", name="Address", exact=True)
    page.picture("04-live-trie-before")
    _drag(page.page, address, 150)
    expect(address).not_to_have_attribute("aria-valuenow", "111")
    page.picture("04-live-trie-dragged")
    number = int(address.get_attribute("aria-valuenow"))
    expect(words).to_contain_text(f"Address {number:08b}")
    address.focus()
    page.page.keyboard.press("ArrowRight")
    expect(words).to_contain_text(f"Address {number + 1:08b}")
    route = live.get_by_role("button", name="Route 11001 to Gull")
    expect(route).to_have_attribute("aria-pressed", "false")
    route.click()
    expect(words).to_contain_text("Inserted 11001: 4 nodes made.")
    expect(route).to_have_attribute("aria-pressed", "true")
    page.picture("04-live-trie-inserted")
    route.focus()
    page.page.keyboard.press("Space")
    expect(words).to_contain_text("Withdrew 11001: 4 nodes cut off.")
    typed = live.get_by_role("textbox", name="Address")
    _type(page.page, typed, "2.7")
    expect(live.get_by_role("alert")).to_contain_text("2.7 is not a whole number.")
    _type(page.page, typed, "0xC9")
    expect(live.get_by_role("alert")).to_be_empty()
    expect(words).to_contain_text("Address 11001001")
    assert page.errors == []


def test_steps_of_a_figure_are_played_and_taken_one_by_one(opened):
    page = opened("figures.ipynb")
    page.run_all()
    live = page.outputs(".hop-touch").first
    expect(live).to_contain_text("step 5 of 5")
    live.get_by_role("button", name="One step back").click()
    expect(live.locator("svg")).to_contain_text("4 nodes looked at, best so far Reed")
    live.get_by_role("button", name="Play").click()
    live.get_by_role("button", name="Pause").click()
    live.get_by_role("slider", name="Step").focus()
    page.page.keyboard.press("Home")
    expect(live).to_contain_text("step 1 of 5")
    live.get_by_role("button", name="Play").click()
    expect(live).to_contain_text("step 5 of 5", timeout=RUN_S * 1000)
    expect(live.locator("svg")).to_contain_text("5 nodes looked at, answer Gull")
    assert page.errors == []


def test_keys_in_a_figure_never_reach_the_notebook(opened):
    page = opened("figures.ipynb")
    page.run_all()
    live = page.outputs(".hop-touch").first
    cells = page.page.locator(".jp-Notebook .jp-Cell").count()
    for handle in ("Route 01 to Reed", "Start again"):
        live.get_by_role("button", name=handle).focus()
        for key in ("x", "v", "m", "b", "a", "d", "d", "y", "Shift+Enter", "ArrowDown"):
            page.page.keyboard.press(key)
    address = live.get_by_role("slider", name="Address", exact=True)
    address.focus()
    page.page.keyboard.press("End")  # it is answered: all keys before it have been worked off
    expect(address).to_have_attribute("aria-valuenow", "255")
    assert page.page.locator(".jp-Notebook .jp-Cell").count() == cells
    assert live.is_visible()


def test_a_saved_figure_is_a_picture_where_its_python_has_ended(opened, folder, lab):
    saved = folder / "saved.ipynb"
    saved.write_text((folder / "figures.ipynb").read_text())
    page = opened(saved.name)
    page.run_all()
    assert page.outputs(".hop-touch").count() == 1
    page.page.keyboard.press("Control+s")
    until(lambda: "hop-still" in saved.read_text())
    assert "widget-view+json" not in saved.read_text()
    page.page.close()
    _end_all_kernels(lab)
    reopened = opened(saved.name)
    still = reopened.outputs(".hop-still").first
    expect(still).to_contain_text("To touch this figure, run the cell.")
    expect(still.locator("svg.hop-figure")).to_be_visible()
    assert reopened.page.locator(".hop-touch").count() == 0
    assert reopened.page.get_by_text("Error displaying widget").count() == 0
    reopened.picture("04-reopened-without-its-python")


def _end_all_kernels(address):
    def ask(path, method="GET"):
        request = urllib.request.Request(f"{address}/api/{path}?token={TOKEN}", method=method)
        with urllib.request.urlopen(request) as answer:
            return answer.read()

    for session in json.loads(ask("sessions")):
        ask(f"sessions/{session['id']}", "DELETE")
    until(lambda: not json.loads(ask("sessions")))


def _type(page, field, text):
    field.click()
    page.keyboard.press("Control+a")
    page.keyboard.insert_text(text)
    page.keyboard.press("Enter")


def _drag(page, handle, far):
    handle.scroll_into_view_if_needed()
    box = handle.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + 8
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + far, y, steps=8)
    page.mouse.up()


def test_the_live_journey_follows_its_controls(opened):
    page = opened("06-the-forwarding-path.ipynb")
    page.run_all()
    live = page.outputs(".jp-OutputArea:has(button:text('Next step'))").first
    words, step = live.get_by_role("status"), live.get_by_label("Step", exact=True)
    expect(words).to_contain_text("A frame of 68 octets arrives")
    live.get_by_label("Packet", exact=True).select_option(label="too large")
    expect(words).to_contain_text("A frame of 1,042 octets arrives")
    for stage in ("receive:", "validate:", "decide:", "rewrite:"):
        live.get_by_role("button", name="Next step").click()
        expect(words).to_contain_text(stage)
    live.get_by_label("Own stage", exact=True).select_option(label="no_boats behind validate")
    expect(words).to_contain_text("A frame of 1,042 octets arrives")
    step.fill("3")
    step.press("Enter")
    expect(words).to_contain_text("filtered")
    live.scroll_into_view_if_needed()
    page.picture("06-live-journey")
    live.get_by_role("button", name="From the start").click()
    expect(words).to_contain_text("A frame of 1,042 octets arrives")
    assert page.errors == []


def test_the_live_buffer_follows_its_slider_and_sharpens(opened):
    page = opened("10-buffers-and-tcp.ipynb")
    page.run_all()
    live = page.outputs(".jp-OutputArea:has(label:text('Buffer (packets)'))").first
    words = live.get_by_role("status").first
    expect(words).to_contain_text("From 4 runs of 60 s", timeout=RUN_S * 1000)
    took_ms = _moves_of_the_slider(page.page, live, 50)
    print(f"moves: median {statistics.median(took_ms):.0f} ms, worst {max(took_ms):.0f} ms")
    assert len(took_ms) == 50  # each was drawn; how fast is for the benchmark to say
    live.get_by_label("Round trips", exact=True).select_option(label="none, in step")
    expect(words).to_contain_text("From 4 runs of 60 s", timeout=RUN_S * 1000)
    live.get_by_label("Buffer (packets)", exact=True).fill("50")
    live.get_by_label("Buffer (packets)", exact=True).press("Enter")
    alone = explore_buffers(50, flows=25, spread_ms=0)
    alone.sharpen()
    sentence = re.search(r"Buffer 50 packets: the line is used to [\d.]+ ± [\d.]+ %",
                         alone.words.value)  # fmt: skip
    expect(words).to_contain_text(sentence[0], timeout=RUN_S * 1000)
    live.scroll_into_view_if_needed()
    page.picture("10-live-buffer")
    assert page.errors == []


def _moves_of_the_slider(page, live, count):
    """Move the slider by its keys; return the time from each key to the new words, in ms."""
    handle = live.locator(".noUi-handle").first
    handle.scroll_into_view_if_needed()
    handle.focus()
    live.get_by_role("status").first.evaluate(WATCH)
    for move in range(1, count + 1):
        page.keyboard.press("ArrowRight")
        page.wait_for_function("count => window.hopMoves.length >= count", arg=move)
    return page.evaluate("window.hopMoves")


# Times each key until the words of the figure, and the picture below them, have changed.
WATCH = """status => {
  let pressed = null;
  window.hopMoves = [];
  const figure = status.closest('.jp-OutputArea');
  const words = () => figure.querySelector('[role=status]')?.textContent;
  const picture = () => figure.querySelector('svg.hop-figure');  // a new one for each drawing
  let before = [words(), picture()];
  document.addEventListener('keydown', () => { pressed = performance.now(); }, true);
  new MutationObserver(() => {
    const now = [words(), picture()];
    if (pressed === null || now[0] === before[0] || now[1] === before[1] || !now[1]) return;
    window.hopMoves.push(performance.now() - pressed);
    before = now;
    pressed = null;
  }).observe(figure, {subtree: true, childList: true, characterData: true});
}"""


def test_a_student_who_gets_it_wrong_is_told_and_gets_a_hint(opened):
    page = opened("01-frames-and-headers.ipynb")
    page.run_all()
    cell = page.page.locator(".jp-CodeCell:has-text('def read_word')").first
    cell.locator(".cm-content").click()
    page.page.keyboard.press("Control+a")
    page.page.keyboard.insert_text(
        "def read_word(data, offset):\n    if not 0 <= offset < len(data) - 1: raise ValueError\n"
        "    return data[offset] + data[offset + 1] * 256"
    )
    page.page.keyboard.press("Shift+Enter")
    check = page.page.locator(".jp-CodeCell:has-text('mark(\"1.1\")')").first
    check.locator(".cm-content").click()
    page.page.keyboard.press("Shift+Enter")
    expect(check).to_contain_text("It looks as if", timeout=RUN_S * 1000)
    check.scroll_into_view_if_needed()
    page.picture("01-told-what-is-wrong")
    assert page.errors == []

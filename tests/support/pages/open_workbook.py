"""One workbook, open in JupyterLab in a real browser, with the few things a person does to it.

Screenshots are kept in `.output/screenshots`; set HOP_BY_HOP_SCREENSHOTS to put them elsewhere.
"""

import os
import uuid
from pathlib import Path

import nbformat
from playwright.sync_api import TimeoutError as PlaywrightTimeoutError

from instructor.release.workbook_files import ROOT
from machines.lab_on_loopback import TOKEN

SCREENSHOTS = Path(os.environ.get("HOP_BY_HOP_SCREENSHOTS", ROOT / ".output" / "screenshots"))
START_S, BEGIN_S, LOOK_S = 600, 30, 30
TRIES = 5
USUAL = {"width": 1250, "height": 1000}

# anywidget says so on a slow machine of a figure that begins more than two seconds late: a figure
# does well then (touch_figure.js), and one that never begins has no part that could be touched.
LATE = "[anywidget] Failed to initialize model."


class OpenWorkbook:
    """What a person has in front of them; `errors` are those of the page itself."""

    def __init__(self, browser, address, name, viewport=USUAL, page=None):
        """Open the workbook in a page of its own, or in one where another was open before.

        To load JupyterLab costs more than to run most workbooks.
        """
        self._address, self.name = address, name
        self.page = page or browser.new_page(viewport=viewport)
        self.page.set_default_timeout(START_S * 1000)
        self.errors = []
        self._heard = {
            "pageerror": lambda error: self._note("error", str(error)),
            "console": lambda said: self._note(said.type, said.text),
        }
        for what, note in self._heard.items():
            self.page.on(what, note)
        self._open()

    def _open(self):
        """Open the workbook; if JupyterLab comes with it, in a workspace without anything else."""
        if self.page.evaluate(IS_THERE):
            self.page.evaluate(OPEN, self.name)
        else:
            place = f"lab/workspaces/{uuid.uuid4().hex}/tree/{self.name}"
            self.page.goto(f"{self._address}/{place}?token={TOKEN}")
        self.page.wait_for_selector(".jp-Notebook .jp-Cell", timeout=START_S * 1000)
        self.page.wait_for_selector(
            ".jp-Notebook-ExecutionIndicator[data-status=idle]", timeout=START_S * 1000
        )
        self._until(CONNECTED, START_S)

    def close(self):
        """End the workbook's Python and close it; the page stays, for another one."""
        self.page.evaluate(CLOSE)
        for what, note in self._heard.items():
            self.page.remove_listener(what, note)

    def _note(self, kind, words):
        if kind == "error" and words.partition("\n")[0].removeprefix("Error: ") != LATE:
            self.errors.append(words)

    def run_all(self):
        """Run all cells through the menu; wait for the last one's number, and for live figures."""
        ended = any(self._begins_to_run() and self._goes_to_the_end() for _ in range(TRIES))
        assert ended, self.page.evaluate(STATE)
        failed = self.page.locator(ERROR).all_inner_texts()
        assert not failed, f"a cell failed: {failed}"
        self._until(LIVE, START_S)

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
        self.page.goto("about:blank")
        self._open()

    def _comes_true(self, condition, within_s):
        try:
            self._until(condition, within_s)
        except PlaywrightTimeoutError:
            return False
        return True

    def _until(self, condition, within_s):
        """Wait until something holds; to look at each frame would keep the page from its work."""
        self.page.wait_for_function(condition, timeout=within_s * 1000, polling=100)

    def outputs(self, kind):
        """Return what cells show that match a selector, scrolled into view."""
        found = self.page.locator(kind)
        found.first.scroll_into_view_if_needed()
        return found

    def cell_with(self, words):
        """Return the first code cell with these words."""
        return self.page.locator(".jp-CodeCell", has_text=words).first

    def write(self, words, source):
        """Write a text into the first code cell with these words, in place of all in it; run it."""
        self.cell_with(words).locator(".cm-content").click()
        self.page.keyboard.press("Control+a")
        self.page.keyboard.insert_text(source)
        self.page.keyboard.press("Shift+Enter")

    def as_it_is(self):
        """Return the workbook with the outputs that it has now, as it would be saved."""
        return nbformat.from_dict(self.page.evaluate(AS_IT_IS))

    def picture(self, name):
        """Keep a screenshot."""
        SCREENSHOTS.mkdir(parents=True, exist_ok=True)
        self.page.screenshot(path=SCREENSHOTS / f"{name}.png")


IS_THERE = "() => window.jupyterapp !== undefined"
OPEN = "name => jupyterapp.commands.execute('docmanager:open', {path: name}).then(() => null)"
CLOSE = """async () => {
  const open = jupyterapp.shell.currentWidget;
  await open.sessionContext.shutdown();
  open.dispose();
}"""
# Before that, JupyterLab says "idle" too, and loses what is to be run.
CONNECTED = """() => window.jupyterapp?.shell.currentWidget?.sessionContext?.session?.kernel
  ?.connectionStatus === 'connected'"""
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
LIVE = """() => [...document.querySelectorAll('.jp-Notebook [data-hop-figure]')]
  .every(place => place.querySelector('.hop-touch svg > g'))"""
AS_IT_IS = "() => jupyterapp.shell.currentWidget.content.model.toJSON()"
STATE = """() => ({
  prompts: [...document.querySelectorAll('.jp-Notebook .jp-CodeCell .jp-InputPrompt')]
    .map(prompt => prompt.textContent).join(' '),
  kernel: document.querySelector('.jp-Notebook-ExecutionIndicator')?.dataset.status,
  dialog: document.querySelector('.jp-Dialog')?.textContent,
  menu: document.querySelector('.lm-Menu')?.textContent,
})"""

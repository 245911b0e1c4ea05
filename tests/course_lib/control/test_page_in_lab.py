"""The control page in JupyterLab: it fits, all can use it, and a lost router is started again."""

import json
import os
import signal

import nbformat
import pytest

from course_lib.exercises.progress import BUNDLE_MARK
from machines.lab_on_loopback import lab_on
from machines.processes import until
from pages.axe import find_axe, violations
from pages.figure_in_lab import LAPTOP, FigureInLab, change_theme
from pages.open_workbook import OpenWorkbook

pytestmark = pytest.mark.xdist_group("live figures")
HEIGHT, LEAST_WORDS, LEAST_CONTRAST = 640, 11, 4.5  # the last: WCAG 2.2, criterion 1.4.3
PLACE = 2  # of the cell with the page
CELLS = (
    "from course_lib.control import show_control_page",
    "def meter(packet):\n    return packet",
    "page = show_control_page(stages=['meter'])\npage",
    "print(page._router.process_id)",
    "print('the last but one')",
    "print('the end')",
)
KERNEL = {"display_name": "Python 3", "language": "python", "name": "python3"}
SMALL = """(root, least) => [...root.querySelectorAll('svg text, button, label, input')]
  .map(one => [parseFloat(getComputedStyle(one).fontSize) *
    (one.ownerSVGElement ? one.getScreenCTM().d : 1), one.textContent])
  .filter(([size]) => size < least - 0.01)"""
TOLD = """root => {
  root.told = [];
  const note = () => root.told.push(1);
  for (const one of root.querySelectorAll('[role=status], [role=alert], [aria-live]')) {
    new MutationObserver(note).observe(one, {childList: true, subtree: true, characterData: true});
  }
}"""
TIME = "root => root.querySelector('pre').textContent.match(/for (\\d+) s/)[1]"
CELL_COUNT = "document.querySelectorAll('.jp-Notebook .jp-Cell').length"


@pytest.fixture(scope="module")
def workbook(browser, tmp_path_factory):
    home = tmp_path_factory.mktemp("student")
    (home / BUNDLE_MARK).touch()
    cells = [nbformat.v4.new_code_cell(line) for line in CELLS]
    notebook = nbformat.v4.new_notebook(cells=cells, metadata={"kernelspec": KERNEL})
    (home / "page.ipynb").write_text(json.dumps(notebook))
    command = ("course_lib.cli", "open", str(home), "--no-browser")
    with lab_on(home, tmp_path_factory.mktemp("settings"), command) as address:
        opened = OpenWorkbook(browser, address, "page.ipynb", LAPTOP)
        opened.run_all()
        yield opened
        opened.page.close()


@pytest.fixture
def figure(workbook):
    shown = FigureInLab(workbook.page, PLACE)
    shown.root.scroll_into_view_if_needed()
    yield shown
    assert workbook.errors == []


def press(figure, name):
    """Press a part of the picture, by its name, with the keyboard."""
    figure.root.locator(f'svg [aria-label="{name}"]').press("Space")


def kinds(figure):
    return [name for _, name in figure.names()]


def goes_on(figure):
    """Wait until the time in the picture is another one."""
    before = figure.root.evaluate(TIME)
    until(lambda: figure.root.evaluate(TIME) != before)


def test_it_fits_a_laptop_and_can_be_read(figure):
    for kind in ("Line to Plover, whole", "Stage rewrite"):
        press(figure, kind)
        assert figure.root.bounding_box()["height"] <= HEIGHT
        assert figure.root.evaluate(SMALL, LEAST_WORDS) == []
    assert figure.root.locator(".hop-controls > *").count() <= 4


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_nobody_is_shut_out(figure, need, theme):
    script = find_axe(need)
    change_theme(figure.page, theme)
    try:
        found = violations(figure.page, ".hop-touch", script)
        pale = [one for one in figure.contrasts() if one[0] < LEAST_CONTRAST]
    finally:
        change_theme(figure.page, "light")
    assert found == []
    assert pale == []
    assert all(name for name in kinds(figure))


def test_it_goes_on_and_says_nothing_of_that(figure):
    figure.root.evaluate(TOLD)
    goes_on(figure)
    goes_on(figure)
    assert figure.root.evaluate("root => root.told.length") == 0


def test_a_line_is_cut_and_mended_by_keys(figure):
    before = figure.page.evaluate(CELL_COUNT)
    press(figure, "Line to Plover is whole")
    until(lambda: figure.said() == "The line to Plover is cut.")
    assert "to Plover, cut" in figure.root.aria_snapshot()
    press(figure, "Line to Plover is whole")
    until(lambda: figure.said() == "The line to Plover is whole again.")
    for key in ("b", "x", "d", "d", "a"):
        figure.page.keyboard.press(key)
    assert figure.page.evaluate(CELL_COUNT) == before


def test_what_is_typed_is_taken_or_refused_beside_its_field(figure):
    press(figure, "Line to Plover, whole")
    field = figure.root.get_by_label("Queue, packets")
    field.fill("0")
    field.press("Enter")
    until(lambda: "Queue, packets: 0 is not" in figure.refusal())
    until(lambda: field.get_attribute("aria-invalid") == "true")
    told_by = f"root => root.querySelector('[id=\"{field.get_attribute('aria-describedby')}\"]')"
    assert "Queue, packets" in figure.root.evaluate(f"{told_by}.textContent")
    assert field.input_value() == "0"
    field.fill("7")
    field.press("Enter")
    until(lambda: figure.said() == "Line to Plover. Queue, packets: 7.")
    until(lambda: field.get_attribute("aria-invalid") == "false")


def test_a_field_keeps_what_is_typed_while_pictures_come(figure):
    press(figure, "Line to Plover, whole")
    field = figure.root.get_by_label("Delay, ms")
    field.fill("12")
    goes_on(figure)
    assert field.input_value() == "12"
    field.press("Enter")
    until(lambda: figure.said() == "Line to Plover. Delay, ms: 12.")


def test_a_route_is_added_by_hand(figure):
    press(figure, "Route to 203.0.113.32/28 by to Gull Rock, 192.0.2.6")
    hop = figure.root.get_by_label("Next hop")
    hop.fill("192.0.2.1")
    figure.root.get_by_role("button", name="Add this route").click()
    until(lambda: figure.said() == "There is a route to 203.0.113.32/28 now, to Reed Pier.")


def test_a_stage_of_a_cell_is_swapped_in(figure):
    press(figure, "Stage rewrite")
    figure.root.get_by_role("button", name="Put it in at rewrite").click()
    until(lambda: figure.said() == "Your stage meter is in, instead of rewrite.")
    press(figure, "Stage meter")
    figure.root.get_by_role("button", name="Take out meter").click()
    until(lambda: figure.said() == "Your stage meter is out again.")


def process_id(workbook):
    """Return the number of the router's process, which a cell has printed."""
    shown = workbook.page.locator(".jp-Notebook .jp-Cell").nth(PLACE + 1).locator(".jp-OutputArea")
    return int(shown.inner_text().split()[-1])


def test_it_goes_on_while_a_cell_runs_and_is_interrupted(figure, workbook):
    code = "import time\nwhile not stop: time.sleep(0.05)"
    workbook.page.evaluate(
        """code => { const kernel = jupyterapp.shell.currentWidget.sessionContext.session.kernel;
           kernel.requestExecute({code: 'stop = False', silent: true});
           kernel.requestExecute({code, silent: true}); }""",
        code,
    )
    goes_on(figure)
    goes_on(figure)
    workbook.page.evaluate(
        "() => jupyterapp.shell.currentWidget.sessionContext.session.kernel.interrupt()"
    )
    press(figure, "Line to Gull Rock, whole")
    until(lambda: "Line to Gull Rock" in figure.root.aria_snapshot())
    goes_on(figure)
    os.kill(process_id(workbook), 0)  # the interrupt was the cell's alone


def test_a_lost_router_is_told_and_started_again(figure, workbook):
    os.kill(process_id(workbook), signal.SIGKILL)
    until(lambda: "ended by the signal SIGKILL" in figure.said())
    press(figure, "Start the router again")
    until(lambda: "was started again" in figure.said())
    goes_on(figure)


def test_the_saved_output_is_the_still_picture(figure, workbook):
    saved = workbook.page.evaluate(
        """place => JSON.stringify(jupyterapp.shell.currentWidget.content.model
          .sharedModel.cells[place].toJSON().outputs)""",
        PLACE,
    )
    assert "hop-still" in saved
    assert "North Pier is running" in saved
    assert "application/vnd.jupyter.widget-view" not in saved

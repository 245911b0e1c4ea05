"""All live figures in one workbook, run once in JupyterLab as `hopbyhop open` starts it.

To open it and to run 17 figures takes longer than most of what is asked of them. So all modules of
this folder share the page, and what was seen when everything in a figure was used once. Who looks
has asked for less motion, but for nothing else: how figures move is tested with the workbooks.
"""

import json

import nbformat
import pytest

from course_lib import widgets
from course_lib.exercises.progress import BUNDLE_MARK
from machines.lab_on_loopback import lab_on
from pages.axe import find_axe
from pages.chromium import KEPT, chromium
from pages.figure_in_lab import INTO_VIEW, LAPTOP, TALL, FigureInLab, change_theme
from pages.live_figures import LINES
from pages.open_workbook import OpenWorkbook

WORKBOOK = "all-figures.ipynb"
KERNEL = {"display_name": "Python 3", "language": "python", "name": "python3"}


@pytest.fixture(scope="package")
def browser(need):
    KEPT.end()  # two of them in one thread are one too many
    with chromium(need) as running:
        yield running


@pytest.fixture(scope="package")
def folder(tmp_path_factory):
    """Return a folder as a student has it, with a workbook that holds a cell for each figure."""
    home = tmp_path_factory.mktemp("student")
    (home / BUNDLE_MARK).touch()
    cells = [f"from course_lib.widgets import {', '.join(widgets.__all__)}", *LINES.values()]
    workbook = nbformat.v4.new_notebook(
        cells=[nbformat.v4.new_code_cell(line) for line in [*cells, "print('the end')"]],
        metadata={"kernelspec": KERNEL},
    )
    (home / WORKBOOK).write_text(json.dumps(workbook))
    return home


@pytest.fixture(scope="package")
def lab(folder, tmp_path_factory):
    command = ("course_lib.cli", "open", str(folder), "--no-browser")
    with lab_on(folder, tmp_path_factory.mktemp("settings"), command) as address:
        yield address


@pytest.fixture(scope="package")
def workbook(browser, lab):
    """Return the workbook, open and run to its end; tests leave its cells as they are."""
    opened = OpenWorkbook(browser, lab, WORKBOOK, LAPTOP)
    opened.run_all()
    opened.page.emulate_media(reduced_motion="reduce")
    yield opened
    opened.page.close()


@pytest.fixture
def standing(workbook, request):
    """Return the figure that a test is about, as it stands there; the test leaves it as it is."""
    figure = FigureInLab(workbook.page, list(LINES).index(request.param) + 1)
    figure.root.evaluate(INTO_VIEW)
    yield figure
    assert workbook.errors == []


@pytest.fixture
def figure(standing):
    """Return the figure as its cell shows it at first."""
    standing.run_anew()
    return standing


@pytest.fixture(scope="package")
def walks():
    """Keep what was seen while everything in a figure was used, by its name."""
    return {}


@pytest.fixture
def used(standing, walks, request):
    """Use everything in a figure once, by keys; return what was seen of each."""
    name = request.node.callspec.params["standing"]
    if name not in walks:
        standing.run_anew()
        walks[name] = standing.walk()
    return walks[name]


@pytest.fixture(scope="module", params=["light", "dark"])
def theme(workbook, request):
    """Show JupyterLab light, then dark; tests of one theme run one after the other."""
    change_theme(workbook.page, request.param)
    workbook.page.set_viewport_size(TALL)
    yield request.param
    workbook.page.set_viewport_size(LAPTOP)
    change_theme(workbook.page, "light")


@pytest.fixture(scope="package")
def axe(need):
    return find_axe(need)

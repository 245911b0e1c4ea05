"""`mark` in a real kernel, asked as a notebook asks it: each cell with the id it has there."""

import json
import os

import pytest
from jupyter_client.manager import KernelManager

from course_lib.exercises import progress
from instructor.units.items import item, source_of

FOLD = source_of(item("2.1").answer)
SETUP = "from course_lib.exercises import mark"
HELPED = (
    "def fold(total):\n    while total > 0xFFFF:\n        total = once(total)\n    return total\n"
)
ONCE = "def once(total):\n    return (total & 0xFFFF) + (total >> 16)\n"
OTHER_ONCE = "def once(total):\n    return total & 0xFFFF\n"


class Notebook:
    """A notebook in which cells are run in any order."""

    def __init__(self, path, client):
        self.path = path
        self.client = client
        self.results = []  # what cells end in, in all its forms

    def save(self, **cells):
        """Write the file, with these cells from top to bottom."""
        listed = [{"id": name, "cell_type": "code", "source": [source]}
                  for name, source in cells.items()]  # fmt: skip
        self.path.write_text(json.dumps({"cells": listed}))

    def run(self, cell, source):
        """Run a cell, and return what is shown of it."""
        content = {"code": source, "silent": False, "store_history": True, "allow_stdin": False,
                   "user_expressions": {}, "stop_on_error": False}  # fmt: skip
        request = self.client.session.msg("execute_request", content, metadata={"cellId": cell})
        self.client.shell_channel.send(request)
        shown = ""
        while True:
            message = self.client.get_iopub_msg()  # a kernel that died ends this with an error
            if message["parent_header"].get("msg_id") != request["header"]["msg_id"]:
                continue
            content = message["content"]
            if message["msg_type"] == "execute_result":
                self.results.append(content["data"])
            shown += content.get("text", "") + content.get("data", {}).get("text/plain", "")
            shown += "\n".join(content.get("traceback", []))
            if content.get("execution_state") == "idle":
                return shown


@pytest.fixture
def notebook(tmp_path):
    (tmp_path / progress.BUNDLE_MARK).touch()
    path = tmp_path / "unit.ipynb"
    manager = KernelManager()
    manager.start_kernel(cwd=str(tmp_path), env={**os.environ, "JPY_SESSION_NAME": str(path)})
    client = manager.client()
    client.start_channels()
    client.wait_for_ready(timeout=600)
    try:
        yield Notebook(path, client)
    finally:
        client.stop_channels()
        manager.shutdown_kernel(now=True)


def test_a_helper_of_a_later_cell_is_not_taken_when_an_earlier_check_is_run_again(notebook):
    cells = {"setup": SETUP, "helper": ONCE, "answer": HELPED, "check": 'mark("2.1")',
             "later": OTHER_ONCE}  # fmt: skip
    notebook.save(**cells)
    for name, source in cells.items():
        shown = notebook.run(name, source)
    shown = notebook.run("check", cells["check"])
    assert "right · 2 of 2 points" in shown
    assert "In your notebook, with its cells in the order you ran them, fold(" in shown


def test_a_helper_below_the_check_is_used_and_the_student_is_told(notebook):
    cells = {"setup": SETUP, "answer": HELPED, "check": 'mark("2.1")', "helper": ONCE}
    notebook.save(**cells)
    for name in ("setup", "answer", "helper"):
        notebook.run(name, cells[name])
    shown = notebook.run("check", cells["check"])
    assert "right · 2 of 2 points" in shown
    assert "stand below the place that needs them: once" in shown


def test_an_answer_below_its_check_is_marked_and_the_student_is_told(notebook):
    stub = "def fold(total):\n    raise NotImplementedError\n"
    cells = {"setup": SETUP, "stub": stub, "check": 'mark("2.1")', "answer": FOLD}
    notebook.save(**cells)
    for name in ("setup", "answer"):
        notebook.run(name, cells[name])
    shown = notebook.run("check", cells["check"])
    assert "right · 2 of 2 points" in shown
    assert "fold stands below its check." in shown


def test_cells_run_in_order_are_marked_without_a_word_about_it(notebook):
    cells = {"setup": SETUP, "answer": FOLD, "check": 'mark("2.1")'}
    notebook.save(**cells)
    for name, source in cells.items():
        shown = notebook.run(name, source)
    assert "right · 2 of 2 points" in shown
    assert "Note" not in shown


def test_a_cell_that_is_timed_is_taken_for_what_stands_in_it(notebook):
    cells = {"setup": f"%matplotlib inline\n{SETUP}", "helper": f"%%time\n!true\n{ONCE}",
             "answer": f"{HELPED}\n%pwd", "check": 'mark("2.1")'}  # fmt: skip
    notebook.save(**cells)
    for name, source in {"helper": OTHER_ONCE, **cells}.items():
        shown = notebook.run(name, source)
    assert "right · 2 of 2 points" in shown
    assert "In your notebook" not in shown


def test_below_the_panel_a_page_shows_a_sentence_and_no_number(notebook):
    notebook.save(setup=SETUP, answer=FOLD, check='mark("2.1")')
    for name, source in (("setup", SETUP), ("answer", FOLD)):
        notebook.run(name, source)
    shown = notebook.run("check", 'mark("2.1")')
    assert shown.endswith("2.0")
    assert notebook.results[-1] == {
        "text/plain": "2.0",
        "text/html": "<small>Unit 02: 2 of 21 points so far. Best points are kept.</small>",
    }

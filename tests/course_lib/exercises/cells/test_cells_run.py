"""Cells are taken in the order of the notebook, whatever the order in which they were run."""

import json
import os
from types import SimpleNamespace

import pytest
from IPython.core.interactiveshell import InteractiveShell

from course_lib.exercises.cells import cells_run as module
from course_lib.exercises.cells.cells_run import cells_run, watch


@pytest.fixture
def shell(monkeypatch):
    """Return a shell as in a kernel, whose cells can be run with the ids of a notebook."""
    made = InteractiveShell()
    monkeypatch.setattr(module, "_shell", lambda: made)
    watch()
    return SimpleNamespace(
        run=lambda cell, source: made.run_cell(source, store_history=True, cell_id=cell),
        names=made.user_ns,
    )


@pytest.fixture
def saved(tmp_path, monkeypatch):
    """Return a function that saves a notebook of cells with these ids, `age_s` seconds ago."""

    def save(age_s=0.0, **cells):
        path = tmp_path / "unit.ipynb"
        listed = [
            {"id": name, "cell_type": "markdown" if name == "text" else "code",
             "source": source.splitlines(keepends=True)}
            for name, source in cells.items()
        ]  # fmt: skip
        path.write_text(json.dumps({"cells": listed}))
        written = path.stat().st_mtime - age_s
        os.utime(path, (written, written))
        monkeypatch.setenv("JPY_SESSION_NAME", str(path))
        return path

    return save


def test_without_a_notebook_the_history_is_all_there_is(monkeypatch):
    monkeypatch.setattr(module, "_shell", lambda: None)
    found = cells_run({"In": ["", "a = 1", "", "b = 2"]})
    assert (found.in_order, found.above, found.as_run) == (
        ("a = 1", "b = 2"),
        2,
        ("a = 1", "b = 2"),
    )


def test_a_cell_that_was_run_again_keeps_its_place(shell):
    shell.run("one", "a = 1")
    shell.run("check", "1")
    shell.run("two", "a = 2")
    shell.run("one", "a = 3")
    shell.run("check", "1")
    found = cells_run(shell.names)
    assert found.in_order == ("a = 3", "1", "a = 2")
    assert found.above == 1
    assert found.as_run == ("a = 1", "1", "a = 2", "a = 3", "1")


def test_the_file_says_which_cell_stands_above(shell, saved):
    saved(text="words", late="a = 1", early="a = 2", check="1", below="a = 4")
    for name, source in {"early": "a = 2", "below": "a = 4", "late": "a = 9", "check": "1"}.items():
        shell.run(name, source)
    found = cells_run(shell.names)
    assert found.in_order == ("a = 9", "a = 2", "1", "a = 4")
    assert found.above == 2


def test_a_cell_that_was_not_run_yet_is_taken_from_the_file(shell, saved):
    saved(first="K = 7", check="1")
    shell.run("check", "1")
    assert cells_run(shell.names).in_order == ("K = 7", "1")


def test_a_new_cell_stands_behind_the_one_before_it(shell, saved):
    saved(age_s=3600, first="a = 1", check="1")
    for name, source in {"first": "a = 1", "new": "a = 2", "check": "1"}.items():
        shell.run(name, source)
    assert cells_run(shell.names).in_order == ("a = 1", "a = 2", "1")


def test_a_cell_that_was_deleted_is_gone(shell, saved):
    for name, source in {"first": "a = 1", "gone": "a = 2", "check": "1"}.items():
        shell.run(name, source)
    saved(age_s=-3600, first="a = 1", check="1")
    assert cells_run(shell.names).in_order == ("a = 1", "1")


@pytest.mark.parametrize("text", ["", "{", "[]", '{"cells": 5}', '{"cells": [{"id": 1}]}'])
def test_a_file_that_cannot_be_read_is_no_order(shell, saved, text):
    saved(first="x").write_text(text)
    shell.run("first", "a = 1")
    shell.run("check", "1")
    assert cells_run(shell.names).in_order == ("a = 1", "1")


def test_cells_from_before_the_watch_stand_on_top(monkeypatch):
    made = InteractiveShell()
    monkeypatch.setattr(module, "_shell", lambda: made)
    made.run_cell("import math", store_history=True)
    watch()
    made.run_cell("a = 1", store_history=True, cell_id="one")
    assert cells_run(made.user_ns).in_order == ("import math", "a = 1")


def test_cells_are_kept_as_they_stand_in_the_notebook(monkeypatch):
    made = InteractiveShell()
    monkeypatch.setattr(module, "_shell", lambda: made)
    early, cell = "%time a = 1", "%%time\n!true\na = 2"
    made.run_cell(early, store_history=True)
    watch()
    made.run_cell(cell, store_history=True, cell_id="one")
    made.run_cell("a", store_history=True)
    assert cells_run(made.user_ns).as_run == (early, cell, "a")

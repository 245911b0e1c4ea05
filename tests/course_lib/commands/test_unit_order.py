"""Units say themselves where they stand, and whether they are taught at all."""

import json
import re

import pytest

from course_lib.commands.start_page import start_page
from course_lib.commands.unit_order import UnitOrderError, units_in_order

SAID = {
    "01-one": "",
    "02-two": 'prerequisites = ["01-one"]',
    "03-three": "",
    "04-four": "order = 1.5",
    "05-five": "taught = false",
    "own": 'order = 2\nprerequisites = ["05-five"]',
}


def written(folder, **changed):
    for name, text in (SAID | changed).items():
        (folder / "workbooks" / name).mkdir(parents=True)
        (folder / "workbooks" / name / "unit.toml").write_text(text, encoding="utf-8")
        page = {"cells": [{"cell_type": "markdown", "source": [f"# Of {name}"]}]}
        path = folder / "workbooks" / name / f"{name}.ipynb"
        path.write_text(json.dumps(page), encoding="utf-8")
    return folder


def test_units_stand_where_they_say_and_by_their_numbers_otherwise(tmp_path):
    """A unit that needs one that is not taught is taught all the same: that one is known."""
    order = units_in_order(written(tmp_path) / "workbooks")
    assert order == ("01-one", "04-four", "02-two", "own", "03-three")


def test_the_page_that_students_start_from_has_this_order(tmp_path):
    page = start_page(written(tmp_path))
    assert re.findall(r"Of ([\w-]+)</a></h2>", page) == [
        "01-one", "04-four", "02-two", "own", "03-three",
    ]  # fmt: skip
    assert "nothing to be marked by machine" in page


@pytest.mark.parametrize(("name", "text", "words"), [
    ("01-one", "order = 7", "puts 02-two before 01-one, which it needs"),
    ("03-three", 'order = "first"', "order = 'first' is no number"),
    ("03-three", "order = true", "order = True is no number"),
    ("own", "", "order = None is no number"),
    ("04-four", "order = ", "is no TOML"),
])  # fmt: skip
def test_what_cannot_be_is_refused_with_the_name_of_the_file(tmp_path, name, text, words):
    folder = written(tmp_path, **{name: text}) / "workbooks"
    with pytest.raises(UnitOrderError, match=re.escape(words)) as refused:
        units_in_order(folder)
    assert str(folder / ("02-two" if "puts" in words else name) / "unit.toml") in str(refused.value)

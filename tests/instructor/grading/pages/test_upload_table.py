"""The table for an upload page takes the shape that a file asks for, and says what is wrong."""

import csv
import subprocess
import sys

import pytest

from hand_ins.hand_in_files import OTHER_UNIT, UNIT
from instructor.grading.gradebook.totals import Total
from instructor.grading.pages.upload_table import (
    UploadShapeError,
    default_shape,
    read_shape,
    write_upload,
)

UNITS = (UNIT, OTHER_UNIT)
FOUND = (
    Total("alder", UNIT, 18.5, 26, 2.0, 7200, ("explain-1",)),
    Total("alder", OTHER_UNIT, 21, 23, 0, 0, ()),
    Total("bracken", UNIT, 26, 26, 0, 0, ()),
    Total("=clover", UNIT, 1, 26, 0, 0, ()),
)
SHAPE = f"""
delimiter = ";"
decimal = ","

[[column]]
title = "ID"
holds = "student"

[[column]]
title = "Headers"
holds = "points"
unit = "{UNIT}"
missing = "0"

[[column]]
holds = "percent"

[[column]]
title = "Course"
holds = "text"
text = "routers"
"""


def written(tmp_path, text, roster=()):
    path = tmp_path / "upload.toml"
    path.write_text(text)
    write_upload(tmp_path / "upload.csv", read_shape(path, UNITS), FOUND, roster)
    return (tmp_path / "upload.csv").read_bytes().decode()


def test_columns_delimiter_and_decimal_sign_are_as_asked(tmp_path):
    assert written(tmp_path, SHAPE, roster=["dill"]).splitlines() == [
        "ID;Headers;percent;Course",
        "'=clover;1;3,85;routers",
        "alder;18,5;80,61;routers",
        "bracken;26;100;routers",
        "dill;0;;routers",
    ]


def test_without_a_file_there_is_a_column_for_each_unit(tmp_path):
    write_upload(tmp_path / "upload.csv", default_shape(UNITS), FOUND)
    with (tmp_path / "upload.csv").open(newline="") as stream:
        rows = {row["student"]: row for row in csv.DictReader(stream)}
    assert rows["alder"] == {
        "student": "alder", UNIT: "18.5", OTHER_UNIT: "21", "points": "39.5", "max_points": "49",
        "waiting": "yes",
    }  # fmt: skip
    assert rows["bracken"][OTHER_UNIT] == ""


def test_a_row_for_each_hand_in(tmp_path):
    shape = 'rows = "hand-in"\n' + "".join(
        f'[[column]]\nholds = "{holds}"\n'
        for holds in ("student", "unit", "points", "penalty", "max points", "waiting")
    )
    assert written(tmp_path, shape).splitlines()[2:4] == [
        f"alder,{UNIT},18.5,2,26,yes",
        f"alder,{OTHER_UNIT},21,0,23,no",
    ]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("column = 3", "has no [[column]]"),
        ("", "has no [[column]]"),
        ("[[column]\n", "cannot be read"),
        ('[[column]]\nholds = "name"', "column 1: `holds` must be one of student"),
        ('[[column]]\nholds = "student"\n[[column]]\nholds = "points"\nunit = "99"', "column 2"),
        ('[[column]]\nholds = "student"\ncolour = "red"', "'colour' is unknown"),
        ('[[column]]\nholds = 3', "text between quotes"),
        ('delimiter = "x"\n[[column]]\nholds = "student"', "delimiter = 'x' is unknown"),
        ('shape = "x"\n[[column]]\nholds = "student"', "shape = 'x' is unknown"),
    ],
)  # fmt: skip
def test_a_mistake_in_the_file_is_named_with_its_place(tmp_path, text, words):
    with pytest.raises(UploadShapeError) as caught:
        written(tmp_path, text)
    assert words in str(caught.value)


def test_large_totals_are_written_in_full(tmp_path):
    many = [Total("alder", f"unit {place}", 12345.25, 20000, 0, 0, ()) for place in range(100)]
    write_upload(tmp_path / "upload.csv", default_shape([]), many)
    assert "alder,1234525,2000000,no" in (tmp_path / "upload.csv").read_text()


def test_the_example_that_is_explained_can_be_used(tmp_path):
    command = [sys.executable, "-m", "course_lib.cli", "grade", "--explain", "upload"]
    said = subprocess.run(command, capture_output=True, text=True, check=True).stdout
    example = said[said.index("    delimiter = ") : said.index("Points are the gradebook's")]
    assert written(tmp_path, example).splitlines()[0] == "ID;Headers"

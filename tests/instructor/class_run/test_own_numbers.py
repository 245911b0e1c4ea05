"""A class with personal codes, from the release to a table of whose numbers were used.

Everybody's plan is right, so everybody must earn all points, whatever stands in the workbook.
"""

import contextlib
import csv
import shutil
import sqlite3
import unicodedata
import zipfile

import pytest

from classes.graded_class import public_only
from course_lib.cli import main
from course_lib.exercises.personal.own_cases import own_cases
from hand_ins.hand_in_files import blank, hand_in
from instructor.class_run.grade_class import RECORD_FILE
from instructor.grading.record.class_cases import keep_cases
from instructor.grading.record.record import open_record
from instructor.release.course_folder import named_course
from instructor.units.items import item, source_of

pytestmark = pytest.mark.xdist_group("own numbers")  # one class is graded once

UNIT = "03-addresses-and-prefixes"
ROSTER = ("rushes-77", "sedges-78", "ülmus-79", "tansy-80", "umbel-81", "vetch-82", "woad-83")
PLAN = source_of(item("3.6").answer, "make_plan")
ON_PUBLIC_ALONE = """
KNOWN = {known!r}


def make_plan(*given):
    return KNOWN.get(repr(given), ([], "too few addresses"))
"""


def table(path):
    with path.open(newline="", encoding="utf-8") as stream:
        return list(csv.DictReader(stream))


def with_plan(code, plan=PLAN):
    """Return the workbook with a plan, and a code as it was typed."""
    workbook = blank(UNIT)
    for cell in workbook.cells:
        if cell.metadata.get("nbgrader", {}).get("grade_id") == "answer-3-6":
            cell.source = plan
        elif cell.cell_type == "code" and cell.source.startswith('my_code = ""'):
            cell.source = cell.source.replace('""', repr(code), 1)
    return workbook


def numbers_of(code):
    """Return what a student may write who was told another one's numbers."""
    *_, block_kept_and_needs = [case.arguments for case in own_cases("3.6", code)]
    return f"{PLAN}\n\n# and for the others:\nmake_plan{block_kept_and_needs!r}\n"


def looked_up():
    public = public_only(UNIT)["3.6"]
    known = {repr(case.arguments): case.expected.value for case in public}
    return ON_PUBLIC_ALONE.format(known=known)


@pytest.fixture(scope="module")
def released(tmp_path_factory):
    folder = tmp_path_factory.mktemp("own-numbers")
    (folder / "ids.txt").write_text("\n".join(ROSTER), encoding="utf-8")
    command = ["release", str(folder / "class"), "--roster", str(folder / "ids.txt")]
    assert main([*command, "--units", UNIT]) == 0
    return folder


@pytest.fixture(scope="module")
def graded(released):
    """Let the class hand in, with the codes that were handed out, and grade it."""
    course = released / "class" / "course"
    codes = {row["student"]: row["code"] for row in table(course / "codes.csv")}
    submitted = course / "submitted"
    hand_in(submitted, "rushes-77", with_plan(codes["rushes-77"].lower().replace("-", " ")), UNIT)
    hand_in(submitted, "sedges-78", with_plan(codes["rushes-77"]), UNIT)
    stored = unicodedata.normalize("NFD", "ülmus-79")
    hand_in(submitted, stored, with_plan(codes["ülmus-79"]), UNIT)
    hand_in(submitted, "tansy-80", with_plan(f"{codes['tansy-80'][:-1]}?"), UNIT)
    told = numbers_of(codes["woad-83"]) + numbers_of(codes["umbel-81"]) + numbers_of("")
    hand_in(submitted, "umbel-81", with_plan("", told), UNIT)
    hand_in(submitted, "vetch-82", with_plan("KQ7W-DX3M-2AD"), UNIT)
    hand_in(submitted, "woad-83", with_plan(codes["woad-83"], looked_up()), UNIT)
    seed = named_course(course).batch.seed
    with open_record(course / RECORD_FILE) as record:
        keep_cases(UNIT, seed, record, public_only(UNIT))  # no secret ones: own ones must do
    assert main(["grade", str(course), "--trusted"]) == 0
    return course


def test_the_students_archive_holds_no_id_no_code_and_no_table(released):
    codes = {row["code"] for row in table(released / "class" / "course" / "codes.csv")}
    assert len(codes) == len(ROSTER)
    with zipfile.ZipFile(released / "class" / "students" / "hop-by-hop.zip") as archive:
        assert not [name for name in archive.namelist() if "codes" in name]
        for name in archive.namelist():
            text = archive.read(name).decode("utf-8", "replace")
            assert not [one for one in (*ROSTER, *codes) if one in text], name


def test_refreshing_a_release_keeps_everybody_s_code(released, tmp_path):
    folder = tmp_path / "class"
    shutil.copytree(released / "class", folder)
    before = (folder / "course" / "codes.csv").read_bytes()
    command = ["release", str(folder), "--roster", str(released / "ids.txt"), "--units", UNIT]
    assert main(command) == 0
    assert (folder / "course" / "codes.csv").read_bytes() == before


def test_it_is_said_whose_code_each_workbook_has(graded):
    rows = {unicodedata.normalize("NFC", row["student"]): (row["code"], row["of"], row["calls"])
            for row in table(graded / "results" / "numbers.csv")}  # fmt: skip
    assert rows == {
        "rushes-77": ("own", "", ""),
        "sedges-78": ("another student's", "rushes-77", ""),
        "ülmus-79": ("own", "", ""),
        "tansy-80": ("mistyped", "", ""),
        "umbel-81": ("none", "", "3.6 with the numbers of woad-83"),
        "vetch-82": ("nobody's", "", ""),
        "woad-83": ("own", "", ""),
    }


def test_no_point_hangs_on_the_code(graded):
    rows = [row for row in table(graded / "results" / "scores.csv") if row["exercise"] == "3.6"]
    points = {unicodedata.normalize("NFC", row["student"]): row["points"] for row in rows}
    assert points == {**dict.fromkeys(ROSTER, "5"), "woad-83": "0"}


def test_the_student_s_own_numbers_are_asked_without_any_list(graded):
    """Whoever knows the public cases by heart is right in all of them, and of own ones in none."""
    (row,) = (row for row in table(graded / "results" / "scores.csv")
              if row["exercise"] == "3.6" and row["student"] == "woad-83")  # fmt: skip
    assert (row["points"], row["outcome"]) == ("0", "wrong")


def test_facts_stand_where_the_staff_reads_and_nowhere_else(graded):
    results = graded / "results"
    notes = {row["student"]: row["note"] for row in table(results / "scores.csv")
             if row["exercise"] == "3.6"}  # fmt: skip
    assert (
        "that of rushes-77; marked with the numbers of the student's own id" in (notes["sedges-78"])
    )
    assert "code" not in notes["rushes-77"]
    assert "calls of 3.6 with the numbers of woad-83 stand in the code" in notes["umbel-81"]
    summary = (results / "summary.html").read_text(encoding="utf-8")
    for what in (
        "Whose numbers, for a look",
        "that of rushes-77",
        "tansy-80",
        "vetch-82",
        "umbel-81",
    ):
        assert what in summary
    page = (results / "feedback" / "sedges-78.html").read_text(encoding="utf-8")
    assert "rushes" not in page
    assert "my_code" not in page


def on_record(course):
    """Return how many answers were put on record: each that was run is one more."""
    with contextlib.closing(sqlite3.connect(course / RECORD_FILE)) as record:
        return record.execute("SELECT count(*) FROM answer").fetchone()[0]


def test_a_second_run_runs_nothing_again_and_says_the_same(graded, tmp_path):
    course = shutil.copytree(graded, tmp_path / "course")
    before = (course / "results" / "numbers.csv").read_bytes()
    (course / "results" / "numbers.csv").unlink()
    known = on_record(course)
    assert main(["grade", str(course), "--trusted"]) == 0
    assert on_record(course) == known
    assert (course / "results" / "numbers.csv").read_bytes() == before
    assert not table(course / "results" / "changes.csv")

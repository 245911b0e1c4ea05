"""A table beside flat files says when they came; the gradebook's own rule says what that costs."""

import contextlib
import datetime
import json

import nbformat
import pytest
from hypothesis import given
from hypothesis import strategies as st
from nbgrader.api import Gradebook
from nbgrader.preprocessors import AssignLatePenalties
from nbgrader.utils import parse_utc

from classes.gradebook_dump import book_of, dump
from classes.graded_class import RIGHT, copy_of, only_first
from course_lib.cli import main
from hand_ins.archive_parts import plain_zip, tar_of
from hand_ins.hand_in_files import OTHER_UNIT, UNIT, blank, hand_in
from instructor.grading.intake.handed_in import REPORT_LIMIT, read_report
from instructor.grading.intake.intake import find_hand_ins
from instructor.release.course_folder import named_course, settings

UNITS = (UNIT, OTHER_UNIT)
BOOK = json.dumps(blank()).encode()
HEAD = "student,unit,time\n"
NOON = "2026-05-04 12:00:00 UTC"
DUE = datetime.datetime(2026, 5, 4, 12, 0)  # nbgrader keeps UTC without a zone


def report(text, units=UNITS):
    return read_report(text.encode(), units)


def row(time, student="alder", unit=UNIT):
    return f"{student},{unit},{time}\n"


@pytest.mark.parametrize(
    "time",
    [
        "2026-05-04T12:00:00Z",
        "2026-05-04T14:00:00+02:00",
        "2026-05-04 14:00:00 +02:00",
        "2026-05-04 14:00 +0200",
        "2026-05-04 12:00:00 UTC",
        "2026-05-04T07:00:00-05:00",
        "  2026-05-04T12:00:00.000Z ",
    ],
)
def test_a_time_with_its_offset_is_that_moment(time):
    assert report(HEAD + row(time)) == ({("alder", UNIT): NOON}, {("alder", UNIT): 2}, [])


@given(
    st.datetimes(min_value=datetime.datetime(1990, 1, 1), max_value=datetime.datetime(2100, 1, 1)),
    st.integers(-23 * 60, 23 * 60),
)
def test_the_gradebook_reads_the_same_moment(time, minutes):
    there = time.replace(tzinfo=datetime.timezone(datetime.timedelta(minutes=minutes)))
    (written,) = report(HEAD + row(there.isoformat())).times.values()
    assert parse_utc(written) == there.astimezone(datetime.UTC).replace(tzinfo=None)


@pytest.mark.parametrize(
    "text",
    [
        HEAD + row("2026-05-04T12:00Z"),
        "\ufeff" + HEAD + row("2026-05-04T12:00Z"),
        (HEAD + row("2026-05-04T12:00Z")).replace(",", ";"),
        (HEAD + row("2026-05-04T12:00Z")).replace(",", "\t"),
        (HEAD + row("2026-05-04T12:00Z")).replace("\n", "\r\n") + "\r\n,,\r\n",
        f'Time,File,Unit,Student\n2026-05-04T12:00Z,"a, b",{UNIT},"alder"\n',
    ],
)
def test_the_table_may_come_from_any_spreadsheet(text):
    assert (report(text).times, report(text).problems) == ({("alder", UNIT): NOON}, [])


@pytest.mark.parametrize(
    ("bad", "line"),
    [
        (row("2026-05-04 12:00:00"), "row 2: '2026-05-04 12:00:00' has no offset from UTC"),
        (row("04/05/2026 12:00 UTC"), "row 2: '04/05/2026 12:00 UTC' is no time"),
        (row("2026-05-04 12:00 CEST"), "row 2: '2026-05-04 12:00 CEST' is no time"),
        (row("2026-13-04T12:00Z"), "row 2: '2026-13-04T12:00Z' is no time"),
        (row("0001-01-01T00:00+14:00"), "row 2: '0001-01-01T00:00+14:00' is out of reach"),
        (row(""), "row 2: an empty cell is no time"),
        (row("2026-05-04T12:00Z", unit="01"), "row 2: unit '01' is not part of this class"),
        (row("2026-05-04T12:00Z", student=" "), "row 2: no student's id"),
        ("alder\n", "row 2: 1 cells, fewer than"),
        (row("\x1b[2J\u202e<script>"), "row 2: '[U+001B][2J[U+202E]<script>' is no time"),
    ],
)
def test_a_bad_row_gets_its_line_and_the_others_count(bad, line):
    found = report(HEAD + bad + row("2026-05-04T12:00Z", "bracken"))
    (said,) = found.problems
    assert said.startswith(line)
    assert said.endswith("; so the table gives no time here")
    assert found.times == {("bracken", UNIT): NOON}


@pytest.mark.parametrize(
    ("octets", "line"),
    [
        (b"", "it needs the columns student, unit, time in its first row"),
        (b"alder,01,now\n", "it needs the columns"),
        (b"\xff\xfe", "not UTF-8 text (octet 0), so it was not read"),
        (HEAD.encode() + b'"alder', "not a table"),
        (bytes(REPORT_LIMIT + 1), "larger than 16 MiB"),
    ],
)
def test_a_file_that_is_no_such_table_gets_one_line(octets, line):
    (said,) = read_report(octets, UNITS).problems
    assert said.startswith(line)


def test_of_two_times_for_one_hand_in_the_later_counts_and_is_said():
    twice = HEAD + row("2026-05-04T12:00Z") + row("2026-05-04T11:00Z") + row("2026-05-04T12:00Z")
    found = report(twice)
    assert found.times == {("alder", UNIT): NOON}
    assert found.problems == [
        f"row 3: another time for alder and {UNIT} than in row 2; the later one counts"
    ]


@pytest.mark.parametrize("name", ["", "class.zip", "class.tar.gz", "a-level-more.zip"])
def test_it_is_read_beside_flat_files_and_at_the_root_of_an_archive(tmp_path, name):
    files = {f"{student}_{UNIT}.ipynb": BOOK for student in ("alder", "bracken", "clover")}
    files["handed-in.csv"] = (HEAD + row("2026-05-04T12:00Z")).encode()
    if name.startswith("a-level"):
        files = {f"hand-ins/{name}": data for name, data in files.items()}
    intake = find_hand_ins(placed(tmp_path, name, files), UNITS)
    assert {one.student: one.handed_in for one in intake.hand_ins} == {
        "alder": NOON, "bracken": "", "clover": ""}  # fmt: skip
    assert (intake.not_graded, intake.times) == ((), 1)


def placed(folder, name, files):
    if name:
        octets = tar_of(files, packed=True) if "tar" in name else plain_zip(files)
        (folder / name).write_bytes(octets)
    else:
        for file, data in files.items():
            (folder / file).write_bytes(data)
    return folder / name


def test_a_row_without_a_workbook_is_said_for_units_that_are_there(tmp_path):
    rows = [row("2026-05-04T12:00Z", "dill"), row("2026-05-04T12:00Z", "dill", OTHER_UNIT)]
    files = {f"alder_{UNIT}.ipynb": BOOK, "handed-in.csv": (HEAD + "".join(rows)).encode()}
    (line,) = find_hand_ins(placed(tmp_path, "class.zip", files), UNITS).not_graded
    assert line.why == f"row 2: no workbook of dill for {UNIT} is here"
    assert (line.student, line.path.name) == ("", "handed-in.csv")


def test_it_goes_before_a_stamp_and_a_students_own_says_nothing(tmp_path):
    hand_in(tmp_path, "alder", blank())
    (tmp_path / "alder" / UNIT / "timestamp.txt").write_text("2001-01-01 00:00:00 UTC")
    table = (HEAD + row("2026-05-04T12:00Z") + row("2026-05-04T12:00Z", "bracken")).encode()
    own = {f"{UNIT}.ipynb": BOOK, "handed-in.csv": table}
    (tmp_path / "bracken_all.zip").write_bytes(plain_zip(own))
    (tmp_path / "alder" / "handed-in.csv").write_bytes(table.replace(b"12:00", b"13:00"))
    assert [one.handed_in for one in find_hand_ins(tmp_path, UNITS).hand_ins] == [
        "2001-01-01 00:00:00 UTC", ""]  # fmt: skip
    (tmp_path / "handed-in.csv").write_bytes(table)
    assert [one.handed_in for one in find_hand_ins(tmp_path, UNITS).hand_ins] == [NOON, NOON]


def test_a_link_is_not_followed(tmp_path):
    (tmp_path / "handed-in.csv").symlink_to("/etc/passwd")
    (line,) = find_hand_ins(tmp_path, UNITS).not_graded
    assert line.why.startswith("a link, not a file")


HOURLY = """
from nbgrader.plugins import LateSubmissionPlugin

class Hourly(LateSubmissionPlugin):
    def late_submission_penalty(self, student_id, score, total_seconds_late):
        return 0.25 * total_seconds_late / 3600
"""
RULES = {
    "none": ("", 0.0),
    "zero": ("c.LateSubmissionPlugin.penalty_method = 'zero'", 2.0),
    "own": ("c.AssignLatePenalties.plugin_class = 'late_rule.Hourly'", 0.5),
}


@contextlib.contextmanager
def opened(course):
    with Gradebook(book_of(course)) as book:
        yield book
        book.db.commit()


@pytest.fixture
def course(bare_course, tmp_path):
    """Give a course folder that was due at noon, and an archive in which alder is 2 hours late."""
    course = copy_of(bare_course, tmp_path)
    with opened(course) as book:
        book.update_or_create_assignment(UNIT, duedate=DUE)
    (course / "late_rule.py").write_text(HOURLY)
    data = json.dumps(only_first(RIGHT)).encode()
    table = HEAD + row("2026-05-04T16:00+02:00") + row("2026-05-04T14:00+02:00", "bracken")
    files = {f"{name}_{UNIT}.ipynb": data for name in ("alder", "bracken", "clover")}
    (course / "class.zip").write_bytes(plain_zip({**files, "handed-in.csv": table.encode()}))
    return course


@pytest.mark.usefixtures("walls_tried_once")
@pytest.mark.parametrize("name", RULES)
def test_being_late_costs_what_the_gradebooks_own_rule_says(course, name, capsys):
    text, penalty = RULES[name]
    with (course / "nbgrader_config.py").open("a") as config:
        config.write(text + "\n")
    grade = ["grade", str(course / "class.zip"), "--course", str(course), "--trusted"]
    assert main(grade) == 0
    assert "Times of handing in: 2 from handed-in.csv." in capsys.readouterr().out
    with opened(course) as book:
        found = {student: book.find_submission(UNIT, student).late_submission_penalty or 0
                 for student in ("alder", "bracken", "clover")}  # fmt: skip
    assert found == {"alder": penalty, "bracken": 0, "clover": 0}
    ours = dump(book_of(course))
    ask_the_stock_plug_in(course, "alder")
    assert dump(book_of(course)) == ours


def ask_the_stock_plug_in(course, student):
    about = {"notebook": UNIT, "assignment": UNIT, "student": student, "db_url": book_of(course)}
    config = settings(named_course(course))
    with pytest.MonkeyPatch.context() as patch:
        patch.syspath_prepend(str(course))
        stock = AssignLatePenalties(config=config)
        stock.preprocess(nbformat.v4.new_notebook(), {"nbgrader": about})

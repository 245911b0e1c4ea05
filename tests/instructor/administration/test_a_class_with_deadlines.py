"""A small class through the command line: odd ids, lateness, an extension, an excuse, a correction.

Every number at the end is compared with a recount by hand from what each student handed in.
"""

import contextlib
import csv
import datetime
import hashlib
import sqlite3

import pytest
from nbgrader.api import Gradebook

from classes.gradebook_dump import book_of
from classes.graded_class import RIGHT, copy_of, only_first, public_only, with_mistake
from course_lib.cli import main
from hand_ins.hand_in_files import UNIT, hand_in
from instructor.class_run import resumable

pytestmark = pytest.mark.usefixtures("walls_tried_once")

NAMES = ("Ольха Березова", "Rowan Ash", "Linden Østergård", "Iris Moor", "Hazel, Fen")
ROSTER = "Name;Matriculation number\n" + "".join(
    f'"{name}";s10{place}\n' for place, name in enumerate(NAMES, 1)
)
DUE = "2026-05-04T18:00:00+02:00"
STAMPS = {
    "s101": "2026-05-04 15:59:00 UTC",  # a minute before the deadline
    "s102": "2026-05-05 22:00:00 UTC",  # 30 hours late: the second day
    "S0103 L. Oestergard": "2026-05-04 16:05:00 UTC",  # within the grace
    "s104": "",
}
LATE = """
[due]
01 = {due}

[late]
grace_minutes = 10
last_day = 7

[late.kept_percent]
1 = 90
2 = 75
"""


@pytest.fixture
def course(bare_course, tmp_path):
    course = copy_of(bare_course, tmp_path)
    for student, stamp in STAMPS.items():
        path = hand_in(course / "submitted", student, only_first(RIGHT))
        if stamp:
            (path.parent / "timestamp.txt").write_text(stamp)
    (tmp_path / "office.csv").write_text(ROSTER, encoding="utf-8-sig")
    with Gradebook(book_of(course)) as book:  # a deadline of the gradebook's own, years before
        book.update_or_create_assignment(UNIT, duedate=datetime.datetime(2020, 1, 1))
    with (course / "nbgrader_config.py").open("a") as config:
        config.write("c.LateSubmissionPlugin.penalty_method = 'zero'\n")
    return course


@pytest.fixture
def run(course, capsys, monkeypatch):
    """Give a function that runs a command on the course and returns what it said."""
    monkeypatch.setenv("COLUMNS", "80")

    def run(command, *words, status=0):
        capsys.readouterr()
        trusted = ["--trusted"] if command == "grade" else []
        assert main([command, str(course), *trusted, *words]) == status
        said = capsys.readouterr()
        assert [one for one in (said.out + said.err).splitlines() if len(one) > 80] == []
        return " ".join((said.out + said.err).split())

    return run


def table(course, name):
    with (course / "results" / name).open(newline="") as stream:
        return list(csv.DictReader(stream))


def counts(course):
    """Return points and maximum that count, by student."""
    rows = table(course, "counted.csv")
    return {row["student"]: (float(row["points"]), float(row["max_points"])) for row in rows}


def everything_in(course):
    return {
        path.relative_to(course).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(course.rglob("*"))
        if path.is_file()
    }


def decided(run, course, *words):
    """Show a change first, see that nothing was written, then confirm it; return what was said."""
    before = everything_in(course)
    shown = run(*words)
    assert "Nothing has been changed yet" in shown
    assert everything_in(course) == before
    run(*words, "--confirm")
    return shown


def test_a_class_from_its_roster_to_a_request(run, course, tmp_path, monkeypatch):
    of = sum(one["max_points"] for one in maxima(course))

    decided(run, course, "roster", "--take", str(tmp_path / "office.csv"))
    (course / "deadlines.toml").write_text(LATE.format(due=DUE))
    decided(run, course, "deadlines")
    said = run("grade")
    # An odd id is asked about, not graded; a time that nobody knows is asked for.
    assert "it may be s103 (one of its words is this id)" in said
    assert "the deadline of `hopbyhop deadlines` counts" in said
    assert counts(course) == {
        "s101": (2, of), "s102": (1.5, of), "s103": (0, of), "s104": (2, of), "s105": (0, of),
    }  # fmt: skip
    assert {row["student"]: row["question"] for row in table(course, "counted.csv")}["s104"]
    assert {row["student"]: row["waiting"] for row in table(course, "upload.csv")}["s104"] == "yes"
    with Gradebook(book_of(course)) as book:  # taken off once, by one rule
        assert book.find_submission(UNIT, "s102").late_submission_penalty == pytest.approx(0.5)
        assert book.find_submission(UNIT, "s101").late_submission_penalty == 0
        assert {one.id for one in book.students} == {"s101", "s102", "s104"}
    page = (course / "results" / "feedback" / "s102.html").read_text()
    assert "1 day 6 hours late, counted as 2 days; 75 % of the points count" in page
    assert "From day 1 after the deadline on 90 %" in page
    assert "s102" in (course / "results" / "report" / "report.html").read_text()

    said = run("roster")
    assert "2 of 5 have not handed in" in said
    assert f"s105 ({NAMES[4]})" in said
    decided(run, course, "roster", "--same", "S0103 L. Oestergard", "s103")
    assert "2 points more, 0 points less" not in said
    longer = "s102", "01", "2026-05-06T18:00:00+02:00"
    said = decided(run, course, "deadlines", "--extend", *longer, "--why", "a boat was late")
    assert "1 student: 0.5 points more, 0 points less" in said
    said = decided(run, course, "deadlines", "--excuse", "s105", "01")
    assert "0 points more, 0 points less" in said
    decided(run, course, "deadlines", "--excuse", "s101", "1.1")
    decided(run, course, "deadlines", "--came", "s104", "01", "2026-05-14T18:00:00+02:00")
    before = graded_answers(course)
    run("grade")
    assert {student for student, _ in graded_answers(course) - before} == {"s103"}
    assert counts(course) == {
        "s101": (0, of - 2), "s102": (2, of), "s103": (2, of), "s104": (0, of), "s105": (0, 0),
    }  # fmt: skip
    changed = {row["student"]: row for row in table(course, "changes.csv")}
    assert float(changed["s102"]["new_points"]) - float(changed["s102"]["old_points"]) == 0.5
    assert "more than" not in changed["s104"]["why"]
    assert "as a person said" in changed["s104"]["why"]

    # A check turns out to be wrong: what if it were corrected?
    corrected = with_mistake(public_only(), "1.1")  # here the other way round: it becomes wrong
    monkeypatch.setattr(resumable, "class_cases", lambda unit, seed, record: corrected)
    before = everything_in(course)
    shown = run("grade", "--what-if")
    assert everything_in(course) == before
    assert "s102, 1.1: 2 -> " in shown
    assert "the cases of this exercise were corrected" in shown
    run("grade")
    now = {row["student"]: row for row in table(course, "changes.csv")}
    for student in ("s101", "s102", "s103", "s104"):
        assert f"{student}, 1.1: 2 -> {now[student]['new_points']} " in shown
    points = float(now["s102"]["new_points"])
    assert counts(course)["s102"] == (points, of)
    assert counts(course)["s101"] == (0, of - 2)  # excused: the correction does not touch it

    run("requests", "--ask", "s102", "1.1", "--text", "I think that a check is wrong.")
    run("requests", "--answer", "1", "--text", "It was.")
    assert "1. s102, 1.1" in run("requests")
    with (course / "decisions.csv").open(newline="") as stream:
        log = list(csv.DictReader(stream))
    assert [row["what"] for row in log if row["student"] == "s102"] == [
        "on the roster", "longer until",
    ]  # fmt: skip
    assert {row["why"] for row in log} == {"", "a boat was late"}
    for path in (one for one in course.rglob("*") if one.is_file() and one.name != "roster.csv"):
        for name in NAMES:
            assert name.encode() not in path.read_bytes(), path
    for name in ("roster.csv", "ids.csv", "exceptions.csv", "decisions.csv", "requests.csv"):
        assert (course / name).stat().st_mode & 0o077 == 0


def graded_answers(course):
    """Return the students of all answers that were ever run, with the numbers of their rows."""
    with contextlib.closing(sqlite3.connect(course / "grading-record.db")) as record:
        return set(record.execute("SELECT student, id FROM answer"))


def maxima(course):
    with Gradebook(book_of(course)) as book:
        cells = book.find_notebook(UNIT, UNIT).grade_cells
        return [{"max_points": cell.max_score} for cell in cells]

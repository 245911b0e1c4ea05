"""Grading that was stopped, at whatever moment, gives in the end what it would have given."""

import csv
import json
import signal
import subprocess
import sys

import pytest

from classes import dies_at
from classes.gradebook_dump import outcome
from classes.graded_class import copy_of, grade_command
from course_lib.cli import main
from instructor.class_run.grade_class import RECORD_FILE
from instructor.grading.examiner import Examiner
from instructor.grading.record.record import open_record
from machines.processes import until

pytestmark = pytest.mark.usefixtures("walls_tried_once")

HERE = "instructor.grading"
# Right before each of these the process is ended, one after the other, on one course folder.
MOMENTS = [
    (f"{HERE}.record.record", "GradingRecord.keep_answers", 2),  # answers run, but not on record
    (f"{HERE}.gradebook.writer", "GradebookWriter.write", 2),  # on record, but not in the gradebook
    (f"{HERE}.gradebook.writer", "enter_new", 2),  # amid the transaction: only the student is in
    (f"{HERE}.record.record", "GradingRecord.note_entered", 2),  # in the gradebook, but not noted
    (f"{HERE}.pages.feedback_pages", "write_whole", 2),  # amid the pages
    (f"{HERE}.record.record", "GradingRecord.finish_round", 1),  # at the very end
]


def grade(course):
    return main(["grade", str(course), "--trusted"])


def killed_before_each(moments, course):
    """Grade in real processes that are ended with SIGKILL; return how each ended."""
    command = [sys.executable, dies_at.__file__, json.dumps(moments)]
    done = subprocess.run(
        [*command, "grade", str(course), "--trusted", "--workers", "1"],
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    return json.loads(done.stderr.splitlines()[-1])


def test_killed_at_every_moment_it_is_in_the_end_as_if_nothing_had_happened(
    ready, undisturbed, tmp_path, capsys
):
    course = copy_of(ready, tmp_path)
    assert killed_before_each(MOMENTS, course) == [-signal.SIGKILL] * len(MOMENTS)
    assert grade(course) == 0
    assert "this one goes on from there" in " ".join(capsys.readouterr().out.split())
    assert outcome(course) == outcome(undisturbed)
    with (course / "results" / "history.csv").open(newline="") as stream:
        steps = [(row["student"], row["exercise"]) for row in csv.DictReader(stream)]
    assert len(steps) == len(set(steps)) == 6 * 6  # six students with six exercises, none twice


def test_stopped_by_hand_it_says_how_to_go_on_and_then_goes_on(ready, undisturbed, tmp_path):
    course = copy_of(ready, tmp_path)
    for kind, student in [(signal.SIGINT, "alder"), (signal.SIGTERM, "elder")]:
        status, said = stopped_at(course, student, kind)
        assert status == 130
        assert "hand-ins are graded and safe" in said
        assert "run the same command again" in said
        assert "Traceback" not in said
    assert grade(course) == 0
    assert outcome(course) == outcome(undisturbed)


def test_what_is_done_is_not_run_again(undisturbed, tmp_path, monkeypatch):
    course = copy_of(undisturbed, tmp_path)
    ran = tmp_path / "ran"  # a file, since workers are processes of their own
    monkeypatch.setattr(Examiner, "_judge", lambda *_: ran.write_text("an answer"))
    assert grade(course) == 0
    assert not ran.exists()
    assert outcome(course) == outcome(undisturbed)


def test_two_runs_never_grade_one_class_at_a_time(ready, tmp_path, capsys):
    course = copy_of(ready, tmp_path)
    with open_record(course / RECORD_FILE):
        assert grade(course) == 1
    assert "Another run is grading this class" in capsys.readouterr().err
    assert not (course / "autograded").exists()


def stopped_at(course, student, kind):
    """Grade in a real process, and signal it when a student's work appears; what did it say?"""
    running = subprocess.Popen(
        grade_command(course, "--workers", "1"),
        stderr=subprocess.PIPE, stdout=subprocess.DEVNULL, text=True,
    )  # fmt: skip
    until((course / "autograded" / student).exists, running)
    running.send_signal(kind)
    _, said = running.communicate()
    return running.returncode, said

"""What is unusual about an answer is said to graders in one line each, as a fact, in our words."""

import csv

import pytest

from classes.graded_class import RIGHT, copy_of, only_first, with_class
from course_lib.cli import main
from course_lib.exercises.registry import exercise
from course_lib.exercises.verdict import Outcome, Verdict
from course_lib.runner.runner import Problem, Result
from instructor.grading.pages.what_happened import what_happened
from instructor.grading.similarity.named_in_code import named_in_code
from instructor.units.items import source_of, unit_items

ITEM = exercise("1.1")
SECRET = "(b'secret', 7)"
BLAME = ("cheat", "attack", "hostile", "suspicious", "malicious", "tried to")


def verdict(kind="", note="", problem=None, outcome=Outcome.ERROR):
    seen = Result(kind, problem=problem, note=note) if kind else None
    return Verdict(ITEM, outcome, 0.0, seen=seen, problem=problem)


RESULTS = [
    (verdict("died", "ended by signal SIGKILL after 9.9 s of processor time"),
     "its process ended by signal SIGKILL after 9.9 s of processor time"),
    (verdict("died", "ended by signal SIGABRT"), "its process ended by signal SIGABRT"),
    (verdict("died", "ended by signal SIGSEGV"), "its process ended by signal SIGSEGV"),
    (verdict("died", "ended with exit status 3"), "its process ended with exit status 3"),
    (verdict("died", "used more than 3072 MiB of memory in all"),
     "its process used more than 3072 MiB of memory in all"),
    (verdict("died", "sent more replies than it was asked for"),
     "its process sent more replies than it was asked for"),
    (verdict("died", "printed more than 1,000 octets"),
     "its process printed more than 1,000 octets"),
    (verdict("not plain", "a reply out of turn"),
     "it sent a reply that nobody had asked for at that moment"),
    (verdict("not plain", SECRET), "what it returned is no plain data"),
    (verdict("out of time"), "it did not come back in time"),
    (verdict("changed", f"`{SECRET}`, and so on"), "it changed what it was given"),
    (verdict("raised", problem=Problem(("MemoryError",), SECRET, None)),
     "it asked for more memory than an answer may have (MemoryError)"),
    (verdict("raised", problem=Problem(("KeyError",), SECRET, None)), "it raised KeyError"),
    (verdict("raised", problem=Problem((SECRET, "ValueError"), SECRET, None)),
     "it raised an exception of its own"),
    (verdict("died", SECRET), "its process came to an end before all questions were put"),
    (verdict("value", outcome=Outcome.WRONG), ""),
    (verdict(outcome=Outcome.RIGHT), ""),
    (verdict(problem=Problem(("SystemExit",), "the process ended: ended with exit status 3", None)),
     "its process ended with exit status 3"),
]  # fmt: skip


@pytest.mark.parametrize(("one", "line"), RESULTS)
def test_each_end_has_a_line_of_facts_in_our_own_words(one, line):
    assert what_happened(one) == line
    assert SECRET not in line
    assert not any(word in line for word in BLAME)


CODE = [
    ("import socket\nsocket.socket()\n", "its code names socket.socket (the network)"),
    ("from urllib import request\n", "its code names urllib (the network)"),
    ("import os as o\no.fork()\n", "its code names os.fork (other processes)"),
    ("import subprocess\n", "its code names subprocess (other processes)"),
    ("import os\nos.listdir('/home')\n", "its code names os.listdir (files and folders)"),
    ("def f():\n    return open('/etc/passwd').read()\n",
     "its code names open (files and folders)"),
    ("import os\ndef f():\n    return 1 if 'GRADER' in os.environ else 2\n",
     "its code names os.environ (the place where it runs)"),
    ("import sys\nsys._getframe()\n", "its code names sys._getframe (the inside of Python)"),
    ("import gc\n", "its code names gc (the inside of Python)"),
]  # fmt: skip


@pytest.mark.parametrize(("source", "line"), CODE)
def test_what_no_exercise_asks_for_is_named(source, line):
    assert named_in_code(source) == (line,)


@pytest.mark.parametrize("unit", ["01", "02", "04", "06", "10"])
def test_no_right_answer_that_we_know_has_a_line(unit):
    for one in unit_items(unit):
        for answer in (one.answer, *one.others):
            assert named_in_code(source_of(answer, one.exercise.function)) == (), answer


HEAD = "import os, sys, signal\ndef read_word(data, offset):\n    "
ANSWERS = {
    # The first process of a namespace does not get the signals that it sends itself (kill(2)),
    # so what `abort` tries next is what ends it.
    "abort": ("os.abort()", "its process ended by signal SIG"),
    "fault": ("import ctypes; ctypes.string_at(1)", "its process ended by signal SIGSEGV"),
    "exit": ("os._exit(7)", "its process ended with exit status 7"),
    "memory": ("return len(b'x' * (1 << 40))", "it asked for more memory than an answer may have"),
    "own": ("raise type('Mine', (Exception,), {})(data)", "it raised an exception of its own"),
}


@pytest.fixture(scope="module")
def notes(bare_course, tmp_path_factory, walls_tried_once):
    folder = tmp_path_factory.mktemp("unusual")
    class_ = {name: only_first(HEAD + body + "\n") for name, (body, _) in ANSWERS.items()}
    course = with_class(copy_of(bare_course, folder), {**class_, "yarrow": only_first(RIGHT)})
    assert main(["grade", str(course), "--trusted"]) == 0
    with (course / "results" / "scores.csv").open(newline="") as stream:
        found = {row["student"]: row["note"] for row in csv.DictReader(stream)
                 if row["exercise"] == "1.1"}  # fmt: skip
    return found, (course / "results" / "summary.html").read_text()


@pytest.mark.parametrize("name", ANSWERS)
def test_graders_read_it_in_the_table_and_on_the_summary(notes, name):
    table, page = notes
    line = ANSWERS[name][1]
    assert line in table[name]
    assert name == "own" or line.split(" (")[0] in page


def test_an_honest_answer_has_no_line(notes):
    assert notes[0]["yarrow"] == ""
    assert "yarrow" not in notes[1]

"""`hopbyhop grade`: gradebook, scores, a page for each student, and a report, from one folder."""

import contextlib
import csv
import io
import json

import pytest
from nbgrader.api import Gradebook

from classes.graded_class import copy_of
from course_lib.cli import main
from hand_ins.hand_in_files import UNIT, blank, doubled, hand_in, solved
from instructor.class_run.grade_class import RECORD_FILE
from instructor.grading.sandbox import sandboxed_run as place
from instructor.grading.sandbox.sandbox import Sandbox

pytestmark = pytest.mark.xdist_group("grade class")  # one class is graded once


@pytest.fixture(scope="module")
def ready(bare_course, tmp_path_factory):
    """Make a course folder with hand-ins, to be copied, that was never graded in."""
    course = copy_of(bare_course, tmp_path_factory.mktemp("class"))
    (course / RECORD_FILE).unlink()
    hand_in(course / "submitted", "alder", solved())
    hand_in(course / "submitted", "bracken", blank())
    two = doubled(solved(), "answer-1-1", "def read_word(data, offset):\n    return 1\n")
    hand_in(course / "submitted", "clover", two)
    hand_in(course / "submitted", "dill", "")
    return course


@pytest.fixture
def course(ready, tmp_path):
    return copy_of(ready, tmp_path)


@pytest.fixture(scope="module")
def graded(ready, tmp_path_factory):
    """Grade the class once; give its course folder, only to be looked at, and what was said."""
    course, said = copy_of(ready, tmp_path_factory.mktemp("graded")), io.StringIO()
    with contextlib.redirect_stdout(said):
        assert main(["grade", str(course), "--trusted"]) == 0
    return course, said.getvalue()


def scores(folder):
    with (folder / "scores.csv").open(newline="") as stream:
        return list(csv.DictReader(stream))


def test_the_whole_class_is_graded_in_one_command(graded):
    course, said = graded
    assert "not graded: dill" in said
    assert "partly graded: clover, 1.1" in said
    rows = scores(course / "results")
    assert {row["student"] for row in rows} == {"alder", "bracken", "clover", "dill"}
    alder = {row["exercise"]: row["outcome"] for row in rows if row["student"] == "alder"}
    assert alder.pop("explain-1") == "no answer"
    assert set(alder.values()) == {"right"}
    for student in ("alder", "bracken", "clover", "dill"):
        assert (course / "results" / "feedback" / f"{student}.html").exists()
    assert (course / "results" / "report" / "report.html").exists()


def test_the_gradebook_holds_the_points_and_what_a_person_must_do(graded):
    course, _ = graded
    with Gradebook(f"sqlite:///{course / 'gradebook.db'}") as book:
        alder = book.find_submission(UNIT, "alder")
        assert alder.score == sum(float(row["points"]) for row in scores(course / "results")
                                  if row["student"] == "alder")  # fmt: skip
        waiting = book.find_grade("mark-1-1", UNIT, UNIT, "clover")
        assert waiting.needs_manual_grade


def test_a_flat_folder_gives_the_same_scores(graded, tmp_path):
    course, flat = copy_of(graded[0], tmp_path), tmp_path / "mailbox"
    flat.mkdir()
    (flat / f"alder_{UNIT}.ipynb").write_text(json.dumps(solved()))
    assert main(["grade", str(flat), "--course", str(course), "--out", str(tmp_path / "out"),
                 "--trusted", "--whole"]) == 0  # fmt: skip
    nested = [row for row in scores(course / "results") if row["student"] == "alder"]
    assert scores(tmp_path / "out") == nested


def test_grading_twice_gives_the_same_file_to_the_octet(graded, tmp_path):
    course = copy_of(graded[0], tmp_path)
    first = (course / "results" / "scores.csv").read_bytes()
    (course / "results" / "scores.csv").unlink()
    main(["grade", str(course), "--trusted"])
    assert (course / "results" / "scores.csv").read_bytes() == first


def test_without_a_sandbox_nothing_runs_unless_trusted_and_the_scores_are_the_same(
    course, graded, monkeypatch, capsys, need
):
    none = Sandbox("none", None, "there is no sandbox")
    monkeypatch.setattr(place, "open_sandbox", lambda _: contextlib.nullcontext(none))
    assert main(["grade", str(course)]) == 1
    said = capsys.readouterr()
    assert "--trusted" in said.err
    assert not (course / "results").exists()
    assert main(["grade", str(course), "--trusted"]) == 0
    need("bwrap", "apt-get install bubblewrap")
    assert graded[1].startswith("Sandbox: ")
    assert scores(course / "results") == scores(graded[0] / "results")


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["nowhere"], "FOLDER nowhere: there is no such folder"),
        ([".", "--course", "../gone"], "--course ../gone: there is no such folder"),
    ],
)
def test_a_wrong_folder_is_named_with_what_to_do(arguments, words, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    assert main(["grade", *arguments]) == 1
    assert words in capsys.readouterr().err

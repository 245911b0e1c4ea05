"""Hand-ins come in parts and folders are moved: it is one class all the same."""

import csv
import shutil

import pytest

from classes.class_of_writers import in_words
from classes.gradebook_dump import contents
from classes.graded_class import RIGHT, WRONG, copy_of, only_first
from course_lib.cli import main
from hand_ins.hand_in_files import UNIT, hand_in
from instructor.grading.workers import batch
from instructor.release.gradebook_tools import open_gradebook

pytestmark = pytest.mark.usefixtures("walls_tried_once")


def students(course):
    with (course / "results" / "scores.csv").open() as file:
        return {row["student"] for row in csv.DictReader(file)}


def flagged(course, points=None):
    """Give points for words by hand; return which cells of alder wait for a person."""
    with open_gradebook(f"sqlite:///{course / 'gradebook.db'}") as book:
        grades = book.find_submission_notebook(UNIT, UNIT, "alder").grades
        if points is not None:
            for one in grades:
                one.manual_score, one.needs_manual_grade = points, False
            book.db.commit()
        return [one.name for one in grades if one.needs_manual_grade]


def test_a_class_graded_in_parts_and_moved_is_one_class(bare_course, tmp_path, capsys):
    course = copy_of(bare_course, tmp_path / "here")
    first, second = tmp_path / "first", tmp_path / "second"
    hand_in(first, "alder", only_first(RIGHT))
    hand_in(second, "bracken", only_first(WRONG))

    def grade(folder, course, *more):
        return main(["grade", str(folder), "--course", str(course), "--trusted", *more])

    assert grade(first, course, "--look") == 0
    assert f"{UNIT}.ipynb -> alder, {UNIT}" in " ".join(capsys.readouterr().out.split())
    assert not (course / "results").exists()
    assert grade(first, course) == 0
    assert grade(second, course) == 0
    assert students(course) == {"alder", "bracken"}
    pages = sorted(path.name for path in (course / "results" / "feedback").glob("*.html"))
    assert [name.split(".")[0] for name in pages] == ["alder", "bracken"]

    assert flagged(course, points=1.0) == []
    moved = tmp_path / "elsewhere" / "another name"
    moved.parent.mkdir()
    shutil.move(course, moved)
    shutil.move(first, tmp_path / "elsewhere" / "mailbox")
    assert grade(tmp_path / "elsewhere" / "mailbox", moved) == 0
    assert flagged(moved) == []
    assert students(moved) == {"alder", "bracken"}
    with (moved / "results" / "changes.csv").open() as file:
        assert list(csv.DictReader(file)) == []

    capsys.readouterr()
    assert grade(second, moved, "--again", "aldr") == 1
    said = " ".join(capsys.readouterr().err.split())
    assert "--again aldr: there is no such student" in said
    assert "Did you mean alder?" in said
    assert grade(second, moved, "--whole") == 0
    assert students(moved) == {"bracken"}


def test_what_was_graded_before_needs_no_worker_and_comes_to_the_same(
    bare_course, tmp_path, monkeypatch
):
    course, folder = copy_of(bare_course, tmp_path), tmp_path / "first"
    noted = only_first(RIGHT)
    for cell in noted.cells:
        if cell.metadata.get("nbgrader", {}).get("grade_id") == "mark-1-1":
            cell.source = "2.0"  # a note says that the check was edited
    for student, workbook in {"alder": noted, "bracken": in_words("Yours, Bracken.")}.items():
        hand_in(folder, student, workbook)
    command = ["grade", str(folder), "--course", str(course), "--trusted"]
    assert main(command) == 0
    before = contents(course / "results")
    sent = []
    send = batch._UnderWay._send

    def noted_send(self, lane, queue, **more):
        sent.append(queue[0].student)
        send(self, lane, queue, **more)

    monkeypatch.setattr(batch._UnderWay, "_send", noted_send)
    assert main(command) == 0
    assert sent == []
    assert contents(course / "results") == before
    hand_in(folder, "bracken", only_first(WRONG))
    assert main([*command, "--again", "alder"]) == 0
    assert sorted(sent) == ["alder", "bracken"]


@pytest.mark.parametrize("named", [True, False])
def test_the_folder_of_the_release_is_no_class(bare_course, tmp_path, capsys, named):
    folder = tmp_path / "class"
    course = copy_of(bare_course, folder)
    (folder / "students" / "hop-by-hop-2").mkdir(parents=True)
    (folder / "students" / "hop-by-hop-2" / ".hop-by-hop").write_text("2\n")
    for place in (folder, folder / "students"):
        more = ["--course", str(course)] if named else []
        assert main(["grade", str(place), "--trusted", *more]) == 1
        said = "".join(capsys.readouterr().err.split())  # a long path is folded
        assert said.startswith(f"FOLDER{place}")
        assert "hand-ins" in said

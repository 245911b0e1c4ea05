"""A small class lives through everything that writes about students; then somebody is forgotten.

What is looked for afterwards are canaries: the id, the name, and words of the answers, in every
file, also inside archives and databases.
"""

import contextlib
import csv
import shutil
import sqlite3
import tarfile
import zipfile
from pathlib import PurePosixPath

import pytest

from classes.class_of_writers import in_words
from classes.gradebook_dump import book_of, dump
from classes.graded_class import SEED, copy_of
from course_lib.cli import main
from course_lib.exercises.whole_file import write_whole
from hand_ins.hand_in_files import UNIT, hand_in
from instructor.keeping.forget import still_named
from instructor.keeping.personal_places import PLACES, Kind, place_of
from instructor.marking.marks import open_marks
from instructor.marking.reading import Reading
from instructor.output.tables import write_table
from instructor.release.course_folder import named_course
from instructor.release.personal_codes import CODES_FILE, code_of, write_codes

WHO = ("alder", "bracken", "s-103")
NAMES = {"alder": "Alder Quillfeather", "bracken": "Bracken Tern", "s-103": "Dill Plover"}
WORDS = {student: f"zanzi{place}bar words" for place, student in enumerate(WHO)}
CODE = "def read_word(data, offset):\n    zanzi{}bar = data[offset]\n    return zanzi{}bar\n"


def canaries(student):
    place = WHO.index(student)
    return [student, NAMES[student], f"zanzi{place}bar"]


def files_with(course, words):
    return {path.relative_to(course).as_posix() for path in still_named(course, words)}


@pytest.fixture(scope="module")
def lived(bare_course, tmp_path_factory):
    """Let a class hand in, be graded, marked by hand, and used by the gradebook's own tools."""
    course = copy_of(bare_course, tmp_path_factory.mktemp("lived"))
    for place, student in enumerate(WHO):
        workbook = in_words(f"{WORDS[student]} by {NAMES[student]}")
        for cell in workbook.cells:
            if cell.metadata.get("nbgrader", {}).get("grade_id") == "answer-1-1":
                cell.source = CODE.format(place, place)
        hand_in(course / "submitted", student, workbook)
    with zipfile.ZipFile(course / "submitted" / "alder" / "more.zip", "w") as archive:
        archive.writestr("notes.txt", "alder: zanzi0bar")
    late = [(one, UNIT, "2026-05-04T14:00:00+02:00") for one in WHO]
    write_table(course / "submitted" / "handed-in.csv", ("student", "unit", "time"), late)
    write_codes(course / CODES_FILE, SEED, WHO)
    said_of_class(course)
    for student in WHO:  # as they handed it over, under their ids
        (course / "progress" / student).mkdir(parents=True)
        write_whole(course / "progress" / student / "progress.json", f'{{"{student}": 1}}')
    assert main(["grade", str(course), "--trusted"]) == 0
    asked_and_told(course)
    with open_marks(course) as store:
        reading = Reading(named_course(course), book_of(course), "rowan", store)
        for entry in reading.entries[UNIT, "explain-1"]:
            if entry.answers[0].student != "s-103":  # that one still waits
                reading.give(entry, 1.5, f"You say {entry.text}")
    assert main(["grade", str(course), "--trusted"]) == 0
    for student in WHO:  # as `nbgrader generate_feedback` does
        page = course / "feedback" / student / UNIT / f"{UNIT}.html"
        page.parent.mkdir(parents=True)
        write_whole(page, WORDS[student])
    shutil.copy(
        course / "gradebook.db", course / "gradebook.db.2026-05-04"
    )  # `nbgrader db upgrade`
    write_whole(course / "results" / ".scores.csv.x1y2z3", "alder,bracken,s-103")  # a run cut off
    return course


def said_of_class(course):
    """Say by command who is in the class, when the unit is due, who may do otherwise, who asks."""
    taken = course.parent / "as exported.csv"
    write_table(taken, ("name", "id"), [(name, one) for one, name in NAMES.items()])
    due, later = "2026-05-01T14:00:00+02:00", "2026-05-05T14:00:00+02:00"
    number = UNIT.partition("-")[0]
    for line in (
        ["roster", "--take", str(taken)],
        ["roster", "--same", "Alder Q", "alder"],
        ["deadlines", "--due", number, due],
        *(["deadlines", "--extend", one, number, later, "--why", f"{one} asked"] for one in WHO),
        ["deadlines", "--excuse", "alder", f"{number}/explain-1", "--why", "like s-103"],
    ):
        assert main([line[0], str(course), *line[1:], "--confirm"]) == 0


def asked_and_told(course):
    """Keep a request of everybody, and its answer."""
    for place, one in enumerate(WHO, start=1):
        asked = ["requests", str(course), "--ask", one, "1.1", "--text", f"{one} read on"]
        assert main(asked) == 0
        told = ["requests", str(course), "--answer", str(place), "--text", f"{NAMES[one]} is right"]
        assert main(told) == 0


@pytest.fixture
def course(lived, tmp_path):
    return copy_of(lived, tmp_path)


def test_the_list_names_every_place_that_is_written_to_and_no_other(course):
    holding = files_with(course, [word for student in WHO for word in canaries(student)])
    found = {name: place_of(PurePosixPath(name)) for name in holding}
    assert [name for name, place in found.items() if place is None] == []
    never = {place.what for place in PLACES} - {place.what for place in found.values()}
    assert never == {"what databases leave beside them"}  # there only while one is written
    for kind in Kind:
        assert any(place.kind is kind for place in found.values())


def test_who_is_forgotten_is_found_nowhere_and_nobody_else_loses_anything(course, capsys):
    others = [row for row in dump(book_of(course)) if row[1] != "alder"]
    made_anew = (
        "upload.csv",
        "exercises.csv",
        "misconceptions.csv",
        "statistics.csv",
        "units.csv",
        "unnamed.csv",
        "attempts.csv",
    )
    paths = [path for path in course.rglob("*.csv") if path.name not in made_anew]
    tables = {path: others_rows(path) for path in paths}
    folder = course / "results" / "feedback"
    pages = {path: path.read_text() for path in folder.iterdir() if path.stem != "alder"}
    points = uploaded(course)
    assert files_with(course, canaries("alder"))
    assert main(["forget", str(course), "alder", "--yes"]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "finds their ids no more" in said
    assert "say the rules of your institution and the law" in said
    assert files_with(course, canaries("alder")) == set()
    assert [row for row in dump(book_of(course)) if row[1] == "alder"] == []
    assert dump(book_of(course)) == others
    assert {path: others_rows(path) for path in tables} == tables
    assert {path: path.read_text() for path in pages} == pages
    assert main(["grade", str(course), "--trusted"]) == 0
    assert uploaded(course) == {one: points[one] for one in ("bracken", "s-103")}
    assert files_with(course, canaries("alder")) == set()


def uploaded(course):
    """Return the points of everybody in the table to upload."""
    with (course / "results" / "upload.csv").open(newline="") as table:
        return {row["student"]: row["points"] for row in csv.DictReader(table)}


def others_rows(path):
    with path.open(newline="") as table:
        return [row for row in csv.reader(table) if "alder" not in row]


def test_a_term_ends_with_an_archive_and_nobody_is_left(course, tmp_path, capsys):
    """Also of those whose hand-ins came in one archive, or whom nobody could tell."""
    with tarfile.open(course / "submitted" / "whole-class.tar.gz", "w:gz") as archive:
        archive.add(course / "submitted" / "bracken", "bracken")
    kept, inside = tmp_path / "kept.zip", course / "kept.zip"
    assert main(["forget", str(course), "--all", "--yes", "--keep", str(inside)]) == 1
    assert "Nothing was deleted" in capsys.readouterr().err
    assert files_with(course, ["bracken"])
    assert main(["forget", str(course), "--all", "--yes", "--keep", str(kept)]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "A search for 11 ids, names and codes through all" in said  # four ids, one of them odd
    with zipfile.ZipFile(kept) as archive:
        assert {"gradebook.db", "submitted/whole-class.tar.gz"} <= {*archive.namelist()}
    every = [word for student in WHO for word in canaries(student)]
    every += [code_of(SEED, student) for student in WHO]
    assert not (course / "submitted" / "whole-class.tar.gz").exists()
    assert files_with(course, every) == set()
    assert dump(book_of(course)) == []
    assert named_course(course).batch.seed == SEED  # the course itself can be used again


REFUSED = {
    "nobody is named": ([], 2, "or say --all"),
    "one and all": (["alder", "--all"], 2, "or say --all"),
    "no such student": (["aldre"], 1, "no such student"),
    "nobody can be asked": (["alder"], 1, "say --yes"),
}


@pytest.mark.parametrize(("more", "status", "words"), REFUSED.values(), ids=REFUSED)
def test_nothing_is_deleted_without_a_word_for_it(lived, more, status, words, capsys):
    before = files_with(lived, ["alder"])
    assert main(["forget", str(lived), *more]) == status
    said = capsys.readouterr()
    assert words in said.err
    if more == ["aldre"]:
        assert "Did you mean alder?" in said.err
    assert files_with(lived, ["alder"]) == before


def test_what_is_left_in_others_words_is_said(course, capsys):
    (course / "submitted" / "bracken" / "thanks.txt").write_text("I worked with alder.")
    assert main(["forget", str(course), "alder", "--yes"]) == 1
    assert "STILL NAMED" in capsys.readouterr().out
    assert files_with(course, ["alder"]) == {"submitted/bracken/thanks.txt"}


def test_an_archive_is_whole_and_a_gradebook_in_it_can_be_opened(lived, tmp_path, capsys):
    path = tmp_path / "class.zip"
    assert main(["archive", str(lived), str(path)]) == 0
    assert "say the rules" in " ".join(capsys.readouterr().out.split())
    assert path.stat().st_mode & 0o777 == 0o600
    with zipfile.ZipFile(path) as archive:
        archive.extractall(tmp_path / "out")
    out = tmp_path / "out"
    sums = dict(line.split("  ")[::-1] for line in (out / "SHA256SUMS").read_text().splitlines())
    files = {one.relative_to(out).as_posix() for one in out.rglob("*") if one.is_file()}
    assert files == {*sums, "SHA256SUMS"}
    assert dump(book_of(out)) == dump(book_of(lived))
    with contextlib.closing(sqlite3.connect(out / "grading-record.db")) as record:
        assert record.execute("SELECT count(*) FROM score").fetchone()[0] > 0
    for kept in (one for one in PLACES if one.kept):
        assert any(place_of(PurePosixPath(name)) is kept for name in files), kept.what
    assert main(["archive", str(lived), str(path)]) == 1  # nothing is written over
    assert main(["archive", str(lived), str(lived / "results" / "a.zip")]) == 1


def test_under_pseudonyms_nobody_is_in_the_archive_and_all_points_are(lived, tmp_path):
    path = tmp_path / "class.zip"
    assert main(["archive", str(lived), str(path), "--pseudonyms"]) == 0
    every = [word for student in WHO for word in canaries(student)]
    assert list(still_named(tmp_path, [*every, SEED])) == []
    with zipfile.ZipFile(path) as archive:
        told = list(csv.DictReader(archive.read("scores.csv").decode().splitlines()))
    with (lived / "results" / "scores.csv").open(newline="") as table:
        true = list(csv.DictReader(table))
    assert sorted(row["points"] for row in told) == sorted(row["points"] for row in true)
    numbers = {row["number"] for row in told}  # of four: the odd id has one, and no points
    assert numbers < {f"student {place}" for place in range(1, 5)}
    assert len(numbers) == len(WHO)
    assert "note" not in told[0]

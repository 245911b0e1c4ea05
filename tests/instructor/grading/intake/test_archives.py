"""Archives: what they hold is read in memory; hostile ones cost nobody else anything.

Every archive is built here, octet by octet where it lies; none is from anywhere else.
"""

import csv
import functools
import json
import os
import subprocess
import sys
import time

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from classes.graded_class import CLASS, copy_of, with_class
from course_lib.cli import main
from hand_ins.archive_parts import BZIP2, DEFLATED, LZMA, Part, plain_zip, tar_of, zip_of
from hand_ins.hand_in_files import OTHER_UNIT, UNIT, blank, hand_in
from hand_ins.hostile_archives import BOOK, HOSTILE_ARCHIVES, OTHER
from hand_ins.odd_archives import AS_THE_GRADEBOOK, ODD_ARCHIVES, SIDE_BY_SIDE
from instructor.grading.intake import archive_members, archives
from instructor.grading.intake.archive_members import STUDENT_LIMITS, Limits
from instructor.grading.intake.intake import find_hand_ins
from instructor.grading.intake.notebook_reader import read_notebook

MIB = 1 << 20
UNITS = (UNIT, OTHER_UNIT)
HOSTILE = [pytest.param(one, id=one.name) for one in HOSTILE_ARCHIVES]
ODD = [pytest.param(one, id=one.name) for one in ODD_ARCHIVES]
SECONDS = 10.0  # for the slowest; they take at most two here


@pytest.fixture(scope="session")
def hostile_octets():
    """Make each hostile archive once: some are made of hundreds of MiB."""
    return functools.cache(lambda one: one.octets())


def put(folder, name, octets):
    (folder / name).write_bytes(octets)
    return folder / name


def students(intake):
    return sorted({one.student for one in intake.hand_ins})


def said(intake):
    """Return all that a grader is told, line by line."""
    notes = [note for one in intake.hand_ins for note in one.notes]
    return [f"{one.shown}: {one.why}" for one in intake.not_graded] + notes


def test_there_are_many():
    assert len({one.name for one in HOSTILE_ARCHIVES}) == len(HOSTILE_ARCHIVES) >= 60
    assert len({one.name for one in ODD_ARCHIVES}) == len(ODD_ARCHIVES) >= 30


@pytest.mark.parametrize("one", HOSTILE)
def test_in_the_archive_of_a_class_it_costs_the_others_nothing_and_is_said(
    tmp_path, one, hostile_octets
):
    path = put(tmp_path, f"class{one.suffix}", hostile_octets(one))
    start = time.monotonic()
    intake = find_hand_ins(path, UNITS)
    assert time.monotonic() - start < SECONDS
    assert ({"alder", "bracken"} <= set(students(intake))) is one.others
    assert any(one.said in line for line in said(intake)) or not one.said
    assert all(line.isprintable() for line in said(intake))
    assert all(path.name in line.shown for line in intake.not_graded)
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize("one", HOSTILE)
def test_in_a_folder_it_costs_the_others_nothing_and_is_never_lost(tmp_path, one, hostile_octets):
    put(tmp_path, f"mallow_work{one.suffix}", hostile_octets(one))
    put(tmp_path, f"alder_{UNIT}.ipynb", BOOK)
    intake = find_hand_ins(tmp_path, UNITS)
    (alder,) = (found for found in intake.hand_ins if found.student == "alder")
    others = [found.student for found in (*intake.hand_ins, *intake.not_graded)
              if found is not alder]  # fmt: skip
    assert alder.notes == ()
    assert set(others) == {"mallow"}
    assert all(line.isprintable() for line in said(intake))


@pytest.mark.parametrize("one", ODD)
def test_honest_ones_are_read_whole_whatever_made_them(tmp_path, one):
    intake = find_hand_ins(put(tmp_path, one.name, one.octets()), UNITS, one.roster)
    assert (tuple(students(intake)), intake.not_graded) == (one.students, ())
    assert {found.notebook == read_notebook(BOOK) for found in intake.hand_ins} == {True}
    assert {found.unit for found in intake.hand_ins} == {UNIT}


@pytest.mark.parametrize("one", ODD)
def test_handed_in_by_one_student_they_are_read_too(tmp_path, one):
    folder = tmp_path / "dill" / UNIT
    folder.mkdir(parents=True)
    put(folder, one.name, one.octets())
    (found,) = find_hand_ins(tmp_path, UNITS).hand_ins
    assert (found.student, found.unit, found.notebook) == ("dill", UNIT, read_notebook(BOOK))


CHANGES = st.lists(
    st.tuples(st.floats(0, 1), st.sampled_from(["flip", "cut", "put"]), st.integers(1, 600)),
    min_size=1, max_size=8,
)  # fmt: skip


def changed(octets, changes):
    """Change octets at some places, each given as a share of the whole."""
    made = bytearray(octets)
    for share, kind, number in changes:
        at = int(share * len(made))
        if kind == "flip" and made:
            made[at % len(made)] ^= number & 0xFF
        elif kind == "put":
            made[at:at] = bytes(number)
        else:
            del made[at : at + number]
    return bytes(made)


@settings(
    max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(which=st.sampled_from(["class.zip", "class.tgz"]), changes=CHANGES)
def test_whatever_is_changed_in_it_only_what_was_handed_in_is_graded(tmp_path, which, changes):
    small = b'{"cells": [], "metadata": {"hop_by_hop": {"unit": "%s"}}}' % UNIT.encode()
    files = {f"{name}_{UNIT}.ipynb": small for name in ("alder", "bracken", "clover")}
    octets = tar_of(files, packed=True) if which.endswith("tgz") else plain_zip(files)
    intake = find_hand_ins(put(tmp_path, which, changed(octets, changes)), UNITS)
    assert {one.notebook == read_notebook(small) for one in intake.hand_ins} <= {True}
    assert intake.hand_ins or intake.not_graded
    assert all(line.isprintable() for line in said(intake))


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux tells how much it was at most")
def test_the_worst_members_take_no_more_memory_than_one_workbook_may(tmp_path):
    """200 MiB packed in each way, as if they were 49 MiB: as much as is ever unpacked."""
    large = bytes(200 * MIB)
    for method in (DEFLATED, BZIP2, LZMA):
        lie = Part(b"a.ipynb", large, method, size=49 * MIB)
        put(tmp_path, f"alder_{method}.zip", zip_of(lie))
    put(tmp_path, "alder_all.tar.gz", tar_of({"a.bin": large, "b.bin": large}, packed=True))
    before, after = peak_mib_of_reading(tmp_path / "no"), peak_mib_of_reading(tmp_path)
    assert after - before < 200


def peak_mib_of_reading(folder):
    """Return the largest memory that a process has which does nothing else.

    Not RUSAGE_SELF: that begins with what the process had that started it (getrusage(2)).
    """
    folder.mkdir(exist_ok=True)
    program = (
        "import pathlib, sys\n"
        "from instructor.grading.intake import find_hand_ins\n"
        f"find_hand_ins(pathlib.Path(sys.argv[1]), {UNITS!r})\n"
        "print(pathlib.Path('/proc/self/status').read_text())"
    )
    run = subprocess.run(
        [sys.executable, "-c", program, str(folder)], capture_output=True, check=True, text=True
    )
    return int(run.stdout.partition("VmHWM:")[2].split()[0]) / 1024


@pytest.mark.parametrize(("name", "of"), [("a.zip", plain_zip), ("a.tar", tar_of)])
def test_no_more_is_unpacked_than_the_limit_of_an_archive(tmp_path, monkeypatch, name, of):
    monkeypatch.setattr(archives, "STUDENT_LIMITS", Limits(100, 3 * len(BOOK)))
    put(tmp_path, f"alder_{name}", of({f"{number}.ipynb": BOOK for number in range(9)}))
    assert "holds more than" in said(find_hand_ins(tmp_path, UNITS))[0].replace(
        "unpacks to", "holds"
    )


@pytest.mark.parametrize(("name", "of"), [("a.zip", plain_zip), ("a.tar", tar_of)])
def test_an_archive_with_too_many_members_is_left(tmp_path, monkeypatch, name, of):
    monkeypatch.setattr(archives, "STUDENT_LIMITS", Limits(5, STUDENT_LIMITS.octets))
    put(tmp_path, f"alder_{name}", of({f"{number}.txt": b"" for number in range(6)}))
    (line,) = find_hand_ins(tmp_path, UNITS).not_graded
    assert line.why == "more than 5 members: nothing of it was read"


def test_a_student_with_too_many_workbooks_is_asked_and_bad_members_have_few_lines(tmp_path):
    put(tmp_path, "alder_a.zip", plain_zip({f"{number}.ipynb": BOOK for number in range(101)}))
    nested = {f"{number}.zip": b"PK" for number in range(300)}
    put(tmp_path, "bracken_a.zip", plain_zip(nested))
    lines = find_hand_ins(tmp_path, UNITS).not_graded
    assert [one.why for one in lines if one.student == "alder"] == [
        "101 workbooks in one archive: hand in those of this course"
    ]
    assert len([one for one in lines if one.student == "bracken"]) == archives.LINES_LIMIT


def test_the_limits_are_those_that_are_written_down():
    assert archive_members.SIZE_LIMIT == 50 * MIB
    assert Limits(50_000, 8 << 30) == archive_members.CLASS_LIMITS
    assert Limits(20_000, 256 * MIB) == STUDENT_LIMITS


@pytest.mark.parametrize(
    ("files", "roster", "students_found"),
    [
        ({"hand-ins/alder_x.ipynb": BOOK}, ("alder",), ["alder"]),
        ({"alder/x.ipynb": BOOK}, ("alder",), ["alder"]),
        ({"hand-ins/alder/x.ipynb": BOOK}, ("alder",), ["alder"]),
        ({"hand-ins/alder_x.ipynb": BOOK}, (), []),
        ({"alder/first_try.ipynb": BOOK}, (), []),
        ({f"alder/old_{UNIT}.ipynb": BOOK, f"alder/new_{UNIT}.ipynb": BOOK}, (), []),
        ({"hand-ins/alder/x.ipynb": BOOK, "hand-ins/bracken/x.ipynb": BOOK}, (), []),
        ({"hand-ins/x.ipynb": BOOK}, ("alder",), []),
        ({"alder/x.ipynb": BOOK, "bracken/x.ipynb": BOOK}, (), ["alder", "bracken"]),
    ],
)
def test_a_folder_that_may_be_a_student_or_the_class_is_never_guessed(
    tmp_path, files, roster, students_found
):
    intake = find_hand_ins(put(tmp_path, "class.zip", plain_zip(files)), UNITS, roster)
    assert students(intake) == students_found
    assert any("--roster" in line for line in said(intake)) is (not students_found)


def test_an_archive_of_all_units_is_a_hand_in_for_each(tmp_path):
    other = json.dumps(blank(OTHER_UNIT)).encode()
    files = {f"course/{UNIT}/{UNIT}.ipynb": BOOK, f"course/{OTHER_UNIT}/my.ipynb": other,
             "course/scratch.ipynb": b'{"cells": []}', "course/data.bin": bytes(100)}  # fmt: skip
    put(tmp_path, "alder_all.zip", plain_zip(files))
    intake = find_hand_ins(tmp_path, UNITS)
    assert [(one.student, one.unit) for one in intake.hand_ins] == [
        ("alder", UNIT), ("alder", OTHER_UNIT)]  # fmt: skip
    assert said(intake) == [
        "alder_all.zip: course/scratch.ipynb: no workbook of this course",
        "the file was renamed to my.ipynb",
    ]


@pytest.mark.parametrize(
    ("name", "roster", "why"),
    [
        ("alder_x.zip", (), ""),
        ("2031 alder late.tar.gz", ("alder", "dill"), ""),
        ("alder.zip", ("alder",), ""),
        ("homework.zip", (), "no student's id in the archive's name"),
        ("alder_dill.zip", ("alder", "dill"), "no student's id in the archive's name"),
    ],
)
def test_whose_an_archive_in_a_flat_folder_is_says_its_name(tmp_path, name, roster, why):
    put(tmp_path, name, plain_zip({"01.ipynb": BOOK}))
    intake = find_hand_ins(tmp_path, UNITS, roster)
    assert students(intake) == ["alder"] * (not why)
    assert [why in one.why for one in intake.not_graded] == [True] * bool(why)


def test_data_in_an_archive_beside_a_workbook_raises_no_line_and_alone_it_does(tmp_path):
    hand_in(tmp_path, "alder", blank())
    for name in ("alder", "bracken"):
        (tmp_path / name / UNIT).mkdir(parents=True, exist_ok=True)
        put(tmp_path / name / UNIT, "data.zip", plain_zip({"a.csv": b"1"}))
    intake = find_hand_ins(tmp_path, UNITS)
    assert students(intake) == ["alder"]
    assert [(one.student, one.why) for one in intake.not_graded] == [
        ("bracken", "no workbook in it, but 1 other members")
    ]


def test_the_newest_member_counts_and_the_archive_is_as_new_as_its_file(tmp_path):
    old = put(tmp_path, "alder_old.zip", tar_of({"z.ipynb": OTHER}))
    new = put(tmp_path, "alder_new.ipynb", BOOK)
    os.utime(old, (1, 1))
    os.utime(new, (2, 2))
    (one,) = find_hand_ins(tmp_path, UNITS).hand_ins
    assert one.path == new
    assert one.notes[-1] == "the newest file counts; older: alder_old.zip: z.ipynb"


def test_two_of_one_time_are_both_marked_where_the_best_counts(tmp_path):
    put(tmp_path, "alder_a.zip", plain_zip({"a.ipynb": BOOK, "b.ipynb": OTHER}))
    assert find_hand_ins(tmp_path, UNITS).hand_ins == ()
    assert len(find_hand_ins(tmp_path, UNITS, attempts="best").hand_ins) == 2


def test_a_link_to_an_archive_is_not_followed(tmp_path):
    outside = put(tmp_path, "secret.zip", plain_zip({"a.ipynb": BOOK}))
    folder = tmp_path / "in"
    folder.mkdir()
    (folder / "alder_a.zip").symlink_to(outside)
    assert said(find_hand_ins(folder, UNITS)) == ["alder_a.zip: a link, not a file"]


def test_the_stamp_beside_a_students_archive_is_believed_and_the_one_within_is_not(tmp_path):
    inside = {f"{UNIT}/{UNIT}.ipynb": BOOK, f"{UNIT}/timestamp.txt": b"2001-01-01 00:00:00 UTC"}
    folder = tmp_path / "alder" / UNIT
    folder.mkdir(parents=True)
    put(folder, "work.zip", plain_zip(inside))
    assert find_hand_ins(tmp_path, UNITS).hand_ins[0].handed_in == ""
    (folder / "timestamp.txt").write_text("2026-05-04 14:00:00 UTC")
    assert find_hand_ins(tmp_path, UNITS).hand_ins[0].handed_in == "2026-05-04 14:00:00 UTC"


@pytest.mark.parametrize("name", ["class.rar", "class.ipynb"])
def test_what_is_no_folder_and_no_archive_is_named(tmp_path, name):
    with pytest.raises(FileNotFoundError, match="neither a folder nor"):
        find_hand_ins(put(tmp_path, name, b"x"), UNITS)


@pytest.mark.parametrize("files", [SIDE_BY_SIDE, AS_THE_GRADEBOOK], ids=["flat", "nested"])
def test_an_archive_gives_what_the_folder_gives(tmp_path, files):
    for name, data in files.items():
        (tmp_path / "in" / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / "in" / name).write_bytes(data)
    path = put(tmp_path, "class.tgz", tar_of(files, packed=True))
    folder, archive = find_hand_ins(tmp_path / "in", UNITS), find_hand_ins(path, UNITS)
    assert [(one.student, one.unit, one.notebook, one.notes) for one in folder.hand_ins] == [
        (one.student, one.unit, one.notebook, one.notes) for one in archive.hand_ins
    ]


@pytest.mark.usefixtures("walls_tried_once")
def test_grading_an_archive_gives_the_scores_of_the_folder(bare_course, tmp_path):
    course = with_class(copy_of(bare_course, tmp_path), CLASS)
    assert main(["grade", str(course), "--trusted", "--out", str(tmp_path / "folder")]) == 0
    again = copy_of(bare_course, tmp_path / "again")
    files = {str(path.relative_to(course / "submitted")): path.read_bytes()
             for path in (course / "submitted").rglob("*.ipynb")}  # fmt: skip
    path = put(tmp_path, "class.zip", plain_zip(files))
    assert main(["grade", str(path), "--course", str(again), "--trusted",
                 "--out", str(tmp_path / "archive")]) == 0  # fmt: skip
    assert scores(tmp_path / "archive", "dill") == scores(tmp_path / "folder", "dill")
    assert f"class.zip: dill/{UNIT}/{UNIT}.ipynb: the file is empty" in (
        tmp_path / "archive" / "scores.csv").read_text()  # fmt: skip


def scores(folder, but_for):
    with (folder / "scores.csv").open(newline="") as stream:
        return [row for row in csv.DictReader(stream) if row["student"] != but_for]

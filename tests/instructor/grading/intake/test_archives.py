"""Archives: what they hold is read in memory; hostile ones cost nobody else anything.

Every archive is built here, octet by octet where it lies; none is from anywhere else.
"""

import csv
import functools
import json
import os
import re
import shutil
import subprocess
import sys

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from classes.graded_class import CLASS, copy_of, with_class
from course_lib.cli import main
from course_lib.runner.answer_process import Child
from hand_ins.archive_parts import BZIP2, DEFLATED, LZMA, Part, plain_zip, tar_of, zip_of
from hand_ins.hand_in_files import OTHER_UNIT, UNIT, blank, hand_in
from hand_ins.hostile_archives import BOOK, HOSTILE_ARCHIVES, OTHER, book, extended, tarred
from hand_ins.odd_archives import AS_THE_GRADEBOOK, ODD_ARCHIVES, SIDE_BY_SIDE
from instructor.grading.intake import archives
from instructor.grading.intake.archive_members import (
    CLASS_LIMITS,
    STUDENT_LIMITS,
    ArchiveLimits,
    archive_launcher,
    opened,
    start_reader_here,
)
from instructor.grading.intake.intake import find_hand_ins
from instructor.grading.intake.notebook_reader import read_notebook
from instructor.grading.sandbox.inside.archive_reader import SIZE_LIMIT

MIB = 1 << 20
UNITS = (UNIT, OTHER_UNIT)
HOSTILE = [pytest.param(one, id=one.name) for one in HOSTILE_ARCHIVES]
ODD = [pytest.param(one, id=one.name) for one in ODD_ARCHIVES]


@pytest.fixture(scope="session", autouse=True)
def launcher():
    """Start readers as grading does: in one sandbox for all of these tests, where there is one."""
    with archive_launcher() as started:
        yield started


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
    tmp_path, one, hostile_octets, launcher
):
    path = put(tmp_path, f"class{one.suffix}", hostile_octets(one))
    intake = find_hand_ins(path, UNITS, launcher=launcher)
    are_read = {"alder", "bracken"} <= set(students(intake))
    assert are_read is one.others or (one.others is None and (are_read or said(intake)))
    assert any(one.said in line for line in said(intake)) or not one.said
    assert all(line.isprintable() for line in said(intake))
    assert all(path.name in line.shown for line in intake.not_graded)
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize("one", HOSTILE)
def test_in_a_folder_it_costs_the_others_nothing_and_is_never_lost(tmp_path, one, hostile_octets):
    """Here without a sandbox."""
    put(tmp_path, f"mallow_work{one.suffix}", hostile_octets(one))
    put(tmp_path, f"alder_{UNIT}.ipynb", BOOK)
    intake = find_hand_ins(tmp_path, UNITS, launcher=start_reader_here)
    (alder,) = (found for found in intake.hand_ins if found.student == "alder")
    others = [found.student for found in (*intake.hand_ins, *intake.not_graded)
              if found is not alder]  # fmt: skip
    assert alder.notes == ()
    assert set(others) == {"mallow"}
    assert all(line.isprintable() for line in said(intake))


@pytest.mark.parametrize("one", ODD)
def test_honest_ones_are_read_whole_whatever_made_them(tmp_path, one, launcher):
    path = put(tmp_path, one.name, one.octets())
    intake = find_hand_ins(path, UNITS, one.roster, launcher=launcher)
    assert (tuple(students(intake)), intake.not_graded) == (one.students, ())
    assert {found.notebook == read_notebook(BOOK) for found in intake.hand_ins} == {True}
    assert {found.unit for found in intake.hand_ins} == {UNIT}


@pytest.mark.parametrize("one", ODD)
def test_handed_in_by_one_student_they_are_read_too(tmp_path, one, launcher):
    folder = tmp_path / "dill" / UNIT
    folder.mkdir(parents=True)
    put(folder, one.name, one.octets())
    (found,) = find_hand_ins(tmp_path, UNITS, launcher=launcher).hand_ins
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
def test_whatever_is_changed_in_it_only_what_was_handed_in_is_graded(
    tmp_path, launcher, which, changes
):
    small = b'{"cells": [], "metadata": {"hop_by_hop": {"unit": "%s"}}}' % UNIT.encode()
    files = {f"{name}_{UNIT}.ipynb": small for name in ("alder", "bracken", "clover")}
    octets = tar_of(files, packed=True) if which.endswith("tgz") else plain_zip(files)
    path = put(tmp_path, which, changed(octets, changes))
    intake = find_hand_ins(path, UNITS, launcher=launcher)
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
        "from instructor.grading.intake.intake import find_hand_ins\n"
        f"find_hand_ins(pathlib.Path(sys.argv[1]), {UNITS!r})\n"
        "print(pathlib.Path('/proc/self/status').read_text())"
    )
    run = subprocess.run(
        [sys.executable, "-c", program, str(folder)], capture_output=True, check=True, text=True
    )
    return int(run.stdout.partition("VmHWM:")[2].split()[0]) / 1024


@pytest.mark.parametrize(("name", "of"), [("a.zip", plain_zip), ("a.tar", tar_of)])
def test_no_more_is_unpacked_than_the_limit_of_an_archive(tmp_path, monkeypatch, name, of):
    monkeypatch.setattr(archives, "STUDENT_LIMITS", ArchiveLimits(100, 3 * len(BOOK), 60))
    put(tmp_path, f"alder_{name}", of({f"{number}.ipynb": BOOK for number in range(9)}))
    assert "holds more than" in said(find_hand_ins(tmp_path, UNITS))[0].replace(
        "unpacks to", "holds"
    )


@pytest.mark.parametrize(("name", "of"), [("a.zip", plain_zip), ("a.tar", tar_of)])
def test_an_archive_with_too_many_members_is_left(tmp_path, monkeypatch, name, of):
    monkeypatch.setattr(archives, "STUDENT_LIMITS", STUDENT_LIMITS._replace(members=5))
    put(tmp_path, f"alder_{name}", of({f"{number}.txt": b"" for number in range(6)}))
    (line,) = find_hand_ins(tmp_path, UNITS).not_graded
    assert line.why == "more than 5 members: nothing of it was read"


@pytest.mark.skipif(os.name != "posix", reason="only there has a process such limits")
def test_a_reader_that_takes_too_long_is_ended_and_the_next_archive_is_read(
    tmp_path, monkeypatch, launcher
):
    monkeypatch.setattr(archives, "STUDENT_LIMITS", STUDENT_LIMITS._replace(processor_s=1))
    put(tmp_path, "alder_a.tar", tarred(extended(b"1" * 200_000), book())())
    put(tmp_path, "bracken_a.tar", tar_of({f"{UNIT}.ipynb": BOOK}))
    for start in (launcher, start_reader_here):
        intake = find_hand_ins(tmp_path, UNITS, launcher=start)
        assert students(intake) == ["bracken"]
        (line,) = intake.not_graded
        assert line.student == "alder"
        if "damaged" in line.why:  # Python 3.11.2 refuses it at once, later ones read on and on
            continue
        assert line.why.startswith("cannot be read: the process that read it ")
        # Which comes first, processor time or the clock on the wall, is the machine's affair.
        ended = r"ended by signal SIG(XCPU|KILL)( after [\d.]+ s of processor time)?"
        assert re.search(rf"({ended}|took too long)$", line.why), line.why


LISTED = '["member", "a.ipynb", 1, false, ""]\n["listed"]\n'
LIES = {
    "nothing": "",
    "no JSON": "listed\n",
    "another kind": '["lost"]\n',
    "no list": '{"listed": 1}\n',
    "a kind that is no text": "[[], 1]\n",
    "a line without end": "[" * 300_000,
    "numbers of any length": '["member", "a.ipynb", ' + "1" * 5_000 + ', false, ""]\n',
    "a truth for a number": '["member", "a.ipynb", true, false, ""]\n["listed"]\n',
    "a name too long": '["member", "' + "a" * 1001 + '", 1, false, ""]\n["listed"]\n',
    "more members than may be": '["member", "a.txt", 1, false, ""]\n' * 20_001,
    "a problem in two lines": '["member", "a.ipynb", 1, false, "a\\nb"]\n["listed"]\n',
    "a reason that is no text": '["refused", 1]\n',
    "what nobody wanted": LISTED + '["content", 7, 0, ""]\n',
    "the same twice": LISTED + '["content", 1, 0, ""]\n' * 2,
    "less than nothing": LISTED + '["content", 0, -1, ""]\n',
    "more than may be": LISTED + f'["content", 0, {SIZE_LIMIT + 1}, ""]\n',
    "half of it": LISTED + '["content", 0, 10, ""]\nx',
    "members again": LISTED * 2,
}


@pytest.mark.parametrize("lie", LIES.values(), ids=LIES)
def test_a_reader_that_has_gone_over_to_the_other_side_is_not_believed(tmp_path, lie):
    program = f"import sys; sys.stdin.readline(); sys.stdout.write({lie!r})"
    (tmp_path / "reader.py").write_text(program)
    put(tmp_path, "alder_a.zip", plain_zip({"a.ipynb": BOOK}))
    intake = find_hand_ins(tmp_path, UNITS, launcher=lambda: Child(
        [sys.executable, "-I", "-S", str(tmp_path / "reader.py")]))  # fmt: skip
    assert intake.hand_ins == ()
    (line,) = (line for line in intake.not_graded if line.student == "alder")
    assert line.why.startswith("cannot be read: the process that read it ")


def test_a_reader_gets_pieces_of_its_archive_and_nothing_else(tmp_path):
    program = (
        "import sys\n"
        "sys.stdin.readline()\n"
        "for at, most in ((-5, 4), (0, -1), (0, 1 << 40), (1 << 99, 9)):\n"
        "    print(f'[\"read\", {at}, {most}]', flush=True)\n"
        "    size = int.from_bytes(sys.stdin.buffer.read(8))\n"
        '    print(f\'["member", "{len(sys.stdin.buffer.read(size))}.txt", 1, false, ""]\')\n'
        "print('[\"listed\"]')\n"
    )
    (tmp_path / "reader.py").write_text(program)
    archive = put(tmp_path, "alder_a.zip", b"x" * (3 << 20))
    command = [sys.executable, "-I", "-S", str(tmp_path / "reader.py")]
    with opened(archive, STUDENT_LIMITS, lambda: Child(command)) as reader:
        names = [one.name for one in reader.members()]
    assert names == ["4.txt", "0.txt", f"{1 << 20}.txt", "0.txt"]


@pytest.mark.parametrize("there_is_one", [True, False])
def test_archives_are_read_in_a_sandbox_where_there_is_one(
    need, monkeypatch, tmp_path, there_is_one
):
    need("bwrap", "apt-get install bubblewrap")
    if not there_is_one:
        monkeypatch.setattr(shutil, "which", lambda _: None)
    archive = put(tmp_path, "alder_a.zip", plain_zip({"a.ipynb": BOOK}))
    with archive_launcher() as start:
        process = start()
        with opened(archive, STUDENT_LIMITS, lambda: process) as reader:
            assert [one.name for one in reader.members()] == ["a.ipynb"]
    assert isinstance(process, Child) is not there_is_one


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
    assert SIZE_LIMIT == 50 * MIB
    assert ArchiveLimits(50_000, 8 << 30, 3600) == CLASS_LIMITS
    assert ArchiveLimits(20_000, 256 * MIB, 60) == STUDENT_LIMITS


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
        "alder_all.zip: course/scratch.ipynb: no workbook of this course: the right one is needed",
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
        ("bracken", "no workbook in it, but 1 other members: the .ipynb file itself is needed")
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
    assert said(find_hand_ins(folder, UNITS)) == [
        "alder_a.zip: a link, not a file: what it leads to is needed"
    ]


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

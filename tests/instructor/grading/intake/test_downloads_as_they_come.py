"""What an upload page gives, put side by side: each file finds its student, or has a line."""

import json
import os
from pathlib import Path

import pytest

from hand_ins.archive_parts import plain_zip
from hand_ins.hand_in_files import OTHER_UNIT, UNIT, blank
from instructor.grading.intake.archive_members import start_reader_here
from instructor.grading.intake.intake import find_hand_ins
from instructor.grading.pages.file_list import file_lines, in_words

BOOK = json.dumps(blank()).encode()
OTHER = json.dumps(blank(OTHER_UNIT)).encode()
UNITS = (UNIT, OTHER_UNIT)
ROSTER = ("alder", "bracken", "clover", "dill")


def put(folder: Path, files: dict[str, bytes]) -> Path:
    for name, octets in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(octets)
    return folder


def found(folder, roster=ROSTER):
    intake = find_hand_ins(folder, UNITS, roster, launcher=start_reader_here)
    return intake, sorted((one.student, one.unit[:2]) for one in intake.hand_ins)


@pytest.mark.parametrize(
    "name",
    [
        f"alder_{UNIT}.ipynb.txt", f"alder_{UNIT}.ipynb.json", f"alder_{UNIT}.ipynb.ipynb",
        "alder.ipynb.txt", "Week 1 (alder) work.ipynb.json",
        "Green Tree_alder_88_online_upload.ipynb",
        "Green Tree_alder_88_online_upload/my work (2).ipynb.txt", "[alder] 17 work.ipynb",
        "week 1/alder_work.ipynb", "week 1/Green Tree_alder_88_x/01.ipynb.json",
        f"{UNIT}/alder/{UNIT}.ipynb",
    ],
)  # fmt: skip
def test_a_name_that_holds_a_listed_id_is_that_students(tmp_path, name):
    intake, pairs = found(put(tmp_path, {name: BOOK}))
    assert pairs == [("alder", "01")], [one.why for one in intake.not_graded]


def test_several_archives_and_folders_side_by_side(tmp_path):
    put(tmp_path, {
        "page 1 of 2.zip": plain_zip({"alder_1.ipynb": BOOK, f"x_{UNIT}_bracken.ipynb": BOOK}),
        "page 2 of 2.zip": plain_zip({"late/clover_1.ipynb.txt": BOOK}),
        "week 2/alder_2.ipynb": OTHER, "dill_all.zip": plain_zip({"my/01.ipynb": BOOK}),
    })  # fmt: skip
    intake, pairs = found(tmp_path)
    assert pairs == [
        ("alder", "01"), ("alder", "02"), ("bracken", "01"), ("clover", "01"), ("dill", "01")
    ], [one.why for one in intake.not_graded]  # fmt: skip


def test_one_students_archive_without_an_id_never_becomes_a_student(tmp_path):
    """Their folder is called as ours is; nobody is called so."""
    own = plain_zip({f"hop-by-hop/workbooks/{unit}/{unit}.ipynb": BOOK for unit in UNITS})
    put(tmp_path, {"homework.zip": own})
    for roster in ((), ROSTER):
        intake, pairs = found(tmp_path, roster)
        assert pairs == []
        assert ["no student's id" in one.why for one in intake.not_graded] == [True]


def test_without_a_roster_a_folder_of_a_folder_is_a_class_from_three_ids_on(tmp_path):
    three = {f"week 1/{name}_{UNIT}.ipynb": BOOK for name in ROSTER[:3]}
    assert found(put(tmp_path / "three", three), ())[1] == [(name, "01") for name in ROSTER[:3]]
    one = {f"alder/{version}_{UNIT}.ipynb": BOOK for version in ("old", "new")}
    assert found(put(tmp_path / "one", one), ())[1] == [("alder", "01")]


def test_times_stand_in_as_many_tables_as_there_are_archives(tmp_path):
    for number, name in enumerate(ROSTER[:2]):
        table = f"student,unit,time\n{name},{UNIT},2026-05-0{number + 1}T10:00:00Z\n".encode()
        put(tmp_path, {f"page {number}.zip": plain_zip(
            {f"{name}_1.ipynb": BOOK, "handed-in.csv": table})})  # fmt: skip
    intake, _ = found(tmp_path)
    assert [(one.student, one.handed_in[:10]) for one in intake.hand_ins] == [
        ("alder", "2026-05-01"), ("bracken", "2026-05-02")]  # fmt: skip


def test_every_file_has_a_line(tmp_path):
    """Whatever is there: a line names it, or the folder that a program made."""
    put(tmp_path, {
        f"alder/{UNIT}/{UNIT}.ipynb": BOOK, f"alder/{UNIT}/timestamp.txt": b"2026-05-04",
        f"alder/{UNIT}/data.csv": b"1", f"alder/{UNIT}/.{UNIT}.ipynb.swp": b"b0VIM",
        f"alder/{UNIT}/old.ipynb": OTHER, f"alder/{UNIT}/.ipynb_checkpoints/a.ipynb": BOOK,
        "bracken/picture.png": b"\x89PNG", "bracken/deep/er/notes": b"", "Thumbs.db": b"x",
        "__MACOSX/._alder": b"x", "._clover_1.ipynb": b"x", "unknown.ipynb": BOOK, "read.me": b"x",
        "dill_1.zip": plain_zip({"a.ipynb": BOOK, "b.csv": b"1", "__MACOSX/._a.ipynb": b"x",
                                 "c.txt": b"c", "n.zip": b"PK"}),
        "all.zip": plain_zip({"clover_1.ipynb": BOOK, "clover/data.csv": b"1", ".DS_Store": b"x",
                              "clover_2/timestamp.txt": b""}),
        "empty.zip": b"", "handed-in.csv": b"student,unit,time\n",
    })  # fmt: skip
    os.utime(tmp_path / "alder" / UNIT / "old.ipynb", (1, 1))
    (tmp_path / "alder" / "link.ipynb").symlink_to("nowhere")
    intake, _ = found(tmp_path)
    told = [one.path for one in (*intake.hand_ins, *intake.not_graded, *intake.beside)]
    files = [path for path in tmp_path.rglob("*") if path.is_symlink() or path.is_file()]
    of_one = ("a.ipynb", "b.csv", "__MACOSX/._a.ipynb", "c.txt", "n.zip")
    of_all = ("clover_1.ipynb", "clover/data.csv", ".DS_Store", "clover_2/timestamp.txt")
    files += [tmp_path / "dill_1.zip" / name for name in of_one]
    files += [tmp_path / "all.zip" / name for name in of_all]
    missing = [
        path.relative_to(tmp_path) for path in files
        if not any(one == path or one in path.parents or path in one.parents for one in told)
    ]  # fmt: skip
    assert missing == []
    shown = in_words(file_lines(intake, tmp_path))
    assert f"alder/{UNIT}/{UNIT}.ipynb -> alder, {UNIT}" in " ".join(shown.split())
    assert len(shown.splitlines()) >= len(told)
    assert max(map(len, shown.splitlines())) <= 80

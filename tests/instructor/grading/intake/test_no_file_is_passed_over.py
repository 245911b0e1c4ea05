"""Whatever somebody hands in, under whatever name: it is graded, or a line says what to do."""

import json
import os
import pickle
import socket
import subprocess
import sys
import tempfile
import zipfile
from pathlib import Path

import pytest

from hand_ins.hand_in_files import OTHER_UNIT, UNIT, blank, hand_in
from instructor.grading.intake.archive_members import start_reader_here
from instructor.grading.intake.intake import find_hand_ins

BOOK = json.dumps(blank()).encode()
UNITS = (UNIT, OTHER_UNIT)
ASK = "the .ipynb file itself is needed"
GRADED = ""
# Octets tell what a file is, so each of these is tried under names that say something else.
NAMES_OF_WORKBOOKS = [
    f"{UNIT}.IPYNB", f"{UNIT}.ipynb.txt", f"{UNIT}.ipynb.json", f"{UNIT}.ipynb.html",
    f"{UNIT}.json", UNIT, f"{UNIT}.txt", f"{UNIT}.ipynb.download", f"{UNIT}(1).ipynb",
]  # fmt: skip
OTHERS = [
    (f"{UNIT}.rar", b"Rar!\x1a\x07\x01\x00", "an archive (.rar) that is not opened here"),
    (f"{UNIT}.7z", b"7z\xbc\xaf\x27\x1c", "an archive (.7z) that is not opened here"),
    (f"{UNIT}.ipynb.gz", b"\x1f\x8b\x08\x00", "an archive (.gz) that is not opened here"),
    (f"{UNIT}.pkl", pickle.dumps([1]), f"a pickle, which is a program and is never opened: {ASK}"),
    (f"{UNIT}.ipynb.html", b"<!DOCTYPE html><html>", "a page as browsers show it"),
    (f"{UNIT}.html", b"\n <html>", f"a page as browsers show it, not a workbook: {ASK}"),
    (f"{UNIT}.pdf", b"%PDF-1.7", f"a PDF page, not a workbook: {ASK}"),
    (f"{UNIT}.ipynb", b"", "the file is empty"),
    (UNIT, b"", f"an empty file: {ASK}"),
    (f"{UNIT}.ipynb", BOOK.decode().encode("utf-16"), "text in UTF-16"),
    (f"{UNIT}.py", b"def read_word(): ...", "a program in Python, not a workbook"),
    (f"{UNIT}.json", b'{"a": 1}', "JSON, but not a workbook"),
    (f"{UNIT}.docx", b"PK\x03\x04", "an archive (.zip) that is not opened here"),
    (f".{UNIT}.ipynb.swp", b"b0VIM 8.2", "only copies that a program left"),
    (f"{UNIT}.ipynb~", BOOK, "only copies that a program left"),
    ("answers.odt", b"\0" * 9, f"not a workbook: {ASK}"),
]


def intake_of(folder):
    return find_hand_ins(folder, UNITS, launcher=start_reader_here)


def lines(folder):
    intake = intake_of(folder)
    graded = [(one.student, GRADED) for one in intake.hand_ins]
    return graded + [(one.student, one.why) for one in intake.not_graded]


def put(folder, name, octets):
    path = folder / "alder" / UNIT / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(octets)
    return path


def as_class_archive(folder):
    """Pack a class's folder as upload pages do, with entries for the folders."""
    path = folder.with_suffix(".zip")
    with zipfile.ZipFile(path, "w") as packed:
        for one in sorted(folder.rglob("*")):
            packed.write(one, one.relative_to(folder))
    return path


def in_all_layouts(folder, name, octets):
    """Yield the places of one file handed in by alder, beside a workbook of bracken's."""
    nested = folder / "nested"
    put(nested, name, octets)
    hand_in(nested, "bracken", blank())
    yield nested
    yield as_class_archive(nested)
    flat = folder / "flat"
    flat.mkdir()
    (flat / f"alder_{name}").write_bytes(octets)
    hand_in(flat, "bracken", blank())
    yield flat


@pytest.mark.parametrize("name", NAMES_OF_WORKBOOKS)
def test_a_workbook_is_told_by_its_octets_whatever_its_name(tmp_path, name):
    for place in in_all_layouts(tmp_path, name, BOOK):
        assert sorted(lines(place)) == [("alder", GRADED), ("bracken", GRADED)], place


@pytest.mark.parametrize(("name", "octets", "said"), OTHERS)
def test_what_is_no_workbook_has_one_line_that_says_what_to_do(tmp_path, name, octets, said):
    nested, archive, _ = in_all_layouts(tmp_path, name, octets)
    (line,) = (why for student, why in lines(nested) if student == "alder")
    assert said in line
    assert len(lines(nested)) == len(lines(archive)) == 2
    assert [student for student, _ in lines(archive)] == ["bracken", "alder"]


@pytest.mark.parametrize(("name", "octets", "said"), OTHERS)
def test_side_by_side_it_has_a_line_too(tmp_path, name, octets, said):
    *_, flat = in_all_layouts(tmp_path, name, octets)
    assert [student for student, _ in lines(flat)] == ["bracken", "alder"]


@pytest.mark.parametrize("name", ["data.csv", "notes.txt", "progress.json", "plot.png", "x.pkl"])
def test_data_beside_a_workbook_has_no_line(tmp_path, name):
    hand_in(tmp_path, "alder", blank())
    put(tmp_path, name, b"{}" if name.endswith("json") else b"1")
    assert lines(tmp_path) == [("alder", GRADED)]
    assert lines(as_class_archive(tmp_path)) == [("alder", GRADED)]


def test_a_workbook_for_one_unit_does_not_hide_what_there_is_for_another(tmp_path):
    hand_in(tmp_path, "alder", blank())
    other = tmp_path / "alder" / OTHER_UNIT / "answers.pdf"
    other.parent.mkdir()
    other.write_bytes(b"%PDF")
    assert len(lines(tmp_path)) == 2
    (line,) = intake_of(tmp_path).not_graded
    assert (line.student, line.unit) == ("alder", OTHER_UNIT)


def as_socket(path):
    with socket.socket(socket.AF_UNIX) as line:
        line.bind(str(path))


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda path: path.mkdir(), "an empty folder: nothing was handed in"),
        (lambda path: path.symlink_to("/etc"), "a link"),
        (lambda path: path.symlink_to("nowhere"), "a link"),
        (lambda path: path.symlink_to("alder"), "a link"),
        (os.mkfifo, "not a file"),
        (as_socket, "not a file"),
    ],
)
@pytest.mark.parametrize("below", [(), (UNIT,)])
def test_what_is_no_plain_file_has_a_line(tmp_path, make, said, below, monkeypatch):
    hand_in(tmp_path, "bracken", blank())
    path = tmp_path.joinpath("alder", *below)
    path.parent.mkdir(exist_ok=True)
    monkeypatch.chdir(path.parent)  # a socket's name may have 107 octets only
    make(Path(path.name))
    is_pipe = make in (os.mkfifo, as_socket) and not below
    assert [(who, said in why) for who, why in lines(tmp_path)] == [
        ("bracken", said in GRADED), ("" if is_pipe else "alder", True),
    ]  # fmt: skip


def test_a_path_that_is_too_long_stops_nobody(tmp_path):
    hand_in(tmp_path, "bracken", blank())
    at = os.open(tmp_path, os.O_RDONLY)
    for name in ("alder", *["x" * 250] * 20):
        os.mkdir(name, dir_fd=at)
        at, before = os.open(name, os.O_RDONLY, dir_fd=at), at
        os.close(before)
    os.close(at)
    (graded, line) = lines(tmp_path)
    assert (graded, line[0]) == (("bracken", GRADED), "alder")
    assert "too long" in line[1]


def test_folders_in_folders_without_end_are_given_up(tmp_path):
    hand_in(tmp_path, "bracken", blank())
    tmp_path.joinpath("alder", *"x" * 500).mkdir(parents=True)
    assert "folders in each other" in lines(tmp_path)[1][1]


AS_NOBODY = """
import os, sys
from pathlib import Path
from instructor.grading.intake.intake import find_hand_ins
from instructor.grading.intake.archive_members import start_reader_here
find_hand_ins(Path(sys.argv[1]), sys.argv[3:], launcher=start_reader_here)  # loads what it needs
os.setgroups([]); os.setresgid(65534, 65534, 65534); os.setresuid(65534, 65534, 65534)
intake = find_hand_ins(Path(sys.argv[2]), sys.argv[3:], launcher=start_reader_here)
for one in intake.hand_ins:
    print(one.student, "graded", *one.notes)
for one in intake.not_graded:
    print(one.student, one.why)
"""


@pytest.fixture
def open_path():
    """A folder into which everybody may look; pytest shuts its own again with each new run."""
    with tempfile.TemporaryDirectory() as folder:
        Path(folder).chmod(0o755)
        yield Path(folder)


@pytest.mark.skipif(os.geteuid() != 0, reason="only root can become somebody else")
def test_what_the_grader_may_not_read_has_a_line(open_path):
    """Its own process becomes a user who may not: for root there is no such file."""
    folder = open_path / "in"
    for student in ("alder", "bracken", "clover", "dill", "elder"):
        hand_in(folder, student, blank())
    put(folder, "work.zip", (as_class_archive(folder)).read_bytes()).chmod(0)
    (folder / "clover" / UNIT / f"{UNIT}.ipynb").chmod(0)
    (folder / "dill").chmod(0)
    (folder / "elder" / UNIT / "timestamp.txt").write_text("2026-05-04 12:00:00 UTC")
    (folder / "elder" / UNIT / "timestamp.txt").chmod(0)
    first = hand_in(open_path / "first", "alder", blank())
    first.with_name("timestamp.txt").write_text("2026-05-04 12:00:00 UTC")
    done = subprocess.run(
        [sys.executable, "-c", AS_NOBODY, str(open_path / "first"), str(folder), *UNITS],
        capture_output=True, text=True,
    )  # fmt: skip
    assert done.stderr == ""
    why = "cannot be read (Permission denied): mend that, or have it handed in again"
    assert sorted(done.stdout.splitlines()) == [
        f"alder {why}", "alder graded", "bracken graded", f"clover {why}", f"dill {why}",
        "elder graded the time stamp in timestamp.txt cannot be read, so it gives no time",
    ]  # fmt: skip

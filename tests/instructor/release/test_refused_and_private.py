"""A refused release leaves nothing behind, and what is secret is the staff's alone."""

import os
import stat
from pathlib import Path

import pytest

from hand_ins.hand_in_files import UNIT
from instructor.output.private import private
from instructor.release import make
from instructor.release.course_folder import CourseFolderError
from instructor.release.undone import WRITTEN


def state(folder: Path) -> dict[str, bytes]:
    files = (path for path in folder.rglob("*") if path.is_file())
    return {str(path.relative_to(folder)): path.read_bytes() for path in files}


@pytest.fixture
def refused(monkeypatch):
    """A release that is refused when all has been written."""

    def bundle(course, units, out, number):
        out.mkdir(parents=True, exist_ok=True)
        (out / "half a bundle").write_text("half")
        raise CourseFolderError("refused")

    def course_folder(folder, units, seed):
        for name in WRITTEN[:-1]:
            path = folder.parent / name
            path = path if path.suffix else path / UNIT / "x.ipynb"
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text("new")
        return make.CourseBatch((UNIT,), ("name",), "seed")

    monkeypatch.setattr(make, "make_course_folder", course_folder)
    monkeypatch.setattr(make, "make_bundle", bundle)


def test_where_nothing_was_nothing_is_left(refused, tmp_path):
    with pytest.raises(CourseFolderError):
        make.make_release(tmp_path / "a" / "class", [UNIT])
    assert list(tmp_path.iterdir()) == []


def test_what_was_there_is_as_it_was(refused, tmp_path):
    for name in ("course/source/02/02.ipynb", "course/gradebook.db", "students/a.zip", "mine.txt"):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text("old")
    before = state(tmp_path)
    with pytest.raises(CourseFolderError):
        make.make_release(tmp_path, [UNIT], students=["alder"])
    assert state(tmp_path) == before


def test_a_course_folder_is_its_owners_alone_and_the_bundle_everybodys(tmp_path):
    before = os.umask(0o022)
    try:
        made = make.make_release(tmp_path / "class", [UNIT], students=["alder"])
    finally:
        os.umask(before)
    modes = {path.name: stat.S_IMODE(path.stat().st_mode) for path in made.course.glob("*.*")}
    assert modes.keys() >= {"batch.json", "gradebook.db", "codes.csv", "nbgrader_config.py"}
    assert {name: mode for name, mode in modes.items() if mode & 0o077} == {}
    assert stat.S_IMODE(made.course.stat().st_mode) == 0o700
    assert stat.S_IMODE(made.bundle.stat().st_mode) == 0o644


@pytest.mark.parametrize(
    ("was", "folder", "file"),
    [(0o755, 0o700, 0o600), (0o700, 0o700, 0o600), (0o2775, 0o2770, 0o660)],
)
def test_a_folder_is_shut_to_others_but_not_to_a_group_that_may_write(tmp_path, was, folder, file):
    tmp_path.chmod(was)
    with private(tmp_path):
        (tmp_path / "record").touch()
    assert stat.S_IMODE(tmp_path.stat().st_mode) == folder
    assert stat.S_IMODE((tmp_path / "record").stat().st_mode) == file
    (tmp_path / "after").touch()
    assert stat.S_IMODE((tmp_path / "after").stat().st_mode) & 0o004

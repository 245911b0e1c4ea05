"""A disk that runs full ends in one clear sentence, loses nothing, and half-writes nothing."""

import errno
import subprocess
import sys

import pytest

from classes.gradebook_dump import book_of, dump, outcome
from classes.graded_class import copy_of
from course_lib.cli import main
from course_lib.exercises import whole_file
from course_lib.exercises.whole_file import write_whole

pytestmark = pytest.mark.usefixtures("walls_tried_once")

FULL = OSError(errno.ENOSPC, "No space left on device")
MORE = 300 << 10  # octets that the small disk has left: enough for one hand-in, not for all
# In a namespace of its own with a small disk: fill it, grade, make room, grade again.
SCENE = """
import pathlib, shutil, sys
from course_lib.cli import main
from instructor.grading.sandbox import sandboxed_run

sandboxed_run.probe = lambda sandbox: ()  # not what this is about
small, course, result = map(pathlib.Path, sys.argv[1:4])
shutil.copytree(course, small / "course")
left = shutil.disk_usage(small).free - int(sys.argv[4])
(small / "filler").write_bytes(bytes(left))
grade = ["grade", str(small / "course"), "--trusted", "--workers", "1"]
first = main(grade)
shutil.copytree(small / "course", result / "full")
(small / "filler").unlink()
second = main(grade)
shutil.copytree(small / "course", result / "course")
sys.exit(10 * first + second)
"""


@pytest.fixture
def course(ready, tmp_path):
    return copy_of(ready, tmp_path)


def grade(course):
    return main(["grade", str(course), "--trusted"])


def test_a_real_full_disk_is_named_and_after_making_room_nothing_is_missing(
    ready, undisturbed, tmp_path, need
):
    """The disk is a `tmpfs` that only this process and its children see."""
    bwrap = need("bwrap", "apt-get install bubblewrap")
    small, result = tmp_path / "small", tmp_path / "result"
    small.mkdir()
    result.mkdir()
    done = subprocess.run(
        [bwrap, "--dev-bind", "/", "/", "--size", str(8 << 20), "--tmpfs", small,
         sys.executable, "-c", SCENE, small, ready, result, str(MORE)],
        capture_output=True, text=True, check=False, timeout=120,
    )  # fmt: skip
    assert done.returncode == 10, done.stderr[-2000:]
    assert "The disk is full" in done.stderr
    assert "run the same command again" in done.stderr
    assert "Traceback" not in done.stderr
    assert outcome(result / "course") == outcome(undisturbed)
    assert set(dump(book_of(result / "full"))) < set(dump(book_of(undisturbed)))


@pytest.mark.parametrize("number", [1, 4, 9])
def test_a_disk_that_fills_up_at_any_file_is_survived(
    course, undisturbed, monkeypatch, capsys, number
):
    calls = []

    def full_at_times(*given):
        calls.append(given)
        if len(calls) >= number:
            raise FULL

    with monkeypatch.context() as patch:
        patch.setattr(whole_file.os, "fsync", full_at_times)
        assert grade(course) == 1
    assert "The disk is full" in capsys.readouterr().err
    assert grade(course) == 0
    assert outcome(course) == outcome(undisturbed)


def test_a_file_that_cannot_be_written_whole_is_left_as_it_was(tmp_path, monkeypatch):
    path = tmp_path / "scores.csv"
    write_whole(path, "old\r\n")

    def full(*given):
        raise FULL

    monkeypatch.setattr(whole_file.os, "fsync", full)
    with pytest.raises(OSError, match="No space"):
        write_whole(path, "new")
    assert path.read_bytes() == b"old\r\n"
    assert list(tmp_path.iterdir()) == [path]

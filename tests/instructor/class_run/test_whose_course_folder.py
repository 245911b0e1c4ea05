"""What lies among hand-ins is never taken for a course folder: its settings would be run."""

import json
import os
import shutil
import stat

import pytest

from classes.graded_class import RIGHT, copy_of, only_first, with_class
from course_lib.cli import main
from hand_ins.hand_in_files import hand_in
from instructor.release.course_folder import (
    BATCH_FILE,
    CONFIG_FILE,
    CourseFolderError,
    named_course,
    sealed_course,
)

pytestmark = pytest.mark.usefixtures("walls_tried_once")


@pytest.fixture
def course(bare_course, tmp_path):
    return with_class(copy_of(bare_course, tmp_path / "staff"), {"alder": only_first(RIGHT)})


@pytest.fixture
def canary(tmp_path):
    return tmp_path / "settings were run"


@pytest.fixture
def handed_in(tmp_path, canary):
    """A folder of hand-ins in which somebody put settings."""
    folder = tmp_path / "mailbox" / "handed-in"
    hand_in(folder, "alder", only_first(RIGHT))
    (folder / CONFIG_FILE).write_text(f"open({str(canary)!r}, 'w').close()\n")
    return folder


def unfolded(said):
    return " ".join(said.replace("\\\n", "").split())


def genuine(course):
    return json.loads((course / BATCH_FILE).read_text())


FORGED = {
    "no seal": lambda path, said: path.write_text(json.dumps({**said, "seal": None})),
    "a seal of letters": lambda path, said: path.write_text(json.dumps({**said, "seal": "é" * 64})),
    "the seal of another text": lambda path, said: path.write_text(
        json.dumps({**said, "seed": "one that I know"})
    ),
    "no table": lambda path, said: path.write_text("[1]"),
    "nested without end": lambda path, said: path.write_text("[" * 100_000),
    "a pipe": lambda path, said: os.mkfifo(path),
    "a link to nothing": lambda path, said: path.symlink_to("nowhere"),
}


@pytest.mark.parametrize("forge", [pytest.param(one, id=name) for name, one in FORGED.items()])
@pytest.mark.parametrize("below", ["", ".."])
def test_settings_among_hand_ins_are_never_run(course, handed_in, canary, forge, below, capsys):
    place = handed_in / below
    forge(place / BATCH_FILE, genuine(course))
    shutil.copy(handed_in / CONFIG_FILE, place / "nbgrader_config.py") if below else None
    assert main(["grade", str(handed_in), "--trusted"]) == 1
    assert not canary.exists()
    said = unfolded(capsys.readouterr().err)
    assert "looks like a course folder, but `release` did not make it with this account" in said
    assert "--course" in said


def test_a_link_to_the_course_s_own_seal_seals_nothing(course, handed_in, canary):
    (handed_in / BATCH_FILE).symlink_to(course / BATCH_FILE)
    assert main(["grade", str(handed_in), "--trusted"]) == 1
    assert not canary.exists()


def test_a_folder_called_course_among_hand_ins_is_not_looked_into(course, handed_in, canary):
    shutil.copytree(course, handed_in / "course", ignore=shutil.ignore_patterns("submitted"))
    shutil.copy(handed_in / CONFIG_FILE, handed_in / "course" / CONFIG_FILE)
    assert main(["grade", str(handed_in), "--trusted"]) == 1
    assert main(["grade", str(handed_in), "--trusted", "--course",
                 str(handed_in / "course")]) == 1  # fmt: skip
    assert not canary.exists()


def test_beside_what_is_named_settings_among_hand_ins_are_only_files(course, handed_in, canary):
    (handed_in / BATCH_FILE).write_text(json.dumps(genuine(course)))
    assert main(["grade", str(handed_in), "--trusted", "--course", str(course)]) == 0
    assert not canary.exists()
    assert (course / "autograded" / "alder").exists()


def test_a_course_folder_that_was_moved_is_found_and_by_another_account_is_named(
    course, tmp_path, monkeypatch, capsys
):
    moved = shutil.copytree(course, tmp_path / "elsewhere" / "course")
    assert sealed_course(moved) is not None
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "another's"))
    assert main(["grade", str(moved), "--trusted"]) == 1
    assert f"--course {moved}" in unfolded(capsys.readouterr().err)
    assert main(["grade", str(moved), "--trusted", "--course", str(moved)]) == 0


@pytest.mark.parametrize("name", ["", BATCH_FILE, CONFIG_FILE])
def test_a_folder_that_everybody_can_write_is_refused(course, name):
    path = course / name
    path.chmod(path.stat().st_mode | stat.S_IWOTH)
    for read in (named_course, sealed_course):
        with pytest.raises(CourseFolderError, match="chmod -R o-w"):
            read(course)

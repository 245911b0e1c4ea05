"""Copying what one account wrote: nothing that another wrote comes along."""

import os

import pytest

from instructor.hub.owned_files import NotTheirsError, copy_owned

ME = os.getuid()


@pytest.fixture
def handed_in(tmp_path):
    """Make a hand-in with a workbook, a file in a folder, and something secret beside it."""
    folder = tmp_path / "handed in"
    (folder / "data").mkdir(parents=True)
    (folder / "unit.ipynb").write_text("mine")
    (folder / "data" / "notes.txt").write_text("mine too")
    (tmp_path / "secret").mkdir()
    (tmp_path / "secret" / "answers.ipynb").write_text("the staff's")
    return folder


def found(folder):
    return {str(path.relative_to(folder)) for path in folder.rglob("*") if path.is_file()}


def test_plain_files_are_copied_with_their_times(handed_in, tmp_path):
    os.utime(handed_in / "unit.ipynb", (1_000_000, 1_000_000))
    copied = copy_owned(handed_in, tmp_path / "copy", ME)
    assert found(tmp_path / "copy") == {"unit.ipynb", "data/notes.txt"}
    assert (tmp_path / "copy" / "unit.ipynb").stat().st_mtime == 1_000_000
    assert copied.left_out == ()


def test_a_time_that_was_set_back_does_not_hide_a_change(handed_in, tmp_path):
    before = (tmp_path / "secret").stat().st_ctime
    os.utime(handed_in / "unit.ipynb", (1_000_000, 1_000_000))
    assert copy_owned(handed_in, tmp_path / "copy", ME).changed >= before


@pytest.mark.parametrize(
    "plant",
    [
        pytest.param(lambda at, secret: at.symlink_to(secret / "answers.ipynb"), id="link"),
        pytest.param(lambda at, secret: at.symlink_to(secret), id="link-to-a-folder"),
        pytest.param(lambda at, secret: at.symlink_to("/nowhere"), id="link-to-nowhere"),
        pytest.param(lambda at, secret: os.mkfifo(at), id="pipe-that-nobody-fills"),
        pytest.param(lambda at, secret: at.write_bytes(bytes(1001)), id="too-large"),
    ],
)
def test_anything_else_is_left_out_and_named(handed_in, tmp_path, plant):
    plant(handed_in / "odd.ipynb", tmp_path / "secret")
    copied = copy_owned(handed_in, tmp_path / "copy", ME, most_octets=1000)
    assert found(tmp_path / "copy") == {"unit.ipynb", "data/notes.txt"}
    assert [one.partition(":")[0] for one in copied.left_out] in (["odd.ipynb"], [])


@pytest.mark.skipif(ME != 0, reason="only root can make files of another account")
@pytest.mark.parametrize("name", ["unit.ipynb", "data", "data/notes.txt"])
def test_what_another_account_owns_is_left_out(handed_in, tmp_path, name):
    os.chown(handed_in / name, 61099, 61099)
    copied = copy_owned(handed_in, tmp_path / "copy", ME)
    assert copied.left_out == (f"{name}: belongs to another account",)
    assert not (tmp_path / "copy" / name).is_file()


@pytest.mark.parametrize("make", ["folder", "link", "file", "nothing"])
def test_a_folder_that_is_not_theirs_is_refused_before_anything_is_written(
    handed_in, tmp_path, make
):
    place, owner = tmp_path / "odd", ME
    {
        "folder": lambda: place.mkdir(),
        "link": lambda: place.symlink_to(handed_in),
        "file": lambda: place.write_text("x"),
        "nothing": lambda: None,
    }[make]()
    with pytest.raises(NotTheirsError):
        copy_owned(place, tmp_path / "copy", owner + (make == "folder"))
    assert not (tmp_path / "copy").exists()


def test_folders_in_folders_without_end_are_cut_off(handed_in, tmp_path):
    deep = handed_in / "/".join(["in"] * 40)
    deep.mkdir(parents=True)
    (deep / "file").touch()
    (one,) = copy_owned(handed_in, tmp_path / "copy", ME).left_out
    assert one.endswith("too many folders in folders")
    assert found(tmp_path / "copy") == {"unit.ipynb", "data/notes.txt"}


def test_files_without_end_are_cut_off(handed_in, tmp_path):
    (handed_in / "many").mkdir()
    for number in range(1001):
        (handed_in / "many" / f"{number}").touch()
    assert "many: too many files" in copy_owned(handed_in, tmp_path / "copy", ME).left_out
    assert "unit.ipynb" in found(tmp_path / "copy")


def test_what_is_to_be_skipped_is_not_even_named(handed_in, tmp_path):
    copied = copy_owned(handed_in, tmp_path / "copy", ME, skip=lambda name: name == "data")
    assert found(tmp_path / "copy") == {"unit.ipynb"}
    assert copied.left_out == ()

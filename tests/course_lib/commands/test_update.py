"""A newer release comes in: new workbooks, changed ones beside old ones; no answer is touched."""

import copy
import os
import zipfile

import nbformat
import pytest

from course_lib.cli import main
from course_lib.commands import update as updating
from course_lib.commands.update import NO_WORDS, UpdateError, said_of, update
from course_lib.exercises.progress import BUNDLE_MARK, newest_of
from hand_ins.hand_in_files import OTHER_UNIT, UNIT, blank, solved, with_cell_after, without
from instructor.release.workbook_files import TEXT_STUB, grade_name


@pytest.fixture(autouse=True)
def pip(monkeypatch):
    """What was asked of pip; it does nothing, and all is well."""
    asked = []
    monkeypatch.setattr(updating.subprocess, "call", lambda command: asked.append(command) or 0)
    return asked


@pytest.fixture
def mine(tmp_path):
    """A student's folder: one workbook with answers, progress, and a file of their own."""
    folder = tmp_path / "mine"
    release(folder, {UNIT: solved()}, "1")
    (folder / "progress.json").write_text("{}")
    (folder / "my notes.txt").write_text("a thought")
    return folder


def release(folder, workbooks, number):
    """Write what a release holds; return its folder."""
    for unit, workbook in workbooks.items():
        path = folder / "workbooks" / unit / f"{unit}.ipynb"
        path.parent.mkdir(parents=True)
        nbformat.write(workbook, path)
        (path.parent / "unit.toml").write_text(f"release = {number}\n")
    (folder / BUNDLE_MARK).write_text(f"{number}\n")
    (folder / f"hop_by_hop-0.1.0+release.{number}-py3-none-any.whl").touch()
    (folder / "START.html").write_text(f"<p>release {number}")
    return folder


def changed(workbook):
    """Return a workbook with another text in it, as a later release has it."""
    other = copy.deepcopy(workbook)
    other.cells[0].source += "\n\nA word more."
    other.metadata["hop_by_hop"]["release"] = "another"
    return other


def contents(folder):
    return {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def answers(path):
    return {grade_name(cell): cell.source for cell in nbformat.read(path, 4).cells}


def test_new_units_come_in_and_all_else_stays_as_it_was(mine, tmp_path, pip):
    before = contents(mine)
    done = update(
        release(tmp_path / "next", {UNIT: blank(), OTHER_UNIT: blank(OTHER_UNIT)}, "2"), mine
    )
    after = contents(mine)
    assert (done.new, done.same, done.beside) == ([OTHER_UNIT], [UNIT], {})
    assert {path for path in after if path not in before} == {
        mine / "workbooks" / OTHER_UNIT / name for name in (f"{OTHER_UNIT}.ipynb", "unit.toml")
    }
    assert {path.name for path in before if before[path] != after[path]} == {"START.html"}
    assert pip[0][-1].endswith("hop_by_hop-0.1.0+release.2-py3-none-any.whl")


def test_a_changed_workbook_comes_beside_the_old_one_with_the_answers(mine, tmp_path):
    old = mine / "workbooks" / UNIT / f"{UNIT}.ipynb"
    before = old.read_bytes()
    done = update(release(tmp_path / "next", {UNIT: changed(blank())}, "2"), mine)
    ((beside, (carried, left)),) = done.beside.items()
    assert old.read_bytes() == before
    assert beside == old.with_name(f"{UNIT}-release-2.ipynb")
    assert answers(beside) == answers(old)
    assert nbformat.read(beside, 4).cells[0].source.endswith("A word more.")
    assert carried == [f"answer-1-{number}" for number in range(1, 7)]
    assert left == []
    assert newest_of(old.parent, UNIT) == beside
    assert beside.name in said_of(done).replace("\n", "")


def test_what_has_no_place_in_the_new_one_is_listed_and_stays_in_the_old_one(mine, tmp_path):
    path = mine / "workbooks" / UNIT / f"{UNIT}.ipynb"
    nbformat.write(with_cell_after(solved(), "answer-1-1", "my_own = 1"), path)
    new = without(changed(blank()), "answer-1-6")
    done = update(release(tmp_path / "next", {UNIT: new}, "2"), mine)
    ((_, left),) = done.beside.values()
    assert left[1:] == ["answer-1-6"]
    assert left[0].startswith("your cell at place")


def test_empty_cells_of_the_old_one_do_not_replace_what_the_new_one_asks(mine, tmp_path):
    path = mine / "workbooks" / UNIT / f"{UNIT}.ipynb"
    nbformat.write(blank(), path)
    done = update(release(tmp_path / "next", {UNIT: changed(blank())}, "2"), mine)
    assert [carried for carried, _ in done.beside.values()] == [[]]
    assert NO_WORDS == TEXT_STUB


def test_a_third_release_goes_on_from_the_workbook_that_was_written_to_last(mine, tmp_path):
    update(release(tmp_path / "two", {UNIT: changed(blank())}, "2"), mine)
    second = mine / "workbooks" / UNIT / f"{UNIT}-release-2.ipynb"
    workbook = nbformat.read(second, 4)
    next(cell for cell in workbook.cells if grade_name(cell) == "answer-1-1").source = "x = 2"
    nbformat.write(workbook, second)
    os.utime(second, ns=(2**62, 2**62))
    third = changed(blank())
    third.metadata["hop_by_hop"]["release"] = "a third"
    done = update(release(tmp_path / "three", {UNIT: third}, "3"), mine)
    (beside,) = done.beside
    assert beside.name == f"{UNIT}-release-3.ipynb"
    assert answers(beside)["answer-1-1"] == "x = 2"


def test_the_same_release_twice_changes_nothing_more(mine, tmp_path):
    bundle = release(tmp_path / "next", {UNIT: changed(blank())}, "2")
    update(bundle, mine)
    before = contents(mine)
    done = update(bundle, mine)
    assert done.same == [UNIT]
    assert contents(mine) == before


def zipped(folder, *more):
    path = folder.with_suffix(".zip")
    with zipfile.ZipFile(path, "w") as archive:
        for file in sorted(folder.rglob("*")):
            archive.write(file, file.relative_to(folder.parent))
        for name in more:
            archive.writestr(name, "never unpacked")
    return path


def test_of_an_archive_only_what_a_release_holds_is_unpacked(mine, tmp_path):
    bundle = zipped(
        release(tmp_path / "next", {OTHER_UNIT: blank(OTHER_UNIT)}, "2"),
        "next/../../outside.txt", "next/workbooks/99/98.ipynb", "/absolute.txt",
        "next/progress.json", "next/workbooks/../START.html",
    )  # fmt: skip
    before = set(tmp_path.rglob("*"))
    assert update(bundle, mine).new == [OTHER_UNIT]
    new = {path for path in tmp_path.rglob("*") if path not in before}
    assert {path.name for path in new} == {OTHER_UNIT, f"{OTHER_UNIT}.ipynb", "unit.toml"}
    assert (mine / "progress.json").read_text() == "{}"


@pytest.mark.parametrize(("make", "said"), [
    (lambda place: place / "nowhere.zip", "is not there"),
    (lambda place: place, "is no release of this course"),
    (lambda place: place / "text.zip", "is no archive"),
    (lambda place: place / "mine", "the folder you work in"),
])  # fmt: skip
def test_what_is_no_release_is_refused_and_nothing_changes(mine, tmp_path, make, said, pip):
    (tmp_path / "text.zip").write_text("no archive")
    before = contents(mine)
    with pytest.raises(UpdateError, match=said):
        update(make(tmp_path), mine)
    assert contents(mine) == before
    assert pip == []


def test_if_pip_fails_the_workbooks_are_as_they_were(mine, tmp_path, monkeypatch):
    monkeypatch.setattr(updating.subprocess, "call", lambda _: 1)
    before = contents(mine)
    with pytest.raises(UpdateError, match="could not install"):
        update(release(tmp_path / "next", {OTHER_UNIT: blank(OTHER_UNIT)}, "2"), mine)
    assert contents(mine) == before


def test_a_workbook_that_cannot_be_read_is_said_with_its_name(mine, tmp_path):
    (mine / "workbooks" / UNIT / f"{UNIT}.ipynb").write_text("{ cut sho")
    with pytest.raises(UpdateError, match=rf"{UNIT}.ipynb cannot be read"):
        update(release(tmp_path / "next", {UNIT: changed(blank())}, "2"), mine)


def test_the_command_takes_the_folder_one_is_in(mine, tmp_path, monkeypatch, capsys):
    bundle = zipped(release(tmp_path / "next", {OTHER_UNIT: blank(OTHER_UNIT)}, "2"))
    monkeypatch.chdir(mine / "workbooks")
    assert main(["update", str(bundle)]) == 0
    assert f"{OTHER_UNIT}: new." in capsys.readouterr().out
    monkeypatch.chdir(tmp_path)
    assert main(["update", str(bundle)]) == 1
    assert "not the folder that you unpacked" in " ".join(capsys.readouterr().err.split())

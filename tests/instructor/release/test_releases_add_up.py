"""Releases of one class: they have numbers, add up, and one can be told from the other."""

import json
import subprocess
import venv
import zipfile

import pytest

from hand_ins.hand_in_files import solved
from instructor.class_run import grade_class as grading
from instructor.grading.examiner import Examiner
from instructor.grading.intake.hand_ins import HandIn, Intake
from instructor.grading.intake.notebook_reader import read_notebook
from instructor.output.wrong_places import WrongPlaceError
from instructor.release import course_folder
from instructor.release.course_folder import CourseBatch
from instructor.release.make import make_release, said_of

ONE, TWO, THREE = "01-frames-and-headers", "02-checksums", "03-addresses-and-prefixes"


@pytest.fixture(scope="module")
def term(tmp_path_factory):
    """Three releases of one class: 01; then 02 is added; then nothing has changed."""
    folder = tmp_path_factory.mktemp("term")
    return [make_release(folder, units) for units in ([ONE], [TWO], None)]


def names(archive):
    with zipfile.ZipFile(archive) as bundle:
        return bundle.namelist()


def test_a_release_adds_units_and_keeps_those_that_were_there(term):
    assert [made.batch.units for made in term] == [(ONE,), (ONE, TWO), (ONE, TWO)]
    assert [made.left for made in term] == [(), (), ()]
    assert len({made.batch.seed for made in term}) == 1


def test_the_number_goes_up_where_students_get_something_else(term):
    assert [made.batch.number for made in term] == [1, 2, 2]


def test_no_bundle_lies_over_the_answers_in_another_ones_folder(term):
    first, second, _ = (names(made.bundle) for made in term)
    assert {name.split("/")[0] for name in first} == {"hop-by-hop"}
    assert {name.split("/")[0] for name in second} == {"hop-by-hop-2"}


def test_who_has_an_earlier_release_is_told_how_to_go_on(term):
    assert "hopbyhop update" not in said_of(term[0])
    assert "hopbyhop update hop-by-hop-2.zip" in said_of(term[1])
    pages = [(made.bundle.with_suffix("") / "START.html").read_text() for made in term[:2]]
    assert ["hopbyhop update" in page for page in pages] == [False, True]


def test_pip_takes_the_wheel_of_a_later_release_for_a_newer_one(term, tmp_path):
    """With `pip` itself, which said "already installed" where both had one version."""
    venv.create(tmp_path, with_pip=True)
    pip = [tmp_path / "bin" / "pip", "install", "--no-deps", "--no-index", "--quiet"]
    for made in term[:2]:
        (wheel,) = made.bundle.with_suffix("").glob("*.whl")
        subprocess.run([*pip, wheel], check=True)
        shown = subprocess.run([pip[0], "list", "--format=json"], check=True, capture_output=True)
        versions = {one["name"]: one["version"] for one in json.loads(shown.stdout)}
        assert versions["hop-by-hop"].endswith(f"+release.{made.batch.number}")


def test_units_leave_only_where_that_is_asked_for_and_it_is_said(term):
    folder = term[-1].course.parent
    made = make_release(folder, without=[ONE])
    assert (made.batch.units, made.left, made.batch.number) == ((TWO,), (ONE,), 3)
    assert f"No longer a part of this class: {ONE}" in said_of(made)
    assert made.batch.earlier == term[0].batch.releases


@pytest.mark.parametrize(("without", "said"), [
    ([ONE, TWO], "no unit would be left"), (["9"], "--without 9: there is no such unit"),
])  # fmt: skip
def test_what_cannot_be_taken_out_is_refused(term, without, said):
    with pytest.raises(WrongPlaceError, match=said):
        make_release(term[-1].course.parent, without=without)


def hand_in(release):
    workbook = solved(ONE)
    workbook.metadata["hop_by_hop"]["release"] = release
    notebook = read_notebook(json.dumps(workbook).encode())
    return HandIn("alder", ONE, None, notebook)


@pytest.mark.parametrize(("release", "is_noted"), [("earlier", False), ("unknown", True)])
def test_a_workbook_of_an_earlier_release_is_no_reproach(release, is_noted):
    batch = CourseBatch((ONE,), ("now",), "a seed", 3, "", ("earlier",))
    (told,) = grading.as_released(Intake((hand_in(release),), ()), batch).hand_ins
    notes = Examiner(ONE, batch.seed, None)._notes(told)
    assert any("another release" in note for note in notes) is is_noted


def test_names_of_earlier_workbooks_are_kept_over_all_releases():
    batch = CourseBatch((ONE,), ("a",), "seed", 1, "library")
    for _ in range(2):
        batch = course_folder._next_batch(batch, [ONE, THREE], "")
    assert batch.earlier == ("a",)
    assert batch.seed == "seed"

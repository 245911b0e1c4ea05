"""Files that attack the grader: each is graded or gets a line, and the others are not touched."""

import pytest

from classes.graded_by import graded_by_threads
from classes.graded_class import SEED, without_beliefs
from hand_ins.hand_in_files import UNIT, hand_in, solved
from hand_ins.hostile_files import HOSTILE_FILES, ODD_NAMES
from instructor.grading.intake.intake import find_hand_ins
from instructor.grading.sandbox import sandbox

pytestmark = pytest.mark.xdist_group("hostile files")  # one class is graded once

GRADED = [pytest.param(one, id=one.name) for one in HOSTILE_FILES if one.graded]
REFUSED = [pytest.param(one, id=one.name) for one in HOSTILE_FILES if not one.graded]


@pytest.fixture(scope="module")
def graded(tmp_path_factory, need):
    need("bwrap", "apt-get install bubblewrap")
    folder = tmp_path_factory.mktemp("handed-in")
    for one in HOSTILE_FILES:
        path = folder / one.name / UNIT / f"{UNIT}.ipynb"
        path.parent.mkdir(parents=True)
        one.write(path)
    for name in ("alder", "yarrow", *ODD_NAMES):
        hand_in(folder, name, solved())
    with sandbox.open_sandbox() as box:
        intake = find_hand_ins(folder, [UNIT])
        return graded_by_threads(intake, SEED, box.launcher, cases=without_beliefs)


@pytest.mark.parametrize("one", GRADED)
def test_a_file_that_can_be_read_earns_what_its_answers_are_worth(graded, one):
    (marked,) = (marked for marked in graded.marked if marked.student == one.name)
    assert (marked.points == marked.of) is one.all_points
    assert marked.points <= marked.of
    assert one.said in " ".join(marked.notes)


@pytest.mark.parametrize("one", REFUSED)
def test_a_file_that_cannot_be_read_gets_one_line(graded, one):
    (line,) = (line for line in graded.not_graded if line.student == one.name)
    assert one.said in line.why
    assert "\n" not in line.why


@pytest.mark.parametrize("name", ["alder", "yarrow"])
def test_the_others_keep_every_point_and_raise_no_flag(graded, name):
    (marked,) = (marked for marked in graded.marked if marked.student == name)
    assert (marked.points, marked.notes) == (marked.of, ())


@pytest.mark.parametrize("name", ODD_NAMES)
def test_a_student_s_id_may_be_odd_and_is_never_lost(graded, name):
    marked = [one.student for one in graded.marked]
    refused = [one.path.parts[-3] for one in graded.not_graded]
    assert (marked + refused).count(name) == 1

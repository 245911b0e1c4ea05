"""A hundred hostile answers in one class: each earns what it is worth, and nobody else loses."""

import contextlib
from pathlib import Path

import pytest

import course_lib
from classes.graded_by import graded_by_threads
from classes.graded_class import SEED, without_beliefs
from classes.other_limits import other_limits
from course_lib.exercises.verdict import Outcome, without_run
from hand_ins.hand_in_files import OTHER_UNIT, hand_in, solved
from hand_ins.hostile_answers import ALL, ATTACKS, FLOODS, LESS, NOTHING
from instructor.grading.intake.intake import find_hand_ins
from instructor.grading.marked import MarkedAnswer
from instructor.grading.sandbox import sandbox
from instructor.units.items import unit_items

pytestmark = pytest.mark.xdist_group("hostile")  # one class is graded once

HONEST = ("alder", "bracken", "clover", "yarrow")
CANARY = "a-word-that-nobody-may-see"


ENDLESS = [one for one in ATTACKS if Outcome.OUT_OF_TIME in one.outcomes and one not in FLOODS]
# Who prints, fills memory or ends its process for ever comes there sooner.
LESS_OF_ALL = {"printed_octets": 256 << 20, "memory_octets": 512 << 20, "ends": 2}
BESIDE = ("2.2", "2.6")  # answers of an attacker's workbook that are examined too


@pytest.fixture(scope="module")
def graded(tmp_path_factory, need):
    need("bwrap", "apt-get install bubblewrap")
    before = orphans()
    with pytest.MonkeyPatch.context() as patch, sandbox.open_sandbox() as box:
        patch.setenv("HOP_BY_HOP_CANARY", CANARY)

        def grade(attacks, *honest):
            folder = tmp_path_factory.mktemp("handed-in")
            for one in attacks:
                hand_in(folder, one.name, solved(OTHER_UNIT, answer_2_1=one.source), OTHER_UNIT)
            for student in honest:
                hand_in(folder, student, solved(OTHER_UNIT), OTHER_UNIT)
            intake = find_hand_ins(folder, [OTHER_UNIT])
            result = graded_by_threads(
                intake, SEED, box.launcher, cases=without_beliefs, known=known
            )
            assert result.not_graded == ()
            return {one.student: one for one in result.marked}

        with other_limits(0.1, **LESS_OF_ALL):
            found = grade(ENDLESS, *HONEST[:2])
        with other_limits(**LESS_OF_ALL):
            found |= grade([one for one in ATTACKS if one not in ENDLESS], *HONEST[2:])
    left = [words for name, words in orphans().items() if name not in before]
    return found, left


def known(hand_in):
    """Return, for an attacker, all answers that need not be examined beside the attack."""
    if hand_in.student in HONEST:
        return {}
    return {
        one.exercise.id: MarkedAnswer(without_run(one.exercise, Outcome.COULD_NOT_TELL), "")
        for one in unit_items(OTHER_UNIT[:2])
        if one.exercise.id not in ("2.1", *BESIDE)
    }


def orphans():
    """Return the command lines of all processes whose parent has gone."""
    found = {}
    for folder in Path("/proc").glob("[0-9]*"):
        with contextlib.suppress(OSError):  # it has just ended
            if "PPid:\t1\n" in (folder / "status").read_text():
                words = (folder / "cmdline").read_bytes().replace(b"\0", b" ")
                found[folder.name] = words.decode(errors="replace")
    return found


def is_as_due(earns, points, of):
    allowed = {NOTHING: points == 0, ALL: points == of, LESS: points < of}
    return allowed.get(earns, 0 <= points <= of)


@pytest.mark.parametrize("one", [pytest.param(one, id=one.name) for one in ATTACKS])
def test_an_attack_earns_what_its_values_are_worth(graded, one):
    verdict = graded[0][one.name].answers[0].verdict
    assert verdict.points is not None
    assert is_as_due(one.earns, verdict.points, verdict.exercise.points), verdict
    assert verdict.outcome in one.outcomes, verdict


def test_the_other_answers_of_the_same_workbook_keep_their_points(graded):
    for attack in ATTACKS:
        answers = graded[0][attack.name].answers
        verdicts = {one.verdict.exercise.id: one.verdict for one in answers}
        outcomes = [verdicts[one].outcome for one in BESIDE]
        assert outcomes == [Outcome.RIGHT] * len(BESIDE), attack.name


@pytest.mark.parametrize("student", HONEST)
def test_the_others_hand_ins_keep_every_point_and_raise_no_flag(graded, student):
    marked = graded[0][student]
    assert (marked.points, marked.notes) == (marked.of, ())


def test_nothing_of_the_grader_s_is_seen(graded):
    assert [one.name for one in ATTACKS if CANARY in repr(graded[0][one.name])] == []


def test_no_process_is_left_behind(graded):
    ours = ("sleep 500", "exercises.child", "instructor.grading", "hop")
    assert [words for words in graded[1] if any(name in words for name in ours)] == []


def test_nothing_was_written_into_the_library_or_the_system(graded):
    assert "broken = 1" not in Path(course_lib.__file__).read_text()
    assert not Path("/usr/mischief").exists()
    assert not Path("/root/mischief").exists()

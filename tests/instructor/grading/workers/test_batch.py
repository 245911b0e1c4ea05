"""A batch gives the same result whatever the order, and a fault of ours stops nobody."""

import json

import pytest

from classes.graded_by import graded_by_threads
from classes.graded_class import SEED, without_beliefs
from classes.other_limits import little_time
from hand_ins.hand_in_files import UNIT, blank, hand_in, solved
from instructor.grading.examiner import Examiner
from instructor.grading.intake.intake import find_hand_ins
from instructor.grading.pages.scores import score_rows


@pytest.fixture
def folder(tmp_path):
    hand_in(tmp_path, "alder", solved())
    hand_in(tmp_path, "bracken", blank())
    hand_in(tmp_path, "clover", solved(answer_1_1="def read_word(d, o):\n    while 1: pass\n"))
    hand_in(tmp_path, "dill", "")
    return tmp_path


def grade(folder, **more):
    with little_time():
        intake = find_hand_ins(folder, (UNIT,))
        return graded_by_threads(intake, SEED, None, cases=without_beliefs, **more)


def test_the_number_of_workers_changes_nothing(folder):
    one, four = (list(score_rows(grade(folder, workers=n))) for n in (1, 4))
    assert json.dumps(one) == json.dumps(four)


def test_progress_is_told_and_every_hand_in_is_kept_once(folder):
    told, kept = [], []
    grade(folder, keep=lambda _, marked, prints: kept.append(marked.student),
          progress=lambda done, of: told.append((done, of)))  # fmt: skip
    assert told == [(1, 3), (2, 3), (3, 3)]
    assert sorted(kept) == ["alder", "bracken", "clover"]


def test_a_fault_of_the_grader_is_a_line_for_a_person_and_stops_nobody(folder, monkeypatch):
    real = Examiner.examine

    def fails_for_alder(self, one, known):
        if one.student == "alder":
            raise ZeroDivisionError("a fault of ours")
        return real(self, one, known)

    monkeypatch.setattr(Examiner, "examine", fails_for_alder)
    result = grade(folder)
    assert [one.student for one in result.marked] == ["bracken", "clover"]
    (line,) = [one for one in result.not_graded if one.student == "alder"]
    assert "not the student's fault" in line.why

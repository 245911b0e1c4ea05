"""Scores are the same to the octet in whatever order, with however many workers, next to whom.

Results can depend on order at two places: where verdicts come about, and where they are
put down. The first is run for real in several orders, alone, and with 1, 2 and 4 workers.
The second sees every hand-in of the corpus, hostile ones too, in more than 1,000 orders.
"""

import csv
import io
import random
import sqlite3
from dataclasses import replace
from itertools import permutations

import pytest

from classes.gradebook_dump import dump
from classes.graded_by import graded_by_threads
from classes.graded_class import (
    CLASS,
    RIGHT,
    SEED,
    WRONG,
    copy_of,
    only_first,
    public_only,
    with_class,
)
from course_lib.exercises.registry import exercise
from course_lib.exercises.verdict import judge
from course_lib.runner.runner import Limits, StandAlone, run_answer
from hand_ins.hand_in_files import UNIT
from instructor.class_run import resumable
from instructor.grading.gradebook.writer import GradebookWriter
from instructor.grading.intake.intake import find_hand_ins
from instructor.grading.marked import BatchResult
from instructor.grading.pages.scores import score_rows
from instructor.grading.record.answer_data import answer_to_text
from instructor.grading.record.identity import identities, unit_identities
from instructor.grading.record.record import GradingRecord
from instructor.grading.record.record_file import TABLES
from instructor.grading.similarity.code_prints import CodePrints
from instructor.release.course_folder import named_course

HOSTILE = {
    "hazel": "import builtins\nbuiltins.len = lambda x: 2\nbuiltins.ValueError = Exception\n"
    + RIGHT,
    "iris": "class Same(int):\n    __eq__ = lambda *both: True\n    __hash__ = int.__hash__\n"
    "def read_word(data, offset):\n    return Same(0)\n",
    "ivy": 'import os, sys\nos.write(1, b\'{"case": 0, "value": 1}\\n\' * 50)\n' + WRONG,
    "kelp": "import random\nrandom.seed(0)\n" + WRONG,
}
CORPUS = {**CLASS, **{student: only_first(source) for student, source in HOSTILE.items()}}
ORDERS = 100


@pytest.fixture(scope="module")
def course(bare_course, tmp_path_factory):
    return with_class(copy_of(bare_course, tmp_path_factory.mktemp("any")), CORPUS)


@pytest.fixture(scope="module")
def intake(course):
    return find_hand_ins(course / "submitted", (UNIT,))


def examined(intake, **more):
    """Run the answers for real, without a sandbox: what they do to each other would show."""
    return graded_by_threads(intake, SEED, None, cases=public_only, **more)


@pytest.fixture(scope="module")
def result(intake):
    return examined(intake, workers=2)


def octets(result):
    """Return the table of scores and every verdict in full."""
    text = io.StringIO()
    csv.writer(text).writerows(score_rows(result))
    whole = [answer_to_text(one) for marked in result.marked for one in marked.answers]
    return text.getvalue() + "\n".join(whole)


def shuffled(things, seed):
    return random.Random(seed).sample(list(things), len(things))


@pytest.mark.parametrize("workers", [1, 2, 4])
def test_real_runs_in_any_order_with_any_number_of_workers_give_the_same(intake, result, workers):
    other = replace(intake, hand_ins=tuple(shuffled(intake.hand_ins, workers)))
    assert octets(examined(other, workers=workers)) == octets(result)


def test_graded_alone_a_hand_in_gets_what_it_gets_among_hostile_ones(intake, result):
    alone = [
        examined(replace(intake, hand_ins=(one,)), workers=1).marked[0]
        for one in intake.hand_ins if one.student not in HOSTILE
    ]  # fmt: skip
    among = [one for one in result.marked if one.student not in HOSTILE]
    assert octets(BatchResult(tuple(alone), ())) == octets(BatchResult(tuple(among), ()))


def test_the_judge_gives_the_same_whatever_it_judged_before():
    item = exercise("1.1")
    cases = public_only()["1.1"]
    asked = [case.arguments for case in cases]
    runs = [
        run_answer(StandAlone(source), "read_word", asked, limits=Limits())
        for source in (RIGHT, WRONG, *HOSTILE.values())
    ]
    first = [repr(judge(item, cases, run)) for run in runs]
    orders = list(permutations(range(len(runs))))
    assert len(orders) == 720
    for order in orders:
        assert [repr(judge(item, cases, runs[place])) for place in order] == [
            first[place] for place in order
        ]


def test_put_down_in_a_hundred_orders_record_and_table_are_the_same(intake, result, monkeypatch):
    """Every order goes through the record, the choice of attempts and the table of scores."""
    marked = {one.student: one for one in result.marked}
    expected = octets(result)
    of_unit = unit_identities(UNIT, public_only(), SEED)
    rests_on = {one.path: identities(one, of_unit) for one in intake.hand_ins}
    monkeypatch.setattr(resumable, "identities", lambda hand_in, _: rests_on[hand_in.path])
    for seed in range(ORDERS):
        run = resumable.ResumableRun(new_record(), NoBook(), SEED, intake.hand_ins)
        run._of_unit[UNIT] = of_unit
        for hand_in in shuffled(intake.hand_ins, seed):
            run.known(hand_in)
            run.keep(hand_in, marked[hand_in.student], CodePrints())
        put_down = run.finish(BatchResult((), result.not_graded))
        assert octets(put_down) == expected
        history = [step._replace(at="") for step in run._record.history()]
        assert history == sorted(history, key=lambda one: (one.unit, one.student, one.exercise))


def test_put_into_a_gradebook_in_another_order_it_is_the_same(course, intake, result, tmp_path):
    marked = {one.student: one for one in result.marked}
    books = set()
    for seed in range(2):
        url = f"sqlite:///{tmp_path / f'book-{seed}.db'}"
        with GradebookWriter(named_course(course), url) as book:
            for hand_in in shuffled(intake.hand_ins, seed):
                book.write(hand_in, marked[hand_in.student])
        books.add(repr(dump(url)))
    assert len(books) == 1


class NoBook:
    """In place of a gradebook: takes everything and keeps nothing."""

    url = "sqlite://"

    def write(self, hand_in, marked, before):
        return before


def new_record():
    """Make a record in memory."""
    connection = sqlite3.connect(":memory:")
    connection.executescript(TABLES)
    record = GradingRecord(connection)
    record.begin_round()
    return record

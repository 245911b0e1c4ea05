"""Stock nbgrader generates, releases, collects, autogrades and exports the workbooks.

Its scoring has traps: text on standard error in a check cell makes a right item
zero, and a check cell that ends without output, or in something that is no number,
gives full marks. The workbooks must score right all the same.
"""

import csv
import json
import os
import shutil
import subprocess
import sys

import pytest

from course_lib.exercises.registry import all_exercises
from hand_ins.hand_in_files import UNIT, blank, solved, with_cell_after
from instructor.grading.examiner import Examiner
from instructor.grading.gradebook.writer import GradebookWriter
from instructor.grading.intake.intake import find_hand_ins
from instructor.release.course_folder import named_course
from instructor.release.make import make_release
from instructor.units.items import item, source_of

pytestmark = pytest.mark.xdist_group("stock gradebook tools")  # the path is gone once

FULL = sum(one.points for one in all_exercises() if one.unit == UNIT)
WRONG = sorted(item("1.1").misconceptions)[0]
NOISY = (
    "import sys, warnings\nwarnings.warn('look here')\nprint('noise', file=sys.stderr)\n"
    + source_of(item("1.1").answer)
    + "\nprint('works')\n"
)
LOOP = "def read_word(data, offset):\n    while True:\n        print('x' * 1000)\n"
CLASS = {
    "alder": solved(),
    "bracken": blank(),
    "clover": solved(answer_1_1=source_of(item("1.1").misconceptions[WRONG], "read_word")),
    "dill": with_cell_after(
        solved(answer_1_1=NOISY), "mark-1-1", "import sys; sys.stderr.write('x')"
    ),
    "elder": solved(answer_1_1=LOOP),
    "fennel": with_cell_after(solved(answer_1_1="read_word = 5"), "mark-1-1", "1 / 0"),
}


def nbgrader(folder, *arguments):
    """Run the stock command line and return what it said."""
    environment = {**os.environ, "HOME": str(folder), "NBGRADER_COURSE_DIR": str(folder)}
    done = subprocess.run(
        [sys.executable, "-m", "nbgrader", *arguments],
        cwd=folder, env=environment, capture_output=True, text=True, timeout=3000, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr[-3000:]
    return done.stderr


@pytest.fixture(scope="module")
def course(tmp_path_factory):
    """Run the whole stock path once: release, fetch, submit, collect, autograde, export."""
    root = tmp_path_factory.mktemp("stock")
    course = make_release(root, [UNIT], seed="stock").course
    exchange = root / "exchange"
    exchange.mkdir(mode=0o777)
    exchange.chmod(0o777)
    with (course / "nbgrader_config.py").open("a") as config:
        config.write(f"c.Exchange.root = {str(exchange)!r}\n")
        config.write(f"c.Exchange.cache = {str(root / 'cache')!r}\n")
        config.write("c.Exchange.path_includes_course = False\n")
    nbgrader(course, "release_assignment", UNIT, "--force")
    home = root / "home"
    home.mkdir()
    shutil.copy(course / "nbgrader_config.py", home)
    nbgrader(home, "fetch_assignment", UNIT)
    nbgrader(home, "submit", UNIT)
    _hand_in_as_everybody(exchange)
    nbgrader(course, "collect", UNIT)
    nbgrader(course, "autograde", UNIT)
    nbgrader(course, "generate_feedback", UNIT, "--student", "clover")
    nbgrader(course, "export", "--to", "grades.csv")
    return course


def _hand_in_as_everybody(exchange):
    """Put the class's workbooks beside the one that was submitted: here, all users are one."""
    (one,) = (exchange / "hop-by-hop" / "inbound").iterdir()
    _, _, rest = one.name.partition("+")
    for student, workbook in CLASS.items():
        folder = shutil.copytree(one, one.with_name(f"{student}+{rest}"))
        (folder / f"{UNIT}.ipynb").write_text(json.dumps(workbook))
    shutil.rmtree(one)


@pytest.fixture(scope="module")
def scores(course):
    with (course / "grades.csv").open(newline="") as stream:
        return {row["student_id"]: float(row["score"]) for row in csv.DictReader(stream)}


def test_every_hand_in_was_collected_and_exported(scores):
    assert set(scores) >= set(CLASS)


@pytest.mark.parametrize(
    ("student", "points"),
    [
        pytest.param("alder", FULL, id="model-answers"),
        pytest.param("bracken", 0, id="blank"),
        pytest.param("dill", FULL, id="noise-on-standard-error"),
        pytest.param("elder", FULL - 2, id="endless-loop-and-print-flood"),
        pytest.param("fennel", FULL - 2, id="no-function-and-an-error-in-an-own-cell"),
    ],
)
def test_stock_scores_are_right(scores, student, points):
    assert scores[student] == points


def test_partial_credit_reaches_the_stock_gradebook(scores, course):
    lost = FULL - scores["clover"]
    assert 0 < lost <= 2


def test_our_grading_writes_the_same_scores_into_the_same_gradebook(course, scores):
    examiner = Examiner(UNIT, "a seed", launcher=None)
    with GradebookWriter(named_course(course)) as book:
        for one in find_hand_ins(course / "submitted", (UNIT,)).hand_ins:
            book.write(one, examiner.examine(one))
    nbgrader(course, "export", "--to", "ours.csv")
    with (course / "ours.csv").open(newline="") as stream:
        ours = {row["student_id"]: float(row["score"]) for row in csv.DictReader(stream)}
    assert ours == scores
    nbgrader(course, "generate_feedback", UNIT, "--student", "clover", "--force")
    page = (course / "feedback" / "clover" / UNIT / f"{UNIT}.html").read_text()
    assert "It looks as if" in page


def test_hand_marked_cells_wait_for_a_person(course):
    from nbgrader.api import Gradebook

    with Gradebook(f"sqlite:///{course / 'gradebook.db'}") as book:
        grade = book.find_grade("explain-1", UNIT, UNIT, "bracken")
        assert grade.max_score == 2
        assert grade.auto_score == 0  # left as handed out

"""A small class, ready to be graded: a course folder, hand-ins, and cases without a wait.

The cases are those of the workbook alone, put on record as if they were all. Working
out the secret ones takes seconds, and what is tested here is not what they are.
"""

import shutil
import sys
from dataclasses import replace

from classes.cases_once import here_if_it_ends
from course_lib.exercises.registry import Expected, all_exercises, public_cases
from hand_ins.hand_in_files import UNIT, blank, doubled, hand_in
from instructor.class_run.grade_class import RECORD_FILE
from instructor.grading.record.class_cases import keep_cases
from instructor.grading.record.record import open_record
from instructor.release.make import make_release
from instructor.units.items import cases_for, item, secret_questions, source_of, unit_items

SEED = "a seed"
WRONG = "def read_word(data, offset):\n    return data[offset]\n"
RIGHT = source_of(item("1.1").answer, "read_word")
CRASH = "import os\ndef read_word(data, offset):\n    os._exit(1)\n"


def only_first(source):
    """Return the workbook as handed out, but for the first answer: quick to examine."""
    workbook = blank()
    for cell in workbook.cells:
        if cell.metadata.get("nbgrader", {}).get("grade_id") == "answer-1-1":
            cell.source = source
    return workbook


CLASS = {
    "alder": only_first(RIGHT),
    "bracken": only_first(WRONG),
    "clover": doubled(only_first(RIGHT), "answer-1-1", WRONG),
    "dill": "",
    "elder": only_first(CRASH),
    "fennel": only_first("def read_word(data, offset):\n    return 'a word'\n"),
    "gorse": blank(),
}


def public_only(unit=UNIT):
    """Return the public cases of a unit's exercises."""
    return {one.id: public_cases(one.id) for one in all_exercises() if one.unit == unit}


def without_beliefs(unit=UNIT, seed=SEED):
    """Return all cases of a unit, which name no misconception: quick, where none is looked for."""
    return {
        one.exercise.id: (
            *public_cases(one.exercise.id),
            *cases_for(one, secret_questions(one, seed), [], here_if_it_ends(one)),
        )
        for one in unit_items(unit[:2])
    }  # fmt: skip


def with_mistake(cases, exercise_id="1.1"):
    """Return cases of which the first of one exercise expects a wrong value."""
    first, *rest = cases[exercise_id]
    return {**cases, exercise_id: (replace(first, expected=Expected(-1)), *rest)}


def make_course(folder, unit=UNIT):
    """Make a course folder whose record has the cases already."""
    course = make_release(folder, [unit], seed=SEED).course
    with open_record(course / RECORD_FILE) as record:
        keep_cases(unit, SEED, record, public_only(unit))
    return course


def with_class(course, files=None):
    """Put the class's hand-ins into a course folder."""
    for student, workbook in (CLASS if files is None else files).items():
        hand_in(course / "submitted", student, workbook)
    return course


def copy_of(course, folder):
    """Copy a course folder, to grade it in peace."""
    return shutil.copytree(course, folder / "course")


UNTRIED = """
import sys
from course_lib.cli import main
from instructor.grading.sandbox import sandboxed_run
sandboxed_run.probe = lambda sandbox: ()
sys.exit(main())
"""


def grade_command(course, *more):
    """Return the command that grades in a process of its own, without trying walls first."""
    return [sys.executable, "-c", UNTRIED, "grade", str(course), "--trusted", *more]

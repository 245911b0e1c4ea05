"""Somebody handed in under two ids, and a person said that they are one: which hand-in counts?"""

import csv
import os
import shlex
from pathlib import PurePath

import pytest
from nbformat import writes

from classes.graded_class import RIGHT, WRONG, copy_of, only_first
from course_lib.cli import main
from hand_ins.hand_in_files import UNIT, hand_in
from instructor.class_run.on_roster import of_the_class
from instructor.grading.intake.hand_ins import HandIn, Intake
from instructor.grading.intake.intake import find_hand_ins
from instructor.grading.intake.notebook_reader import Cell, Notebook
from instructor.grading.intake.whose import who
from instructor.grading.record.record import open_record
from instructor.grading.record.seen_hand_ins import keep_seen, with_seen
from instructor.roster.kept_list import KeptList

OLD, NEW = 1_780_000_000, 1_780_000_060  # seconds since 1970
ODD, STUDENT = "S-102", "s102"
SAME = {ODD: STUDENT}.get
TABLE = {  # times of what came under the student's id and the odd one; which counts
    "the odd one is newer": (OLD, NEW, ODD),
    "the student's own is newer": (NEW, OLD, STUDENT),
    "nobody can tell": (OLD, OLD, ""),
}


def whose(seen):
    return SAME(seen, seen)


def handed_in(folder, student, source, time):
    hand_in(folder, student, only_first(source))
    path = folder / student / UNIT / f"{UNIT}.ipynb"
    os.utime(path, (time, time))


@pytest.mark.parametrize(("own", "odd", "counts"), TABLE.values(), ids=TABLE)
def test_of_files_the_newest_counts_whatever_the_id(tmp_path, own, odd, counts):
    handed_in(tmp_path, STUDENT, WRONG, own)
    handed_in(tmp_path, ODD, RIGHT, odd)
    rows = (f"{ODD},{UNIT},2026-05-04T15:00:00Z", f"{STUDENT},{UNIT},2026-05-04T14:00:00Z")
    for order in (rows, rows[::-1]):  # of two times in the table the later one
        (tmp_path / "handed-in.csv").write_text("\n".join(("student,unit,time", *order)))
        found = find_hand_ins(tmp_path, (UNIT,), whose=whose)
        assert [(one.student, one.path.parts[-3]) for one in found.hand_ins] == (
            [(STUDENT, counts)] if counts else []
        )
        assert [one.handed_in for one in found.hand_ins] == ["2026-05-04 15:00:00 UTC"] * bool(
            counts
        )
        assert ["which one counts" in one.why for one in found.not_graded if one.student] == (
            [] if counts else [True]
        )


@pytest.mark.parametrize(("own", "odd", "counts"), TABLE.values(), ids=TABLE)
def test_of_what_was_graded_before_the_newest_counts_too(tmp_path, own, odd, counts):
    def one(student, time):
        notebook = Notebook((Cell("code", "answer-1-1", student),), UNIT, "")
        return HandIn(student, UNIT, tmp_path, notebook, changed=(time, 0))

    with open_record(tmp_path / "record.db") as record:
        keep_seen(record, [one(STUDENT, own), one(ODD, odd)], lambda seen: seen)
        for _ in range(2):  # what was found is on record: the same once more
            intake, before = with_seen(Intake(()), record, (UNIT,), whose)
            assert [(each.student, each.notebook.code) for each in intake.hand_ins] == (
                [(STUDENT, (counts,))] if counts else []
            )
            assert before == len(intake.hand_ins)
            assert [each.student for each in intake.not_graded] == ([] if counts else [STUDENT])
            keep_seen(record, intake.hand_ins, whose)
        assert len(record.hand_ins()) == (1 if counts else 2)  # nothing goes that may count yet
        late, _ = with_seen(Intake((one(STUDENT, 0),)), record, (UNIT,), whose)
        assert [each.path for each in late.hand_ins] == [
            tmp_path
        ]  # what is here, whatever its time


@pytest.mark.usefixtures("walls_tried_once")
def test_a_class_whose_two_turn_out_to_be_one(bare_course, tmp_path):
    course, first = copy_of(bare_course, tmp_path), tmp_path / "first"
    handed_in(first, STUDENT, WRONG, OLD)
    handed_in(first, ODD, RIGHT, NEW)
    hand_in(tmp_path / "later", "bracken", only_first(WRONG))
    (tmp_path / "class.csv").write_text(f"id\n{STUDENT}\nbracken\n")
    assert main(["grade", str(first), "--course", str(course), "--trusted"]) == 0
    for more in (["--take", str(tmp_path / "class.csv")], ["--same", ODD, STUDENT]):
        assert main(["roster", str(course), *more, "--confirm"]) == 0
    assert main(["grade", str(tmp_path / "later"), "--course", str(course), "--trusted"]) == 0
    with (course / "results" / "scores.csv").open(newline="") as table:
        rows = {row["student"]: row for row in csv.DictReader(table) if row["exercise"] == "1.1"}
    assert set(rows) == {STUDENT, "bracken"}
    assert rows[STUDENT]["outcome"] == "right"
    assert f"handed in under the id {ODD}" in rows[STUDENT]["note"]


def test_what_is_proposed_for_a_file_can_be_typed_as_it_stands(tmp_path):
    """With a roster, a name without an id of it is asked about: the answer must find the file."""
    for name in (f"{ODD}_{UNIT}.ipynb", f"Some Name {UNIT}.ipynb", "work.ipynb"):
        said = of_the_class(find_in(tmp_path / name, {STUDENT}), KeptList({STUDENT: ""}), tmp_path)
        (line,) = said.not_graded
        seen = shlex.split(line.why.split("--same ", 1)[1].split("`")[0])[0]
        assert who(PurePath(name), {STUDENT, seen}) == seen


def find_in(path, roster):
    path.parent.mkdir(exist_ok=True)
    for old in path.parent.glob("*.ipynb"):
        old.unlink()
    path.write_text(writes(only_first(RIGHT)))
    return find_hand_ins(path.parent, (UNIT,), roster)

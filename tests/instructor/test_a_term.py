"""A term of four releases and 120 students: nothing is lost, and every number can be counted again.

What is expected is counted from what the students handed in, and when, by this test alone: it knows
which exercises each of them answered rightly, and what the rules take off. It takes two minutes of
processor time, so it is run by itself: `pytest -m slow_job`.
"""

import csv
import datetime
import json
import random
import shutil
import zipfile

import pytest

from classes.gradebook_dump import book_of
from classes.graded_class import public_only, with_mistake
from course_lib.cli import main
from course_lib.exercises.registry import all_exercises
from hand_ins.hand_in_files import blank
from instructor.class_run import resumable
from instructor.keeping.forget import still_named
from instructor.release.gradebook_tools import open_gradebook
from instructor.release.workbook_files import model_answers, with_answers

pytestmark = [pytest.mark.slow_job, pytest.mark.usefixtures("walls_tried_once")]

UNITS = (
    "01-frames-and-headers", "02-checksums", "03-addresses-and-prefixes", "04-longest-prefix-match",
)  # fmt: skip
STUDENTS = tuple(f"s{number:03}" for number in range(1, 121))
UTC = datetime.UTC
DUE = {unit: datetime.datetime(2026, 5, 4 + 7 * week, 16, tzinfo=UTC)
       for week, unit in enumerate(UNITS)}  # fmt: skip
TWO_DECIMALS = 0.005 + 1e-9  # as tables have them
KEPT = {0: 1.0, 1: 0.9, 2: 0.75}  # by days late
EXTENDED, EXCUSED, FORGOTTEN = "s007", "s011", ("s021", "s022")
BY_HAND = dict.fromkeys(STUDENTS[:30], 1.5)  # for the words of the first unit
RULES = """
[due]
{due}

[late]
last_day = 2

[late.kept_percent]
1 = 90
2 = 75
"""


class HandedIn:
    """Who handed in what and when, drawn once: the first answers of a unit are right, or none."""

    def __init__(self):
        rng = random.Random(9542)
        self.right, self.days = {}, {}
        for unit in UNITS:
            exercises = [one for one in all_exercises() if one.unit == unit]
            for student in STUDENTS:
                if rng.random() < 0.1 and student not in (EXTENDED, *FORGOTTEN):
                    continue
                self.right[student, unit] = exercises[: rng.choice((0, 1, 1, 2))]
                self.days[student, unit] = rng.choice((0, 0, 0, 0, 1, 2, 3))
        self.days[EXTENDED, UNITS[1]] = 2

    def of(self, unit):
        return [student for student in STUDENTS if (student, unit) in self.right]

    def counts(self, student, unit):
        """Return the points that must count in the end."""
        if (student, unit) not in self.right:
            return 0.0
        points = sum(one.points for one in self.right[student, unit])
        if unit == UNITS[0]:
            points += BY_HAND.get(student, 0.0)
        if (student, unit) == (EXCUSED, UNITS[2]):
            return 0.0
        late = 0 if (student, unit) == (EXTENDED, UNITS[1]) else self.days[student, unit]
        return points * KEPT.get(late, 0.0)


CLASS = HandedIn()


def workbooks(unit):
    """Return the text of a workbook by how many of its answers are right: no more are made."""
    answers = model_answers(unit)
    made = {}
    for exercises in {tuple(CLASS.right[one, unit]) for one in CLASS.of(unit)}:
        names = {one.mark_name.replace("mark-", "answer-") for one in exercises}
        own = {name: source for name, source in answers.items() if name in names}
        made[exercises] = json.dumps(with_answers(blank(unit), own))
    return made


def times(unit, students):
    """Return the table of times that an upload page gives."""
    lines = ["student,unit,time"]
    for one in students:
        when = DUE[unit] + datetime.timedelta(days=CLASS.days[one, unit], hours=-1)
        lines.append(f"{one},{unit},{when.isoformat()}")
    return "\n".join(lines)


def download(folder, week):
    """Lay a week's hand-ins into a folder as they come: two archives, flat files, folders."""
    unit = UNITS[week]
    folder.mkdir()
    texts, students = workbooks(unit), CLASS.of(unit)
    (folder / "handed-in.csv").write_text(times(unit, students))
    text_of = {one: texts[tuple(CLASS.right[one, unit])] for one in students}
    if week == 0:
        for place, part in enumerate((students[:60], students[60:])):
            with zipfile.ZipFile(folder / f"download-{place}.zip", "w") as archive:
                for one in part:
                    archive.writestr(f"{one}_{unit}.ipynb", text_of[one])
        return folder
    for one in students:
        if week == 1:
            path = folder / one / unit / f"{unit}.ipynb"
        else:
            path = folder / f"{one}_{unit}.ipynb{'.txt' if week == 3 else ''}"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text_of[one])
    return folder


@pytest.fixture
def cases(monkeypatch):
    """Give the cases in use; in the first weeks a check of the first unit is wrong."""
    known = {unit: public_only(unit) for unit in UNITS}
    in_use = dict(known) | {UNITS[0]: with_mistake(known[UNITS[0]], "1.1")}
    monkeypatch.setattr(resumable, "class_cases", lambda unit, seed, record: in_use[unit])
    return known, in_use


def run(command, *words):
    assert main([command, *map(str, words)]) == 0


def table(course, name):
    with (course / "results" / name).open(newline="") as stream:
        return list(csv.DictReader(stream))


def mark_words(course):
    """Give points for the words of the first unit, in the gradebook, as people do."""
    with open_gradebook(f"sqlite:///{course / 'gradebook.db'}") as book:
        for student, points in BY_HAND.items():
            if (student, UNITS[0]) in CLASS.right:
                for one in book.find_submission_notebook(UNITS[0], UNITS[0], student).grades:
                    if one.name == "explain-1":
                        one.manual_score, one.needs_manual_grade = points, False
        book.db.commit()


def expect(course, students, units):
    """Compare every number with the recount."""
    wanted = {
        (student, unit): CLASS.counts(student, unit) for student in students for unit in units
    }
    rows = {
        (row["student"], row["unit"]): float(row["points"]) for row in table(course, "counted.csv")
    }
    written = {key: rows.get(key, 0.0) for key in wanted}
    assert written == pytest.approx(wanted, abs=TWO_DECIMALS)
    sums = {one: sum(wanted[one, unit] for unit in units) for one in students}
    uploaded = {row["student"]: float(row["points"] or 0) for row in table(course, "upload.csv")}
    assert uploaded == pytest.approx(sums, abs=TWO_DECIMALS)
    with open_gradebook(book_of(course)) as book:
        entered = {
            (one.student.id, unit) for unit in units for one in book.assignment_submissions(unit)
        }
    assert entered == {key for key in wanted if key in CLASS.right}


def test_a_term(own_key, tmp_path, cases, monkeypatch):
    known, in_use = cases
    course = tmp_path / "class" / "course"
    office = tmp_path / "office.csv"
    office.write_text("Name;Id\n" + "".join(f"Plant {one};{one}\n" for one in STUDENTS),
                      encoding="utf-8-sig")  # fmt: skip
    for week, unit in enumerate(UNITS):
        run("release", course.parent, "--units", unit)
        if week == 0:
            run("roster", course, "--take", office, "--confirm")
        due = "\n".join(f"{one} = {DUE[one].isoformat()}" for one in UNITS[: week + 1])
        (course / "deadlines.toml").write_text(RULES.format(due=due))
        run("deadlines", course, "--confirm")
        if week == 2:
            in_use.update(known)  # the wrong check is corrected
        run("grade", download(tmp_path / f"week-{week}", week), "--course", course, "--trusted")
        if week == 0:
            mark_words(course)
        if week == 1:
            until = (DUE[unit] + datetime.timedelta(days=2)).isoformat()
            run("deadlines", course, "--extend", EXTENDED, unit, until, "--confirm")
        if week == 2:
            run("deadlines", course, "--excuse", EXCUSED, unit, "--confirm")
            corrected = {row["student"] for row in table(course, "changes.csv")
                         if row["exercise"] == "1.1"}  # fmt: skip
            assert corrected == {one for one in CLASS.of(UNITS[0]) if CLASS.right[one, UNITS[0]]}
            course = shutil.move(tmp_path / "class", tmp_path / "elsewhere") / "course"
    run("grade", tmp_path / "week-3", "--course", course, "--trusted")
    expect(course, STUDENTS, UNITS)
    with open_gradebook(book_of(course)) as book:  # nobody's points by hand ask for another look
        asking = [one.name for student in BY_HAND if (student, UNITS[0]) in CLASS.right
                  for one in book.find_submission_notebook(UNITS[0], UNITS[0], student).grades
                  if one.needs_manual_grade]  # fmt: skip
    assert asking == []

    run("archive", course, tmp_path / "kept.zip")
    run("forget", course, *FORGOTTEN, "--yes")
    assert list(still_named(course, FORGOTTEN)) == []
    rest = [one for one in STUDENTS if one not in FORGOTTEN]
    shutil.rmtree(tmp_path / "week-3")  # the hand-ins themselves are whoever kept them to delete
    remaining = tmp_path / "again"
    remaining.mkdir()
    shutil.copy(tmp_path / "week-2" / f"{rest[1]}_{UNITS[2]}.ipynb", remaining)
    (remaining / "handed-in.csv").write_text(times(UNITS[2], rest[1:2]))
    run("grade", remaining, "--course", course, "--trusted")
    expect(course, rest, UNITS)
    with zipfile.ZipFile(tmp_path / "kept.zip") as archive:
        assert any(name.endswith("gradebook.db") for name in archive.namelist())

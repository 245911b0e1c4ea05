"""The recipes of DEVELOPERS.md are followed to the letter, in a copy, and end in graded answers."""

import re

import pytest
from nbformat.v4 import new_markdown_cell

from structure.copied_course import CopiedCourse, exercise_cells, setup_cell
from structure.guide import GUIDE

STUB = '''def hops_left(time_to_live: int) -> int:
    """Return the time to live at the next hop; raise `ValueError` where the packet dies here.

    `time_to_live` is a whole number from 0 to 255.
    """
    raise NotImplementedError  # your code here
'''
RIGHT = '''def hops_left(time_to_live: int) -> int:
    """Return the time to live at the next hop."""
    if time_to_live <= 1:
        raise ValueError("it dies here")
    return time_to_live - 1
'''
SHORT = """def hops_left(time_to_live):
    return {0: 0, 1: 0}.get(time_to_live) or list(range(256)).index(time_to_live) - 1 or 1 // 0
"""
WRONG = '''def hops_left_at_zero(time_to_live: int) -> int:
    """Let a packet go on with nothing left."""
    return time_to_live - 1
'''
EXERCISE = """
    Exercise(
        id="{id}",
        unit=UNIT,
        function="hops_left",
        title="Hops left",
        aspects=(Aspect("going on", 1), Aspect("the end", 1)),
        apart="variation",
        differs="The library's router lowers it within a header.",
    ),
"""
FEEDBACK = """
[exercise."{id}"]
asked = "Say how many hops a packet has left behind this router."
next = "Take a packet with 1 hop left. Who may still see it?"
hints = ["Begin with 64.", "Then take 1.", "What does RFC 1812, section 5.3.1, say of 0?"]

[exercise."{id}".misconceptions.goes-on-with-nothing]
belief = "a packet may be sent on with nothing left"
next = "Who would have to throw away a packet that arrives with 0?"
"""
QUESTIONS = """[
    *(Question("going on", (hops,)) for hops in (64, 2, 255)),
    *(Question("the end", (hops,)) for hops in (1, 0)),
]"""
DRAWN = QUESTIONS.replace("(64, 2, 255)", "rng.sample(range(2, 256), 5)")
PLAN = """
title = "One morning"
people = 8
known = ["01"]
[[days]]
date = 2027-05-03
sessions = ["09:00-10:30"]
[wishes]
must = ["20"]
"""
OPEN_AND_MARK = """
import os, pathlib
from course_lib.commands.start_page import start_page
from course_lib.exercises import mark

os.chdir("class/students/hop-by-hop")
print(start_page(pathlib.Path()))
names = {{"In": ["", {right!r}], "mark": mark}}
exec("points = mark('20.1')", names)
print(f"{{names['points']:g}} of 2 points by machine")
"""
IMPORTS_OF_SHAPES = "from course_lib.exercises.registry import Aspect, Exercise\n"
IMPORTS_OF_CLAUSES = (
    "from instructor.units.clauses import Clause, Contract\n"
    "from instructor.units.unit_{unit}.misconceptions import hops_left_at_zero\n"
)
IMPORTS_OF_QUESTIONS = "from instructor.units.items import Question\n"


def recipe(title: str, unit: str) -> tuple[set[str], set[str]]:
    """Return the files that a recipe says must be changed, and those that it says may be."""
    text = GUIDE.read_text(encoding="utf-8")
    body = text.partition(f"### {title}\n")[2].partition("\n### ")[0].partition("\n## ")[0]
    must: set[str] = set()
    may: set[str] = set()
    for step in re.split(r"\n(?=\d\. )", body):
        files = {
            name.replace("NN", unit[:2]).replace("UNIT", unit)
            for name in re.findall(r"`([\w./-]+/[\w.-]+\.\w+)`", step)
        }
        (may if re.match(r"\d\. If ", step) else must).update(files)
    assert must, f"no recipe {title!r} that names a file"
    return must, may - must


def check_followed(changed: set[str], title: str, unit: str) -> None:
    must, may = recipe(title, unit)
    assert must <= changed
    assert changed <= must | may


@pytest.fixture
def course(tmp_path) -> CopiedCourse:
    return CopiedCourse(tmp_path)


def add_misconception(course: CopiedCourse) -> None:
    course.replace("instructor/units/unit_02/misconceptions/headers.py", "\nFOLD: ", '''
def fold_adds_the_count(total: int) -> int:
    """Take the carry for a 2."""
    return (total & 0xFFFF) + 2 * (total >> 16)


FOLD: ''')  # fmt: skip
    course.add(
        "instructor/units/unit_02/misconceptions/headers.py",
        '\nFOLD["carry-counts-twice"] = fold_adds_the_count\n',
    )
    course.add("course_lib/exercises/wording/unit_02.toml", '''
[exercise."2.1".misconceptions.carry-counts-twice]
belief = "a carry is worth 2"
next = "What is 0x10000 in ones' complement?"
''')  # fmt: skip


def add_exercise(course: CopiedCourse, unit: str, number: str, *, new: bool) -> None:
    """Write all about one exercise, into files that there are or into new ones."""
    change = course.write if new else course.add
    shapes = f"course_lib/exercises/units/unit_{unit[:2]}.py"
    staff = f"instructor/units/unit_{unit[:2]}"
    shape = EXERCISE.format(id=number)
    if new:
        course.write(shapes, f'{IMPORTS_OF_SHAPES}\nUNIT = "{unit}"\nEXERCISES = ({shape})\n')
    else:
        course.add(shapes, f"\nEXERCISES += ({shape})\n")
    change(f"{staff}/answers.py", f"\n\n{RIGHT}")
    row = f'"{number}": (hops_left,)'
    change(f"{staff}/other_answers.py", f"\n\n{SHORT}\n{_table(new, 'OTHERS', row)}")
    row = f'"{number}": {{"goes-on-with-nothing": hops_left_at_zero}}'
    place = f"{staff}/misconceptions/__init__.py"
    change(place, f"\n\n{WRONG}\n{_table(new, 'MISCONCEPTIONS', row)}")
    public, secret = f'"{number}": {QUESTIONS}', f'"{number}": questions_of_the_copy'
    questions = (IMPORTS_OF_QUESTIONS if new else "") + _table(new, "PUBLIC", public)
    drawn = f"\n\ndef questions_of_the_copy(rng):\n    return {DRAWN}\n"
    change(f"{staff}/cases.py", questions + drawn + _table(new, "SECRET", secret))
    words = '"raise `ValueError` where the packet dies here", "the end", hops_left_at_zero'
    row = f'"{number}": Contract((Clause({words}),))'
    imports = IMPORTS_OF_CLAUSES.format(unit=unit[:2])
    change(f"{staff}/clauses.py", f"\n{imports}\n{_table(new, 'CLAUSES', row)}")
    change(f"course_lib/exercises/wording/unit_{unit[:2]}.toml", FEEDBACK.format(id=number))
    cells = exercise_cells(number, STUB, 2)
    workbook = f"workbooks/{unit}/{unit}.ipynb"
    begins = [new_markdown_cell("# Hops left"), setup_cell()] if new else []
    course.add_cells(workbook, [*begins, *cells], unit)


def _table(new: bool, name: str, row: str) -> str:
    """Write the row into a table of its own, or into the one that there is."""
    return f"\n{name} = {{{row}}}\n" if new else f"\n{name} = {{**{name}, {row}}}\n"


def check_graded(course: CopiedCourse, unit: str, number: str, **more: str) -> dict:
    """Release the unit with an exercise, and grade; `more` are answers to others, by their cell."""
    cell = "answer-" + number.replace(".", "-")
    wrong = WRONG.replace("hops_left_at_zero", "hops_left")
    others = {name.replace("_", "-"): source for name, source in more.items()}
    answers = {"alder": {cell: RIGHT, **others}, "bracken": {cell: wrong}, "clover": {}}
    rows = course.scores(unit, answers)
    seen = {student: (row["outcome"], float(row["points"]), row["misconception"])
            for (student, exercise), row in rows.items() if exercise == number}  # fmt: skip
    assert seen == {
        "alder": ("right", 2.0, ""),
        "bracken": ("partly right", 1.0, "goes-on-with-nothing"),
        "clover": ("no answer", 0.0, ""),
    }
    return rows


def test_add_an_exercise_and_a_misconception_of_another(course):
    """Cases are built and a class is graded once for both: that takes a while."""
    unit = "02-checksums"
    with course.changes() as of_the_misconception:
        add_misconception(course)
    with course.changes() as of_the_exercise:
        add_exercise(course, unit, "2.7", new=False)
        course.replace(f"workbooks/{unit}/unit.toml", '"2.5", "2.6"]', '"2.5", "2.6", "2.7"]')
    with course.changes() as of_both:
        course.build_cases("02")
    answer = "def fold(total):\n    return total % 65536 + 2 * (total // 65536)\n"
    rows = check_graded(course, unit, "2.7", answer_2_1=answer)
    assert rows["alder", "2.1"]["misconception"] == "carry-counts-twice"
    assert float(rows["alder", "2.1"]["points"]) < 2
    check_followed(of_the_misconception | of_both, "Add a misconception", unit)
    check_followed(of_the_exercise | of_both, "Add an exercise", unit)


def test_add_a_unit(course):
    unit = "20-hops-left"
    course.write(f"workbooks/{unit}/unit.toml", '''title = "Hops left"
question = "When does a packet die?"
goals = ["say how many hops are left"]
prerequisites = ["01-frames-and-headers"]
points = 2
hand_points = 0
exercises = ["20.1"]
measured_against = ["RFC 1812, section 5.3.1"]

[minutes]
talk = 5
demo = 0
exercises = 10
unattended = 0
''')  # fmt: skip
    course.write("instructor/units/unit_20/__init__.py", '"""Unit 20 as the staff knows it."""\n')
    add_exercise(course, unit, "20.1", new=True)
    course.build_cases("20")
    must, may = recipe("Add a unit", unit)
    exercise_must, exercise_may = recipe("Add an exercise", unit)
    assert must <= course.changed <= must | may | exercise_must | exercise_may
    check_graded(course, unit, "20.1")
    check_opened_and_marked(course)
    course.write("short.toml", PLAN)
    course.run("-m", "course_lib.cli", "plan", "short.toml")
    assert "Hops left" in (course.root / "short" / "timetable.md").read_text(encoding="utf-8")
    # And nothing but a unit's own file says where it stands, and whether it is taught.
    course.replace(f"workbooks/{unit}/unit.toml", "points = 2", "order = 1.5\npoints = 2")
    course.replace("workbooks/02-checksums/unit.toml", "\npoints =", "\ntaught = false\npoints =")
    script = "from instructor.release.workbook_files import unit_names as n; print(*n()[:3])"
    assert course.run("-c", script) == f"01-frames-and-headers {unit} 03-addresses-and-prefixes\n"


def check_opened_and_marked(course: CopiedCourse) -> None:
    """Look at the released unit as its students do: the page they start from, and a mark."""
    script = OPEN_AND_MARK.format(right=RIGHT)
    said = course.run("-c", script)
    assert ">20 Hops left</a></h2>" in said
    assert said.endswith("2 of 2 points by machine\n")

"""Commands of administration name the argument that is wrong, and what to type instead."""

import shlex

import pytest

from classes.graded_class import UNIT, copy_of
from course_lib.cli import main
from instructor.administration import deadlines_command, requests_command, roster_command
from instructor.administration.standing import Standing
from instructor.deadlines.counted import Cell, Earned

CELLS = {"mark-1-1": Cell(2, 2), "mark-1-2": Cell(0, 4), "explain-1": Cell(0, 2)}
STANDING = Standing(
    tuple(Earned(one, UNIT, CELLS) for one in ("s101", "S102")),
    units={UNIT: {name: cell.of for name, cell in CELLS.items()}},
)
DUE = "2026-05-04T18:00:00+02:00"


@pytest.fixture(scope="module")
def course(bare_course, tmp_path_factory):
    """Make a course folder with a roster and a deadline; every test leaves it as it is."""
    here = tmp_path_factory.mktemp("words")
    course = copy_of(bare_course, here)
    (course / "roster.csv").write_text("id,name\ns101,\ns102,\ns103,\n")
    (here / "list.csv").write_text("alder;Al\n")
    (here / "broken.csv").write_text("id\nalder\nalder\n")
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(here)
        main(["deadlines", "course", "--due", "01", DUE, "--confirm"])
        yield course


@pytest.fixture
def said(course, monkeypatch, capsys):
    """Give a function that types a command in a class in which two have handed in."""
    for module in (deadlines_command, requests_command, roster_command):
        monkeypatch.setattr(module, "standing_of", lambda _: STANDING)
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.chdir(course.parent)

    def said(line, status=0):
        capsys.readouterr()
        assert main(shlex.split(line)) == status
        seen = capsys.readouterr()
        assert [one for one in (seen.out + seen.err).splitlines() if len(one) > 80] == []
        return " ".join((seen.err if status else seen.out).split())

    return said


WRONG = [
    ("deadlines nowhere", "nowhere is not a course folder"),
    ("deadlines course --due 99 none", "--due 99: the class has no unit '99'"),
    ("deadlines course --due 01 tomorrow", "--due tomorrow: 'tomorrow' is no time"),
    ("deadlines course --due 01 2026-05-04T18:00", "has no offset from UTC"),
    (f"deadlines course --extend s110 01 {DUE}", "STUDENT s110: nobody on the roster"),
    ("deadlines course --extend s101 01 2026-05-01T00:00Z", "is before the deadline of all"),
    ("deadlines course --excuse s101 99.9", "--excuse 99.9: there is no such exercise"),
    ("deadlines course --excuse s101 1.6", "s101 cannot be excused from 1.6"),
    ("deadlines course --excuse s101 01/explain-9", "cannot be excused from explain-9"),
    ("deadlines course --excuse s101 1.1 --not-excused", "s101 is not excused from 1.1"),
    ("roster course --take nowhere", "--take nowhere cannot be read"),
    ("roster course --take list.csv", "line 1 has several columns"),
    ("roster course --take broken.csv", "--take broken.csv, line 3: the id 'alder' stands in"),
    ("roster course --same S102 s110", "--same S102 s110: s110 is not on the roster"),
    ("roster course --same s101 s102", "both are on the roster, so these are two"),
    ("roster course --take-out zzz", "--take-out zzz: neither the roster nor the gradebook"),
    ("requests course --ask s103 1.1 --text x", "--ask s103: the gradebook has no hand-in"),
    ("requests course --ask s101 9.9.9 --text x", "--ask 9.9.9: there is no such exercise"),
    ("requests course --ask s101 1.1", "--ask: what does the student say?"),
    ("requests course --answer 7 --text x", "--answer 7: there is no such request"),
]


@pytest.mark.parametrize(("line", "words"), WRONG)
def test_what_is_wrong_is_named(line, words, said):
    assert words in said(line, status=1)


def test_an_id_in_the_gradebook_that_is_no_students_can_be_taken_out(said):
    shown = said("roster course")
    assert "S102 is in the gradebook, and not on the roster. It may be s102." in shown
    assert "roster course --take-out S102" in shown
    assert "taken out, S102: in the gradebook -> none" in said("roster course --take-out S102")
    assert "1 student: 0 points more, 2 points less" in said("roster course --same S102 s102")


SHOWN = [
    ("deadlines course", "Being late costs nothing."),
    ("deadlines course --excuse s101 1.2", "excused, s101 01-frames-and-headers: none -> 1.2"),
    ("deadlines course --excuse s101 1.2", "2 of 8 2 of 4"),
    ("deadlines course --excuse s101 1.2 --in-maximum", "nobody's points change"),
    ("deadlines course --excuse s101 01/explain-1", "2 of 8 2 of 6"),
    ("deadlines course --due 01 none", "2026-05-04 18:00 +02:00 -> none"),
    ("deadlines course --excuse s101 01 --why 'a long journey'", "(a long journey)"),
]


@pytest.mark.parametrize(("line", "words"), SHOWN)
def test_a_change_is_shown_with_its_points_and_not_made(line, words, said, course):
    before = {path: path.read_bytes() for path in course.glob("*.*") if path.is_file()}
    assert words in said(line)
    assert {path: path.read_bytes() for path in course.glob("*.*") if path.is_file()} == before


BROKEN = [
    ("deadlines.toml", "[due]\n01 = 2026-05-04T18:00:00", "needs a date, a time of day and an"),
    ("deadlines.toml", "[due]\n09 = 2026-05-04T18:00:00Z", "the class has no unit '09'"),
    ("deadlines.toml", "[late]\ngrace = 1", "[late] 'grace' is unknown; there are grace_minutes"),
    ("deadlines.toml", "[late.kept_percent]\n1 = 50\n2 = 60", "may not rise"),
    ("deadlines.toml", "[late]\nlast_day = 1.5", "last_day: 1.5 is no whole number"),
    ("deadlines.toml", "[late]\nbelieved = ['clock']", "believed: 'clock' is unknown"),
    ("deadlines.toml", "[due", "deadlines.toml: "),
    ("exceptions.csv", "student;unit\n", "the first row must name the columns student, unit,"),
    ("exceptions.csv", "student;unit;exercise;decision;time\ns101;01;;later;\n",
     "line 2: 'later' is no decision; there are longer until"),
    ("exceptions.csv", "student,unit,exercise,decision,time\ns101,01,,handed in,noon\n",
     "line 2: 'noon' is no time"),
    ("exceptions.csv", "student,unit,exercise,decision,time\ns999,01,,handed in," + DUE,
     "STUDENT s999: nobody on the roster"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "text", "words"), BROKEN)
def test_an_edited_file_that_cannot_be_meant_is_refused_with_its_place(
    name, text, words, said, course
):
    path = course / name
    before = path.read_bytes()
    path.write_text(text)
    try:
        assert words in said("deadlines course", status=1)
    finally:
        path.write_bytes(before)

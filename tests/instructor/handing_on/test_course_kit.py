"""A course kit: what was chosen is in it, what was not chosen is not taught, nobody is in it."""

import csv
import email.message
import tomllib

import pytest

from course_lib.cli import main
from course_lib.commands.unit_order import units_in_order
from instructor.handing_on import course_kit, licences
from instructor.handing_on.course_kit import FIRST, PARTS
from instructor.output.tables import write_table
from instructor.reading_edition import edition
from instructor.release.workbook_files import ROOT
from instructor.reporting.report_csv import EXERCISE_COLUMNS, MISCONCEPTION_COLUMNS

CHOSEN = ("01-frames-and-headers", "04-longest-prefix-match", "06-the-forwarding-path")
REQUEST = """
title = "One morning"
people = 8
[[days]]
date = 2027-05-03
sessions = ["09:00-10:30", "11:00-12:30"]
[wishes]
must = ["01"]
"""
SEED = "5eed" * 8


@pytest.fixture(scope="module")
def graded(tmp_path_factory):
    """Write what is left of a class: tables of its report, and records that nobody may see."""
    course = tmp_path_factory.mktemp("class") / "course"
    (course / "results" / "report").mkdir(parents=True)
    (course / "batch.json").write_text(SEED, encoding="utf-8")
    (course / "results" / "scores.csv").write_text("student\nalder-77\n", encoding="utf-8")
    some = {"unit": CHOSEN[0], "exercise": "1.1", "title": "Read", "max_points": "2",
            "hand_ins": "24", "tried": "23", "students": "4", "share": "0.1739",
            "share_low": "0.0698", "share_high": "0.3714", "right": "19", "wrong": "4",
            "error": "0", "misconception": "first-octet-low", "belief": "b"}  # fmt: skip
    many = some | {"students": "7", "exercise": "1.2", "wrong": "5"}
    other = many | {"unit": "02-checksums"}
    tables = {"exercises": EXERCISE_COLUMNS, "misconceptions": MISCONCEPTION_COLUMNS}
    for name, columns in tables.items():
        rows = [[one.get(column, "") for column in columns] for one in (some, many, other)]
        write_table(course / "results" / "report" / f"{name}.csv", columns, rows)
    return course


@pytest.fixture(scope="module")
def kit(tmp_path_factory, graded):
    folder = tmp_path_factory.mktemp("kits")
    (folder / "morning.toml").write_text(REQUEST, encoding="utf-8")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(edition, "shown_by", shown_without_a_kernel)
        yield made_kit(folder, graded)


def shown_without_a_kernel(workbook):
    """Show a line for each cell: what workbooks show has a test of its own, and takes long."""
    return {cell.id: ("shown",) for cell in workbook.cells if cell.cell_type == "code"}


def made_kit(folder, graded):
    line = ["hand-on", str(folder / "kit"), "--plan", str(folder / "morning.toml")]
    assert main([*line, "--figures-of", str(graded), "--units", "06", "01", CHOSEN[1]]) == 0
    return folder / "kit"


def rows(path):
    with path.open(encoding="utf-8", newline="") as table:
        return list(csv.DictReader(table))


def test_every_part_is_there_and_told_of(kit):
    assert {path.name for path in kit.iterdir()} == {*PARTS, FIRST}
    first = (kit / FIRST).read_text(encoding="utf-8")
    for name in PARTS:
        assert f"* `{name}/` – " in first
        assert any((kit / name).iterdir())
    assert kit.stat().st_mode & 0o077 == 0
    assert "06-the-forwarding-path needs 02-checksums: let it be known already." in first


def test_handbook_and_reading_edition_are_of_the_chosen_units(kit):
    pages = {f"{name}.html" for name in CHOSEN}
    assert {path.name for path in (kit / "handbook").iterdir()} == pages | {"handbook.html"}
    assert {path.name for path in (kit / "reading-edition").iterdir()} == pages
    assert "What goes wrong" in (kit / "handbook" / f"{CHOSEN[0]}.html").read_text("utf-8")
    assert "<pre>shown</pre>" in (kit / "reading-edition" / f"{CHOSEN[0]}.html").read_text("utf-8")


def test_what_was_chosen_is_taught_and_the_rest_can_be_taken_in_again(kit):
    workbooks = kit / "course" / "workbooks"
    assert units_in_order(workbooks) == CHOSEN
    path = workbooks / "02-checksums" / "unit.toml"
    own = ROOT / "workbooks" / "02-checksums" / "unit.toml"
    assert tomllib.loads(path.read_text()) == {**tomllib.loads(own.read_text()), "taught": False}
    for name in CHOSEN:
        facts = workbooks / name / "unit.toml"
        assert facts.read_bytes() == (ROOT / "workbooks" / name / "unit.toml").read_bytes()


def test_the_course_in_it_is_the_course_without_what_only_this_machine_has(kit):
    there = {path.relative_to(kit / "course").as_posix() for path in (kit / "course").rglob("*")}
    assert {"instructor/units/unit_12/answers.py", "course_lib/cli.py", "pyproject.toml"} <= there
    assert not [name for name in there if "__pycache__" in name or ".git/" in name]


def test_figures_of_few_students_and_other_units_are_left_out(kit):
    some, many = rows(kit / "figures" / "misconceptions.csv")
    assert (some["students"], some["share"], some["share_low"], some["tried"]) == ("", "", "", "23")
    assert (many["students"], many["share"]) == ("7", "0.1739")
    some, many = rows(kit / "figures" / "exercises.csv")
    assert (some["wrong"], some["right"], some["error"], some["share"]) == ("", "19", "0", "0.1739")
    assert many["wrong"] == "5"


def test_nobody_and_no_secret_of_a_class_is_in_it(kit):
    for path in kit.rglob("*"):
        if path.is_file() and "tests" not in path.parts:
            octets = path.read_bytes()
            assert b"alder-77" not in octets, path
            assert SEED.encode() not in octets, path


def test_the_timetable_is_of_the_kit_s_own_units(kit):
    text = (kit / "timetable" / "timetable.md").read_text(encoding="utf-8")
    assert "Frames and headers" in text
    assert (kit / "timetable" / "morning.toml").read_text(encoding="utf-8") == REQUEST


REFUSED = {
    "a folder that is there": ("{kit}", "is there already"),
    "no such unit": ("{new} --units 77", "--units 77: there is no such unit"),
    "no such request": ("{new} --plan nowhere.toml", "nowhere.toml"),
    "a unit that is not in it": ("{new} --units 06 --plan {plan}", "01"),
    "a class that was not graded": ("{new} --figures-of {new}", "was graded"),
}


@pytest.mark.parametrize(("line", "words"), REFUSED.values(), ids=REFUSED)
def test_what_cannot_be_made_leaves_nothing_behind(line, words, kit, tmp_path, capsys, monkeypatch):
    monkeypatch.setattr(course_kit, "SOURCE", ("workbooks",))  # the rest takes long to copy
    places = {"kit": kit, "new": tmp_path / "new", "plan": kit / "timetable" / "morning.toml"}
    assert main(["hand-on", *line.format(**places).split()]) == 1
    assert words in capsys.readouterr().err
    assert not (tmp_path / "new").exists()


SAYS = {
    "an expression": ({"License-Expression": "MIT AND 0BSD"}, "MIT AND 0BSD"),
    "classifiers": ({"Classifier": "License :: OSI Approved :: MIT License", "License": "text"},
                    "MIT License"),
    "a short name": ({"License": "Apache 2.0"}, "Apache 2.0"),
    "the whole text": ({"License": "Permission is\nhereby granted"}, licences.NOT_SAID),
    "nothing": ({}, licences.NOT_SAID),
}  # fmt: skip


class Said:
    """A package that says this of itself."""

    def __init__(self, headers):
        self.metadata = email.message.Message()
        for name, text in headers.items():
            self.metadata[name] = text


@pytest.mark.parametrize(("headers", "licence"), SAYS.values(), ids=SAYS)
def test_a_licence_is_what_the_package_says_and_never_a_guess(headers, licence):
    assert licences.licence_of(Said(headers)) == licence


def test_packages_that_are_needed_only_through_others_are_named_and_those_for_tests_are_not():
    named = {one.package for one in licences.licences()}
    assert {"numpy", "nbgrader", "ortools", "tornado", "markupsafe"} <= named
    assert not {"hypothesis", "playwright", "hop-by-hop"} & named

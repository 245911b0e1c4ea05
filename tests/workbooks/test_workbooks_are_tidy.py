"""Each workbook as a file: clean, complete, short cells, and in step with the registry."""

import re
import tomllib

import nbformat
import pytest

from course_lib.exercises.registry import all_exercises
from instructor.release.workbook_files import ROOT, STUB, grade_name, read_workbook, unit_names

UNITS = unit_names()
BY_UNIT = {unit: [one for one in all_exercises() if one.unit == unit] for unit in UNITS}


def unit_facts(unit):
    return tomllib.loads((ROOT / "workbooks" / unit / "unit.toml").read_text(encoding="utf-8"))


def text_cells(unit):
    return [cell for cell in read_workbook(unit).cells if cell.cell_type == "markdown"]


def words(text):
    """Count what a reader reads: tables, code, formulas and pictures left out."""
    text = re.sub(r"```.*?```|!\[[^]]*\]\([^)]*\)", " ", text, flags=re.DOTALL)
    prose = [line for line in text.splitlines() if not line.lstrip().startswith("|")]
    return len(" ".join(prose).split())


def test_there_is_a_workbook_for_every_unit_of_the_registry():
    assert {one.unit for one in all_exercises()} <= set(UNITS)


@pytest.mark.parametrize("unit", UNITS)
def test_it_is_valid_and_holds_no_output(unit):
    workbook = read_workbook(unit)
    nbformat.validate(workbook)
    assert (workbook.nbformat, workbook.nbformat_minor) == (4, 5)
    code = [cell for cell in workbook.cells if cell.cell_type == "code"]
    assert all(cell.outputs == [] and cell.execution_count is None for cell in code)
    assert len({cell.id for cell in workbook.cells}) == len(workbook.cells)


@pytest.mark.parametrize("unit", UNITS)
def test_only_known_metadata_is_kept(unit):
    workbook = read_workbook(unit)
    assert set(workbook.metadata) == {"kernelspec", "language_info", "hop_by_hop"}
    assert workbook.metadata["hop_by_hop"] == {"unit": unit}
    for cell in workbook.cells:
        assert set(cell.metadata) <= {"nbgrader", "tags", "editable", "deletable"}, cell.id


@pytest.mark.parametrize("unit", UNITS)
def test_every_exercise_has_its_two_cells_with_the_right_points(unit):
    cells = {grade_name(cell): cell for cell in read_workbook(unit).cells if grade_name(cell)}
    for one in BY_UNIT[unit]:
        answer, check = cells[one.cell_name], cells[one.mark_name]
        assert STUB in answer.source
        assert f"def {one.function}(" in answer.source
        assert answer.metadata["nbgrader"]["solution"]
        assert not answer.metadata["nbgrader"]["grade"]
        assert check.source == f'mark("{one.id}")'
        assert check.metadata["nbgrader"]["points"] == one.points
        assert check.metadata["nbgrader"]["locked"]
    by_hand = [c for c in cells.values() if c.metadata["nbgrader"].get("grade")
               and c.metadata["nbgrader"].get("solution")]  # fmt: skip
    assert {cell.cell_type for cell in by_hand} == {"markdown"}
    points = sum(cell.metadata["nbgrader"]["points"] for cell in by_hand)
    assert points == unit_facts(unit)["hand_points"]


@pytest.mark.parametrize("unit", UNITS)
def test_the_unit_s_facts_agree_with_the_registry(unit):
    facts = unit_facts(unit)
    assert facts["exercises"] == [one.id for one in BY_UNIT[unit]]
    assert facts["points"] == sum(one.points for one in BY_UNIT[unit])
    assert set(facts["minutes"]) == {"talk", "demo", "exercises", "unattended"}
    assert all(other in UNITS for other in facts["prerequisites"])
    assert len(facts["goals"]) >= 3


@pytest.mark.parametrize("unit", UNITS)
def test_cells_are_short(unit):
    in_a_row = 0
    for cell in read_workbook(unit).cells:
        if cell.cell_type == "code":
            in_a_row += 1
            is_contract = STUB in cell.source  # mostly docstring
            assert is_contract or len(cell.source.splitlines()) <= 12, cell.id
        else:
            in_a_row = 0
            assert words(cell.source) <= 120, (cell.id, words(cell.source))
        assert in_a_row <= 3, cell.id  # answer, free cell and check stand together


@pytest.mark.parametrize("unit", UNITS)
def test_it_reads_in_one_sitting(unit):
    """A section on real packets has a limit of its own.

    It comes last, earns no points, needs a machine that can do it, and can wait for another day.
    The one of unit 12 belongs to what the unit is about, and has a number; the room comes last.
    """
    main, live = [], []
    part = main
    for cell in text_cells(unit):
        if heading := re.match("## (.*)", cell.source):
            is_live = heading[1] in ("Real packets", "A room full of routers")
            part = live if is_live else main
        part.append(words(cell.source))
    assert 1200 <= sum(main) <= 2600
    assert sum(live) <= 320


@pytest.mark.parametrize("unit", UNITS)
def test_heading_levels_are_never_skipped(unit):
    level = 0
    for cell in text_cells(unit):
        for line in re.sub(r"```.*?```", "", cell.source, flags=re.DOTALL).splitlines():
            heading = re.match(r"(#+) ", line)
            if heading:
                assert len(heading[1]) <= level + 1, line
                level = len(heading[1])


@pytest.mark.parametrize("unit", UNITS)
def test_a_guess_comes_before_most_results(unit):
    guesses = [c for c in read_workbook(unit).cells if "predict" in c.metadata.get("tags", [])]
    assert len(guesses) >= 4
    assert all("None" in cell.source for cell in guesses)


@pytest.mark.parametrize("unit", UNITS)
def test_names_in_prose_exist_in_code(unit):
    workbook = read_workbook(unit)
    code = "\n".join(cell.source for cell in workbook.cells if cell.cell_type == "code")
    for cell in text_cells(unit):
        prose = re.sub(r"```.*?```", "", cell.source, flags=re.DOTALL)
        for name in re.findall(r"`([a-z_]{3,})\(?[^`]*\)?`", prose):
            assert name in code or name in KNOWN_WORDS, (cell.id, name)


KNOWN_WORDS = {
    "hint",
    "mark",
    "show_progress",
    "int",
    "bytes",
    "bool",
    "str",
    "hex",
    "bin",
    "struct",
}


@pytest.mark.parametrize("unit", UNITS)
def test_prose_has_no_exclamation_marks_and_no_filler(unit):
    for cell in text_cells(unit):
        prose = re.sub(r"```.*?```|`[^`]*`|\(data:[^)]*\)|!\[|!=", "", cell.source, flags=re.DOTALL)
        assert "!" not in prose, cell.id
        assert not re.search(r"\b(simply|obviously|of course|easy|just)\b", prose, re.I), cell.id

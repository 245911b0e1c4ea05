"""Arrows point one way: a room imports from rooms above it in the tables of DEVELOPERS.md, only."""

import ast
from graphlib import CycleError, TopologicalSorter

import pytest

from instructor.release.workbook_files import ROOT, read_workbook, unit_names
from structure.guide import table
from structure.imports import imports_of, modules

CHAPTER_ROWS = table("chapter", "what it says", "workbooks that use it")
CHAPTERS = [row[0].strip("`/") for row in CHAPTER_ROWS]
ROOMS = [row[0].strip("`/") for row in table("room", "what is done there")]
MOST_MODULES = 14  # in one folder, for a stranger to read at one look


def room_of(module: str, rooms: list[str]) -> str:
    """Return the room that a module stands in, the most special one: "grading/intake"."""
    parts = module.split(".")[1:]
    names = ["/".join(parts[:length]) for length in range(len(parts), 0, -1)]
    return next((name for name in names if name in rooms), "")


@pytest.mark.parametrize(("top", "rooms"), [("course_lib", CHAPTERS), ("instructor", ROOMS)])
def test_every_module_has_a_room_and_every_room_a_module(top, rooms):
    found = {name: room_of(name, rooms) for name in modules(top) if name != top}
    assert sorted(name for name, room in found.items() if not room) == []
    assert set(rooms) - set(found.values()) == set()
    assert len(rooms) == len(set(rooms)) > 10


@pytest.mark.parametrize(("top", "rooms"), [("course_lib", CHAPTERS), ("instructor", ROOMS)])
def test_no_arrow_points_to_a_room_further_down(top, rooms):
    wrong = [
        f"{module} imports {other}"
        for module in modules(top)
        for other in imports_of(module)
        if other.split(".")[0] == top
        and module != top
        and other != top
        and rooms.index(room_of(other, rooms)) > rooms.index(room_of(module, rooms))
    ]
    assert wrong == []


def test_the_library_knows_nothing_of_the_staff():
    wrong = [name for name in modules("course_lib")
             if any(other.startswith("instructor") for other in imports_of(name))]  # fmt: skip
    assert wrong == []


def test_no_modules_import_each_other_in_a_circle():
    names = [*modules("course_lib"), *modules("instructor")]
    graph = {name: imports_of(name) for name in names}
    try:
        order = list(TopologicalSorter(graph).static_order())
    except CycleError as circle:
        pytest.fail(f"a circle: {' -> '.join(circle.args[1])}")
    assert len(order) >= len(graph) > 200


def test_no_folder_holds_more_than_can_be_seen_at_one_look():
    counts = {
        folder.relative_to(ROOT).as_posix(): len(list(folder.glob("[!_]*.py")))
        for top in ("course_lib", "instructor")
        for folder in [ROOT / top, *(ROOT / top).rglob("*/")]
    }
    assert {name: count for name, count in counts.items() if count > MOST_MODULES} == {}


def chapters_used_by(unit: str) -> list[str]:
    """Return what a workbook imports of the library, each without the library's own name."""
    return [
        node.module.removeprefix("course_lib.")
        for cell in read_workbook(unit).cells
        if cell.cell_type == "code" and not cell.source.lstrip().startswith("%")
        for node in ast.walk(ast.parse(cell.source))
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("course_lib")
    ]


@pytest.mark.parametrize("unit", unit_names())
def test_workbooks_import_from_the_faces_of_chapters(unit):
    """`from course_lib.<chapter> import <thing>`: nobody has to know what lies behind a face."""
    found = chapters_used_by(unit)
    assert found
    assert [name for name in found if name not in CHAPTERS] == []


@pytest.mark.parametrize("row", CHAPTER_ROWS, ids=CHAPTERS)
def test_the_guide_says_which_workbooks_use_a_chapter(row):
    chapter, _, said = row
    units = [unit[:2] for unit in unit_names() if chapter.strip("`/") in chapters_used_by(unit)]
    assert said == ("all" if len(units) == len(unit_names()) else ", ".join(units) or "–")

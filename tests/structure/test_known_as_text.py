"""Where code must know other code as text, a move that it does not notice fails here."""

import importlib
import re
import tomllib

import pytest

from course_lib.engine.compiled import HOMES, LOOPS
from course_lib.exercises.registry import UNITS, all_exercises
from course_lib.my_parts import borrowed, choosing
from instructor.grading.record import class_cases, identity
from instructor.grading.sandbox import inside
from instructor.grading.workers import course_version
from instructor.release.workbook_files import ROOT, unit_names
from instructor.source_files import source_files
from instructor.units.items import unit_items
from structure.guide import GUIDE
from structure.imports import imports_of, modules

PATTERNS = {
    "decides points": (identity.DECIDING, identity.NOT_DECIDING),
    "version of the course": (course_version.DECIDING, course_version.DRAWN),
    "what cases are made from": (class_cases.MADE_FROM, class_cases.DRAWN),
}
TEXTS_OF_TESTS = sorted((ROOT / "tests").rglob("*.py"))


@pytest.mark.parametrize("what", PATTERNS)
def test_every_pattern_matches_something_and_changes_something(what):
    patterns, but = PATTERNS[what]
    whole = source_files(patterns, but=but)
    assert whole
    for one in patterns:
        assert source_files([other for other in patterns if other != one], but=but) != whole, one
    for one in but:
        assert source_files(patterns, but=[other for other in but if other != one]) != whole, one


def test_a_pattern_that_matches_nothing_is_an_error():
    with pytest.raises(
        LookupError, match=r"no file of the course matches 'course_lib/moved/\*.py'"
    ):
        source_files(["course_lib/*.py", "course_lib/moved/*.py"])
    with pytest.raises(LookupError, match=r"matches 'course_lib/moved\.py'"):
        source_files(["course_lib/*.py"], but=["course_lib/moved.py"])


def test_the_version_of_the_course_covers_all_that_makes_and_runs_cases():
    names = dict(source_files(course_version.DECIDING, but=course_version.DRAWN))
    for patterns, but in (PATTERNS["decides points"], PATTERNS["what cases are made from"]):
        assert dict(source_files(patterns, but=but)).keys() <= names.keys()


def stems(folder, pattern):
    return {path.name.removesuffix(".py") for path in (ROOT / folder).glob(pattern)}


def test_each_unit_has_its_files_and_no_file_lacks_a_unit():
    """The registry, the items, the borrowed parts and the case files are found by these names."""
    named = {f"unit_{unit}" for unit in UNITS}
    assert stems("workbooks", "[0-9]*") == {one.unit for one in all_exercises()}
    assert stems("course_lib/exercises/units", "unit_*.py") == named
    assert stems("course_lib/exercises/cases", "*.json") == {f"{name}.json" for name in named}
    assert stems("instructor/units", "unit_*") == named
    assert stems("course_lib/my_parts/borrowed", "unit_*.py") <= named
    for unit in UNITS:
        assert unit_items(unit)


def test_every_borrowed_part_is_found_by_its_name():
    lent = {name for unit in stems("course_lib/my_parts/borrowed", "unit_*.py")
            for name in importlib.import_module(f"{borrowed.__name__}.{unit}").__all__}  # fmt: skip
    assert len(lent) > 10
    assert {one.function for one in all_exercises() if choosing._borrowed(one)} == lent


def test_loops_stand_in_the_chapters_whose_source_says_whether_they_must_be_compiled_anew():
    """Loops, by the types and records that they name; and whoever compiles one of its own."""
    tools = {"course_lib.engine.machine_types", "course_lib.engine.records"}
    with_loops = {name for name in modules("course_lib") if imports_of(name) & tools}
    outside = {name for name in with_loops if not f"{name}.".startswith(HOMES)}
    assert len(with_loops) > 15
    assert outside == set()
    compiling = {name for name in modules("course_lib")
                 if "course_lib.engine.compiled" in imports_of(name)}  # fmt: skip
    assert {name.split(".")[1] for name in with_loops | compiling} >= set(LOOPS)


def test_what_runs_inside_the_sandbox_needs_nothing_that_is_not_shown_there():
    """Shown of the course: the folder `inside`, and the library's `runner`."""
    shown = (inside.__name__, "course_lib.runner")
    for name in modules("instructor"):
        if name.startswith(inside.__name__):
            others = {one for one in imports_of(name) if not f"{one}.".startswith(
                tuple(f"{place}." for place in shown))}  # fmt: skip
            assert others <= {"course_lib", "instructor", "instructor.grading",
                              "instructor.grading.sandbox"}  # fmt: skip
    for name in modules("course_lib"):
        if name.startswith("course_lib.runner"):
            assert all(one.startswith("course_lib.runner") for one in imports_of(name)), name


def test_every_template_has_a_module_that_fills_it_and_a_style():
    templates = list((ROOT / "instructor").rglob("templates/*.html"))
    assert len(templates) >= 4
    sources = [path.read_text(encoding="utf-8") for path in modules("instructor").values()]
    for template in templates:
        assert template.with_suffix(".css").exists(), template
        base = template.name == "page.html"  # the others extend it
        assert base or sum(f'"templates" / "{template.name}"' in text for text in sources) == 1, (
            template
        )


def test_modules_that_texts_name_are_there():
    """In docstrings, comments and the guides, a dotted name in backticks is one that there is."""
    known = {*modules("course_lib"), *modules("instructor")}
    named = re.compile(r"`((?:course_lib|instructor)(?:\.\w+)+)`")
    found = [(path, name) for path in (*TEXTS_OF_TESTS, *known_paths(), ROOT / "README.md", GUIDE)
             for name in named.findall(path.read_text(encoding="utf-8"))]  # fmt: skip
    assert len(found) > 30
    wrong = [f"{path.relative_to(ROOT)}: {name}" for path, name in found
             if name not in known and name.rpartition(".")[0] not in known]  # fmt: skip
    assert wrong == []


def known_paths():
    return [*modules("course_lib").values(), *modules("instructor").values()]


def test_files_that_the_guide_names_are_there():
    """By their whole names, or by the end of them: `runner/child.py`, `tests/structure`."""
    files = {path.relative_to(ROOT).as_posix() for top in ("course_lib", "instructor", "tests",
             "workbooks") for path in (ROOT / top).rglob("*")}  # fmt: skip
    files |= {name.removesuffix(".py") for name in files}
    named = set(re.findall(r"`([\w./-]+/[\w.-]*)`", GUIDE.read_text(encoding="utf-8")))
    plain = {name.strip("/") for name in named if not re.search("NN|UNIT|^/|^nbgrader", name)}
    assert len(plain) > 40
    wrong = {name for name in plain if not any(f"/{file}".endswith(f"/{name}") for file in files)}
    assert wrong <= {".ci/run", ".venv/bin", ".output/screenshots"}
    stems = {name.replace("NN", "02") for name in named if "NN" in name}
    assert {
        name for name in stems if not any(f"/{file}".endswith(f"/{name}") for file in files)
    } == set()


def test_files_that_workbooks_name_are_there():
    named = {
        name
        for path in (ROOT / "workbooks").rglob("*.ipynb")
        for name in re.findall(r"`(course_lib/[\w./]+)`", path.read_text(encoding="utf-8"))
    }
    assert named
    assert {name for name in named if not (ROOT / name).exists()} == set()


def test_what_is_packed_is_there():
    facts = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    for package in facts["tool"]["hatch"]["build"]["targets"]["wheel"]["packages"]:
        assert (ROOT / package / "__init__.py").exists()
    for place in (
        *facts["tool"]["pytest"]["ini_options"]["pythonpath"],
        *facts["tool"]["ruff"]["src"],
    ):
        assert (ROOT / place).is_dir()
    assert {one.unit for one in all_exercises()} == set(unit_names())
